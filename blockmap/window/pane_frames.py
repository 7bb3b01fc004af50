"""How the frames of the panes look: whole names on tabs, the one in front in full ink.

Qt makes the tabs and takes them away as panes are moved, and draws the one in front
hardly otherwise than the rest where the window is dark; its buttons it draws too faint.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QAbstractButton, QDockWidget, QMainWindow, QTabBar

from blockmap.window.guard import guarded
from blockmap.window.theme import icon

__all__ = ["PaneFrames", "rows_of_tabs"]

_BUTTONS = {
    "qt_dockwidget_closebutton": "close",
    "qt_dockwidget_floatbutton": "edit-copy",
}


class PaneFrames(QObject):
    """Dresses tabs and buttons anew whenever Qt may have changed them."""

    def __init__(self, window: QMainWindow, docks: Iterable[QDockWidget]) -> None:
        super().__init__(window)
        self._window, self._docks = window, tuple(docks)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._dress)
        for dock in self._docks:
            dock.visibilityChanged.connect(self._soon)
        window.installEventFilter(self)
        self._later.start()

    def _soon(self, _seen: bool) -> None:
        self._later.start()

    def _dress(self) -> None:
        for row in rows_of_tabs(self._window):
            row.setElideMode(Qt.TextElideMode.ElideNone)  # three letters name none
            self._ink(row)
        for dock in self._docks:
            for name, sign in _BUTTONS.items():
                button = dock.findChild(QAbstractButton, name)
                if button is not None:
                    button.setIcon(icon(sign))

    def _ink(self, row: QTabBar) -> None:
        faint = row.palette().color(QPalette.ColorRole.PlaceholderText)
        for place in range(row.count()):
            front = place == row.currentIndex()
            row.setTabTextColor(place, QColor() if front else faint)

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.PaletteChange):
            self._later.start()
        return bool(super().eventFilter(watched, event))


def rows_of_tabs(window: QMainWindow) -> list[QTabBar]:
    """Return the rows of tabs that Qt has made for the panes of a window."""
    direct = Qt.FindChildOption.FindDirectChildrenOnly
    return window.findChildren(QTabBar, options=direct)
