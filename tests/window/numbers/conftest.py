"""The whole window over an invented panel with loads, a wire and a strip."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from blockmap.model.document import (
    Block,
    Car,
    Cavity,
    Contact,
    Load,
    Map,
    Strip,
    Wire,
)
from blockmap.window.main_window import MainWindow
from tests.window_fixtures import OpenMap


def _fuse(number: int, *loads: Load, **more: object) -> Cavity:
    fields: dict[str, object] = {
        "own": f"F{number}",
        "x_mm": 15.0 + 20 * number,
        "y_mm": 25.0,
        "width_mm": 19.1,
        "height_mm": 5.1,
        "turn_deg": 90.0,
        "feed_end": "start",
        "form": "medium blade",
        "rating_a": 20.0,
        "circuit": f"circuit {number}",
        "legend": f"C{number}",
        **more,
    }
    identity = f"panel/F{number}"
    return Cavity(id=identity, block="panel", loads=loads, **fields)  # type: ignore[arg-type]


def panel_map() -> Map:
    """Return F1 with 16 A all the time, F2 with 30 A fitted for 20, F3 healthy."""
    wire = Contact(wires=(Wire(gauge="16 AWG", length_m=4.0),))
    cavities = (
        _fuse(1, Load(name="fan", amps_a=16.0, duty="continuous")),
        _fuse(2, Load(name="horn", amps_a=5.0), fitted_a=30.0),
        _fuse(3, Load(name="lamp", amps_a=10.0), contacts={"load": wire}),
    )
    strip = Strip(
        id="panel/BAT",
        block="panel",
        name="BAT",
        members=("F1.feed", "F2.feed", "F3.feed"),
        supply_gauge="10 AWG",
        fed_from="battery",
    )
    return Map(
        car=Car(name="Demo"),
        blocks={"panel": Block(id="panel", name="Panel", width_mm=135, height_mm=105)},
        cavities={cavity.id: cavity for cavity in cavities},
        strips={strip.id: strip},
    )


@pytest.fixture
def window(open_map: OpenMap, qtbot: QtBot) -> MainWindow:
    """A window with the panel, checked once."""
    made = open_map(panel_map())
    made.resize(1280, 800)
    qtbot.waitUntil(lambda: made.checker.result is not None)
    return made
