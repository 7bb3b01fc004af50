"""Keeps the keyboard where it can be seen: what is typed goes into no hidden pane.

Qt leaves the keyboard in a pane that another one covers on the same place.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication, QDockWidget, QMainWindow, QWidget

from blockmap.window.guard import guarded
from blockmap.window.pane_in_sight import in_sight

__all__ = ["KeyboardInSight", "TabInSight"]


class KeyboardInSight(QObject):
    """Gives the keyboard to the pane that comes in front of the one that has it."""

    def __init__(
        self,
        window: QMainWindow,
        docks: dict[str, QDockWidget],
        pane_of: Callable[[str], QWidget],
    ) -> None:
        super().__init__(window)
        self._window, self._docks, self._pane_of = window, docks, pane_of
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._follow)
        for dock in docks.values():
            dock.visibilityChanged.connect(lambda _seen: self._later.start())

    def _follow(self) -> None:
        focus = QApplication.focusWidget()
        if focus is None:
            return
        held = next((d for d in self._docks.values() if d.isAncestorOf(focus)), None)
        if held is None or in_sight(held):
            return
        names = {dock: name for name, dock in self._docks.items()}
        beside = self._window.tabifiedDockWidgets(held)
        front = next((d for d in beside if d in names and in_sight(d)), None)
        if front is not None:
            pane = self._pane_of(names[front])
            pane.setFocus(Qt.FocusReason.OtherFocusReason)


class TabInSight(QMainWindow):
    """A window in which Tab goes only to what can be seen.

    To Qt a pane behind another one is visible: Tab would wander through its fields.
    """

    @guarded(False)
    def focusNextPrevChild(self, forward: bool) -> bool:
        here = self.focusWidget() or self
        step = QWidget.nextInFocusChain if forward else QWidget.previousInFocusChain
        part = step(here)
        while part is not None and part is not here and not self._stops_at(part):
            part = step(part)
        if part is None or part is here:
            return False
        reason = Qt.FocusReason
        part.setFocus(reason.TabFocusReason if forward else reason.BacktabFocusReason)
        return True

    def _stops_at(self, part: QWidget) -> bool:
        tab = Qt.FocusPolicy.TabFocus
        if part.focusPolicy() & tab != tab or part.focusProxy() is not None:
            return False
        if part.window() is not self or not (part.isVisible() and part.isEnabled()):
            return False
        above = part.parentWidget()
        while above is not None and not isinstance(above, QDockWidget):
            above = above.parentWidget()
        return above is None or in_sight(above)
