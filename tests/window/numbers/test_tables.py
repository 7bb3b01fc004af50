"""The window of tables: what is looked up says where it comes from."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.reference.published import PUBLISHED
from blockmap.window.main_window import MainWindow
from blockmap.window.numbers.tables import TablesWindow


@pytest.fixture
def tables(window: MainWindow) -> TablesWindow:
    """The tables as the menu shows them."""
    window.actions_by_name["tables"].trigger()
    return window.findings_link.show_tables()


def choose(tables: TablesWindow, title: str) -> None:
    """Choose a table by its title."""
    titles = [table.title for table in PUBLISHED]
    tables.list.setCurrentRow(titles.index(title))


def test_a_row_names_its_document(tables: TablesWindow) -> None:
    choose(tables, "Amps of a wire by its insulation")
    tables.table.selectRow(1)
    assert "verified" in tables.origin.text()
    assert "33 CFR 183.425" in tables.origin.text()
    assert "http" in tables.origin.text()


def test_a_row_from_memory_says_so_by_word_and_sign(tables: TablesWindow) -> None:
    choose(tables, "Wire colour letters")
    QTest.keyClicks(tables.search, "VLT")
    assert tables.shown_rows == [("north american", "VLT", "violet")]
    number = next(
        n for n in range(tables.table.rowCount()) if not tables.table.isRowHidden(n)
    )
    known = tables.table.item(number, 3)
    assert known is not None
    assert known.text() == "from memory"
    assert not known.icon().isNull()
    tables.table.selectRow(number)
    assert "not checked against a document" in tables.origin.text()


def test_every_table_can_be_shown_and_narrowed(tables: TablesWindow) -> None:
    for table in PUBLISHED:
        choose(tables, table.title)
        assert len(tables.shown_rows) == len(table.rows())
        assert tables.table.columnCount() == len(table.columns) + 1
    tables.search.setText("no such row")
    assert tables.shown_rows == []
    assert not tables.isModal()


def test_list_line_and_rows_are_reached_by_keys(tables: TablesWindow) -> None:
    for letter, part in (("N", tables.search), ("R", tables.table), ("T", tables.list)):
        key = Qt.Key[f"Key_{letter}"]
        QTest.keyClick(tables, key, Qt.KeyboardModifier.AltModifier)
        assert part.hasFocus(), letter


def test_figures_stand_at_the_right_under_their_heading(tables: TablesWindow) -> None:
    choose(tables, "Wire area and resistance")
    right = Qt.AlignmentFlag.AlignRight
    for column, figures in ((0, False), (1, True), (2, True)):
        cell = tables.table.item(0, column)
        head = tables.table.horizontalHeaderItem(column)
        assert cell is not None
        assert head is not None
        assert bool(cell.textAlignment() & right.value) is figures
        assert bool(head.textAlignment() & right.value) is figures
