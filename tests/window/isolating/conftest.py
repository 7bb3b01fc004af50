"""The whole window over the demo map, nothing noted of its damage, the pane in front.

The pane is as tall as the window, so that its three parts are seen together.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.resources import layout
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.main_window import MainWindow
from tests.window_fixtures import OpenMap


def demo_unsearched() -> Map:
    """Return the demo map without readings and without what is noted of damage."""
    path = layout("demo")
    document = read_map(path.read_bytes(), path.name).document
    cavities = {}
    for identity, cavity in document.cavities.items():
        contacts = {
            name: replace(
                contact,
                condition=None,
                wires=tuple(replace(wire, condition=None) for wire in contact.wires),
            )
            for name, contact in cavity.contacts.items()
        }
        cavities[identity] = replace(cavity, contacts=contacts, fuse=None, housing=None)
    return replace(document, cavities=cavities, readings={})


@pytest.fixture
def window(open_map: OpenMap) -> MainWindow:
    """A window with the demo map."""
    made = open_map(demo_unsearched())
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
