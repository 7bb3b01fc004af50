"""Works something out in another thread, for views that show it when it is there.

The window looks whether the thread is done; the thread touches nothing of the window,
so a view may be closed at any time, and a disk that never answers holds nobody up.
Whoever takes a result decides whether it still holds.
"""

from __future__ import annotations

import _thread
import threading
import time
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer

from blockmap.window.guard import report_exception

__all__ = ["Aside", "Call", "quickly", "wait_for_calls"]

LOOK_MS = 15
MOMENT_S = 0.05
"""How long the window waits for what is most times there at once."""


_running: set[Call] = set()


class Call:
    """One function in a thread of its own: its result, or what went wrong.

    undo, if given, is called with a result that comes after drop().
    """

    def __init__(
        self, function: Callable[[], Any], undo: Callable[[Any], object] | None = None
    ) -> None:
        self._function, self._undo = function, undo
        self._ended = threading.Event()
        self._lock = threading.Lock()
        self._dropped = False
        self.result: Any = None
        self.problem: Exception | None = None

    def start(self) -> Call:
        """Begin; the program's end does not wait for it."""
        # threading.Thread would wait until the thread runs, which other workers can
        # hold up for longer than a frame.
        _running.add(self)
        try:
            _thread.start_new_thread(self._run, ())
        except RuntimeError as problem:  # no memory or number is left for a thread
            _running.discard(self)
            self.problem = problem
            self._ended.set()
        return self

    @property
    def done(self) -> bool:
        """True once there is a result or a problem."""
        return self._ended.is_set()

    def wait(self, longest_s: float) -> bool:
        """Wait until it is done; tell whether that came in time."""
        return self._ended.wait(longest_s)

    def drop(self) -> None:
        """Say that nobody takes the result any more."""
        with self._lock:
            self._dropped = True
            if self.done:
                self._take_back()

    def _run(self) -> None:
        try:
            self.result = self._function()
        except Exception as problem:
            self.problem = problem
        with self._lock:
            self._ended.set()
            if self._dropped:
                self._take_back()
        _running.discard(self)

    def _take_back(self) -> None:
        if self._undo is not None and self.problem is None:
            self._undo(self.result)


def wait_for_calls(longest_s: float) -> bool:
    """Wait until every call has ended; tell whether that came in time.

    For the end of the program: what hangs in the system ends with it.
    """
    end = time.monotonic() + longest_s
    return all(call.wait(max(0.0, end - time.monotonic())) for call in list(_running))


def quickly(function: Callable[[], Any], otherwise: Any) -> Any:
    """Return what a function gives within a moment, else what is given otherwise."""
    call = Call(function).start()
    if not call.wait(MOMENT_S) or call.problem is not None:
        return otherwise
    return call.result


class Aside(QObject):
    """Works one thing out at a time and hands the result to a function."""

    def __init__(self, taken: Callable[[Any], object], parent: QObject) -> None:
        super().__init__(parent)
        self._taken = taken
        self._call: Call | None = None
        self._next: Callable[[], Any] | None = None
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._look_at)

    @property
    def busy(self) -> bool:
        """True while something is being worked out."""
        return self._call is not None

    def start(self, function: Callable[[], Any]) -> None:
        """Begin, unless something else is still on its way."""
        if self._call is None:
            self._call = Call(function).start()
            self._look.start()

    def start_next(self, function: Callable[[], Any]) -> None:
        """Begin, or do it after what is on its way, in place of what waits."""
        self._next = function
        self._begin_next()

    def clear(self) -> None:
        """Drop what waits; what is on its way is done."""
        self._next = None

    def wait(self, longest_ms: int) -> bool:
        """Wait until nothing is left, and hand it over; tell whether it came in time.

        Longer than a moment only when the program ends.
        """
        end = time.monotonic() + longest_ms / 1000
        while (call := self._call) is not None:
            if not call.wait(max(0.0, end - time.monotonic())):
                return False
            self._look_at()
        return True

    def leave(self) -> None:
        """Let the thread be: nothing is handed over any more."""
        self._next = self._call = None
        self._look.stop()

    def _begin_next(self) -> None:
        if self._call is None and self._next is not None:
            function, self._next = self._next, None
            self.start(function)

    def _look_at(self) -> None:
        call = self._call
        if call is None or not call.done:
            return
        self._call = None
        self._look.stop()
        self._begin_next()
        if call.problem is not None:
            report_exception("work aside", call.problem)
        else:
            self._taken(call.result)
