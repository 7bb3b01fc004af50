"""What every tool is: it takes presses, moves, releases and keys, and can cancel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter

from blockmap.model.geometry import Point

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["ARROWS", "DRAG_PX", "Pointer", "Tool", "translate"]

DRAG_PX = 4.0
"""A press that moves less than this is a click."""

ARROWS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
"""The direction of each arrow key as the view is seen."""


translate = QCoreApplication.translate
"""Gives a text in the user's language; called by this name, it is found by tools."""


@dataclass(frozen=True, slots=True)
class Pointer:
    """Where the pointer is, in pixels and in front-view millimetres, with its keys."""

    px: QPointF
    at: Point
    extend: bool = False
    toggle: bool = False
    free: bool = False

    def far_from(self, other: Pointer) -> bool:
        """Tell whether the way from another place is a drag and not a click."""
        step = self.px - other.px
        return abs(step.x()) >= DRAG_PX or abs(step.y()) >= DRAG_PX


class Tool:
    """A tool that does nothing; each real one overrides what it needs."""

    name = ""
    cursor = Qt.CursorShape.CrossCursor

    def __init__(self, view: FigureView) -> None:
        self.view = view

    @property
    def begun(self) -> bool:
        """True while something is drawn that a large hint would stand in the way of."""
        return False

    def hint(self) -> str:
        """Return what the next press or key does."""
        return ""

    def start(self) -> None:
        """Get ready: the tool was chosen."""

    def stop(self) -> None:
        """Let go of everything: another tool was chosen."""
        self.cancel()

    def press(self, pointer: Pointer) -> None:
        """Begin a gesture."""

    def move(self, pointer: Pointer, *, held: bool) -> None:
        """Follow the pointer; held tells whether the button is down."""

    def release(self, pointer: Pointer) -> None:
        """End the gesture, with one edit at most."""

    def double_press(self, pointer: Pointer) -> None:
        """Take a second press on the same place."""

    def key(self, event: QKeyEvent) -> bool:
        """Take a key; return False to leave it to the figure."""
        del event
        return False

    def cancel(self) -> bool:
        """Call the gesture off; return True when there was one."""
        return False

    def document_changed(self) -> None:
        """Call off what was begun on a map that is another one now."""
        self.cancel()

    def leave(self) -> None:
        """Forget the pointer: it has left the figure."""

    def cursor_at(self, pointer: Pointer) -> Qt.CursorShape:
        """Return the shape of the pointer over a place."""
        del pointer
        return self.cursor

    def paint(self, painter: QPainter) -> None:
        """Draw over the figure, in pixels of the viewport."""
