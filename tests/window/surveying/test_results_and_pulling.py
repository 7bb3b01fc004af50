"""What follows from a survey in the window, and what stopped when a fuse was pulled."""

from __future__ import annotations

import datetime
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from blockmap.model.document import Reading
from blockmap.model.edits import add_reading, set_property
from blockmap.model.evidence import is_doubtful
from blockmap.model.ids import ContactRef
from blockmap.window.main_window import MainWindow
from blockmap.window.surveying.panel import SurveyPanel
from tests.window.surveying.conftest import Open, shipped

TODAY = datetime.date.today().isoformat()
RUN_ONLY = {"OFF": "dead", "ACC": "dead", "RUN": "live"}


def probe(window: MainWindow, place: str, words: dict[str, str]) -> None:
    for state, word in words.items():
        reading = Reading(point=f"{place}.b1", seen=word, states=(state,))
        window.session.edit("probe", add_reading, reading)


def results(pane: SurveyPanel, qtbot: QtBot) -> str:
    """Return what the page of results says once it is worked out."""
    pane.show_page("results")
    document = pane._session.document
    cells = sum(len(row) for row in pane.grid.cells.filled.grid.values())
    qtbot.waitUntil(
        lambda: pane.found is not None and pane.found.tested == cells, timeout=20_000
    )
    assert pane._session.document is document
    return " ".join(label.text() for label in pane.results.words)


def test_an_offer_makes_the_strip_in_one_step_which_undo_takes_back(
    window: MainWindow, open_survey: Open, qtbot: QtBot
) -> None:
    pane = open_survey(replace(shipped("demo"), strips={}))
    for place in ("F7", "F8", "F11"):
        probe(window, place, RUN_ONLY)
    said = results(pane, qtbot)
    assert "Run feed" in said
    assert "look from behind" in said
    assert "RUN: 3 of 43" in said
    (button,) = pane.results.buttons
    assert button.text() == "Make a strip of F7, F8, F11"
    before = window.session.document
    button.click()
    (strip,) = window.session.document.strips.values()
    assert (strip.name, strip.live) == ("RUN", ("RUN",))
    assert strip.members == ("F7.feed", "F8.feed", "F11.feed")
    assert window.selection.strip == strip.id
    qtbot.waitUntil(lambda: not pane.results.buttons, timeout=20_000)
    window.actions_by_name["undo"].trigger()
    assert window.session.document == before


def test_an_offer_that_no_longer_holds_says_why(
    window: MainWindow, open_survey: Open, qtbot: QtBot
) -> None:
    pane = open_survey(replace(shipped("demo"), strips={}))
    for place in ("F7", "F8"):
        probe(window, place, RUN_ONLY)
    results(pane, qtbot)
    (button,) = pane.results.buttons
    button.click()
    made = window.session.document
    button.click()
    assert "part of strip" in pane.results.message.text
    assert window.session.document is made


def test_a_contradiction_is_said_with_what_to_do_and_jumps_to_the_place(
    window: MainWindow, pane: SurveyPanel, qtbot: QtBot
) -> None:
    probe(window, "F4", RUN_ONLY)
    said = results(pane, qtbot)
    assert "dead in ACC; by the map it is live there" in said
    assert "no way from strip" in said
    assert pane.choice.buttons["results"].text() == "Results (1)"
    label = next(label for label in pane.results.words if "by the map" in label.text())
    label.jumped.emit("cavity:panel/F4")
    assert window.selection.ids == ("panel/F4",)


def test_nothing_surveyed_says_what_to_do(pane: SurveyPanel, qtbot: QtBot) -> None:
    said = results(pane, qtbot)
    assert "Nothing is tested yet" in said
    assert "Nothing that was tested goes against the map" in said


def pulled(pane: SurveyPanel, window: MainWindow, place: str) -> None:
    window.selection.select([f"panel/{place}"])
    window.actions_by_name["pull_one"].trigger()
    assert pane.pulling.place.currentData() == f"panel/{place}"


def mark(pane: SurveyPanel, name: str, key: str) -> None:
    loads = pane.pulling.loads
    loads.setCurrentCell(loads.names.index(name), 0)
    QTest.keyClicks(loads, key)


def test_what_stopped_fills_loads_and_circuit_and_raises_the_evidence_in_one_step(
    window: MainWindow, open_survey: Open
) -> None:
    document = shipped("demo")
    bare = replace(document.cavities["panel/F5"], circuit="", loads=(), evidence={})
    cavities = {**document.cavities, "panel/F5": bare}
    pane = open_survey(replace(document, cavities=cavities))
    pulled(pane, window, "F5")
    assert "larger" in pane.pulling.caution.text
    assert not pane.pulling.note_button.isEnabled()
    QTest.keyClicks(pane.pulling.other, "radio")
    pane.pulling.other.close_list()
    QTest.keyClick(pane.pulling.other, Qt.Key.Key_Return)
    QTest.keyClicks(pane.pulling.other, "map lamp")
    QTest.keyClick(pane.pulling.other, Qt.Key.Key_Return)
    steps = window.session.stack.count()
    pane.pulling.note_button.click()
    assert window.session.stack.count() == steps + 1
    here = window.session.document.cavities["panel/F5"]
    assert {load.name for load in here.loads} == {"radio", "map lamp"}
    assert here.circuit in ("Radio, map lamp", "Map lamp, radio")
    for fact in ("loads", "circuit"):
        assert not is_doubtful(here, fact)
        assert here.evidence[fact].test == "pulled one at a time"
        assert here.evidence[fact].date == TODAY
    noted = list(window.session.document.readings.values())
    assert {(r.point, r.seen, r.out, r.states) for r in noted} == {
        ("radio", "stopped", ("F5",), ("RUN",)),
        ("map lamp", "stopped", ("F5",), ("RUN",)),
    }
    window.actions_by_name["undo"].trigger()
    assert window.session.document.cavities["panel/F5"] == bare
    assert window.session.document.readings == {}


def test_a_load_that_went_on_or_was_not_tried_keeps_the_loads_doubtful(
    window: MainWindow, pane: SurveyPanel
) -> None:
    ids = ["panel/F1"]
    window.session.edit("book", set_property, ids, "evidence", {})
    pulled(pane, window, "F1")
    mark(pane, "stop lamps", "d")
    assert "hazard flashers did not stop" in pane.pulling.words.text()
    mark(pane, "hazard flashers", "l")
    assert "went on" in pane.pulling.words.text()
    assert "second feed" in pane.pulling.words.text()
    pane.pulling.note()
    here = window.session.document.cavities["panel/F1"]
    assert not is_doubtful(here, "circuit")
    assert is_doubtful(here, "loads")
    assert [load.name for load in here.loads] == ["stop lamps", "hazard flashers"]


def test_a_load_of_another_place_is_added_here_stays_there_and_that_is_said(
    window: MainWindow, pane: SurveyPanel
) -> None:
    there = window.session.document.cavities["panel/F4"]
    name = there.loads[0].name
    pulled(pane, window, "F14")
    mark(pane, name, "d")
    said = pane.pulling.words.text()
    assert f"By the map {name} stands at" in said
    assert "F4" in said
    pane.pulling.note_and_go_on()
    here = window.session.document.cavities["panel/F14"]
    assert there.loads[0] in here.loads
    assert window.session.document.cavities["panel/F4"] == there
    assert pane.pulling.place.currentData() == "panel/CB1"


def test_what_is_fed_through_the_place_does_not_become_its_load(
    window: MainWindow, pane: SurveyPanel
) -> None:
    document = window.session.document
    lower = next(
        c
        for c in document.cavities.values()
        if "F7.load" in [contact.fed_from for contact in c.contacts.values()]
    )
    name = lower.loads[0].name
    before = document.cavities["panel/F7"].loads
    pulled(pane, window, "F7")
    mark(pane, name, "d")
    pane.pulling.note()
    assert window.session.document.cavities["panel/F7"].loads == before


def test_an_airbag_fuse_is_left_alone(window: MainWindow, pane: SurveyPanel) -> None:
    window.session.edit("airbag", set_property, ["panel/F12"], "legend", "AIRBAG")
    pulled(pane, window, "F12")
    assert "airbag" in pane.pulling.caution.text
    assert not pane.pulling.loads.isVisible()


def test_what_was_noted_before_stands_there_again_and_in_the_survey(
    window: MainWindow, pane: SurveyPanel, qtbot: QtBot
) -> None:
    pulled(pane, window, "F5")
    name = window.session.document.cavities["panel/F5"].loads[0].name
    mark(pane, name, "d")
    pane.pulling.note()
    pulled(pane, window, "F4")
    pulled(pane, window, "F5")
    assert pane.pulling.loads.seen == {name: "stopped"}
    results(pane, qtbot)
    qtbot.waitUntil(lambda: bool(pane.found and pane.found.pulled), timeout=20_000)
    assert pane.found is not None
    assert pane.found.pulled[0].stopped == (name,)
    assert ContactRef("panel/F5", "feed") not in pane.found.grid
