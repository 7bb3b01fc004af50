"""Runs what has to wait for a disk, off the window's thread, and shows what takes long.

A disk job is a generator: each function that it yields is called in another thread and
its result sent back, so that questions in between are asked as one reads them. What a
quick disk does is done before run() returns, where that is asked for. A job that takes
longer is shown with a button to cancel it; a call that hangs in the system is left to
itself then.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.files.store import write_bytes
from blockmap.model.errors import BlockmapError
from blockmap.window.aside import MOMENT_S, Call
from blockmap.window.guard import report_exception

__all__ = ["DiskJob", "DiskStrip", "Steps"]

LOOK_MS = 10
SHOWN_AFTER_S = 0.5
"""A job that takes longer is shown."""
SECONDS_AFTER_S = 3.0
"""From then on it is said how long the disk has not answered."""

Steps = Generator[Any, Any, bool]
"""Yields functions, calls not begun yet or earlier jobs; returns whether it worked."""


class DiskJob:
    """One piece of work with a disk; result is True once it has worked."""

    problem: Exception | None = None

    def __init__(
        self, words: str, steps: Steps, disk: StoppableDisk, *, writes: bool
    ) -> None:
        self.words, self.writes = words, writes
        self.running = True
        self.result = False
        self.since_s = time.monotonic()
        self._steps, self._disk = steps, disk
        self._awaited: Call | DiskJob | None = None
        self._inside = False
        self._afterwards: list[Callable[[bool], object]] = []

    @property
    def done(self) -> bool:
        """True once it has ended, well or not."""
        return not self.running

    @property
    def waits_for_job(self) -> bool:
        """True while an earlier job has the disk."""
        return isinstance(self._awaited, DiskJob)

    @property
    def is_asking(self) -> bool:
        """True while it asks something of the person."""
        return self._inside

    def then(self, function: Callable[[bool], object]) -> None:
        """Call a function with the result once it has ended, at once if it has."""
        if self.running:
            self._afterwards.append(function)
        else:
            function(self.result)

    def cancel(self) -> None:
        """Call it off; what hangs in the system is left to itself."""
        if self.running and not self._inside:
            self._disk.stop()
            if isinstance(self._awaited, Call):
                self._awaited.drop()
            self._go(lambda: self._steps.throw(Stopped()))

    def wait(self) -> bool:
        """Serve the window until it has ended; return the result."""
        if self.running:
            loop = QEventLoop()
            self.then(lambda _result: loop.quit())
            loop.exec()
        return self.result

    def begin(self, within_s: float) -> None:
        """Begin, and go on as far as the disk lets it within so many seconds."""
        self._go(lambda: next(self._steps))
        if not within_s:
            return
        until = self.since_s + within_s
        while isinstance(call := self._awaited, Call) and self.running:
            if not call.wait(max(0.0, until - time.monotonic())):
                return
            self.look()

    def look(self) -> None:
        """Go on when what it waits for is there."""
        awaited = self._awaited
        if not self.running or self._inside or awaited is None or not awaited.done:
            return
        problem = awaited.problem
        if problem is not None:
            self._go(lambda: self._steps.throw(problem))
        else:
            self._go(lambda: self._steps.send(awaited.result))

    def _go(self, step: Callable[[], Any]) -> None:
        began_s = time.monotonic()
        self._inside = True
        try:
            awaited = step()
            self._awaited = (
                awaited
                if isinstance(awaited, DiskJob)
                else (awaited if isinstance(awaited, Call) else Call(awaited)).start()
            )
        except StopIteration as end:
            self._end(bool(end.value))
        except Stopped:
            self._end(False)
        except Exception as problem:
            report_exception("work with the disk", problem)
            self._end(False)
        finally:
            self._inside = False
        if time.monotonic() - began_s > SHOWN_AFTER_S:
            self.since_s = time.monotonic()  # a question was asked in between

    def _end(self, result: bool) -> None:
        self.running, self.result, self._awaited = False, result, None
        functions, self._afterwards = self._afterwards, []
        for function in functions:
            function(result)


class DiskStrip(QFrame):
    """A line across the window, seen only while a disk makes somebody wait."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self._jobs: list[DiskJob] = []
        self._shown: DiskJob | None = None
        self._then: Callable[[], object] | None = None
        self._leave: Callable[[], object] | None = None
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        self._words.setMinimumWidth(self._words.fontMetrics().averageCharWidth() * 24)
        busy = QProgressBar()
        busy.setRange(0, 0)
        busy.setTextVisible(False)
        busy.setFixedWidth(busy.fontMetrics().averageCharWidth() * 8)
        busy.setAccessibleName(self.tr("The disk is being waited for"))
        self._leave_button = QPushButton(self.tr("Close and keep the work"))
        self._leave_button.setToolTip(
            self.tr("The file stays as it is; what is unsaved is offered at next start")
        )
        self._leave_button.clicked.connect(self._leave_now)
        self._cancel = QPushButton(self.tr("Cancel"))
        self._cancel.clicked.connect(self._cancel_shown)
        row = QHBoxLayout()
        row.addWidget(busy)
        row.addWidget(self._words, 1)
        row.addWidget(self._cancel)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 4, 6, 4)
        column.addLayout(row)
        column.addWidget(self._leave_button, 0, Qt.AlignmentFlag.AlignRight)
        for button in (self._leave_button, self._cancel):
            button.setAutoDefault(False)
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._look_at)
        self.hide()

    @property
    def text(self) -> str:
        """What is shown, empty when nobody has to wait."""
        return self._words.text() if self.isVisible() else ""

    @property
    def closing(self) -> bool:
        """True while the window waits to be closed until something is written."""
        return self._then is not None

    def run(
        self,
        words: str,
        steps: Callable[[StoppableDisk], Steps],
        *,
        writes: bool = False,
        within_s: float = MOMENT_S,
    ) -> DiskJob:
        """Begin a job; words say what is done, without an end mark.

        writes says that the window must not be closed before it has ended. What the
        disk gives within so many seconds is taken at once, else in a later turn of the
        event loop: 0 is for work whose result takes the window a turn of its own.
        """
        disk = StoppableDisk()
        job = DiskJob(words, steps(disk), disk, writes=writes)
        self._jobs.append(job)
        job.then(lambda _result: self._ended(job))
        job.begin(within_s)
        if job.running:
            self._look.start()
        return job

    def write(
        self,
        path: Path,
        make: Callable[[], bytes],
        failed: Callable[[str], object],
        written: Callable[[], object],
    ) -> DiskJob:
        """Write a file other than a map; what make returns is made aside as well."""

        def steps(disk: StoppableDisk) -> Steps:
            try:
                yield lambda: write_bytes(path, make(), disk=disk)
            except BlockmapError as problem:
                failed(str(problem))
                return False
            except Stopped:
                words = self.tr("%1: writing was cancelled, the earlier file is whole")
                if disk.placed:
                    words = self.tr("%1: cancelled late; the disk may still write it")
                failed(words.replace("%1", path.name))
                return False
            written()
            return True

        words = self.tr("Writing “%1”").replace("%1", path.name)
        return self.run(words, steps, writes=True)

    def hold_closing(
        self,
        then: Callable[[], object],
        leave: Callable[[], object] | None = None,
    ) -> bool:
        """Tell whether something is still being written; then is called after it.

        It is not called when that fails or is cancelled. leave, if given, closes the
        window without waiting.
        """
        if not any(job.writes for job in self._jobs):
            return False
        self._then, self._leave = then, leave
        self._look.start()
        self._show()
        return True

    def stop(self) -> None:
        """Call everything off: the window is being closed."""
        self._then = self._leave = None
        for job in list(self._jobs):
            job.cancel()
        self._look.stop()

    def _look_at(self) -> None:
        for job in list(self._jobs):
            job.look()
        self._show()
        if not self._jobs:
            self._look.stop()

    def _ended(self, job: DiskJob) -> None:
        self._jobs.remove(job)
        if self._then is not None and job.writes:
            if not job.result:
                self._then = self._leave = None
            elif not any(other.writes for other in self._jobs):
                then, self._then, self._leave = self._then, None, None
                QTimer.singleShot(0, self, then)
        self._show()

    def _show(self) -> None:
        now = time.monotonic()
        long = [
            job
            for job in self._jobs
            if not job.is_asking
            and not job.waits_for_job
            and (self.closing or now - job.since_s >= SHOWN_AFTER_S)
        ]
        self._shown = long[0] if long else None
        if self._shown is None:
            self.hide()
            return
        words = self._shown.words
        waited_s = now - self._shown.since_s
        if self.closing:
            words = self.tr("%1, then closing").replace("%1", words)
        if waited_s >= SECONDS_AFTER_S:
            said = self.tr("%1: no answer for %2 s; work can go on")
            words = said.replace("%1", words).replace("%2", str(int(waited_s)))
        else:
            words += "…"
        if words != self._words.text():
            self._words.setText(words)
            self.setAccessibleName(words)
        self._cancel.setAccessibleName(f"{self._cancel.text()}: {self._shown.words}")
        self._leave_button.setVisible(self._leave is not None)
        self.show()

    def _cancel_shown(self) -> None:
        if self._shown is not None:
            self._shown.cancel()

    def _leave_now(self) -> None:
        if self._leave is not None:
            self._leave()
