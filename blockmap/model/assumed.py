"""What a map sets in place of the usual work and odds of the fault search.

The rows follow `WORK_ROWS` and `ODDS_ROWS`; here is only where a map keeps its own.
They choose between readings and rank suspects, and say nothing of the car.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blockmap.model.schema import Shape, prop
from blockmap.reference.work_rows import MOST_MIN, MOST_ODDS, ODDS_ROWS, WORK_ROWS

__all__ = ["ODDS_KEYS", "OwnOdds", "OwnWork"]

ODDS_KEYS = {kind.replace(" ", "-"): kind for kind in ODDS_ROWS}
"""The kinds of part by the key that a map files their odds under."""


def _minutes(key: str) -> Any:
    row = WORK_ROWS[key]
    return prop(row.label, Shape.NUMBER, row.help, unit="min", low=0, high=MOST_MIN)


def _odds(label: str, help_text: str) -> Any:
    return prop(label, Shape.NUMBER, help_text, low=0, high=MOST_ODDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWork:
    """The minutes of work set for this map, and the lamp; None keeps the default."""

    front_min: float | None = _minutes("front_min")
    trim_min: float | None = _minutes("trim_min")
    rear_min: float | None = _minutes("rear_min")
    seat_min: float | None = _minutes("seat_min")
    each_min: float | None = _minutes("each_min")
    look_min: float | None = _minutes("look_min")
    operate_min: float | None = _minutes("operate_min")
    pull_min: float | None = _minutes("pull_min")
    lamp_min: float | None = _minutes("lamp_min")
    unplug_min: float | None = _minutes("unplug_min")
    lamp_w: float | None = prop(
        "Lamp",
        Shape.NUMBER,
        "watts of the lamp that is put in a fuse's place; 55 when not noted",
        unit="W",
        low=1,
        high=200,
    )
    block_is_down: bool = prop(
        "Block is down",
        Shape.FLAG,
        "the block hangs free already: its rear is reached as fast as its front",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnOdds:
    """How often a kind of part fails, to one another; None keeps the default."""

    open: float | None = _odds("Open", "how often it fails open")
    resistance: float | None = _odds("Resistance", "how often it gains resistance")
    short: float | None = _odds("Short", "how often it touches ground")
