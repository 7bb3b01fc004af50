"""The bottom line tells the keys of what has the keyboard; typing stays in sight."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTabBar
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.resources import layout
from blockmap.window.main_window import MainWindow
from tests.window_fixtures import OpenMap

KEY = Qt.Key


@pytest.fixture
def window(open_map: OpenMap) -> MainWindow:
    path = layout("demo")
    made = open_map(read_map(path.read_bytes(), path.name).document)
    made.resize(1280, 800)
    return made


def told(window: MainWindow) -> str:
    return window.bottom_line.hint.text()


def test_the_keys_of_the_figure_are_told_only_while_the_keyboard_is_there(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.figure.setFocus()
    qtbot.waitUntil(lambda: "Click a cavity" in told(window))
    window.actions_by_name["survey"].trigger()
    qtbot.waitUntil(window.survey.grid.hasFocus)
    assert told(window) == "", "the pane tells its keys itself"
    QTest.keyClick(window.survey.grid, KEY.Key_L)
    assert told(window) == ""
    window.selection.select(["panel/F2"])
    window.figure.say_hint()
    assert told(window) == "", "the figure does not speak for the survey"
    window.panes.bring("legend")
    window.legend.table.setFocus()
    assert "Ctrl+D" in told(window)
    assert "Click" not in told(window)
    QTest.keyClick(window.legend.table, KEY.Key_F2)
    assert "Ctrl+D" in told(window), "an open cell is part of the table"
    window.figure.setFocus()
    assert "arrows" in told(window)


def test_what_is_typed_after_a_tab_was_clicked_goes_into_no_hidden_pane(
    window: MainWindow, qtbot: QtBot
) -> None:
    document = window.session.document
    window.panes.bring("legend")
    window.legend.table.setFocus()
    direct = Qt.FindChildOption.FindDirectChildrenOnly
    row = next(
        row
        for row in window.findChildren(QTabBar, options=direct)
        if row.isVisible() and row.tabText(0) == "Legend"
    )
    QTest.mouseClick(row, Qt.MouseButton.LeftButton, pos=row.tabRect(1).center())
    dock = window.panes.docks["survey"]
    qtbot.waitUntil(lambda: not dock.visibleRegion().isEmpty())
    qtbot.waitUntil(window.survey.grid.hasFocus)
    qtbot.waitUntil(lambda: window.survey.grid.contact is not None)
    QTest.keyClicks(QApplication.focusWidget() or window, "l")
    assert window.session.document.cavities == document.cavities
    assert window.session.document.readings != document.readings
