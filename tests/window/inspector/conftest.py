"""A small invented map and the inspector over it."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.model.document import Block, Car, Cavity, Map
from blockmap.window.inspector.panel import InspectorPanel
from blockmap.window.selection import Selection
from blockmap.window.session import Session


def _map() -> Map:
    cavities = {
        f"panel/F{n}": Cavity(
            id=f"panel/F{n}",
            block="panel",
            own=f"F{n}",
            x_mm=15.0 + 20 * n,
            y_mm=25.0,
            width_mm=19.1,
            height_mm=5.1,
            turn_deg=0 if n == 1 else 90,
            feed_end="start",
            form="medium blade",
            rating_a=20.0 if n < 3 else 10.0,
            legend="STOP",
        )
        for n in (1, 2, 3)
    }
    return Map(
        car=Car(name="Demo", colour_code="north american"),
        blocks={"panel": Block(id="panel", name="Panel", width_mm=135, height_mm=105)},
        cavities=cavities,
    )


@pytest.fixture
def session(qapp: QApplication) -> Session:
    return Session(_map())


@pytest.fixture
def selection(session: Session) -> Selection:
    return Selection(session)


@pytest.fixture
def panel(qtbot: QtBot, session: Session, selection: Selection) -> InspectorPanel:
    made = InspectorPanel(session, selection)
    qtbot.addWidget(made)
    made.resize(640, 480)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made
