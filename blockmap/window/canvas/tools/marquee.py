"""A drag over bare paper encloses cavities."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from blockmap.model.geometry import bounds_of
from blockmap.model.ids import CavityId, StripId
from blockmap.window.canvas.hit import touched_by
from blockmap.window.canvas.overlay import draw_marquee
from blockmap.window.canvas.tools.tool import Pointer, translate

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["MarqueeGesture"]


class MarqueeGesture:
    """Selects what the rectangle touches, besides what is to be kept.

    A click without a drag selects the strip that was pressed, if there was one.
    """

    def __init__(
        self,
        view: FigureView,
        pressed: Pointer,
        keep: tuple[CavityId, ...],
        strip: StripId | None = None,
    ) -> None:
        self._view, self._pressed, self._keep = view, pressed, keep
        self._strip = strip
        self._before = view.selection.ids, view.selection.current
        self._now: Pointer | None = None

    def hint(self) -> str:
        """Return what letting go does."""
        return translate(
            "Figure", "Let go to select what the rectangle touches; Escape calls it off"
        )

    def move(self, pointer: Pointer) -> None:
        """Select what the rectangle touches so far."""
        if self._now is None and not pointer.far_from(self._pressed):
            return
        self._now = pointer
        box = bounds_of((self._pressed.at, pointer.at))
        touched = touched_by(self._view.content.cavities, box)
        self._view.selection.select((*self._keep, *touched))
        self._view.refresh_overlay()

    def release(self, pointer: Pointer) -> None:
        """Keep the selection; a click selects a strip, or on bare paper nothing."""
        self.move(pointer)
        if self._now is not None:
            return
        if not self._keep:
            self._view.selection.select_strip(self._strip)
        self._view.selection.select(self._keep)

    def cancel(self) -> None:
        """Bring back the selection from before."""
        self._view.selection.select(*self._before)
        self._view.refresh_overlay()

    def paint(self, painter: QPainter) -> None:
        """Draw the rectangle."""
        if self._now is not None:
            # The view may have scrolled since the press, so go by millimetres.
            start = self._view.px_of(self._pressed.at)
            rect = QRectF(start, self._now.px).normalized()
            draw_marquee(painter, self._view.inks, rect)
