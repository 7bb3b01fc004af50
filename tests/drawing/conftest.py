"""Builds the panels that figures are drawn from."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from blockmap.model.document import (
    Block,
    Cavity,
    Condition,
    Contact,
    Evidence,
    InterimMeasure,
    Jumper,
    Map,
    Strip,
)
from blockmap.reference.forms import form_named

_PANELS = Path(__file__).parent.parent / "data" / "panels.json"
_FORMS = {
    "blade": "medium blade",
    "self-reset breaker, blade": "blade breaker",
    "2-pin flasher": "flasher 2-pin",
    "3-pin relay": "relay 3-pin",
    "1/4 in tab": "tab 6.3",
}
_SEEN = {
    key: Evidence(how="seen") for key in ("rating_a", "legend", "feed_end", "fitted_a")
}


def _cavity(place: dict[str, Any]) -> Cavity:
    form = form_named(_FORMS[place["body"]])
    assert form
    kind = {"spare": "blank"}.get(place["kind"], place["kind"])
    # Flashers and relay of this panel are smaller than the usual ones.
    small = kind in ("flasher", "relay")
    return Cavity(
        id=f"P/{place['pos']}",
        block="P",
        kind=kind,
        own=place["pos"],
        x_mm=place["x"],
        y_mm=place["y"],
        width_mm=20.0 if small else form.length_mm,
        height_mm=20.0 if small else form.width_mm,
        turn_deg=90.0 if place["turn"] == "V" else 0.0,
        feed_end="unknown" if place["hot"] == "-" else "start",
        form="" if kind == "blank" else form.name,
        rating_a=place["amps"],
        legend="" if kind == "blank" else place["legend"],
        evidence=_SEEN,
    )


@pytest.fixture(scope="session")
def panel() -> Map:
    """Return the demo panel: 24 places, all forms of a blade panel, nothing damaged."""
    data = json.loads(_PANELS.read_text(encoding="utf-8"))["panels"]["demo"]
    cavities = [_cavity(place) for place in data["places"]]
    width_mm, height_mm = data["block_mm"]
    return Map(
        blocks={"P": Block(id="P", width_mm=width_mm, height_mm=height_mm)},
        cavities={c.id: c for c in cavities},
    )


@pytest.fixture(scope="session")
def worn_panel(panel: Map) -> Map:
    """Return the demo panel with strips, damage, a patch and a doubtful fact."""
    from dataclasses import replace

    cavities = dict(panel.cavities)

    def bad(state: str, severity: int) -> Contact:
        return Contact(condition=Condition(state=state, severity=severity))

    changes: dict[str, dict[str, Any]] = {
        "P/F11": {
            "contacts": {"feed": bad("heat-marked", 3), "load": bad("annealed", 2)},
            "interim": InterimMeasure(what="in-line holder"),
        },
        "P/F5": {"contacts": {"load": bad("spread", 2)}},
        "P/F7": {"contacts": {"load": bad("corroded", 1)}},
        "P/F12": {"fitted_a": 30.0},
        "P/F14": {"rating_a": None},
        "P/F9": {"evidence": {}},
    }
    for key, changed in changes.items():
        cavities[key] = replace(cavities[key], **changed)
    strips = [
        Strip(
            id="P/bat",
            block="P",
            members=("F1.feed", "F2.feed"),
            jumpers=(Jumper(to="F13.feed"), Jumper(to="CB2.feed")),
            lands_at="F1.feed",
        ),
        Strip(
            id="P/acc", block="P", members=("F4.feed", "F5.feed"), lands_at="F5.feed"
        ),
    ]
    return replace(panel, cavities=cavities, strips={s.id: s for s in strips})
