"""The whole window over the demo map, with the pane of what is behind in front."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.resources import layout_files
from blockmap.window.main_window import MainWindow
from tests.window_fixtures import OpenMap

Start = Callable[[Map], MainWindow]


def layout(name: str) -> Map:
    """Return a map that ships, by the beginning of its file's name."""
    return load(next(p for p in layout_files() if p.name.startswith(name))).document


@pytest.fixture
def start(open_map: OpenMap, qtbot: QtBot) -> Start:
    """Return what opens a map in a window, the pane Behind in front."""

    def opened(document: Map) -> MainWindow:
        window = open_map(document)
        window.resize(1280, 900)
        window.panes.bring("behind")
        qtbot.waitUntil(window.behind.isVisible)
        QApplication.processEvents()
        return window

    return opened


@pytest.fixture
def demo(start: Start) -> MainWindow:
    """The demo panel, whose strip RUN joins F7, F8, F11 and by a jumper CB1."""
    return start(layout("demo."))


def type_into(editor: QWidget | None, text: str) -> None:
    """Type a text over what stands in a line, and press Enter."""
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Return)
