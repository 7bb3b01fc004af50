"""Checks the map off the window's thread, the latest document winning.

A zero-delay timer gathers the edits of one turn of the event loop; one worker thread
runs the checks; a result for a document that is no longer current is dropped. Each
check builds on the one before: after an edit only what it concerns is computed.
"""

from __future__ import annotations

import contextlib
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from blockmap.model.document import Map
from blockmap.window.guard import guarded, report_exception
from blockmap.window.session import Session
from blockmap.window.worker import Worker

if TYPE_CHECKING:
    from blockmap.analysis.findings import Checked, Finding
    from blockmap.analysis.numbers.map_figures import MapFigures

__all__ = ["Checker"]


def _failed(problem: Exception) -> Finding:
    """Return the finding that there are none, because a check failed."""
    from blockmap.analysis.finding import Finding, Level

    return Finding(
        code="checks-failed",
        level=Level.ERROR,
        objects=(),
        what="The checks failed inside the program, so this map is not checked",
        why=f"{type(problem).__name__}; the message at the top has a report to copy",
        todo="save the map, and do not rely on an empty list of findings",
    )


class _Check:
    def __init__(self, checker: Checker, document: Map, before: Checked | None) -> None:
        self._checker, self._document, self._before = checker, document, before

    @guarded()
    def run(self) -> None:
        result: Checked | None = None
        try:
            # Imported here, by the worker, so that the first frame need not wait.
            from blockmap.analysis.findings import checked

            result = checked(self._document, self._before)
            found = result.findings
        except Exception as problem:
            report_exception("checks", problem)
            found = (_failed(problem),)
        with contextlib.suppress(RuntimeError):  # the window is gone meanwhile
            self._checker.finished.emit(self._document, result, found)


class Checker(QObject):
    """Keeps the findings and figures of a session's document up to date.

    checked carries a tuple of Finding; latest holds the last of them, result the last
    check with its figures, None before the first and after one that failed.
    """

    finished = Signal(object, object, object)
    checked = Signal(object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._worker = Worker(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._start)
        self.latest: tuple[Finding, ...] = ()
        self.result: Checked | None = None
        self.finished.connect(self._take)
        session.changed.connect(self.request)

    def request(self, _change: object = None) -> None:
        """Check again when the event loop is next free."""
        self._timer.start()

    def stop(self) -> None:
        """Wait for the worker; nothing comes after."""
        self._timer.stop()
        self._worker.clear()
        self._worker.wait(5000)

    def _start(self) -> None:
        self._worker.clear()
        self._worker.start(_Check(self, self._session.document, self.result).run)

    @property
    def figures(self) -> MapFigures | None:
        """The figures of the last check, of the map as it was then."""
        return self.result.figures if self.result else None

    def _take(
        self, document: Map, result: Checked | None, found: tuple[Finding, ...]
    ) -> None:
        self.result = result
        if document is self._session.document:
            self.latest = found
            self.checked.emit(found)
