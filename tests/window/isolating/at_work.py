"""Opens the jobs of the meter and types into them, as their tests need it."""

from __future__ import annotations

import datetime
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QTableWidget,
)

from blockmap.window.isolating.beside import Page
from blockmap.window.isolating.draw_page import DrawPage
from blockmap.window.isolating.shared_page import SharedPage
from blockmap.window.isolating.short_page import ShortPage
from blockmap.window.isolating.typed_table import TypedTable
from blockmap.window.isolating.work_page import WorkPage
from blockmap.window.main_window import MainWindow

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


def worked_out(page: SharedPage) -> SharedPage:
    """Wait until the parts shown are those of the ticks as they are."""
    for _ in range(1000):
        if page.current:
            break
        QTest.qWait(10)
    assert page.current
    return page


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
