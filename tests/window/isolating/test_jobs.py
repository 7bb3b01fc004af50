"""The jobs of the meter beside the search: ticks, key-off draw, short, odds."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TypeVar

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
    QTableWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.model.document import Load, Map, Reading
from blockmap.model.edits import add_reading
from blockmap.window.canvas.probed import numbers_at
from blockmap.window.isolating.beside import Page
from blockmap.window.isolating.draw_page import DrawPage
from blockmap.window.isolating.jobs import JOBS
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.isolating.shared_page import SharedPage
from blockmap.window.isolating.short_page import ShortPage
from blockmap.window.isolating.typed_table import TypedTable
from blockmap.window.isolating.work_page import WorkPage
from blockmap.window.main_window import MainWindow
from tests.window.isolating.test_fault_pane import settled

Key = Qt.Key
TODAY = datetime.date.today().isoformat()


Made = TypeVar("Made", bound=Page)


def opened(window: MainWindow, command: str, kind: type[Made]) -> Made:
    """Open a job by its command and return its page."""
    window.actions_by_name[command].trigger()
    QApplication.processEvents()
    shown = [w.page for w in window.fault.jobs.windows.values() if w.isVisible()]
    page = shown[-1]
    assert isinstance(page, kind)
    return page


@pytest.fixture
def shared(window: MainWindow) -> SharedPage:
    return opened(window, "what_works", SharedPage)


@pytest.fixture
def draw(window: MainWindow) -> DrawPage:
    return opened(window, "key_off_draw", DrawPage)


@pytest.fixture
def short(window: MainWindow) -> ShortPage:
    window.selection.select(["panel/F7"])
    return opened(window, "short_to_ground", ShortPage)


@pytest.fixture
def work(window: MainWindow) -> WorkPage:
    return opened(window, "work_and_odds", WorkPage)


def text_at(table: QTableWidget, row: int, place: int) -> str:
    item = table.item(row, place)
    return item.text() if item else ""


def go_to(page: SharedPage, name: str) -> None:
    rows = range(page.ticks.rowCount())
    row = next(r for r in rows if text_at(page.ticks, r, 1) == name)
    page.ticks.setFocus()
    page.ticks.setCurrentCell(row, 1)


def type_in(table: TypedTable, row: int, place: int, text: str) -> None:
    table.setFocus()
    table.setCurrentCell(row, place)
    QTest.keyClick(table, Key.Key_Return)
    assert table.editor is not None
    table.editor.selectAll()
    QTest.keyClicks(table.editor, text)
    QTest.keyClick(table.editor, Key.Key_Return)


def texts(table: TypedTable, row: int) -> list[str]:
    return [text_at(table, row, n) for n in range(table.columnCount())]


def fuse_row(page: DrawPage, name: str) -> int:
    return [cavity.designation for cavity in page.fuses].index(name)


# ticks


def test_ticks_are_readings_and_light_what_the_dead_share_in_order(
    window: MainWindow, shared: SharedPage
) -> None:
    # Source: "two loads dead together point to what they share"; common practice.
    for name, key in (
        ("gauges", Key.Key_D),
        ("warning lamps", Key.Key_D),
        ("heated mirrors", Key.Key_W),
    ):
        go_to(shared, name)
        QTest.keyClick(shared.ticks, key)
    noted = window.session.document.readings.values()
    assert [(r.point, r.seen, r.states, r.date) for r in noted] == [
        ("gauges", "dead", ("RUN",), TODAY),
        ("warning lamps", "dead", ("RUN",), TODAY),
        ("heated mirrors", "works", ("RUN",), TODAY),
    ]
    parts = [text_at(shared.parts, n, 1) for n in range(4)]
    assert parts == [
        f"{name}\nsuspect" for name in ("F7.feed", "F7 fuse", "F7.load", "wire F7.load")
    ]
    assert "and to nothing that works" in text_at(shared.parts, 0, 2)
    assert "shares: 4" in shared.result.text()
    marks = {m[1]: m[2] for m in window.figure.ordered.parts if m[2]}
    assert marks == {"feed": "1", "fuse": "2", "load": "3–4"}
    window.fault.jobs.windows["shared"].close()
    assert not window.figure.ordered.parts


def test_space_goes_round_and_delete_forgets_each_one_step(
    window: MainWindow, shared: SharedPage
) -> None:
    go_to(shared, "gauges")
    row = shared.ticks.currentRow()
    shown = []
    for _ in range(4):
        QTest.keyClick(shared.ticks, Key.Key_Space)
        shown.append(text_at(shared.ticks, row, 0))
    assert shown == ["✓ works", "✗ dead", "~ dim", "– not looked at"]
    assert not window.session.document.readings
    window.session.stack.undo()
    assert text_at(shared.ticks, row, 0) == "~ dim"
    QTest.keyClick(shared.ticks, Key.Key_Delete)
    assert not window.session.document.readings


def test_what_was_typed_in_the_notebook_is_ticked_and_stays_of_another_day(
    window: MainWindow, shared: SharedPage
) -> None:
    reading = Reading(point="gauges", seen="dead", states=("RUN",), date="2024-05-18")
    window.session.edit("typed", add_reading, reading)
    go_to(shared, "gauges")
    row = shared.ticks.currentRow()
    assert text_at(shared.ticks, row, 0) == "✗ dead"
    QTest.keyClick(shared.ticks, Key.Key_W)
    assert text_at(shared.ticks, row, 0) == "✓ works"
    noted = [r.seen for r in window.session.document.readings.values()]
    assert noted == ["dead", "works"]


def test_the_keys_of_the_main_window_undo_a_tick(
    window: MainWindow, shared: SharedPage
) -> None:
    go_to(shared, "gauges")
    QTest.keyClick(shared.ticks, Key.Key_D)
    undo = QKeyEvent(
        QEvent.Type.ShortcutOverride, Key.Key_Z, Qt.KeyboardModifier.ControlModifier
    )
    undo.ignore()
    QApplication.sendEvent(shared.ticks, undo)
    assert not undo.isAccepted()
    letter = QKeyEvent(
        QEvent.Type.ShortcutOverride, Key.Key_D, Qt.KeyboardModifier.NoModifier
    )
    letter.ignore()
    QApplication.sendEvent(shared.ticks, letter)
    assert letter.isAccepted()


def test_several_loads_are_ticked_at_once_and_found_by_name_or_place(
    window: MainWindow, shared: SharedPage
) -> None:
    QTest.keyClicks(shared.finder, "f7")
    rows = [
        r for r in range(shared.ticks.rowCount()) if not shared.ticks.isRowHidden(r)
    ]
    names = [text_at(shared.ticks, r, 1) for r in rows]
    assert "gauges" in names
    assert "radio" not in names
    QTest.keyClick(shared.finder, Key.Key_Return)
    assert shared.ticks.hasFocus()
    shared.ticks.selectAll()
    chosen = len(shared.ticks.rows())
    steps = window.session.stack.count()
    QTest.keyClick(shared.ticks, Key.Key_D)
    assert window.session.stack.count() == steps + 1
    assert len(window.session.document.readings) == chosen


def test_ticks_that_no_single_part_explains_say_so(shared: SharedPage) -> None:
    for name in ("radio", "wiper", "gauges"):
        go_to(shared, name)
        QTest.keyClick(shared.ticks, Key.Key_D)
    for name in ("washer", "heated mirrors"):
        go_to(shared, name)
        QTest.keyClick(shared.ticks, Key.Key_W)
    assert "No single open part explains it" in shared.result.text()


def test_a_part_leads_to_its_place(window: MainWindow, shared: SharedPage) -> None:
    go_to(shared, "gauges")
    QTest.keyClick(shared.ticks, Key.Key_D)
    names = [text_at(shared.parts, n, 1) for n in range(shared.parts.rowCount())]
    shared.parts.setFocus()
    shared.parts.setCurrentCell(names.index("F7 fuse\nsuspect"), 1)
    assert window.selection.ids == ("panel/F7",)
    strip = next(n for n, name in enumerate(names) if "strip RUN" in name)
    shared.parts.setCurrentCell(strip, 1)
    assert window.selection.strip == "panel/RUN"


def test_numbers_that_fall_on_one_spot_stand_in_one_mark() -> None:
    assert numbers_at([("a", "load", "3"), ("a", "load", "4"), ("a", "load", "")]) == (
        ("a", "load", "3–4"),
    )
    assert numbers_at([("a", "load", "")]) == (("a", "load", ""),)


# draw with the key off


def test_millivolts_typed_down_the_fuses_add_up_against_the_battery(
    window: MainWindow, draw: DrawPage
) -> None:
    # Worked by hand with the cold resistance of the maker's tables: 0.2 mV / 7.7 mΩ
    # is 25.97 mA; one step of 0.1 mV either way is 12.99 mA.
    row = fuse_row(draw, "F9")
    type_in(draw.table, row, 2, "0,2 mV")
    assert draw.table.currentRow() == row + 1
    assert texts(draw.table, row)[2:4] == ["0.2", "26 (13 to 39)"]
    draw.battery.editor.setFocus()
    QTest.keyClicks(draw.battery.editor, "90")
    QTest.keyClick(draw.battery.editor, Key.Key_Return)
    assert draw.sums.text() == (
        "Through the fuses 26 mA (13 to 39); at the battery 90 mA; "
        "not explained 64 mA (51 to 77)."
    )
    assert "above: 180 % of 50 mA" in draw.rest.text().replace("\u00a0", " ")
    assert "Fuses read: 1 of 14" in draw.rest.text()
    kept = list(window.session.document.readings.values())
    assert kept == [
        Reading(
            point="F9.b1",
            against="F9.b2",
            states=("KEY OUT",),
            value=0.2,
            unit="mV",
            date=TODAY,
        ),
        Reading(point="battery", states=("KEY OUT",), value=90, unit="mA", date=TODAY),
    ]


def test_a_finer_meter_narrows_the_band(window: MainWindow, draw: DrawPage) -> None:
    row = fuse_row(draw, "F9")
    type_in(draw.table, row, 2, "0.2")
    draw.step.editor.setFocus()
    QTest.keyClicks(draw.step.editor, "0.01")
    QTest.keyClick(draw.step.editor, Key.Key_Return)
    assert window.session.document.limits.meter_step_mv == 0.01
    assert texts(draw.table, row)[3] == "26 (24.7 to 27.3)"
    assert "limit set by you" in texts(draw.table, row)[4]


def test_typing_again_the_same_day_puts_right_and_undo_brings_back(
    window: MainWindow, draw: DrawPage
) -> None:
    row = fuse_row(draw, "F9")
    type_in(draw.table, row, 2, "0.2")
    type_in(draw.table, row, 2, "0.3")
    assert [r.value for r in window.session.document.readings.values()] == [0.3]
    window.session.stack.undo()
    assert texts(draw.table, row)[2] == "0.2"
    draw.table.setCurrentCell(row, 2)
    QTest.keyClick(draw.table, Key.Key_Delete)
    assert not window.session.document.readings
    assert texts(draw.table, row)[2:] == ["", "", ""]


@pytest.mark.parametrize(
    ("typed", "says"),
    [("lots", "not a number"), ("12000", "more than a whole fuse loses")],
)
def test_millivolts_that_cannot_be_stay_in_their_cell(
    window: MainWindow, draw: DrawPage, typed: str, says: str
) -> None:
    type_in(draw.table, 0, 2, typed)
    assert says in draw.message.text
    assert draw.table.editor is not None
    assert not window.session.document.readings
    QTest.keyClick(draw.table.editor, Key.Key_Escape)
    assert draw.message.text == ""


def test_a_load_that_draws_as_much_is_named_and_the_origin_is_in_the_tip(
    window: MainWindow, draw: DrawPage
) -> None:
    cavity = window.session.document.cavities["panel/F9"]
    clock = replace(cavity, loads=(Load(name="clock", amps_a=0.025),))

    def with_clock(document: Map) -> Map:
        return replace(document, cavities={**document.cavities, cavity.id: clock})

    window.session.edit("clock", with_clock)
    row = fuse_row(draw, "F9")
    type_in(draw.table, row, 2, "0.2")
    assert texts(draw.table, row)[4] == "clock"
    item = draw.table.item(row, 3)
    assert item is not None
    assert "I = U / R" in item.toolTip()
    assert "From:" in item.toolTip()


def test_the_fuse_being_read_is_shown_on_the_figure(
    window: MainWindow, draw: DrawPage
) -> None:
    draw.table.setFocus()
    draw.table.setCurrentCell(fuse_row(draw, "F9"), 2)
    assert window.selection.ids == ("panel/F9",)


def test_the_cautions_stand_open_until_the_first_value(draw: DrawPage) -> None:
    assert draw.guide.isVisible()
    type_in(draw.table, 0, 2, "0.1")
    assert not draw.guide.isVisible()


# a lamp in the place of the fuse


def test_answers_by_one_key_lead_to_the_touch_and_are_kept(
    window: MainWindow, short: ShortPage
) -> None:
    # The touch is in the gauges: dark with all off, bright with them on, dark with
    # them unplugged. Source: lamp in place, branch by branch; common practice.
    assert short.choice.currentText().startswith("F7 fuse")
    assert short.do.text().startswith("Pull F7 fuse, put a 55 W lamp in its place")
    QTest.keyClick(short.buttons["bright"], Key.Key_K)
    assert short.do.text() == "Only gauges on."
    QTest.keyClick(short.buttons["bright"], Key.Key_B)
    assert short.do.text() == "Unplug wire to gauges."
    QTest.keyClick(short.buttons["bright"], Key.Key_I)
    assert short.do.text() == "The touch of ground is in gauges."
    assert not short.buttons["bright"].isEnabled()
    kept = list(window.session.document.readings.values())
    assert [(r.point, r.seen, r.load, r.out) for r in kept] == [
        ("F7 fuse", "dark", "", ()),
        ("F7 fuse", "bright", "gauges", ()),
        ("F7 fuse", "dim", "gauges", ("wire to gauges",)),
    ]
    assert all(r.meter == "lamp in place" for r in kept)


def test_a_search_is_taken_up_again_where_it_was_left(
    window: MainWindow, short: ShortPage
) -> None:
    short.answer("dark")
    window.fault.jobs.windows["short"].close()
    window.selection.clear()
    window.actions_by_name["short_to_ground"].trigger()
    assert short.choice.currentText().startswith("F7 fuse")
    assert short.do.text() == "Only gauges on."
    assert text_at(short.steps, 0, 1) == "dark"
    assert text_at(short.steps, 1, 1) == "now"


def test_the_last_answer_is_taken_back_and_all_of_them_begin_again(
    window: MainWindow, short: ShortPage
) -> None:
    short.answer("dark")
    short.answer("bright")
    QTest.keyClick(short.buttons["dim"], Key.Key_Backspace)
    assert short.do.text() == "Only gauges on."
    short.answer("bright")
    steps = window.session.stack.count()
    short.again.click()
    assert window.session.stack.count() == steps + 1
    assert not window.session.document.readings
    assert short.do.text().startswith("Pull F7 fuse")
    assert not short.back.isEnabled()


def test_what_each_answer_means_stands_with_the_step(short: ShortPage) -> None:
    words = short.means.text()
    for start in ("Bright: the touch is in", "Dim: loads draw", "Dark: nothing draws"):
        assert start in words
    assert "With nothing on ground it would be dark" in words


# work and odds


def test_other_work_changes_the_proposal_and_the_defaults_bring_it_back(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel, work: WorkPage
) -> None:
    window.session.edit(
        "seen", add_reading, Reading(point="blower, high", seen="dim", states=("RUN",))
    )
    settled(qtbot, pane)
    before = pane.proposal.words.text()
    proposed = pane.proposal.proposed
    assert proposed is not None
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        type_in(work.work, 0, 1, "45")
        type_in(work.work, 2, 1, "0.1")
    settled(qtbot, pane)
    assert window.session.document.work.front_min == 45
    assert pane.proposal.words.text() != before
    assert work.reset.isEnabled()
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        work.reset.click()
    settled(qtbot, pane)
    assert pane.proposal.words.text() == before
    assert not work.reset.isEnabled()


def test_defaults_are_faint_and_sourced_and_own_figures_say_whose_they_are(
    work: WorkPage,
) -> None:
    assert texts(work.work, 2)[:2] == ["Block down", ""]
    assert work.work.hint(2, 1) == "7"
    assert "common practice, no source" in texts(work.work, 2)[2]
    type_in(work.work, 2, 1, "20")
    assert texts(work.work, 2)[1] == "20"
    assert texts(work.work, 2)[2].startswith("set by you")
    names = [text_at(work.odds, n, 0) for n in range(work.odds.rowCount())]
    row = names.index("Fuse")
    assert [work.odds.hint(row, n) for n in (1, 2, 3)] == ["3", "0.4", "0"]
    type_in(work.odds, row, 1, "-2")
    assert "from 0 to 1000" in work.message.text


def test_the_block_hangs_already_is_one_tick(
    window: MainWindow, work: WorkPage
) -> None:
    work.down.click()
    assert window.session.document.work.block_is_down
    window.session.stack.undo()
    assert not work.down.isChecked()


# all of them


@pytest.mark.parametrize("job", JOBS)
def test_an_empty_map_says_what_is_missing(window: MainWindow, job: str) -> None:
    document = window.session.document
    bare = replace(document, cavities={}, strips={}, readings={})
    window.session.edit("bare", lambda _old: bare)
    page = window.fault.jobs.bring(job)
    QApplication.processEvents()
    said = {
        "shared": "names no load",
        "draw": "has no fuse",
        "short": "No fuse on this map feeds a load",
        "work": "Faint figures",
    }[job]
    labels = [each.text() for each in page.findChildren(QLabel) if each.isVisible()]
    assert any(said in text for text in labels)


@pytest.mark.parametrize("job", JOBS)
def test_everything_that_takes_the_keyboard_has_a_name(
    window: MainWindow, job: str
) -> None:
    page = window.fault.jobs.bring(job)
    QApplication.processEvents()
    for each in page.findChildren(QWidget):
        policy = each.focusPolicy() & Qt.FocusPolicy.TabFocus
        if policy and each.isVisible():
            text = getattr(each, "text", lambda: "")()
            assert each.accessibleName() or text, each


def test_escape_closes_and_the_keys_of_the_window_go_on_working(
    qtbot: QtBot, window: MainWindow, draw: DrawPage
) -> None:
    beside = window.fault.jobs.windows["draw"]
    assert beside.windowType() is Qt.WindowType.Tool
    QTest.keyClick(beside, Key.Key_Escape)
    assert not beside.isVisible()


def test_closing_takes_what_is_being_typed(window: MainWindow, draw: DrawPage) -> None:
    draw.table.setFocus()
    draw.table.setCurrentCell(0, 2)
    QTest.keyClick(draw.table, Key.Key_Return)
    assert draw.table.editor is not None
    QTest.keyClicks(draw.table.editor, "0.3")
    window.fault.jobs.windows["draw"].close()
    assert [r.value for r in window.session.document.readings.values()] == [0.3]


@pytest.mark.parametrize("job", JOBS)
def test_access_keys_are_none_of_the_menus_and_each_once(
    window: MainWindow, job: str
) -> None:
    page = window.fault.jobs.bring(job)
    texts = [each.text() for each in page.findChildren(QAbstractButton)]
    texts += [each.text() for each in page.findChildren(QLabel)]
    keys = [QKeySequence.mnemonic(text).toString() for text in texts]
    keys = [key for key in keys if key]
    menus = [QKeySequence.mnemonic(a.text()) for a in window.menuBar().actions()]
    assert len(keys) == len(set(keys))
    assert not {key.toString() for key in menus} & set(keys)
