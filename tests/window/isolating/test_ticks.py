"""What works and what is dead, ticked by key, and what the dead share."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
)

from blockmap.model.document import Reading
from blockmap.model.edits import add_reading
from blockmap.window.canvas.probed import numbers_at
from blockmap.window.isolating.shared_page import SharedPage
from blockmap.window.main_window import MainWindow
from tests.window.isolating.at_work import (
    TODAY,
    Key,
    go_to,
    shared,
    text_at,
    worked_out,
)

__all__ = ["shared"]


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
    worked_out(shared)
    parts = [text_at(shared.parts, n, 1) for n in range(4)]
    assert parts == [
        f"{name} F7\nsuspect"
        for name in ("feed contact of", "fuse", "load contact of", "load wire of")
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
    worked_out(shared)
    assert "No single open part explains it" in shared.result.text()


def test_each_load_is_tried_in_the_least_state_until_another_is_typed(
    window: MainWindow, shared: SharedPage
) -> None:
    # Tail lamps burn with the parking lamps; common practice, no source.
    go_to(shared, "tail, park, marker and licence lamps")
    row = shared.ticks.currentRow()
    assert text_at(shared.ticks, row, 2) == "PARK"
    QTest.keyClick(shared.ticks, Key.Key_F2)
    assert shared.tried.hasFocus()
    shared.tried.selectAll()
    QTest.keyClicks(shared.tried, "head lo")
    QTest.keyClick(shared.tried, Key.Key_Return)
    assert "did you mean" in shared.message.text.lower() or "HEAD" in (
        shared.message.text
    )
    shared.tried.setText("head low")
    QTest.keyClick(shared.tried, Key.Key_Return)
    assert not shared.message.text
    assert shared.ticks.hasFocus()
    assert text_at(shared.ticks, row, 2) == "HEAD LOW"
    QTest.keyClick(shared.ticks, Key.Key_D)
    (noted,) = window.session.document.readings.values()
    assert noted.states == ("HEAD LOW",)
    # What was ticked today was seen in the state that is typed now.
    shared.ticks.setCurrentCell(row, 1)
    shared.tried.setText("park")
    QTest.keyClick(shared.tried, Key.Key_Return)
    (noted,) = window.session.document.readings.values()
    assert (noted.states, noted.seen) == (("PARK",), "dead")
    window.session.stack.undo()
    assert text_at(shared.ticks, row, 2) == "HEAD LOW"


def test_a_part_leads_to_its_place(window: MainWindow, shared: SharedPage) -> None:
    go_to(shared, "gauges")
    QTest.keyClick(shared.ticks, Key.Key_D)
    worked_out(shared)
    names = [text_at(shared.parts, n, 1) for n in range(shared.parts.rowCount())]
    shared.parts.setFocus()
    shared.parts.setCurrentCell(names.index("fuse F7\nsuspect"), 1)
    assert window.selection.ids == ("panel/F7",)
    strip = next(n for n, name in enumerate(names) if "strip RUN" in name)
    shared.parts.setCurrentCell(strip, 1)
    assert window.selection.strip == "panel/RUN"


def test_a_strip_and_its_supply_are_marked_where_they_land(
    window: MainWindow, shared: SharedPage
) -> None:
    for name in ("gauges", "heated mirrors", "blower, high"):
        go_to(shared, name)
        QTest.keyClick(shared.ticks, Key.Key_D)
    go_to(shared, "radio")
    QTest.keyClick(shared.ticks, Key.Key_W)
    worked_out(shared)
    strip = window.session.document.strips["panel/RUN"]
    assert strip.lands_at == "F7.feed"
    marked = {m[:2]: m[2] for m in window.figure.ordered.parts if m[2]}
    names = [text_at(shared.parts, n, 1) for n in range(2)]
    assert names == [
        "switch of strip RUN\nsuspect",
        "supply wire of strip RUN\nsuspect",
    ]
    assert marked == {("panel/F7", "feed"): "1–2"}


def test_numbers_that_fall_on_one_spot_stand_in_one_mark() -> None:
    assert numbers_at([("a", "load", "3"), ("a", "load", "4"), ("a", "load", "")]) == (
        ("a", "load", "3–4"),
    )
    assert numbers_at([("a", "load", "")]) == (("a", "load", ""),)
