"""Typing in the legend table with real keys: what a spreadsheet would do."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from blockmap.window.legend.panel import LegendPanel
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.selection import Selection
from blockmap.window.session import Session

Key = Qt.Key
SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier


def number_of(key: str) -> int:
    """Return the number of a column of the table."""
    return next(n for n, column in enumerate(TABLE_COLUMNS) if column.key == key)


def focus() -> QWidget:
    """Return the widget that a key goes to."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def type_in(text: str) -> None:
    for char in text:
        QTest.keyClicks(focus(), char)


def press(
    key: Key,
    modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
) -> None:
    QTest.keyClick(focus(), key, modifier)


def at(panel: LegendPanel) -> tuple[str, str]:
    """Return the designation and the column key under the cursor."""
    index = panel.table.currentIndex()
    return (
        panel.table.rows.cavity(index.row()).designation,
        TABLE_COLUMNS[index.column()].key,
    )


def test_typing_replaces_and_enter_goes_down(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("legend"))
    type_in("STOP")
    press(Key.Key_Return)
    type_in("CLOCK")
    press(Key.Key_Return)
    assert session.document.cavities["panel/F1"].legend == "STOP"
    assert session.document.cavities["panel/F2"].legend == "CLOCK"
    assert at(panel) == ("F3", "legend")
    assert session.stack.undoText() == "Set legend of F2"
    press(Key.Key_Return, SHIFT)
    assert at(panel) == ("F2", "legend")


def test_f2_edits_in_place(panel: LegendPanel, session: Session) -> None:
    panel.table.go_to(0, number_of("legend"))
    press(Key.Key_F2)
    type_in("2")
    press(Key.Key_Return)
    assert session.document.cavities["panel/F1"].legend == "STOP-HAZ2"


def test_tab_goes_through_cells_and_rows_and_enter_returns_to_the_first_column(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(6, number_of("rating_a"))
    type_in("7,5")
    press(Key.Key_Tab)
    assert at(panel) == ("F10", "fitted_a")
    press(Key.Key_Tab)
    type_in("Winch")
    press(Key.Key_Return)
    assert at(panel) == ("F11", "rating_a")
    cavity = session.document.cavities["panel/F10"]
    assert (cavity.rating_a, cavity.legend) == (7.5, "Winch")
    press(Key.Key_Backtab, SHIFT)
    assert at(panel) == ("F11", "designation")
    panel.table.go_to(3, number_of("form"))
    press(Key.Key_Tab)
    assert at(panel) == ("F5", "designation")
    press(Key.Key_Backtab, SHIFT)
    assert at(panel) == ("F4", "form")


def test_ctrl_tab_leaves_the_table(panel: LegendPanel) -> None:
    press(Key.Key_Tab, CTRL)
    assert focus() is not panel.table
    assert not panel.table.isAncestorOf(focus())


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("rating_a", "2o", "not a number"),
        ("wires", "SB 16 AWG", "means different colours"),
        ("form", "medium blad", "nearest are medium blade"),
    ],
)
def test_refused_text_stays_in_its_open_editor_with_the_reason_under_the_table(
    panel: LegendPanel, session: Session, key: str, text: str, words: str
) -> None:
    before = session.document
    panel.table.go_to(0, number_of(key))
    type_in(text)
    press(Key.Key_Return)
    editor = panel.table.typing.editor
    assert editor is not None
    assert editor.isVisible()
    assert editor.text() == text
    assert words in panel.refusal.text
    assert panel.refusal.isVisible()
    assert session.document is before
    # A click on another cell does not lose the text either.
    cell = panel.table.rows.index(3, number_of("legend"))
    place = panel.table.visualRect(cell).center()
    QTest.mouseClick(panel.table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert panel.table.typing.editor is editor
    assert editor.text() == text
    # Esc gives up and leaves the cell as it was.
    press(Key.Key_Escape)
    assert panel.table.typing.editor is None
    assert panel.refusal.text == ""
    assert session.document is before


def test_refusal_goes_as_soon_as_the_text_is_mended(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("rating_a"))
    type_in("2o")
    press(Key.Key_Return)
    press(Key.Key_Backspace)
    assert panel.refusal.text == ""
    press(Key.Key_Return)
    assert session.document.cavities["panel/F1"].rating_a == 2.0


def test_wire_colour_of_another_code_is_understood(
    panel: LegendPanel, session: Session
) -> None:
    # sw is black and ge yellow in German letters: DIN 72551-7 row of standards.yaml.
    panel.table.go_to(0, number_of("wires"))
    type_in("sw/ge 1.5 mm2")
    press(Key.Key_Return)
    (wire,) = session.document.cavities["panel/F1"].contact("load").wires
    assert wire.colour is not None
    assert wire.colour.words() == "black/yellow"
    assert wire.gauge == "1.5 mm2"
    index = panel.table.rows.index(0, number_of("wires"))
    assert panel.table.rows.data(index) == "BLK/YEL 1.5 mm2 ?"


def test_a_chosen_circuit_fills_the_empty_legend_in_one_step(
    qtbot: QtBot, panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(6, number_of("circuit"))
    type_in("hor")
    editor = panel.table.typing.editor
    assert editor is not None
    assert [o.text for o in editor.offers][:1] == ["Horn"]
    press(Key.Key_Down)
    with qtbot.waitSignal(panel.message) as told:
        press(Key.Key_Return)
    cavity = session.document.cavities["panel/F10"]
    assert (cavity.circuit, cavity.legend) == ("Horn", "HORN")
    assert "HORN" in told.args[0]
    session.stack.undo()
    assert session.document.cavities["panel/F10"].circuit == ""
    assert session.document.cavities["panel/F10"].legend == ""


def test_a_chosen_circuit_keeps_a_legend_that_stands_there(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(0, number_of("circuit"))
    type_in("horn")
    press(Key.Key_Down)
    press(Key.Key_Return)
    assert session.document.cavities["panel/F1"].circuit == "Horn"
    assert session.document.cavities["panel/F1"].legend == "STOP-HAZ"


def test_plain_typing_is_never_replaced_by_a_suggestion(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(6, number_of("circuit"))
    type_in("Hor")
    press(Key.Key_Return)
    assert session.document.cavities["panel/F10"].circuit == "Hor"


def test_alt_down_lists_the_forms(panel: LegendPanel) -> None:
    panel.table.go_to(0, number_of("form"))
    press(Key.Key_Down, ALT)
    editor = panel.table.typing.editor
    assert editor is not None
    assert "mini blade" in [offer.text for offer in editor.offers]


def test_arrows_commit_what_was_typed_but_move_in_an_edited_text(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(1, number_of("rating_a"))
    type_in("9")
    editor = panel.table.typing.editor
    assert editor is not None
    editor.close_list()
    press(Key.Key_Up)
    assert session.document.cavities["panel/F2"].rating_a == 9.0
    assert at(panel) == ("F1", "rating_a")


def test_selection_is_one_thing(panel: LegendPanel, selection: Selection) -> None:
    selection.select(["panel/F3", "panel/F5"], "panel/F3")
    assert panel.table.selected_rows() == [2, 4]
    assert at(panel)[0] == "F3"
    press(Key.Key_Down)
    assert selection.ids == ("panel/F4",)
    assert selection.current == "panel/F4"
    press(Key.Key_Down, SHIFT)
    assert set(selection.ids) == {"panel/F4", "panel/F5"}
    selection.clear()
    assert panel.table.selectedIndexes() == []


def test_editing_the_selected_cavity_from_elsewhere_begins_in_its_legend(
    panel: LegendPanel, selection: Selection, session: Session
) -> None:
    panel.table.go_to(0, number_of("designation"))
    selection.select(["panel/F5"])
    panel.edit_current()
    type_in("HORN")
    press(Key.Key_Return)
    assert session.document.cavities["panel/F5"].legend == "HORN"
    assert session.document.cavities["panel/F5"].own == "F5"


def test_looking_at_another_block_shows_its_rows(
    panel: LegendPanel, selection: Selection
) -> None:
    selection.set_block("box")
    assert panel.table.rows.ids == ("box/A",)
    selection.set_block("panel")
    assert len(panel.table.rows.ids) == 8


def test_sorting_comes_back_to_the_order_of_the_map_on_the_third_click(
    panel: LegendPanel,
) -> None:
    header = panel.table.horizontalHeader()
    number = number_of("rating_a")
    before = panel.table.rows.ids
    seen = []
    for _ in range(3):
        x = header.sectionViewportPosition(number) + 8
        where = header.viewport().rect().center()
        where.setX(x)
        QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=where)
        QApplication.processEvents()
        seen.append(panel.table.rows.ids)
    first = [i.partition("/")[2] for i in seen[0]]
    assert first[:3] == ["F3", "F5", "F6"]
    assert first[-2:] == ["F10", "F11"]
    assert [i.partition("/")[2] for i in seen[1]][:1] == ["F4"]
    assert seen[2] == before


def test_ctrl_home_and_end_select_the_cell_they_go_to(
    panel: LegendPanel, selection: Selection
) -> None:
    panel.table.go_to(4, number_of("legend"))
    press(Key.Key_Home, CTRL)
    assert at(panel) == ("F1", "designation")
    assert selection.ids == ("panel/F1",)
    press(Key.Key_End, CTRL)
    assert at(panel)[0] == "F11"
    assert selection.ids == ("panel/F11",)
    press(Key.Key_Home)
    assert at(panel) == ("F11", "designation")


def test_ctrl_arrows_go_to_the_end_of_what_is_filled_and_over_what_is_empty(
    panel: LegendPanel, selection: Selection
) -> None:
    panel.table.go_to(1, number_of("rating_a"))
    press(Key.Key_Down, CTRL)
    assert at(panel) == ("F6", "rating_a"), "F10 and F11 have no rating"
    press(Key.Key_Down, CTRL)
    assert at(panel) == ("F11", "rating_a")
    press(Key.Key_Up, CTRL)
    assert at(panel) == ("F6", "rating_a")
    press(Key.Key_Up, CTRL)
    assert at(panel) == ("F1", "rating_a")
    assert selection.ids == ("panel/F1",)


def test_shift_selects_from_where_enter_and_tab_went(panel: LegendPanel) -> None:
    panel.table.go_to(0, number_of("rating_a"))
    press(Key.Key_Return)
    press(Key.Key_Return)
    press(Key.Key_Down, SHIFT)
    assert panel.table.selected_rows() == [2, 3]
    press(Key.Key_Right, SHIFT)
    assert len(panel.table.selected_columns()) == 2
    press(Key.Key_Up, SHIFT)
    press(Key.Key_Up, SHIFT)
    assert panel.table.selected_rows() == [1, 2], "the other way round its beginning"
    press(Key.Key_Left, SHIFT)
    press(Key.Key_Down, CTRL | SHIFT)
    assert panel.table.selected_rows() == [2, 3, 4, 5], "to the end of what is filled"


def test_shift_with_a_click_selects_from_where_enter_went(panel: LegendPanel) -> None:
    table, column = panel.table, number_of("legend")
    first = table.visualRect(table.rows.index(0, column)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=first)
    press(Key.Key_Return)
    press(Key.Key_Return)
    place = table.visualRect(table.rows.index(4, column)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, SHIFT, place)
    assert table.selected_rows() == [2, 3, 4]


def test_space_with_ctrl_and_shift_selects_the_column_and_the_row(
    panel: LegendPanel,
) -> None:
    panel.table.go_to(2, number_of("legend"))
    press(Key.Key_Space, CTRL)
    assert panel.table.selected_rows() == list(range(8))
    assert panel.table.selected_columns() == [number_of("legend")]
    panel.table.go_to(2, number_of("legend"))
    press(Key.Key_Space, SHIFT)
    assert panel.table.selected_rows() == [2]
    assert panel.table.selected_columns() == panel.table.layout_of_columns.shown()


def test_ctrl_enter_writes_what_is_typed_into_every_selected_cell(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(5, number_of("rating_a"))
    press(Key.Key_Down, CTRL | SHIFT)
    press(Key.Key_Up, SHIFT)
    panel.table.go_to(6, number_of("rating_a"))
    press(Key.Key_Down, SHIFT)
    type_in("7,5")
    press(Key.Key_Return, CTRL)
    ratings = [session.document.cavities[f"panel/F{n}"].rating_a for n in (6, 10, 11)]
    assert ratings == [15, 7.5, 7.5]
    assert session.stack.undoText() == "Fill 2 ratings"
    assert panel.table.selected_rows() == [6, 7], "they stay selected"
    assert panel.table.typing.editor is None


def test_ctrl_enter_refuses_all_or_nothing_and_keeps_the_text(
    panel: LegendPanel, session: Session
) -> None:
    before = session.document
    panel.table.go_to(6, number_of("rating_a"))
    press(Key.Key_Down, SHIFT)
    type_in("many")
    press(Key.Key_Return, CTRL)
    assert session.document is before
    assert "many" in panel.refusal.text
    assert panel.table.typing.editor is not None
    assert panel.table.typing.editor.text() == "many"


def test_ctrl_r_fills_right(panel: LegendPanel, session: Session) -> None:
    panel.table.go_to(0, number_of("rating_a"))
    press(Key.Key_Right, SHIFT)
    press(Key.Key_R, CTRL)
    assert session.document.cavities["panel/F1"].fitted_a == 20
