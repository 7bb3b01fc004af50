"""Looks for garbage while nothing happens, so that it never holds the window up.

Python's full search takes longer the more is held, comes at any time and in any
thread, and stops all of them: at a map of 500 cavities nearly 0.1 s, several times an
edit; and in the thread of a worker it would end objects of the window, which ends the
program. Here Python's own search is off, and all is searched in the window's thread:
what is young once a second while something is made, what is old after a quiet while,
and what stays is left out from then on; once the program is in the background
everything is searched. Most of what is let go of needs no search at all.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication

__all__ = ["Garbage", "begin", "leave_out", "stir"]

QUIET_MS = 2_000
YOUNG_MS = 1_000
YOUNG, MIDDLE = 700, 10
"""Python's own pace for what is young: so many new objects, so many searches."""
MOST_ROUNDS = 300
"""After so many searches of the young without a quiet while it is searched anyway."""


class Garbage(QObject):
    """Searches for garbage in quiet whiles of an application."""

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        gc.disable()
        self._young = QTimer(self)
        self._young.setInterval(YOUNG_MS)
        self._young.setTimerType(Qt.TimerType.VeryCoarseTimer)
        self._young.timeout.connect(self._search_young)
        self._young.start()
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(QUIET_MS)
        self._wait.setTimerType(Qt.TimerType.VeryCoarseTimer)
        self._wait.timeout.connect(self._search)
        self._away = False
        application.applicationStateChanged.connect(self._state_changed)

    def stir(self) -> None:
        """Take note that something happens: the search waits until it is over."""
        if gc.get_count()[2] > MOST_ROUNDS:
            self._search()
        self._wait.start()

    def _state_changed(self, state: Qt.ApplicationState) -> None:
        self._away = state is not Qt.ApplicationState.ApplicationActive
        self._wait.start()

    def _search_young(self) -> None:
        new, searches, _ = gc.get_count()
        if new > YOUNG:
            gc.collect(1 if searches >= MIDDLE else 0)

    def _search(self) -> None:
        if self._away:
            gc.unfreeze()
        gc.collect()
        gc.freeze()


_of_program: Garbage | None = None


def begin(application: QApplication) -> None:
    """Leave the search for garbage to quiet whiles from now on."""
    global _of_program
    _of_program = Garbage(application)


def stir() -> None:
    """Take note that something happens, once the program has begun."""
    if _of_program is not None:
        _of_program.stir()


def leave_out() -> None:
    """Leave what there is out of later searches, once the program has begun."""
    if _of_program is not None:
        gc.freeze()
