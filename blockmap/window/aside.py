"""Works something out in another thread, for views that show it when it is there.

The window looks whether the thread is done; the thread touches nothing of the window,
so a view may be closed at any time. Whoever takes a result decides whether it still
holds.
"""

from __future__ import annotations

import _thread
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer

from blockmap.window.guard import report_exception

__all__ = ["Aside"]

LOOK_MS = 15


class _Work:
    """One function, its result once there is one, or what went wrong."""

    def __init__(self, function: Callable[[], Any]) -> None:
        self._function = function
        self.done = False
        self.result: Any = None
        self.problem: Exception | None = None

    def run(self) -> None:
        """Work it out; called in the other thread."""
        try:
            self.result = self._function()
        except Exception as problem:
            self.problem = problem
        self.done = True


class Aside(QObject):
    """Works one thing out at a time and hands the result to a function."""

    def __init__(self, taken: Callable[[Any], object], parent: QObject) -> None:
        super().__init__(parent)
        self._taken = taken
        self._work: _Work | None = None
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._look_at)

    @property
    def busy(self) -> bool:
        """True while something is being worked out."""
        return self._work is not None

    def start(self, function: Callable[[], Any]) -> None:
        """Begin, unless something else is still on its way."""
        if self._work is None:
            self._work = _Work(function)
            # threading.Thread would wait until the thread runs, which other workers
            # can hold up for longer than a frame.
            _thread.start_new_thread(self._work.run, ())
            self._look.start()

    def _look_at(self) -> None:
        work = self._work
        if work is None or not work.done:
            return
        self._work = None
        self._look.stop()
        if work.problem is not None:
            report_exception("work aside", work.problem)
        else:
            self._taken(work.result)
