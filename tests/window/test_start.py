"""What the first frame does not need is built after it, and is there when asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QLabel,
    QLineEdit,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.files.store import load
from blockmap.resources import layout
from blockmap.window.main_window import MainWindow
from blockmap.window.panes import PANES
from blockmap.window.settings import Settings
from tests.starts import REAL, first_frame

NOT_BEFORE_ANY_FRAME = (
    "blockmap.analysis",
    "blockmap.sheets",
    "blockmap.window.behind.panel",
    "blockmap.window.findings_panel",
    "blockmap.window.inspector.panel",
    "blockmap.window.isolating.panel",
    "blockmap.window.legend.panel",
    "blockmap.window.numbers.panel",
    "blockmap.window.preferences",
    "blockmap.window.sheet_preview",
    "PIL",
    "numpy",
    "pypdfium2",
    "reportlab",
    "shapely",
)
NOT_BEFORE_THE_START_PAGE = (
    *NOT_BEFORE_ANY_FRAME,
    "blockmap.drawing.figure",
    "blockmap.files.map_reader",
    "blockmap.files.recovery",
    "blockmap.model.edits",
    "blockmap.window.canvas",
    "blockmap.window.checker",
    "blockmap.window.desk",
    "blockmap.window.dialogs",
    "blockmap.window.map_file",
    "blockmap.window.safekeeping",
    "yaml",
)


def test_the_start_page_is_painted_before_what_only_a_map_needs(tmp_path: Path) -> None:
    _, there = first_frame(REAL, tmp_path)
    assert "blockmap.window.start_page" in there
    assert [name for name in NOT_BEFORE_THE_START_PAGE if name in there] == []


def test_a_map_is_in_the_first_frame_and_its_panes_come_after(tmp_path: Path) -> None:
    _, there = first_frame(REAL, tmp_path, str(layout("demo")))
    assert "blockmap.window.canvas.figure_view" in there
    assert [name for name in NOT_BEFORE_ANY_FRAME if name in there] == []


@pytest.fixture
def demo(qtbot: QtBot, settings: Settings) -> MainWindow:
    """The demo, shown but not painted yet."""
    return _opened(qtbot, settings)


def _opened(qtbot: QtBot, settings: Settings) -> MainWindow:
    window = MainWindow(settings)
    qtbot.addWidget(window)
    window.map_file.start(load(layout("demo")).document)
    window.show()
    return window


def _first_frame(window: MainWindow) -> None:
    while not window.after_frame.painted:
        QApplication.processEvents()


def _said(pane: QWidget) -> list[str]:
    """Return every word that a pane shows."""
    said: list[str] = []
    for part in pane.findChildren(QWidget):
        if not part.isVisible():
            continue
        if isinstance(part, (QLabel, QAbstractButton, QLineEdit)):
            said.append(part.text())
        elif isinstance(part, QAbstractItemView) and part.model() is not None:
            model = part.model()
            said += [
                str(model.index(row, column).data())
                for row in range(model.rowCount())
                for column in range(model.columnCount())
            ]
    return said


def _choose_tab(window: MainWindow, title: str) -> None:
    """Click the tab of a pane; one that stands alone has none."""
    for bar in window.findChildren(QTabBar):
        for number in range(bar.count()):
            if bar.tabText(number).startswith(title):
                QTest.mouseClick(
                    bar,
                    Qt.MouseButton.LeftButton,
                    pos=bar.tabRect(number).center(),
                )


@pytest.mark.parametrize("name", [pane.name for pane in PANES])
def test_a_pane_is_complete_when_its_tab_is_chosen_at_once(
    qtbot: QtBot, demo: MainWindow, settings: Settings, name: str
) -> None:
    _first_frame(demo)
    dock = demo.panes.docks[name]
    in_sight = not dock.visibleRegion().isEmpty()
    _choose_tab(demo, dock.windowTitle())
    if in_sight:  # its turn comes next
        qtbot.waitUntil(lambda: dock.widget() is not None)
    assert dock.widget() is not None
    qtbot.waitUntil(lambda: not dock.widget().visibleRegion().isEmpty())
    settled = _opened(qtbot, settings)
    qtbot.waitUntil(lambda: settled.after_frame.done)
    other = settled.panes.docks[name]
    _choose_tab(settled, other.windowTitle())
    assert _said(other.widget()), "a pane says something of the demo"
    qtbot.waitUntil(lambda: _said(dock.widget()) == _said(other.widget()))


KEYS: tuple[tuple[Qt.Key, Qt.KeyboardModifier, Callable[[MainWindow], QWidget]], ...]
KEYS = (
    (Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier, lambda w: w.legend),
    (Qt.Key.Key_F7, Qt.KeyboardModifier.NoModifier, lambda w: w.numbers),
    (Qt.Key.Key_F9, Qt.KeyboardModifier.NoModifier, lambda w: w.behind),
    (Qt.Key.Key_F12, Qt.KeyboardModifier.NoModifier, lambda w: w.fault),
)


@pytest.mark.parametrize(("key", "with_", "pane"), KEYS)
def test_the_key_of_a_pane_works_before_the_pane_is_made(
    qtbot: QtBot,
    demo: MainWindow,
    key: Qt.Key,
    with_: Qt.KeyboardModifier,
    pane: Callable[[MainWindow], QWidget],
) -> None:
    demo.activateWindow()
    qtbot.waitUntil(demo.isActiveWindow)
    _first_frame(demo)
    QTest.keyClick(demo.figure, key, with_)
    shown = pane(demo)
    qtbot.waitUntil(lambda: shown.isVisible() and not shown.visibleRegion().isEmpty())


def test_everything_is_made_soon_after_the_start_page(
    qtbot: QtBot, settings: Settings
) -> None:
    window = MainWindow(settings)
    qtbot.addWidget(window)
    window.show()
    qtbot.waitUntil(lambda: window.after_frame.done)
    assert all(dock.widget() is not None for dock in window.panes.docks.values())
    assert not any(dock.isVisible() for dock in window.panes.docks.values())
    assert window.start_page.isVisible()
    window.map_file.start(load(layout("demo")).document)
    assert all(dock.isVisible() for dock in window.panes.docks.values())
    assert window.figure.isVisible()


def test_what_was_found_before_the_pane_is_on_the_figure(
    qtbot: QtBot, settings: Settings
) -> None:
    # The checks may end before anything that shows them is made.
    window = MainWindow(settings)
    qtbot.addWidget(window)
    window.map_file.start(load(layout("saloon-ceramic-row")).document)
    with qtbot.waitSignal(window.checker.checked):
        pass
    window.show()
    qtbot.waitUntil(lambda: window.figure.findings.get("panel/9") == "error")
    window.session.mark_saved()
