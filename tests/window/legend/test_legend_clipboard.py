"""Copying, pasting, filling and clearing cells, each one undo step."""

from __future__ import annotations

import csv
import io

import pytest
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from blockmap.window.legend import clipboard
from blockmap.window.legend.panel import LegendPanel
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.session import Session

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier


def number_of(key: str) -> int:
    """Return the number of a column of the table."""
    return next(n for n, column in enumerate(TABLE_COLUMNS) if column.key == key)


def focus() -> QWidget:
    """Return the widget that a key goes to."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def put_text(text: str) -> None:
    QGuiApplication.clipboard().setText(text)


def press(key: Key) -> None:
    QTest.keyClick(focus(), key, CTRL)


def legends(session: Session) -> list[str]:
    return [c.legend for c in session.document.cavities_of("panel")]


def test_copied_cells_read_as_tab_separated_text_and_paste_back(
    panel: LegendPanel, session: Session
) -> None:
    table = panel.table
    table.go_to(0, number_of("legend"))
    table.select_cells([0, 1], [number_of("legend"), number_of("loads")])
    press(Key.Key_C)
    mime = QGuiApplication.clipboard().mimeData()
    # What a spreadsheet would read: the excel-tab dialect of Python's csv module.
    rows = list(csv.reader(io.StringIO(mime.text()), dialect="excel-tab"))
    assert rows == [["STOP-HAZ", "stop lamps"], ["CTSY-CLK", "clock"]]
    assert "<td>STOP-HAZ</td>" in mime.html()
    assert mime.hasFormat("text/tab-separated-values")
    table.go_to(6, number_of("legend"))
    mine = clipboard.read_mime(mime)
    assert mine.columns == ("legend", "loads")


def test_pasted_text_of_a_spreadsheet_fills_down_from_the_cursor(
    qtbot: QtBot, panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(5, number_of("rating_a"))
    put_text("7.5\t5\tHorn\n10\t\tWinch\r\n3\t\t\n")
    with qtbot.waitSignal(panel.message) as told:
        press(Key.Key_V)
    cavities = session.document.cavities
    assert [cavities[f"panel/{n}"].rating_a for n in ("F6", "F10", "F11")] == [
        7.5,
        10.0,
        3.0,
    ]
    assert cavities["panel/F6"].fitted_a == 5.0
    assert cavities["panel/F10"].legend == "Winch"
    assert session.stack.undoText() == "Paste 3 rows"
    assert told.args == ["Pasted: 3 rows into Rating, Fitted, Legend"]
    session.stack.undo()
    assert session.document.cavities["panel/F6"].rating_a == 15.0
    assert not session.stack.canUndo()


def test_headings_are_recognised_and_rows_find_their_place(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("designation"))
    put_text("Position\tAmps\tFunction\tPage\nF11\t30\tWinch\t12\nF5\t10\tRadio\t13")
    press(Key.Key_V)
    cavities = session.document.cavities
    assert cavities["panel/F11"].rating_a == 30.0
    assert cavities["panel/F11"].circuit == "Winch"
    assert cavities["panel/F5"].circuit == "Radio"
    assert cavities["panel/F1"].own == "F1"


def test_a_sheet_with_colour_and_gauge_apart_and_places_under_fuse_is_understood(
    panel: LegendPanel, session: Session
) -> None:
    said: list[str] = []
    panel.message.connect(said.append)
    panel.table.go_to(3, number_of("rating_a"))
    put_text(
        "Fuse\tAmps\tColour\tGauge\tDraw\n"
        "F11\t30\tRED/WHT\t10\t25\nF5\t10\tBRN; BLU\t16\t2"
    )
    press(Key.Key_V)
    cavities = session.document.cavities
    assert panel.refusal.text == ""
    assert [w.gauge for w in cavities["panel/F11"].contact("load").wires] == ["10"]
    five = cavities["panel/F5"]
    assert five.rating_a == 10
    assert [w.gauge for w in five.contact("load").wires] == ["16", "16"]
    assert said[-1].endswith("; not recognised: “Draw”"), "by name, not by number"


def test_an_html_table_is_pasted_as_plain_text(
    panel: LegendPanel, session: Session
) -> None:
    mime = QMimeData()
    mime.setHtml(
        "<p>x</p><table><tr><td><b>HORN</b></td></tr>"
        "<tr><td>A &amp; B<br>C</td></tr></table><table><tr><td>no</td></tr></table>"
    )
    QGuiApplication.clipboard().setMimeData(mime)
    panel.table.go_to(0, number_of("legend"))
    press(Key.Key_V)
    assert legends(session)[:3] == ["HORN", "A & B; C", "INST LPS"]


def test_one_value_goes_into_every_selected_cell(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(2, number_of("rating_a"))
    panel.table.select_cells([2, 3, 4], [number_of("rating_a")])
    put_text("15")
    press(Key.Key_V)
    ratings = [c.rating_a for c in session.document.cavities_of("panel")]
    assert ratings[:6] == [20.0, 20.0, 15.0, 15.0, 15.0, 15.0]
    assert session.stack.undoText() == "Paste 3 ratings"


def test_more_rows_than_cavities_are_refused_and_it_says_what_to_do(
    panel: LegendPanel, session: Session
) -> None:
    wanted: list[int] = []
    panel.add_row_wanted.connect(wanted.append)
    before = session.document
    panel.table.go_to(6, number_of("legend"))
    put_text("A\nB\nC\nD\nE")
    press(Key.Key_V)
    assert session.document is before
    assert "5 rows do not fit: there is room for 2" in panel.refusal.text
    assert "add a row of cavities" in panel.refusal.text
    panel.refusal.action_wanted.emit()
    assert wanted == [3]


def test_an_empty_cell_within_a_pasted_column_keeps_its_place(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("legend"))
    put_text("A\n\nC")
    press(Key.Key_V)
    assert legends(session)[:4] == ["A", "", "C", "WIPER"]


@pytest.mark.parametrize("kind", ["text/plain", "text/html"])
def test_a_huge_clipboard_is_refused_before_it_is_read(
    panel: LegendPanel, session: Session, kind: str
) -> None:
    before = session.document
    mime = QMimeData()
    mime.setData(kind, b"<table><tr><td>x" + b"x\t" * 3_000_000)
    QGuiApplication.clipboard().setMimeData(mime)
    panel.table.go_to(0, number_of("legend"))
    press(Key.Key_V)
    assert session.document is before
    assert "more than 4 MB" in panel.refusal.text


def test_nothing_to_paste_is_said(panel: LegendPanel) -> None:
    mime = QMimeData()
    mime.setData("image/png", b"\x89PNG")
    QGuiApplication.clipboard().setMimeData(mime)
    panel.table.go_to(0, number_of("legend"))
    press(Key.Key_V)
    assert "no text to paste" in panel.refusal.text


def test_own_form_that_is_broken_is_not_trusted() -> None:
    for data in (
        b"[]",
        b'{"columns": ["nope"], "rows": [["x"]]}',
        b"\xff",
        b"[" * 9999,
    ):
        mime = QMimeData()
        mime.setData(clipboard.OWN_FORMAT, data)
        mime.setText("plain")
        assert clipboard.read_mime(mime).rows == (("plain",),)


def test_a_refused_value_refuses_the_whole_paste(
    panel: LegendPanel, session: Session
) -> None:
    before = session.document
    panel.table.go_to(0, number_of("rating_a"))
    put_text("10\nmuch")
    press(Key.Key_V)
    assert session.document is before
    assert panel.refusal.text.startswith("F2: “much” is not a number")


def test_fill_down_over_a_selection_and_from_the_cell_above(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("rating_a"))
    panel.table.select_cells([0, 1, 2, 3], [number_of("rating_a")])
    press(Key.Key_D)
    ratings = [c.rating_a for c in session.document.cavities_of("panel")]
    assert ratings[:5] == [20.0, 20.0, 20.0, 20.0, 10.0]
    assert session.stack.undoText() == "Fill down 3 ratings"
    panel.table.go_to(6, number_of("legend"))
    press(Key.Key_D)
    assert legends(session)[6] == "FUEL PUMP"
    assert session.stack.undoText() == "Fill down 1 legend"


def test_delete_clears_the_cells_but_not_the_cavities(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("legend"))
    panel.table.select_cells([0, 1], [number_of("legend"), number_of("rating_a")])
    QTest.keyClick(focus(), Key.Key_Delete)
    first = session.document.cavities["panel/F1"]
    assert (first.legend, first.rating_a) == ("", None)
    assert len(session.document.cavities) == 9
    assert session.stack.undoText() == "Clear 4 cells"
    panel.table.go_to(2, number_of("legend"))
    QTest.keyClick(focus(), Key.Key_Delete)
    assert session.stack.undoText() == "Clear legend of F3"


def test_cut_copies_and_clears(panel: LegendPanel, session: Session) -> None:
    panel.table.go_to(3, number_of("legend"))
    press(Key.Key_X)
    assert QGuiApplication.clipboard().text() == "WIPER"
    assert session.document.cavities["panel/F4"].legend == ""
