"""The pane that looks for the fault, replaying a search that was written down.

The outside source of the search is tests/data/stories.json: what the meter showed, and
what the fault was in the end.
"""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QTableWidgetSelectionRange
from pytestqt.qtbot import QtBot

from blockmap.analysis.isolation.isolate import isolate
from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading, set_property
from blockmap.model.geometry import View
from blockmap.window.canvas.probed import spot_of
from blockmap.window.isolating.notebook_cells import COLUMNS
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.isolating.proposal import ProposalCard, few
from blockmap.window.isolating.suspect_list import chance_text, ohms_text
from blockmap.window.main_window import MainWindow

STORY: dict[str, Any] = next(
    story
    for story in json.loads(
        (Path(__file__).parents[2] / "data" / "stories.json").read_text("utf-8")
    )["stories"]
    if story["id"] == "T2"
)
BLOWER = {"states": "run", "load": "blower, high"}
TAKEN: tuple[tuple[str, dict[str, str]], ...] = (
    ("", {"point": "battery", "value": "12.3", **BLOWER}),
    ("9.5 V", {"point": "f11.w", "value": "9.5 V", **BLOWER}),
    (
        "ground reads 0.1 V",
        {"point": "ground of blower, high", "value": "0.1", **BLOWER},
    ),
    ("11.9 V", {"point": "F7.F", "value": "11,9", **BLOWER}),
    ("1.9 V", {"point": "F7.F", "against": "F11.b1", "value": "1.9", **BLOWER}),
    ("0.45 V", {"point": "F11.b2", "against": "F11.w", "value": "450 mV", **BLOWER}),
)


def cell(pane: FaultPanel, row: int, field: str) -> str:
    item = pane.notebook.item(row, COLUMNS.index(field))
    return item.text() if item else ""


def type_cell(pane: FaultPanel, row: int, field: str, text: str) -> None:
    """Type a text into a cell with the keyboard, and Enter."""
    table = pane.notebook
    table.setFocus()
    table.setCurrentCell(row, COLUMNS.index(field))
    QTest.keyClick(table, Qt.Key.Key_Return)
    editor = table.editor
    assert editor is not None
    editor.selectAll()
    QTest.keyClicks(editor, text)
    editor.close_list()
    QTest.keyClick(editor, Qt.Key.Key_Return)


def settled(qtbot: QtBot, pane: FaultPanel) -> None:
    """Wait until the answer is that of the map as it is now."""
    qtbot.waitUntil(lambda: _current(pane), timeout=20_000)


def _current(pane: FaultPanel) -> bool:
    found = pane.searcher.latest
    if found is None:
        return False
    noted = {each.key for each in found.belief.observed} | {k for k, _ in found.unused}
    return noted == set(pane.notebook.keys)


def test_the_story_typed_reading_by_reading_ends_at_the_true_fault(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    for number, (told, reading) in enumerate(TAKEN):
        assert told in " ".join(step["reading"] for step in STORY["steps"])
        steps = window.session.stack.count()
        for field, text in reading.items():
            type_cell(pane, number, field, text)
            assert pane.message.text == ""
        assert window.session.stack.count() == steps + len(reading)
        settled(qtbot, pane)
    assert cell(pane, 1, "point") == "F11.load"
    assert (cell(pane, 5, "value"), cell(pane, 5, "unit")) == ("450", "mV")
    # The story: F11.F annealed (worst) and F11.L overheated as a consequence.
    assert STORY["fault"].startswith("F11.F annealed (worst) and F11.L")
    first = pane.suspects.item(0, 1)
    assert first is not None
    assert first.text().startswith(
        "feed contact of F11 with load contact of F11, added resistance in both"
    )
    chance = pane.suspects.item(0, 0)
    assert chance is not None
    assert chance.text() == "over 99\u00a0%"
    assert pane.heading.text().startswith("One suspect is left: feed contact of F11")


def test_taking_the_answer_notes_it_with_point_states_and_date_and_goes_on(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    window.session.edit(
        "seen", add_reading, Reading(point="blower, high", seen="dim", states=("RUN",))
    )
    settled(qtbot, pane)
    proposed = pane.proposal.proposed
    assert proposed is not None
    before = pane.proposal.do.text()
    answer = "9.5 V" if proposed.kind in ("volts", "drop") else "dead"
    pane.proposal.field.setFocus()
    QTest.keyClicks(pane.proposal.field, answer)
    QTest.keyClick(pane.proposal.field, Qt.Key.Key_Return)
    readings = window.session.document.readings
    assert len(readings) == 2
    taken = readings["M2"]
    assert taken.point == proposed.point
    assert taken.states == proposed.states
    assert taken.date == datetime.date.today().isoformat()
    assert pane.proposal.field.text() == ""
    settled(qtbot, pane)
    assert pane.proposal.do.text() != before
    window.session.stack.undo()
    assert list(window.session.document.readings) == ["M1"]
    settled(qtbot, pane)
    assert pane.proposal.do.text() == before


def test_showing_it_selects_the_place_in_the_view_from_which_it_is_reached(
    window: MainWindow, pane: FaultPanel
) -> None:
    card = pane.proposal
    found = pane.searcher.latest
    assert found is not None
    for _ in found.following:
        proposed = card.proposed
        assert proposed is not None
        window.selection.clear()
        window.selection.set_view(View.FLIPPED)
        if not proposed.place[0]:
            assert not card.show_button.isEnabled()
        else:
            QTest.mouseClick(card.show_button, Qt.MouseButton.LeftButton)
            assert window.selection.ids == (proposed.place[0],)
            window.selection.clear()
            window.actions_by_name["show_next"].trigger()
            assert window.selection.ids == (proposed.place[0],)
            assert window.selection.view is proposed.view
        assert proposed.view.words.lower() in card.words.text()
        assert proposed.state in card.do.text()
        assert proposed.expected in card.words.text()
        for answer in proposed.answers[:4]:
            assert answer.shows.casefold() in card.answers.text().casefold()
        QTest.mouseClick(card.other_button, Qt.MouseButton.LeftButton)


def test_a_probe_never_goes_without_its_caution(pane: FaultPanel) -> None:
    for _ in range(6):
        QApplication.processEvents()
        proposed = pane.proposal.proposed
        assert proposed is not None
        if proposed.kind in ("volts", "drop"):
            labels = pane.proposal.findChildren(QLabel)
            shown = " ".join(each.text() for each in labels if each.isVisible())
            assert "Never push a meter probe into a female terminal" in shown
        pane.proposal.other_button.click()


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("states", "RUM", "nearest is “RUN”"),
        ("value", "nine", "“nine” is not a number"),
        ("date", "yesterday", "year-month-day"),
    ],
)
def test_a_refused_text_stays_in_its_cell_and_says_why(
    window: MainWindow, pane: FaultPanel, field: str, typed: str, says: str
) -> None:
    type_cell(pane, 0, "point", "battery")
    before = window.session.document
    type_cell(pane, 0, field, typed)
    assert says in pane.message.text
    assert pane.notebook.editor is not None
    assert pane.notebook.editor.text() == typed
    assert window.session.document is before
    QTest.keyClick(pane.notebook.editor, Qt.Key.Key_Escape)
    assert pane.message.text == ""
    assert pane.notebook.editor is None


def test_tab_goes_to_the_next_cell_and_ctrl_tab_leaves(
    window: MainWindow, pane: FaultPanel
) -> None:
    type_cell(pane, 0, "point", "battery")
    table = pane.notebook
    table.setCurrentCell(0, 0)
    for text in ("", "", "run", "blower, high", "12.3"):
        if text:
            QTest.keyClicks(table, text[0])
            assert table.editor is not None
            QTest.keyClicks(table.editor, text[1:])
            table.editor.close_list()
            QTest.keyClick(table.editor, Qt.Key.Key_Tab)
        else:
            QTest.keyClick(table, Qt.Key.Key_Tab)
    reading = window.session.document.readings["M1"]
    assert reading == Reading(
        point="battery", states=("RUN",), load="blower, high", value=12.3
    )
    QTest.keyClick(table, Qt.Key.Key_Backtab)
    assert table.currentColumn() == COLUMNS.index("value")
    QTest.keyClick(table, Qt.Key.Key_Tab, Qt.KeyboardModifier.ControlModifier)
    assert not table.hasFocus()


def test_a_begun_reading_says_what_it_still_needs(
    qtbot: QtBot, pane: FaultPanel
) -> None:
    type_cell(pane, 0, "point", "battery")
    settled(qtbot, pane)
    pane.notebook.setCurrentCell(0, 0)
    assert "under Value, or what was seen under Seen" in pane.message.text


def test_a_reading_begins_with_its_point(window: MainWindow, pane: FaultPanel) -> None:
    type_cell(pane, 0, "value", "12.3")
    assert "Type the point first" in pane.message.text
    assert not window.session.document.readings


def test_contact_names_are_offered_and_completed(
    window: MainWindow, pane: FaultPanel
) -> None:
    offered = [each.text for each in pane.notebook.offers("point", "f11")]
    assert {"F11.feed", "F11.load", "F11.b1", "F11.b2"} <= set(offered)
    type_cell(pane, 0, "point", "f11.l")
    assert window.session.document.readings["M1"].point == "F11.load"


def test_a_reading_that_cannot_be_weighed_says_so_at_its_row(
    qtbot: QtBot, pane: FaultPanel
) -> None:
    type_cell(pane, 0, "point", "F99.load")
    type_cell(pane, 0, "value", "12")
    settled(qtbot, pane)
    item = pane.notebook.item(0, 0)
    assert item is not None
    assert "the map has no point “F99.load”" in item.toolTip()
    assert not item.icon().isNull()
    pane.notebook.setCurrentCell(0, 0)
    assert "the map has no point" in pane.message.text


def test_what_no_suspect_explains_is_said_in_words(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    def both(document: Map) -> Map:
        for point, value in (("battery", 12.4), ("F11.load", 30.0), ("F7.feed", -9.0)):
            reading = Reading(point=point, value=value, states=("RUN",))
            document, _ = add_reading(document, reading)
        return document

    window.session.edit("impossible", both)
    settled(qtbot, pane)
    assert pane.heading.text().startswith("Nothing on the map fits every reading")
    assert "Read these again" in pane.heading.text()
    assert "30 V" in pane.heading.text() or "-9 V" in pane.heading.text()


@pytest.mark.parametrize(
    ("typed", "says"),
    [("", "Type what it shows"), ("450 kV", "450 kV"), ("banana", "banana")],
)
def test_an_answer_that_is_none_is_refused_beside_the_field(
    window: MainWindow, pane: FaultPanel, typed: str, says: str
) -> None:
    QTest.keyClicks(pane.proposal.field, typed)
    QTest.keyClick(pane.proposal.field, Qt.Key.Key_Return)
    assert says in pane.proposal.message.text
    assert not window.session.document.readings


def test_the_selected_readings_go_in_one_step_and_come_back(
    window: MainWindow, pane: FaultPanel
) -> None:
    for number, point in enumerate(("battery", "F11.load", "F7.feed")):
        type_cell(pane, number, "point", point)
    pane.notebook.setRangeSelected(QTableWidgetSelectionRange(0, 0, 1, 0), True)
    steps = window.session.stack.count()
    pane.remove_button.click()
    assert list(window.session.document.readings) == ["M3"]
    assert window.session.stack.count() == steps + 1
    window.session.stack.undo()
    assert list(window.session.document.readings) == ["M1", "M2", "M3"]


def test_an_empty_notebook_says_what_to_do(pane: FaultPanel) -> None:
    assert "No reading is noted yet" in pane.heading.text()
    assert "dead or dim" in pane.heading.text()
    assert pane.notebook.rowCount() == 1


def test_nothing_is_worked_out_while_the_pane_is_hidden(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    window.panes.docks["fault"].hide()
    QApplication.processEvents()
    ticket = pane.searcher.ticket
    window.session.edit("x", set_property, ["panel/F11"], "notes", "looked at it")
    assert pane.searcher.ticket == ticket
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        window.panes.docks["fault"].show()


def test_a_row_of_suspects_leads_to_its_places(
    window: MainWindow, pane: FaultPanel
) -> None:
    row = next(n for n, s in enumerate(pane.suspects.suspects) if s.places)
    pane.suspects.setCurrentCell(row, 1)
    pane.suspects.setFocus()
    QTest.keyClick(pane.suspects, Qt.Key.Key_Return)
    wanted = tuple(dict.fromkeys(c for c, _ in pane.suspects.suspects[row].places))
    assert window.selection.ids == wanted


def test_a_low_pane_shows_one_part_at_a_time(
    window: MainWindow, pane: FaultPanel
) -> None:
    assert pane.notebook.isVisible()
    assert pane.suspects.isVisible()
    window.panes.docks["fault"].resize(600, 300)
    QApplication.processEvents()
    window.actions_by_name["readings"].trigger()
    assert pane.notebook.isVisible()
    assert not pane.suspects.isVisible()
    window.actions_by_name["suspects"].trigger()
    assert pane.suspects.isVisible()
    assert not pane.notebook.isVisible()


def test_chances_and_ohms_claim_no_more_than_is_known() -> None:
    assert [chance_text(c) for c in (0.004, 0.5, 0.986, 0.9999)] == [
        "under 1\u00a0%",
        "50\u00a0%",
        "99\u00a0%",
        "over 99\u00a0%",
    ]
    assert ohms_text(None) == ""
    assert ohms_text((0.0367, 21.776)) == "about 37 mΩ to 22 Ω"
    assert ohms_text((0.106, 0.1061)) == "about 110 mΩ"


def test_readings_and_the_next_point_stand_on_the_figure_while_the_pane_is_seen(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    def three(document: Map) -> Map:
        for reading in (
            Reading(point="F11.load", value=9.0),
            Reading(point="F11.load", value=9.5),
            Reading(point="F11.b1", value=12.0),
            Reading(point="F11.b2", against="F11.load", value=450, unit="mV"),
            Reading(point="F11.feed", value=12.2),
            Reading(point="F7.feed", value=11.9),
            Reading(point="F7.feed", against="F11.b1", value=1.9),
            Reading(point="battery", value=12.3),
        ):
            document, _ = add_reading(document, reading)
        return document

    figure = window.figure
    before = figure.grab().toImage()
    window.session.edit("three", three)
    settled(qtbot, pane)
    assert set(figure.probed.values) == {
        ("panel/F11", "load", "contact: 450 mV\n9.5 V"),
        ("panel/F11", "feed", "12.2 V\nfuse: 12 V"),
        ("panel/F7", "feed", "1.9 V to F11\n11.9 V"),
    }
    proposed = pane.proposal.proposed
    assert proposed is not None
    assert figure.probed.following == proposed.place
    shown = figure.grab().toImage()
    assert shown != before
    window.panes.docks["fault"].hide()
    QApplication.processEvents()
    assert not figure.probed.values
    assert figure.probed.following == ("", "")
    assert figure.grab().toImage() != shown


def test_a_flag_stands_at_the_contact_of_a_turned_cavity(window: MainWindow) -> None:
    cavity = window.session.document.cavities["panel/F11"]
    assert cavity.turn_deg == 90
    assert cavity.feed_side == "top"
    feed, load = spot_of(cavity, "feed"), spot_of(cavity, "load")
    assert feed is not None
    assert load is not None
    assert feed.y_mm < cavity.y_mm - cavity.width_mm / 4
    assert load.y_mm > cavity.y_mm + cavity.width_mm / 4
    assert feed.x_mm == pytest.approx(cavity.x_mm)
    assert spot_of(cavity, "b1") == feed
    assert spot_of(cavity, "87") is None


def test_an_undo_under_an_open_cell_writes_nothing_into_another_reading(
    window: MainWindow, pane: FaultPanel
) -> None:
    for number, point in enumerate(("battery", "F11.load")):
        type_cell(pane, number, "point", point)
    table = pane.notebook
    table.setFocus()
    table.setCurrentCell(1, COLUMNS.index("value"))
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert table.editor is not None
    QTest.keyClicks(table.editor, "9.5")
    window.session.stack.undo()
    QApplication.processEvents()
    assert table.editor is None
    pane.commit()
    (left,) = window.session.document.readings.values()
    assert (left.point, left.value) == ("battery", None)


def test_a_cell_left_with_the_pointer_keeps_what_was_typed(
    window: MainWindow, pane: FaultPanel
) -> None:
    type_cell(pane, 0, "point", "battery")
    table = pane.notebook
    table.setFocus()
    table.setCurrentCell(0, COLUMNS.index("value"))
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert table.editor is not None
    QTest.keyClicks(table.editor, "12.3")
    pane.commit()
    assert window.session.document.readings["M1"].value == 12.3


def test_a_reading_repeated_after_the_repair_stands_beside_its_earlier_one(
    window: MainWindow, pane: FaultPanel
) -> None:
    def pair(document: Map) -> Map:
        for value, date in ((1.9, "2024-05-18"), (0.04, "2024-06-02")):
            reading = Reading(
                point="F11.feed",
                against="F11.b1",
                value=value,
                amps_a=18,
                date=date,
                states=("RUN",),
                load="blower, high",
            )
            document, _ = add_reading(document, reading)
        return document

    window.session.edit("pair", pair)
    assert "above the limit of 0.1 V" in cell(pane, 0, "follows")
    assert cell(pane, 1, "follows") == (
        "2.22 mΩ, 0.72 W; holds: at most 0.1 V; before on 2024-05-18 1.9 V: 1.86 V less"
    )
    item = pane.notebook.item(1, COLUMNS.index("follows"))
    assert item is not None
    assert "manual of 1999" in item.toolTip()
    pane.notebook.setFocus()
    pane.notebook.setCurrentCell(1, COLUMNS.index("amps_a"))
    assert pane.follows.text() == cell(pane, 1, "follows")
    QTest.keyClick(pane.notebook, Qt.Key.Key_Tab)
    assert pane.notebook.currentColumn() == COLUMNS.index("date")
    pane.notebook.setCurrentCell(1, COLUMNS.index("follows"))
    QTest.keyClick(pane.notebook, Qt.Key.Key_Return)
    assert pane.notebook.editor is None


def drop_proposed(qtbot: QtBot, window: MainWindow, pane: FaultPanel) -> ProposalCard:
    """Note what leads to a drop between two contacts, and go on to that proposal."""
    for reading in (
        Reading(point="battery", value=12.3, states=("RUN",), load="blower, high"),
        Reading(point="blower, high", seen="dim", states=("RUN",)),
        Reading(point="F11.load", value=9.5, states=("RUN",), load="blower, high"),
    ):
        window.session.edit("noted", add_reading, reading)
    settled(qtbot, pane)
    card = pane.proposal
    for _ in range(6):
        proposed = card.proposed
        assert proposed is not None
        if "." in proposed.point and "." in proposed.against:
            return card
        QTest.mouseClick(card.other_button, Qt.MouseButton.LeftButton)
    raise AssertionError("no drop between two contacts is proposed")


def test_a_number_that_only_the_other_unit_explains_is_asked_about(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    card = drop_proposed(qtbot, window, pane)
    assert card.proposed is not None
    assert card.proposed.kind == "drop"
    assert card.unit.currentText() == "mV"  # what a sound car shows of it
    noted = len(window.session.document.readings)
    card.field.setFocus()
    QTest.keyClicks(card.field, "2.4")
    QTest.keyClick(card.field, Qt.Key.Key_Return)
    assert "2.4 V or 2.4 mV?" in card.message.text
    assert len(window.session.document.readings) == noted
    QTest.keyClicks(card.field, " V")
    QTest.keyClick(card.field, Qt.Key.Key_Return)
    taken = list(window.session.document.readings.values())[-1]
    assert (taken.value, taken.unit) == (2.4, "V")


def test_both_probes_of_a_proposed_drop_are_ringed_on_the_figure(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    proposed = drop_proposed(qtbot, window, pane).proposed
    assert proposed is not None
    ends = (proposed.point, proposed.against)
    probed = window.figure.probed
    shown = {probed.following, probed.beside}
    assert shown == {(f"panel/{end.split('.')[0]}", end.split(".")[1]) for end in ends}


def test_the_notebook_reads_a_place_out_and_is_typed_into_as_written(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    reading = Reading(point="F11.b1", against="F11.feed", value=1.9, states=("RUN",))
    window.session.edit("noted", add_reading, reading)
    settled(qtbot, pane)
    book = pane.notebook
    assert book.shown(0, 0, "F11.b1") == "feed end of fuse F11"
    against = COLUMNS.index("against")
    assert book.shown(0, against, "F11.feed") == "feed contact of F11"
    assert book.shown(0, against, "F99.feed") == "F99.feed"
    book.setCurrentCell(0, 0)
    book.setFocus()
    QTest.keyClick(book, Qt.Key.Key_Return)
    assert book.editor is not None
    assert book.editor.text() == "F11.b1"
    book.editor.setText("feed contact of f11")
    QTest.keyClick(book.editor, Qt.Key.Key_Return)
    (noted,) = window.session.document.readings.values()
    assert noted.point == "F11.feed"


def test_suspects_of_one_fault_are_named_together_and_the_fault_once() -> None:
    resists = [f"feed contact of F{n}, added resistance" for n in range(1, 8)]
    names = ("blower, high, open", *resists, "nothing wrong")
    assert few(names) == (
        "blower, high (open); feed contact of F1 or feed contact of F2 "
        "(added resistance); or 6 others"
    )
    assert few(tuple(resists[:3]), every=True) == (
        "feed contact of F1, feed contact of F2 and feed contact of F3 "
        "(added resistance)"
    )
    assert few(tuple(resists[:4]), every=True).endswith("; and one other")
    assert few(("fuse F1 with load contact of F1, open",)) == (
        "fuse F1 with load contact of F1 (open)"
    )
    assert few(("nothing wrong",)) == "nothing wrong"


def test_a_list_that_is_cut_does_not_say_how_many_suspects_are_left(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    seen = Reading(point="blower, high", seen="dim", states=("RUN",))
    window.session.edit("seen", add_reading, seen)
    settled(qtbot, pane)
    found = pane.searcher.latest
    assert found is not None
    shown = len(found.suspects)
    every = isolate(window.session.document, most=200)
    assert len(every.suspects) > shown
    assert found.sentence().startswith(f"More than {shown} suspects are left")
    assert every.sentence() == f"{len(every.suspects)} suspects are left."
