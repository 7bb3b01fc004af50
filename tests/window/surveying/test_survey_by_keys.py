"""The grid of the survey, driven by its keys alone, and seen in the map's readings.

The outside source of a healthy car's readings is its circuit solved by Kirchhoff's
laws (analysis/isolation/solve.py, itself held against a general-purpose circuit
simulator); what must come out is what the map says of its strips.
"""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.network import State
from blockmap.analysis.isolation.places import Places
from blockmap.analysis.isolation.solve import solve
from blockmap.analysis.isolation.survey import survey_of
from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading, set_property, set_texts
from blockmap.model.ids import ContactRef
from blockmap.window.canvas.probed import spot_of
from blockmap.window.main_window import MainWindow
from blockmap.window.surveying.panel import SurveyPanel
from tests.window.surveying.conftest import Open, shipped

TODAY = datetime.date.today().isoformat()
KEY = Qt.Key


def contact(place: str, name: str = "feed") -> ContactRef:
    return ContactRef(f"panel/{place}", name)


def typed(pane: SurveyPanel, text: str) -> None:
    QTest.keyClicks(pane.grid, text)


def press(pane: SurveyPanel, *keys: Qt.Key) -> None:
    for key in keys:
        QTest.keyClick(pane.grid, key)


def readings(window: MainWindow) -> list[Reading]:
    return list(window.session.document.readings.values())


def test_one_key_notes_a_reading_and_goes_on_to_the_next_contact(
    window: MainWindow, pane: SurveyPanel
) -> None:
    assert (pane.grid.contact, pane.grid.key_state) == (contact("F1"), "OFF")
    typed(pane, "ldm")
    assert readings(window) == [
        Reading(point="F1.b1", seen="live", states=("OFF",), date=TODAY),
        Reading(point="F1.b2", seen="dead", states=("OFF",), date=TODAY),
        Reading(point="F2.b1", seen="dim", states=("OFF",), date=TODAY),
    ]
    assert pane.grid.contact == contact("F2", "load")
    assert pane.grid.cells.index(0, 0).data() == "L"
    assert pane.grid.cells.index(1, 0).data() == "D"
    assert pane.grid.cells.index(2, 0).data() == "M"
    assert "3 of 43 contacts tested in OFF" in pane.count.text()


def test_a_function_key_is_not_taken_for_an_entry(pane: SurveyPanel) -> None:
    for key, text, entry in (
        (KEY.Key_F7, "", False),
        (KEY.Key_Home, "", False),
        (KEY.Key_L, "l", True),
        (KEY.Key_1, "1", True),
    ):
        asked = QKeyEvent(
            QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.NoModifier, text
        )
        asked.ignore()
        QApplication.sendEvent(pane.grid, asked)
        assert asked.isAccepted() == entry, key


def test_the_number_pad_alone_fills_it(window: MainWindow, pane: SurveyPanel) -> None:
    typed(pane, "+/*12,4")
    press(pane, KEY.Key_Enter)
    found = readings(window)
    assert [each.seen for each in found] == ["live", "dead", "dim", ""]
    assert (found[3].value, found[3].unit) == (12.4, "V")
    assert pane.grid.cells.index(3, 0).data() == "12.4"
    assert "live, 12.4 V" in pane.grid.cells.cell_words(3, 0)


def test_backspace_goes_back_and_clears_and_each_key_is_one_step_to_undo(
    window: MainWindow, pane: SurveyPanel
) -> None:
    typed(pane, "ll")
    press(pane, KEY.Key_Backspace)
    assert len(readings(window)) == 1
    assert pane.grid.contact == contact("F1", "load")
    typed(pane, "d")
    assert [each.seen for each in readings(window)] == ["live", "dead"]
    for left in ([("live")], ["live", "live"], ["live"], []):
        window.actions_by_name["undo"].trigger()
        assert [each.seen for each in readings(window)] == left
    assert pane.grid.contact == contact("F1")
    window.actions_by_name["redo"].trigger()
    assert pane.grid.cells.index(0, 0).data() == "L"


def test_backspace_takes_a_digit_first_and_escape_the_number(
    window: MainWindow, pane: SurveyPanel
) -> None:
    typed(pane, "125")
    press(pane, KEY.Key_Backspace)
    assert pane.grid.cells.index(0, 0).data() == "12"
    press(pane, KEY.Key_Escape)
    assert pane.grid.cells.index(0, 0).data() == ""
    typed(pane, "-")
    press(pane, KEY.Key_Return)
    assert "is not a number" in pane.message.text
    assert pane.grid.cells.index(0, 0).data() == "-"
    assert readings(window) == []


def test_a_letter_or_an_arrow_ends_a_number_that_is_typed(
    window: MainWindow, pane: SurveyPanel
) -> None:
    typed(pane, "12.1d")
    assert [(r.value, r.seen) for r in readings(window)] == [(12.1, ""), (None, "dead")]
    typed(pane, "11")
    press(pane, KEY.Key_Up)
    assert readings(window)[2].value == 11.0
    assert pane.grid.contact == contact("F1", "load")


def test_a_second_entry_of_the_day_replaces_and_one_of_another_day_stays(
    window: MainWindow, pane: SurveyPanel
) -> None:
    old = Reading(point="F1.feed", seen="dead", states=("OFF",), date="2024-05-18")
    window.session.edit("older", add_reading, old)
    assert pane.grid.cells.index(0, 0).data() == "D"
    typed(pane, "l")
    assert [each.seen for each in readings(window)] == ["dead", "live"]
    press(pane, KEY.Key_Up)
    typed(pane, "12.6")
    press(pane, KEY.Key_Enter)
    assert [(r.value, r.seen) for r in readings(window)] == [
        (None, "dead"),
        (12.6, ""),
    ]


def test_what_the_notebook_says_stands_in_the_grid_and_a_loaded_one_is_not_cleared(
    window: MainWindow, pane: SurveyPanel
) -> None:
    loaded = Reading(point="F11.load", value=9.5, states=("RUN",), load="blower, high")
    window.session.edit("loaded", add_reading, loaded)
    assert pane.grid.go_to(contact("F11", "load"), "RUN")
    row, column = pane.grid.at
    assert pane.grid.cells.index(row, column).data() == "9.5"
    assert "with blower, high on" in pane.grid.cells.cell_words(row, column)
    press(pane, KEY.Key_Delete)
    assert "notebook" in pane.message.text
    assert readings(window) == [loaded]
    typed(pane, "l")
    assert pane.grid.cells.index(row, column).data() == "L"
    press(pane, KEY.Key_Backspace)
    assert readings(window) == [loaded]


def test_the_probe_walks_down_a_column_then_comes_the_next_state_with_its_caution(
    window: MainWindow, pane: SurveyPanel
) -> None:
    rows = len(pane.grid.cells.rows)
    states = pane.grid.cells.states
    assert states[:4] == ("OFF", "ACC", "RUN", "START")
    pane.grid.go_to(pane.grid.cells.rows[-1].contact, "RUN")
    assert pane.caution.text == ""
    typed(pane, "l")
    assert pane.grid.at == (0, states.index("START"))
    assert pane.now.text().startswith("START: F1 feed")
    assert "service manual" in pane.caution.text
    press(pane, KEY.Key_Backspace)
    assert pane.grid.at == (rows - 1, states.index("RUN"))
    assert readings(window) == []


def test_tab_goes_to_what_is_not_tested_yet(
    window: MainWindow, pane: SurveyPanel
) -> None:
    typed(pane, "ldl")
    pane.grid.go(0, 0)
    press(pane, KEY.Key_Tab)
    assert pane.grid.contact == contact("F2", "load")
    QTest.keyClick(pane.grid, KEY.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    assert "No contact is left" in pane.message.text
    assert pane.grid.contact == contact("F2", "load")


def test_an_airbag_circuit_is_walked_past_and_never_noted(
    window: MainWindow, pane: SurveyPanel
) -> None:
    window.session.edit("airbag", set_property, ["panel/F2"], "legend", "AIRBAG")
    pane.grid.go_to(contact("F1", "load"), "OFF")
    typed(pane, "d")
    assert pane.grid.contact == contact("F3")
    pane.grid.go_to(contact("F2"), "OFF")
    for text in ("l", "12"):
        typed(pane, text)
        assert "Do not probe airbag" in pane.message.text
    assert len(readings(window)) == 1
    assert "1 of 41 contacts tested" in pane._count_words("OFF")


def test_with_positive_ground_volts_are_noted_negative(
    window: MainWindow, open_survey: Open
) -> None:
    document = shipped("demo")
    car = replace(document.car, polarity="positive ground")
    pane = open_survey(replace(document, car=car))
    typed(pane, "12.5")
    press(pane, KEY.Key_Enter)
    typed(pane, "-12.5")
    press(pane, KEY.Key_Enter)
    assert [each.value for each in readings(window)] == [-12.5, -12.5]
    assert "live, -12.5 V" in pane.grid.cells.cell_words(0, 0)


def test_the_contact_is_lit_and_a_press_on_the_figure_goes_to_its_row(
    window: MainWindow, pane: SurveyPanel, qtbot: QtBot
) -> None:
    typed(pane, "l")
    assert window.figure.probed.following == ("panel/F1", "load")
    assert ("panel/F1", "feed", "L") in window.figure.probed.values
    qtbot.waitUntil(lambda: window.selection.ids == ("panel/F1",))
    cavity = window.session.document.cavities["panel/F8"]
    spot = spot_of(cavity, "load")
    assert spot is not None
    at = window.figure.px_of(spot).toPoint()
    QTest.mouseClick(window.figure.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert pane.grid.contact == contact("F8", "load")
    assert window.figure.probed.following == ("panel/F8", "load")
    press(pane, KEY.Key_Backspace)
    window.actions_by_name["undo"].trigger()
    assert window.figure.probed.following == ("panel/F1", "feed")
    pane.show_page("results")
    assert window.figure.probed.following == ("", "")


def test_both_panes_in_sight_the_ring_is_that_of_the_one_in_use(
    window: MainWindow, pane: SurveyPanel, qtbot: QtBot
) -> None:
    window.activateWindow()
    window.actions_by_name["next_reading"].trigger()
    searcher = window.fault.searcher
    qtbot.waitUntil(lambda: searcher.latest is not None, timeout=20_000)
    proposed = window.fault.proposal.proposed
    assert proposed is not None
    assert window.figure.probed.following == proposed.place
    window.actions_by_name["survey"].trigger()
    qtbot.waitUntil(pane.grid.hasFocus)
    typed(pane, "l")
    before = searcher.latest
    qtbot.waitUntil(lambda: searcher.latest is not before, timeout=20_000)
    assert window.figure.probed.following == ("panel/F1", "load")
    window.activateWindow()
    window.actions_by_name["next_reading"].trigger()
    proposed = window.fault.proposal.proposed
    assert proposed is not None
    wanted = proposed.place
    qtbot.waitUntil(lambda: window.figure.probed.following == wanted)


def test_a_place_selected_elsewhere_is_gone_to(
    window: MainWindow, pane: SurveyPanel
) -> None:
    window.panes.bring("legend")
    window.activateWindow()
    window.legend.table.setFocus()
    QApplication.processEvents()
    window.selection.select(["panel/F9"])
    assert pane.grid.contact == contact("F9")


def test_the_walk_along_a_row_takes_one_side_and_then_the_other(
    pane: SurveyPanel,
) -> None:
    actions = {action.objectName(): action for action in pane.set_up.actions_of()}
    names = [row.contact for row in pane.grid.cells.rows]
    assert names[:3] == [contact("F1"), contact("F1", "load"), contact("F2")]
    actions["side"].trigger()
    walked = [row.contact for row in pane.grid.cells.rows]
    assert set(walked) == set(names)
    document = pane._session.document
    upper = walked[
        : next(n for n, c in enumerate(walked) if c == contact("F1", "load"))
    ]
    # The upper side of the first row, from left to right as seen from the front.
    assert upper[:3] == [contact("F1"), contact("F2"), contact("F3")]
    x = [document.cavities[c.cavity].x_mm for c in upper if c.cavity != "panel/T1"]
    assert x == sorted(x)
    actions["row"].trigger()
    walked = [row.contact for row in pane.grid.cells.rows]
    assert walked[:4] == [
        contact("F1"),
        contact("F1", "load"),
        contact("F2"),
        contact("F2", "load"),
    ]
    actions["supply"].trigger()
    assert contact("F1", "load") not in [r.contact for r in pane.grid.cells.rows]
    actions["contact"].trigger()
    typed(pane, "l")
    assert pane._session.document.readings["M1"].point == "F1.feed"


def test_a_column_of_two_states_is_typed_and_a_new_state_becomes_the_maps_own(
    window: MainWindow, pane: SurveyPanel
) -> None:
    pane.set_up.typed.setText("head low + run")
    QTest.keyClick(pane.set_up.typed, KEY.Key_Return)
    assert "RUN + HEAD LOW" in pane.grid.cells.states
    assert pane.grid.key_state == "RUN + HEAD LOW"
    typed(pane, "l")
    assert readings(window)[0].states == ("RUN", "HEAD LOW")
    pane.set_up.typed.setText("Fan on")
    QTest.keyClick(pane.set_up.typed, KEY.Key_Return)
    assert window.session.document.car.states == ("FAN ON",)
    assert "FAN ON" in pane.grid.cells.states


def in_sight(window: MainWindow, name: str) -> bool:
    dock = window.panes.docks[name]
    return dock.isVisible() and not dock.visibleRegion().isEmpty()


def test_the_survey_has_the_whole_height_until_another_pane_is_asked_for(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.map_file.start(shipped("demo"))
    window.panes.bring("numbers")
    window.actions_by_name["survey"].trigger()
    qtbot.waitUntil(lambda: in_sight(window, "survey"))
    window.survey.room.click()
    qtbot.waitUntil(lambda: not in_sight(window, "numbers"))
    assert window.survey.room.isChecked()
    lower = ("inspector", "behind", "numbers", "fault", "findings")
    assert not any(window.panes.docks[name].isVisible() for name in lower)
    assert not window.key.isVisible()
    window.panes.bring("legend")
    qtbot.waitUntil(lambda: in_sight(window, "numbers"))
    assert not in_sight(window, "survey")
    assert window.key.isVisible()
    window.actions_by_name["survey"].trigger()
    window.survey.room.click()
    qtbot.waitUntil(lambda: not in_sight(window, "numbers"))
    window.panes.bring("fault")
    qtbot.waitUntil(lambda: in_sight(window, "fault"))
    assert in_sight(window, "survey")
    qtbot.waitUntil(lambda: not window.survey.room.isChecked())
    window.survey.room.click()
    qtbot.waitUntil(lambda: not in_sight(window, "fault"))
    window.panes.remember(window.settings)
    again = MainWindow(window.settings)
    qtbot.addWidget(again)
    again.map_file.start(shipped("demo"))
    again.session.mark_saved()
    again.show()
    qtbot.waitUntil(lambda: in_sight(again, "inspector"))


def test_in_a_low_window_the_survey_has_the_room_of_the_key_too(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.map_file.start(shipped("demo"))
    window.resize(700, 400)
    window.panes.bring("legend")
    qtbot.waitUntil(lambda: in_sight(window, "legend") and window.key.isVisible())
    window.actions_by_name["survey"].trigger()
    qtbot.waitUntil(lambda: in_sight(window, "survey"))
    assert not window.key.isVisible()
    assert not window.survey.room.isVisible(), "the height is whole already"
    window.panes.bring("findings")
    qtbot.waitUntil(lambda: in_sight(window, "findings"))
    assert window.key.isVisible()


def test_an_edit_elsewhere_renames_the_rows_it_is_about_and_keeps_the_place(
    window: MainWindow, pane: SurveyPanel
) -> None:
    pane.grid.go(4, 1)
    typed(pane, "12.")
    head = pane.grid.cells.row_name
    before = [head(row) for row in range(len(pane.grid.cells.rows))]
    window.session.edit("rate", set_texts, ["panel/F4"], "rating_a", "7.5")
    assert [head(row) for row in range(len(before))] == before
    assert (pane.grid.at, pane.grid.cells.pending) == ((4, 1), "12.")
    press(pane, KEY.Key_Escape)
    window.session.edit("name", set_texts, ["panel/F2"], "legend", "NEW LEGEND")
    after = [head(row) for row in range(len(before))]
    changed = [row for row, name in enumerate(after) if name != before[row]]
    assert changed == [2, 3]
    assert "NEW LEGEND" in after[2]
    assert pane.grid.at == (4, 1)
    window.session.stack.undo()
    assert [head(row) for row in range(len(before))] == before


def test_without_places_it_says_what_to_do(open_survey: Open) -> None:
    document = shipped("demo")
    pane = open_survey(replace(document, cavities={}, strips={}))
    assert "Draw its places" in pane.grid.nothing_here
    typed(pane, "l12")
    press(pane, KEY.Key_Return, KEY.Key_Backspace, KEY.Key_Tab, KEY.Key_Delete)
    pane.show_page("pulling")
    assert pane.pulling.nothing.isVisible()
    assert pane._session.document.readings == {}


def enter_healthy(pane: SurveyPanel, document: Map) -> int:
    """Survey the healthy car of a map by the keys; return how many were pressed."""
    network = network_of(document)
    places = Places(network, document)
    keys = 0
    for state in pane.grid.cells.states:
        shown = solve(network, places.state((state,), ""))
        for number, row in enumerate(pane.grid.cells.rows):
            assert pane.grid.contact == row.contact
            assert pane.grid.key_state == state
            if row.contact.contact in ("85", "86"):
                press(pane, KEY.Key_Return)
                continue
            point = places.point(f"{row.contact.cavity}.{row.contact.contact}")
            volts = shown.reading(point.node) if point is not None else 0.0
            if number % 7 == 3:
                text = f"{volts:.1f}"
                typed(pane, text)
                press(pane, KEY.Key_Enter)
                keys += len(text) + 1
            else:
                typed(pane, "l" if volts > 10 else "d")
                keys += 1
    return keys


@pytest.mark.parametrize("stem", ["demo", "saloon-ceramic-row"])
def test_the_strips_are_found_again_from_a_survey_of_the_healthy_car(
    stem: str, window: MainWindow, open_survey: Open
) -> None:
    document = shipped(stem)
    assert State() == State(frozenset())
    pane = open_survey(document)
    keys = enter_healthy(pane, document)
    noted = window.session.document
    assert keys < 1.8 * len(noted.readings)
    network = network_of(noted)
    survey = survey_of(noted, network)
    assert survey.contradictions == ()
    of_class = {c: each for each in survey.classes for c in each.contacts}
    here = pane._selection.block
    for strip in noted.strips.values():
        feeds = [c for c in strip.contact_refs() if c in of_class]
        if strip.block != here or not feeds:
            continue
        found = {id(of_class[c]) for c in feeds}
        assert len(found) == 1, strip.id
        live = of_class[feeds[0]].live
        said = tuple(strip.live)
        assert set(live) == set(said), strip.id
        assert strip.id in of_class[feeds[0]].strips
    # Without the strips the same survey offers each of them again.
    bare = replace(noted, strips={})
    offered = [
        {c.cavity for c in offer.contacts}
        for each in survey_of(bare, network_of(bare)).classes
        for offer in each.offers
    ]
    for strip in noted.strips.values():
        supplied = {
            c.cavity
            for c in strip.contact_refs()
            if c in of_class and c.contact in ("feed", "30")
        }
        if strip.block == here and len(supplied) > 1:
            assert any(supplied <= each for each in offered), strip.id
