"""Works out answers about the map off the window's thread, the latest one winning.

An answer about a map that is no longer current, or to a question that was replaced, is
dropped. It changes nothing.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from blockmap.model.document import Map
from blockmap.window.guard import guarded, report_exception
from blockmap.window.session import Session
from blockmap.window.worker import Worker

__all__ = ["Asker", "Question"]

Question = Callable[[Map], Any]
"""A plain function of the map; it runs in another thread."""

WAIT_MS = 40
"""Edits and choices within so long are answered once."""


class _Work:
    def __init__(self, asker: Asker, question: Question, document: Map) -> None:
        self._asker, self._question, self._document = asker, question, document

    @guarded()
    def run(self) -> None:
        try:
            answer = self._question(self._document)
        except Exception as problem:
            report_exception("question about the map", problem)
            return
        with contextlib.suppress(RuntimeError):  # the window is gone already
            self._asker.worked_out.emit(self._question, self._document, answer)


class Asker(QObject):
    """Keeps the answer to one question up to date; answered carries it."""

    worked_out = Signal(object, object, object)
    answered = Signal(object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._question: Question | None = None
        self._worker = Worker(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self._start)
        self.worked_out.connect(self._take)

    def ask(self, question: Question | None) -> None:
        """Put another question, or none; its answer comes later."""
        self._question = question
        if question is None:
            self._timer.stop()
        else:
            self._timer.start()

    def stop(self) -> None:
        """Wait for the worker; nothing comes after."""
        self._question = None
        self._timer.stop()
        self._worker.clear()
        self._worker.wait(5000)

    def _start(self) -> None:
        if self._question is not None:
            self._worker.clear()
            self._worker.start(_Work(self, self._question, self._session.document).run)

    def _take(self, question: Question, document: Map, answer: object) -> None:
        if question is self._question and document is self._session.document:
            self.answered.emit(answer)
