"""By keys alone: Tab and F6 lead only to what can be seen, and nothing holds them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QApplication,
    QDockWidget,
    QScrollArea,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.resources import layout
from blockmap.window.main_window import MainWindow
from blockmap.window.panes import PANES
from blockmap.window.preferences import Preferences
from blockmap.window.settings import Settings
from tests.window_fixtures import OpenMap

KEY = Qt.Key
SIZES = {"low": (640, 360), "tall": (790, 750)}


@pytest.fixture(params=SIZES)
def window(
    request: pytest.FixtureRequest, open_map: OpenMap, qtbot: QtBot
) -> MainWindow:
    """The demo map in a low window and in a tall one, one place selected."""
    path = layout("demo")
    made = open_map(read_map(path.read_bytes(), path.name).document)
    made.resize(*SIZES[request.param])
    qtbot.waitUntil(lambda: made.panes.low.joined is (request.param == "low"))
    made.selection.select(["panel/F11"])
    return made


def covered(part: QWidget) -> bool:
    """Tell whether a part is in a pane that another pane covers."""
    above: QWidget | None = part
    while above is not None and not isinstance(above, QDockWidget):
        above = above.parentWidget()
    return above is not None and above.visibleRegion().isEmpty()


def focus() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


@pytest.mark.parametrize("key", [KEY.Key_Tab, KEY.Key_Backtab])
@pytest.mark.parametrize("name", [pane.name for pane in PANES])
def test_tab_never_wanders_into_a_pane_that_is_covered(
    window: MainWindow, qtbot: QtBot, name: str, key: Qt.Key
) -> None:
    window.panes.bring(name)
    dock = window.panes.docks[name]
    qtbot.waitUntil(lambda: not dock.visibleRegion().isEmpty())
    window.panes.made(next(p for p in PANES if p.name == name)).setFocus()
    left = False
    for _ in range(120):
        before = focus()
        QTest.keyClick(before, key)
        if focus() is before:  # a table keeps Tab for its cells
            QTest.keyClick(before, key, Qt.KeyboardModifier.ControlModifier)
        assert not covered(focus()), focus()
        left = left or not dock.isAncestorOf(focus())
    assert left, "no pane holds the keyboard"


def test_f6_leads_round_to_what_can_be_typed_into_or_rolled(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.figure.setFocus()
    seen = set()
    for _ in range(2 * len(PANES)):
        QTest.keyClick(focus(), KEY.Key_F6)
        qtbot.waitUntil(lambda: not covered(focus()))
        assert focus().focusPolicy() & Qt.FocusPolicy.TabFocus, focus()
        seen |= {n for n, d in window.panes.docks.items() if d.isAncestorOf(focus())}
    assert seen == set(window.panes.docks)


def test_tab_brings_each_field_of_the_preferences_into_sight(
    qtbot: QtBot, settings: Settings
) -> None:
    page = Preferences(settings)
    qtbot.addWidget(page)
    page.resize(400, 250)
    page.show()
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    area = page.findChild(QScrollArea)
    assert area is not None
    for _ in range(16):
        QTest.keyClick(page.focusWidget() or page, KEY.Key_Tab)
        now = focus()
        assert now is not area, "the area itself shows no focus"
        if area.isAncestorOf(now):
            room = area.viewport()
            top = now.mapTo(room, QPoint(0, 0)).y()
            assert 0 <= top < room.height(), now
    assert not isinstance(focus(), QAbstractScrollArea)
