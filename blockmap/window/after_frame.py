"""What the first frame does not need is built after it: the queue that does so.

Whoever has such work hands it to AfterFrame in slices. Nothing may depend on the queue:
what is asked for sooner is built at once by whoever asks, and its slice then finds it
built.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget

from blockmap.window.guard import guarded

__all__ = ["AfterFrame"]

BREATH_MS = 5
"""Between two slices, so that a key or a click comes in between."""


class AfterFrame(QObject):
    """Does slices of work one by one, once a window has painted its first frame."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._slices: deque[Callable[[], object]] = deque()
        self._painted = False
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.timeout.connect(self._do_one)
        window.installEventFilter(self)

    @property
    def painted(self) -> bool:
        """True once the first frame is on the screen."""
        return self._painted

    @property
    def done(self) -> bool:
        """True once nothing is left to do."""
        return self._painted and not self._slices

    def then(self, *slices: Callable[[], object]) -> None:
        """Do these after the first frame, in this order, each when nothing else is."""
        self._slices.extend(slices)
        if self._painted:
            self._next.start()

    def soon(self, slice_: Callable[[], object]) -> None:
        """Do this first of all after the first frame: it is in sight."""
        self._slices.appendleft(slice_)

    def stop(self) -> None:
        """Leave undone what is left: the window closes."""
        self._slices.clear()
        self._next.stop()

    def _begin(self) -> None:
        self._painted = True
        self._next.start(BREATH_MS)

    def _do_one(self) -> None:
        if self._slices:
            self._slices.popleft()()
        if self._slices:
            self._next.start(BREATH_MS)

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._window and event.type() == QEvent.Type.Paint:
            # The parts of the window paint in the same turn of the loop as the window.
            self._window.removeEventFilter(self)
            QTimer.singleShot(0, self, self._begin)
        return False
