"""One worker thread that does the latest piece of work and drops what waited.

Qt's thread pool keeps a reference for ever to a QRunnable of ours that ends before its
start returns, and to one that is cleared: a long day filled the memory with maps. So
the pool only ever sees one function here, and the work waits on our side.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, QThreadPool

from blockmap.window.guard import report_exception

__all__ = ["Worker"]

Work = Callable[[], object]


class Worker(QObject):
    """Does one thing at a time off the window's thread; what it does may raise."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._lock = threading.Lock()
        self._waiting: Work | None = None
        self._busy = False

    @property
    def busy(self) -> bool:
        """True while something is being done or waits."""
        return self._busy

    def start(self, work: Work) -> None:
        """Do this next, in place of what waits."""
        with self._lock:
            self._waiting = work
            if self._busy:
                return
            self._busy = True
        self._pool.start(self._turn)

    def clear(self) -> None:
        """Drop what waits; what is being done is done."""
        with self._lock:
            self._waiting = None

    def wait(self, longest_ms: int) -> bool:
        """Wait until nothing is left to do; tell whether that came in time."""
        return self._pool.waitForDone(longest_ms)

    def _turn(self) -> None:
        while True:
            with self._lock:
                work, self._waiting = self._waiting, None
                if work is None:
                    self._busy = False
                    return
            try:
                work()
            except Exception as problem:
                report_exception("the worker", problem)
            del work
