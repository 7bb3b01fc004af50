"""Old garbage waits for a quiet while and then goes; what lives on stays."""

from __future__ import annotations

import gc
import threading
import weakref
from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.window import garbage
from blockmap.window.garbage import Garbage


class Ring:
    """Something that only a search finds: it holds itself."""

    def __init__(self) -> None:
        self.me = self


@pytest.fixture
def search(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> Iterator[Garbage]:
    monkeypatch.setattr(garbage, "QUIET_MS", 50)
    monkeypatch.setattr(garbage, "YOUNG_MS", 50)
    search = Garbage(qapp)
    yield search
    search.deleteLater()
    gc.unfreeze()


def old_ring() -> weakref.ref[Ring]:
    """Return what has lived through the searches of the young and is garbage now."""
    ring = Ring()
    gc.collect(1)
    gc.collect(1)
    return weakref.ref(ring)


def test_what_is_old_is_searched_in_a_quiet_while(
    qtbot: QtBot, search: Garbage
) -> None:
    gone = old_ring()
    rings = [Ring() for _ in range(150_000)]  # many rounds of the young, no full one
    assert gone() is not None
    search.stir()
    qtbot.waitUntil(lambda: gone() is None, timeout=20_000)
    assert len(rings) == 150_000


def test_what_lived_on_is_searched_in_the_background(
    qtbot: QtBot, search: Garbage, qapp: QApplication
) -> None:
    ring = Ring()
    search.stir()
    qtbot.waitUntil(lambda: gc.get_freeze_count() > 0, timeout=20_000)
    gone = weakref.ref(ring)
    del ring
    search.stir()
    qtbot.wait(150)
    assert gone() is not None, "it was searched while somebody works"
    qapp.applicationStateChanged.emit(Qt.ApplicationState.ApplicationInactive)
    qtbot.waitUntil(lambda: gone() is None, timeout=20_000)


def test_without_any_quiet_it_is_searched_in_the_end(
    search: Garbage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(garbage, "MOST_ROUNDS", 2)
    gone = old_ring()
    for _ in range(4):
        gc.collect(1)
    search.stir()
    assert gone() is None


def test_no_other_thread_ever_searches(qtbot: QtBot, search: Garbage) -> None:
    """A worker that ended an object of the window would end the program."""
    ended_in: list[threading.Thread] = []
    ring = Ring()
    weakref.finalize(ring, lambda: ended_in.append(threading.current_thread()))
    del ring
    made: list[list[Ring]] = []

    def work() -> None:
        made.append([Ring() for _ in range(50_000)])

    worker = threading.Thread(target=work)
    worker.start()
    worker.join()
    assert not ended_in
    qtbot.waitUntil(lambda: bool(ended_in), timeout=20_000)
    assert ended_in == [threading.main_thread()]
