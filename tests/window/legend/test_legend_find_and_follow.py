"""Finding cavities, following the document, what cells show, columns remembered."""

from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import QModelIndex, QSettings, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from blockmap.model.columns import column
from blockmap.model.document import Condition, Evidence, Map
from blockmap.model.edits import (
    delete_cavities,
    new_cavity,
    set_car_text,
    set_property,
    set_texts,
)
from blockmap.model.edits.placing import add_cavities
from blockmap.model.geometry import Point
from blockmap.window.legend.panel import LegendPanel
from blockmap.window.legend.rows import TABLE_COLUMNS, LegendModel
from blockmap.window.legend.search import find_cavities
from blockmap.window.selection import Selection
from blockmap.window.session import Session

Key = Qt.Key


def number_of(key: str) -> int:
    """Return the number of a column of the table."""
    return next(n for n, column in enumerate(TABLE_COLUMNS) if column.key == key)


def focus() -> QWidget:
    """Return the widget that a key goes to."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def test_typing_clock_selects_its_cavity(
    panel: LegendPanel, selection: Selection
) -> None:
    QTest.keyClick(focus(), Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    for char in "clock":
        QTest.keyClicks(focus(), char)
    assert selection.ids == ("panel/F2",)
    assert panel.find_bar.count.text() == "1 of 1"
    QTest.keyClick(focus(), Key.Key_Escape)
    assert focus() is panel.table
    assert panel.table.currentIndex().row() == 1


def test_enter_and_f3_go_through_the_matches(
    panel: LegendPanel, selection: Selection
) -> None:
    panel.begin_find()
    for char in "lamps":
        QTest.keyClicks(focus(), char)
    assert panel.find_bar.count.text() == "1 of 2"
    assert selection.ids == ("panel/F1",)
    QTest.keyClick(focus(), Key.Key_Return)
    assert (selection.ids, panel.find_bar.count.text()) == (("panel/F3",), "2 of 2")
    QTest.keyClick(focus(), Key.Key_F3)
    assert selection.ids == ("panel/F1",)
    panel.find_previous()
    assert selection.ids == ("panel/F3",)


@pytest.mark.parametrize(
    ("text", "found", "nearest"),
    [
        ("feul pmp", ["panel/F6"], "fuel pump"),
        ("f1", ["panel/F1", "panel/F10", "panel/F11"], ""),
        ("horn", ["box/A"], ""),
        ("zzzzz", [], ""),
    ],
)
def test_a_word_finds_its_places_or_the_nearest_word(
    session: Session, text: str, found: list[str], nearest: str
) -> None:
    result = find_cavities(session.document, text, "panel")
    assert list(result.ids) == found
    assert result.nearest == nearest


def test_a_match_in_another_block_shows_that_block(
    panel: LegendPanel, selection: Selection
) -> None:
    panel.find_bar.line.setText("horn")
    assert selection.block == "box"
    assert selection.ids == ("box/A",)


def test_only_matching_rows_can_be_shown(panel: LegendPanel) -> None:
    panel.find_bar.line.setText("lamps")
    panel.find_bar.only.setChecked(True)
    assert panel.table.rows.ids == ("panel/F1", "panel/F3")
    panel.find_bar.line.setText("")
    assert len(panel.table.rows.ids) == 8


def texts(model: LegendModel) -> list[list[str]]:
    return [
        [str(model.data(model.index(row, n))) for n in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def _removed_and_added(document: Map) -> Map:
    fewer = delete_cavities(document, ["panel/F2", "panel/F10"])
    cavity = new_cavity(fewer, "panel", Point(5, 5), designation="NEW")
    return add_cavities(fewer, [cavity])


def _turned_about(document: Map) -> Map:
    cavities = dict(reversed(list(document.cavities.items())))
    return dataclasses.replace(document, cavities=cavities)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (set_texts, (["panel/F3", "panel/F4"], "legend", "X")),
        (delete_cavities, (["panel/F1", "panel/F5"],)),
        (set_car_text, ("colour_code", "german")),
        (_removed_and_added, ()),
        (_turned_about, ()),
    ],
)
def test_rows_that_followed_a_change_equal_rows_built_anew(
    session: Session,
    selection: Selection,
    panel: LegendPanel,
    function: object,
    args: tuple[object, ...],
) -> None:
    session.edit("Wires", set_texts, ["panel/F1"], "wires", "BRN/WHT 16 AWG")
    session.edit("Edit", function, *args)  # type: ignore[arg-type]
    followed = panel.table.rows
    anew = LegendModel(session, selection)
    assert followed.ids == anew.ids
    assert texts(followed) == texts(anew)
    session.stack.undo()
    assert texts(followed) == texts(LegendModel(session, selection))


def test_one_edit_tells_of_its_rows_only(session: Session, panel: LegendPanel) -> None:
    told: list[tuple[int, int]] = []

    def hear(first: QModelIndex, last: QModelIndex) -> None:
        told.append((first.row(), last.row()))

    panel.table.rows.dataChanged.connect(hear)
    session.edit("Set", set_texts, ["panel/F3"], "legend", "X")
    assert told == [(2, 2)]
    session.edit("Set", set_texts, ["panel/F1", "panel/F2", "panel/F6"], "legend", "Y")
    assert told[1:] == [(0, 1), (5, 5)]


def test_the_cursor_stays_on_its_cavity_when_rows_come_and_go(
    session: Session, panel: LegendPanel
) -> None:
    panel.table.go_to(4, number_of("legend"))
    session.edit("Delete", delete_cavities, ["panel/F1", "panel/F2"])
    index = panel.table.currentIndex()
    assert panel.table.rows.cavity(index.row()).designation == "F5"
    assert index.column() == number_of("legend")


def test_cells_say_doubt_condition_and_danger_in_words(
    session: Session, panel: LegendPanel
) -> None:
    rows = panel.table.rows

    def shown(row: int, key: str) -> str:
        return str(rows.data(rows.index(row, number_of(key))))

    assert shown(0, "legend") == "STOP-HAZ ?"
    assert rows.edit_text(0, number_of("legend")) == "STOP-HAZ"
    seen = {"legend": Evidence(how="seen")}
    session.edit("See", set_property, ["panel/F1"], "evidence", seen)
    assert shown(0, "legend") == "STOP-HAZ"
    session.edit("Write", set_texts, ["panel/F1"], "load_condition", "spread 2: loose")
    assert shown(0, "load_condition") == "spread, 2 repair soon: loose"
    session.edit("Flag", set_property, ["panel/F2"], "do_not_use", True)
    assert shown(1, "designation") == "F2: do not use"
    worst = Condition(state="broken", severity=3)
    session.edit("Break", set_property, ["panel/F3"], "fuse", worst)
    assert shown(2, "designation") == "F3: do not use as is"


def test_tool_tips_name_the_body_colour_and_show_marks_as_they_are(
    session: Session, panel: LegendPanel
) -> None:
    rows = panel.table.rows
    tip = Qt.ItemDataRole.ToolTipRole
    # Medium blade 20 A is yellow: fuse_colours table of the reference, verified rows.
    rating = rows.data(rows.index(0, number_of("rating_a")), tip)
    assert "yellow" in rating
    session.edit("Set", set_texts, ["panel/F1"], "legend", "<img src='x'>")
    assert "&lt;img" in rows.data(rows.index(0, number_of("legend")), tip)


def test_columns_are_remembered(
    qtbot: QtBot, session: Session, selection: Selection, tmp_path: object
) -> None:
    store = QSettings(f"{tmp_path}/window.ini", QSettings.Format.IniFormat)
    first = LegendPanel(session, selection, store=store)
    qtbot.addWidget(first)
    layout = first.table.layout_of_columns
    layout.set_shown(number_of("notes"), True)
    layout.set_shown(number_of("form"), False)
    layout.move(number_of("circuit"), -1)
    first.table.horizontalHeader().resizeSection(number_of("circuit"), 222)
    layout.keep()
    second = LegendPanel(session, selection, store=store)
    qtbot.addWidget(second)
    again = second.table.layout_of_columns
    keys = [TABLE_COLUMNS[n].key for n in again.shown()]
    assert keys == [
        "designation",
        "rating_a",
        "fitted_a",
        "circuit",
        "legend",
        "wires",
        "loads",
        "notes",
    ]
    assert second.table.columnWidth(number_of("circuit")) == 222
    store.setValue("legend/columns", '{"damaged": 1}')
    third = LegendPanel(session, selection, store=store)
    qtbot.addWidget(third)
    assert number_of("form") in third.table.layout_of_columns.shown()


def test_rows_keep_their_names_in_sight_when_scrolled_sideways(
    panel: LegendPanel,
) -> None:
    panel.resize(420, 300)
    QApplication.processEvents()
    names = panel.table.verticalHeader()
    assert not names.isVisible()
    panel.table.go_to(2, number_of("loads"))
    QApplication.processEvents()
    assert names.isVisible()
    vertical = Qt.Orientation.Vertical
    assert panel.table.rows.headerData(2, vertical) == "F3"
    panel.table.go_to(2, number_of("designation"))
    QApplication.processEvents()
    assert not names.isVisible()


# The screen of the tests says so of every menu that pops up.
@pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
def test_the_menu_key_opens_the_commands_of_the_table(
    panel: LegendPanel, session: Session
) -> None:
    panel.table.go_to(1, number_of("legend"))
    reason = QContextMenuEvent.Reason.Keyboard
    place = panel.table.rect().center()
    event = QContextMenuEvent(reason, place, panel.table.mapToGlobal(place))
    QApplication.sendEvent(panel.table, event)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    actions = {a.text().replace("&", ""): a for a in menu.actions()}
    assert {"Cut", "Copy", "Paste", "Fill down", "Clear cells"} <= set(actions)
    actions["Fill down"].trigger()
    menu.close()
    assert session.document.cavities["panel/F2"].legend == "STOP-HAZ"


def test_an_empty_block_says_what_to_do(session: Session, panel: LegendPanel) -> None:
    session.edit("Delete", delete_cavities, panel.table.rows.ids)
    QApplication.processEvents()
    assert "paste" in panel.table.nothing_here()


def test_every_column_of_the_model_but_the_block_is_a_column_of_the_table() -> None:
    keys = {c.key for c in TABLE_COLUMNS}
    assert "block" not in keys
    assert column("fed_from") in TABLE_COLUMNS
