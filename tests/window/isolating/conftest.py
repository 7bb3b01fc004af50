"""The whole window over the demo map, nothing noted of its damage, the pane in front.

The pane is as tall as the window, so that its three parts are seen together.
"""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.main_window import MainWindow
from tests.analysis.isolation.sample_cars import bare, shipped
from tests.window_fixtures import OpenMap


@pytest.fixture
def window(open_map: OpenMap) -> MainWindow:
    """A window with the demo map."""
    made = open_map(bare(shipped("demo")))
    made.resize(1280, 800)
    return made


@pytest.fixture
def pane(window: MainWindow, qtbot: QtBot) -> FaultPanel:
    """The pane in front, its first answer there, large and on its own."""
    dock = window.panes.docks["fault"]
    dock.setFloating(True)
    dock.move(QPoint(0, 0))
    dock.resize(700, 900)
    window.panes.bring("fault")
    searcher = window.fault.searcher
    qtbot.waitUntil(lambda: searcher.latest is not None, timeout=20_000)
    dock.activateWindow()
    QApplication.processEvents()
    return window.fault
