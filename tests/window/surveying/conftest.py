"""The whole window with the survey in front, over a map not surveyed yet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.resources import layout
from blockmap.window.main_window import MainWindow
from blockmap.window.surveying.panel import SurveyPanel
from tests.window_fixtures import OpenMap

Open = Callable[[Map], SurveyPanel]


def shipped(stem: str) -> Map:
    """Return a shipped map without its readings."""
    path = layout(stem)
    document = read_map(path.read_bytes(), path.name).document
    return replace(document, readings={})


@pytest.fixture
def window(open_map: OpenMap) -> MainWindow:
    """A window with no map yet."""
    made = open_map(None)
    made.resize(1280, 800)
    return made


@pytest.fixture
def open_survey(window: MainWindow, qtbot: QtBot) -> Open:
    """Open a map in the window with its survey in front, by the command."""

    def opened(document: Map) -> SurveyPanel:
        window.map_file.start(document)
        QApplication.processEvents()
        dock = window.panes.docks["survey"]
        dock.setFloating(True)
        dock.move(QPoint(0, 0))
        dock.resize(700, 760)
        window.actions_by_name["survey"].trigger()
        dock.activateWindow()
        qtbot.waitUntil(window.survey.grid.hasFocus)
        QApplication.processEvents()
        return window.survey

    return opened


@pytest.fixture
def pane(open_survey: Open) -> SurveyPanel:
    """The survey of the demo map."""
    return open_survey(shipped("demo"))
