"""Says at the bottom what the keys do where the keyboard is, or nothing.

The figure tells of its tool. Another part tells what it was given by tell_keys; where
nothing was given, nothing is said: the keys of the figure would be wrong there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QWidget

if TYPE_CHECKING:
    from blockmap.window.bottom_line import BottomLine
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["KeysTold", "tell_keys"]

_TOLD = "keys told"


def tell_keys(part: QWidget, words: str) -> None:
    """Let the bottom line say this while the keyboard is in a part."""
    part.setProperty(_TOLD, words)


class KeysTold(QObject):
    """Follows the keyboard, and the tool of the figure while it is there."""

    def __init__(self, figure: FigureView, line: BottomLine) -> None:
        super().__init__(figure)
        self._figure, self._line = figure, line
        figure.hint_changed.connect(self._show_hint)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._follow)
        self._show_hint(figure.tool.hint())

    def _show_hint(self, hint: str) -> None:
        """Show what the figure says, unless another part has the keyboard."""
        focus = QApplication.focusWidget()
        if focus is None or self._in_figure(focus):
            self._line.hint.setText(hint)

    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        if now is None:
            return  # a menu is open or the window is left: nothing else is in force
        if self._in_figure(now):
            self._line.hint.setText(self._figure.tool.hint())
            return
        part: QWidget | None = now
        while part is not None and part.property(_TOLD) is None:
            part = part.parentWidget()
        told = part.property(_TOLD) if part is not None else ""
        self._line.hint.setText(str(told))

    def _in_figure(self, focus: QWidget) -> bool:
        return focus is self._figure or self._figure.isAncestorOf(focus)
