"""Millivolts typed fuse by fuse: sums, bands, candidates, what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtTest import QTest

from blockmap.model.document import Load, Map, Reading
from blockmap.window.isolating.draw_page import DrawPage
from blockmap.window.main_window import MainWindow
from tests.window.isolating.at_work import (
    TODAY,
    Key,
    draw,
    fuse_row,
    texts,
    type_in,
)

__all__ = ["draw"]


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
