"""Columns of lists: no word is broken while words have room, and no room is wasted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QTableView
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.resources import layout
from blockmap.window.fair_columns import shared_out
from blockmap.window.main_window import MainWindow
from blockmap.window.numbers.tables import TablesWindow
from tests.window_fixtures import OpenMap

column = st.tuples(st.integers(10, 200), st.integers(0, 400))


@given(st.lists(column, min_size=1, max_size=6), st.integers(10, 1200), st.data())
def test_widths_are_shared_out_fairly(
    columns: list[tuple[int, int]], room: int, data: st.DataObject
) -> None:
    least = [few for few, _ in columns]
    wanted = [few + more for few, more in columns]
    last = data.draw(st.integers(0, len(columns) - 1))
    widths = shared_out(least, wanted, room, last)
    assert all(wide >= few for wide, few in zip(widths, least, strict=True))
    if sum(least) > room:
        return
    assert sum(widths) == room
    for number, (wide, wish) in enumerate(zip(widths, wanted, strict=True)):
        short = [w < s for w, s in zip(widths, wanted, strict=True)]
        assert wide <= wish or (number == last and not any(short))


def test_the_largest_wish_gives_way() -> None:
    assert shared_out([50, 50, 50], [60, 80, 500], 300, 2) == [60, 80, 160]


def broken(table: QTableView) -> list[str]:
    """Return words of a table that are wider than their column, measured anew."""
    model, found = table.model(), []
    margin = 6  # Qt's own at both sides of a cell's text
    for place in range(model.columnCount()):
        room = table.columnWidth(place) - margin
        heading = QFont(table.font())
        heading.setBold(True)
        head = str(model.headerData(place, Qt.Orientation.Horizontal))
        if QFontMetrics(heading).horizontalAdvance(head) > room:
            found.append(head)
        for row in range(model.rowCount()):
            index = model.index(row, place)
            sign = index.data(Qt.ItemDataRole.DecorationRole)
            left = room - (table.iconSize().width() if sign else 0)
            words = str(index.data() or "").split()
            wide = table.fontMetrics().horizontalAdvance
            found += [word for word in words if wide(word) > left]
    return found


def demo() -> Map:
    path = layout("demo")
    return read_map(path.read_bytes(), path.name).document


def _numbers(window: MainWindow) -> QTableView:
    window.actions_by_name["figures"].trigger()
    return window.numbers.table


def _suspects(window: MainWindow) -> QTableView:
    window.actions_by_name["suspects"].trigger()
    return window.fault.suspects


def _pulled(window: MainWindow) -> QTableView:
    window.actions_by_name["pull_one"].trigger()
    return window.survey.pulling.loads


def _job(name: str, table: str) -> object:
    def found(window: MainWindow) -> QTableView:
        page = window.fault.jobs.bring(name)
        page.window().resize(390, 360)
        made = getattr(page, table)
        assert isinstance(made, QTableView)
        return made

    return found


LISTS = {
    "numbers": _numbers,
    "suspects": _suspects,
    "pulled one at a time": _pulled,
    "what works": _job("shared", "ticks"),
    "draw with the key off": _job("draw", "table"),
    "work": _job("work", "work"),
    "odds": _job("work", "odds"),
}


@pytest.mark.parametrize("name", LISTS)
def test_no_word_of_a_list_is_broken_on_a_small_screen(
    open_map: OpenMap, qtbot: QtBot, name: str
) -> None:
    window = open_map(demo())
    window.selection.select(["panel/F11"])
    window.resize(640, 360)
    qtbot.waitUntil(lambda: window.panes.low.joined)
    find = LISTS[name]
    assert callable(find)
    table = find(window)
    qtbot.waitUntil(lambda: table.model().rowCount() > 0)
    qtbot.waitUntil(lambda: table.isVisible() and broken(table) == [])
    bar = table.horizontalScrollBar()
    assert bar.maximum() == 0, "all of it is seen without rolling sideways"


def test_every_published_table_shows_its_words_whole(qtbot: QtBot) -> None:
    window = TablesWindow()
    qtbot.addWidget(window)
    window.resize(630, 360)
    window.show()
    for number in range(window.list.count()):
        window.list.setCurrentRow(number)
        assert broken(window.table) == [], window.list.item(number).text()
