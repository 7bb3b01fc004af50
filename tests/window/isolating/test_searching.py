"""Searching off the window's thread: the latest map wins, a long search is said."""

from __future__ import annotations

import threading

import pytest
from pytestqt.qtbot import QtBot

from blockmap.analysis.isolation import isolate as isolating
from blockmap.analysis.isolation.tables import Circuits
from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.main_window import MainWindow

BATTERY = Reading(point="battery", value=12.3)


def held_back(
    pane: FaultPanel, monkeypatch: pytest.MonkeyPatch
) -> tuple[threading.Event, list[Map]]:
    """Let the worker wait for an event in each search; return it, and who came."""
    go, came = threading.Event(), []
    circuits_for = pane.searcher.circuits_for

    def wait(document: Map) -> Circuits:
        came.append(document)
        assert go.wait(20)
        return circuits_for(document)

    monkeypatch.setattr(pane.searcher, "circuits_for", wait)
    return go, came


def test_a_long_search_is_said_while_the_window_answers_and_unsaid_after(
    qtbot: QtBot,
    window: MainWindow,
    pane: FaultPanel,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    go, _ = held_back(pane, monkeypatch)
    assert not pane.working.isVisible()
    window.session.edit("one", add_reading, BATTERY)
    qtbot.waitUntil(pane.working.isVisible, timeout=10_000)
    assert pane.notebook.rowCount() == 2
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        go.set()
    assert not pane.working.isVisible()


def test_a_search_of_a_map_that_was_edited_since_is_given_up(
    qtbot: QtBot,
    window: MainWindow,
    pane: FaultPanel,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    go, came = held_back(pane, monkeypatch)
    found: list[object] = []
    pane.searcher.found.connect(found.append)
    window.session.edit("one", add_reading, BATTERY)
    qtbot.waitUntil(lambda: len(came) == 1)
    for point in ("F11.load", "F11.b2", "F11.b1"):
        reading = Reading(point=point, value=9.5, states=("RUN",))
        window.session.edit("more", add_reading, reading)
    go.set()
    qtbot.waitUntil(lambda: len(found) == 1, timeout=20_000)
    assert came[-1] is window.session.document
    assert len(came) == 2
    latest = pane.searcher.latest
    assert latest is not None
    assert len(latest.belief.observed) == 4


def test_a_search_that_fails_says_so_and_leaves_the_readings(
    qtbot: QtBot,
    window: MainWindow,
    pane: FaultPanel,
    monkeypatch: pytest.MonkeyPatch,
    caught_failures: list[tuple[str, BaseException]],
) -> None:
    def fail(*_args: object, **_more: object) -> None:
        raise ZeroDivisionError("made to fail")

    monkeypatch.setattr(isolating, "isolate", fail)
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        window.session.edit("one", add_reading, BATTERY)
    assert "failed inside the program" in pane.heading.text()
    assert pane.suspects.rowCount() == 0
    assert list(window.session.document.readings) == ["M1"]
    assert [where for where, _ in caught_failures] == ["fault isolation"]
    caught_failures.clear()
