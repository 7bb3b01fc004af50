"""The panes beside the figure: legend, what is selected, its numbers, findings."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QSize, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QDockWidget, QMainWindow, QWidget

from blockmap.window.settings import Settings

__all__ = ["Panes"]

LAYOUT_VERSION = 4
FRAME_ROOM = QSize(8, 40)
PANES_SHARE = 0.42
"""Share of the window's width for the panes on the first day."""
DOWN_SHARES = (0.5, 0.36)
"""Shares of its height for legend and inspector."""


class Panes:
    """The panes at the right, movable and closable, remembered between starts."""

    def __init__(
        self, window: QMainWindow, titled: dict[str, tuple[str, QWidget]]
    ) -> None:
        self._window = window
        self.docks: dict[str, QDockWidget] = {}
        for name, (title, widget) in titled.items():
            dock = QDockWidget(title, window)
            dock.setObjectName(f"{name} pane")
            dock.setWidget(widget)
            window.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, dock)
            self.docks[name] = dock
        for name in ("behind", "numbers", "fault", "findings"):
            window.tabifyDockWidget(self.docks["inspector"], self.docks[name])
        self.docks["inspector"].raise_()
        self._first = window.saveState(LAYOUT_VERSION)
        self._divided = False
        self._closed: set[str] = set()
        self._shown = True

    def bring(self, name: str) -> None:
        """Show a pane, in front of those on its tab."""
        self.docks[name].show()
        self.docks[name].raise_()

    def set_shown(self, shown: bool) -> None:
        """Show the panes that the user has not closed, or none while there is no map.

        A pane that was closed stays so until it is asked for again.
        """
        if self._shown and not shown:
            self._closed = self._closed_now()
        self._shown = shown
        for name, dock in self.docks.items():
            dock.setVisible(shown and name not in self._closed)
        if shown and "inspector" not in self._closed:
            self.docks["inspector"].raise_()
        if shown and not self._divided:
            self._divided = True
            QTimer.singleShot(0, self._window, self._divide)

    def _divide(self) -> None:
        """Share the window out: figure and panes side by side, panes half and half."""
        wide, high = self._window.width(), self._window.height()
        stacked = [self.docks["legend"], self.docks["inspector"]]
        across = round(wide * PANES_SHARE)
        self._window.resizeDocks(stacked, [across, across], Qt.Orientation.Horizontal)
        shares = [round(high * share) for share in DOWN_SHARES]
        self._window.resizeDocks(stacked, shares, Qt.Orientation.Vertical)

    def _closed_now(self) -> set[str]:
        return {name for name, dock in self.docks.items() if dock.isHidden()}

    def reset(self) -> None:
        """Put the panes back where they were on the first day."""
        self._window.restoreState(self._first, LAYOUT_VERSION)
        for dock in self.docks.values():
            dock.show()
        self.docks["inspector"].raise_()
        self._divide()

    def step(self, panes: list[QWidget], step: int) -> None:
        """Give the keyboard to the next of these panes, or to the one before."""
        panes = [pane for pane in panes if pane.isVisible()]
        if not panes:
            return
        focus = QApplication.focusWidget()
        here = next(
            (
                number
                for number, pane in enumerate(panes)
                if focus is pane or (focus is not None and pane.isAncestorOf(focus))
            ),
            -1 if step > 0 else 0,
        )
        panes[(here + step) % len(panes)].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def remember(self, settings: Settings) -> None:
        """Keep where the window and its panes stand."""
        settings.state.setValue("geometry", self._window.saveGeometry())
        settings.state.setValue("panes", self._window.saveState(LAYOUT_VERSION))

    def restore(self, settings: Settings) -> None:
        """Put window and panes where they were, if that is still on a screen."""
        geometry = settings.state.value("geometry")
        stood = settings.state.value("panes")
        if isinstance(geometry, QByteArray):
            self._window.restoreGeometry(geometry)
        if isinstance(stood, QByteArray):
            self._window.restoreState(stood, LAYOUT_VERSION)
            self._closed = self._closed_now()
            self._divided = True
        screen = QGuiApplication.primaryScreen().availableGeometry()
        # The title bar and frame need room too, or the bottom line is out of sight.
        room = screen.size() - FRAME_ROOM
        self._window.resize(self._window.size().boundedTo(room))
        if not screen.intersects(self._window.frameGeometry()):
            self._window.move(screen.topLeft())
