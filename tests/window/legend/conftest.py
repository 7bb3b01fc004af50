"""A small invented map and the legend panel over it."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.model.document import Block, Car, Cavity, Load, Map
from blockmap.window.legend.panel import LegendPanel
from blockmap.window.selection import Selection
from blockmap.window.session import Session

PLACES = (
    ("F1", 20.0, "STOP-HAZ", "stop lamps"),
    ("F2", 20.0, "CTSY-CLK", "clock"),
    ("F3", 5.0, "INST LPS", "dash lamps"),
    ("F4", 25.0, "WIPER", "wiper"),
    ("F5", 10.0, "RADIO", "radio"),
    ("F6", 15.0, "FUEL PUMP", "fuel pump"),
    ("F10", None, "", ""),
    ("F11", None, "", ""),
)


def small_map() -> Map:
    """Eight blade cavities in one row, and a second block with one."""
    cavities = {}
    for number, (name, rating, legend, load) in enumerate(PLACES):
        id_ = f"panel/{name}"
        cavities[id_] = Cavity(
            id=id_,
            block="panel",
            own=name,
            x_mm=15.0 + 20 * number,
            y_mm=15,
            width_mm=19.1,
            height_mm=5.1,
            turn_deg=90,
            form="medium blade",
            rating_a=rating,
            legend=legend,
            loads=(Load(name=load),) if load else (),
        )
    cavities["box/A"] = Cavity(
        id="box/A",
        block="box",
        own="A",
        x_mm=10,
        y_mm=10,
        width_mm=19.1,
        height_mm=5.1,
        form="medium blade",
        legend="HORN",
    )
    return Map(
        car=Car(name="Demo", colour_code="north american"),
        blocks={
            "panel": Block(id="panel", name="Panel", width_mm=180, height_mm=60),
            "box": Block(id="box", name="Box", width_mm=60, height_mm=40),
        },
        cavities=cavities,
    )


@pytest.fixture
def session(qapp: QApplication) -> Session:
    return Session(small_map())


@pytest.fixture
def selection(session: Session) -> Selection:
    return Selection(session)


@pytest.fixture
def panel(qtbot: QtBot, session: Session, selection: Selection) -> LegendPanel:
    made = LegendPanel(session, selection)
    qtbot.addWidget(made)
    made.resize(900, 420)
    made.show()
    made.activateWindow()
    made.table.setFocus()
    qtbot.waitUntil(made.table.hasFocus)
    return made
