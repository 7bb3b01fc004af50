"""The worker does the latest, lets go of all it was given, and survives a failure."""

from __future__ import annotations

import gc
import weakref
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

from blockmap.window.worker import Worker


class _Payload:
    def __init__(self) -> None:
        self.done = False


def _finish(payload: _Payload, number: int, done: list[int]) -> None:
    assert payload is not None
    done.append(number)


def test_nothing_that_was_given_is_kept(qapp: QApplication) -> None:
    owner = QObject()
    worker = Worker(owner)
    kept: list[weakref.ref[_Payload]] = []
    done: list[int] = []
    for number in range(300):
        payload = _Payload()
        kept.append(weakref.ref(payload))
        if number % 3 == 0:
            worker.clear()
        worker.start(partial(_finish, payload, number, done))
        del payload
        qapp.processEvents()
    assert worker.wait(10_000)
    gc.collect()
    assert [one for one in kept if one() is not None] == []
    assert done[-1] == 299
    assert done == sorted(done)


def test_a_failure_is_told_and_the_next_is_done(
    qapp: QApplication, caught_failures: list[tuple[str, BaseException]]
) -> None:
    worker = Worker()
    done: list[int] = []
    worker.start(lambda: 1 // 0)
    assert worker.wait(10_000)
    worker.start(lambda: done.append(1))
    assert worker.wait(10_000)
    assert done == [1]
    assert [where for where, _ in caught_failures] == ["the worker"]
    caught_failures.clear()
