"""Holds what is assumed where a map is silent: resistances, odds, work, the lamp.

Every figure here is common practice, no source, unless it says otherwise; each can be
replaced. They rank suspects and choose readings; none is shown as a fact of the car.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from blockmap.model.assumed import ODDS_KEYS
from blockmap.model.document import Map
from blockmap.reference.work_rows import LAMP_W, ODDS_ROWS, WORK_ROWS

__all__ = [
    "CONDITION_FAULTS",
    "SEVERITY_ODDS",
    "Access",
    "Assumptions",
    "Work",
    "assumptions_of",
]

OPEN: Final = "open"
RESISTANCE: Final = "added resistance"
SHORT: Final = "short to ground"
STUCK: Final = "stuck closed"
BACK_FED: Final = "back-fed"
IDENTITY: Final = "wrong cavity"

_RESISTANCE_OHM: Mapping[str, float] = MappingProxyType(
    {
        "battery": 0.010,
        "battery ground": 0.001,
        "switch": 0.006,
        "strip": 0.0003,
        "contact": 0.002,
        "breaker": 0.004,
        "link": 0.002,
        "relay": 0.006,
        "coil": 0.00001,
        "flasher": 0.030,
        "control": 0.010,
        "connector": 0.003,
        "ground": 0.005,
    }
)
"""Ohms of a sound part by kind. Common practice, no source."""

_ODDS: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {kind: (row.open, row.resistance, row.short) for kind, row in ODDS_ROWS.items()}
)
"""How often a part of a kind fails open, gains resistance, or touches ground, to one
another."""

SEVERITY_ODDS: Final = MappingProxyType({None: 3.0, 1: 4.0, 2: 12.0, 3: 40.0})
"""How much likelier a recorded condition makes its fault, by severity. No source."""

CONDITION_FAULTS: Final = MappingProxyType(
    {
        "spread": (RESISTANCE, OPEN),
        "backed out": (OPEN, RESISTANCE),
        "corroded": (RESISTANCE,),
        "heat-marked": (RESISTANCE,),
        "annealed": (RESISTANCE,),
        "loose rivet": (RESISTANCE, OPEN),
        "broken": (OPEN,),
        "missing": (OPEN,),
        "wrong terminal": (RESISTANCE,),
        "wire cooked": (RESISTANCE, SHORT),
    }
)
"""What faults a recorded condition points to, by the words of the trade."""


class Access:
    """How a place is reached; the words are shown."""

    FRONT: Final = "front"
    TRIM: Final = "behind the trim"
    REAR: Final = "block down"
    SEAT: Final = "seat out"


_ACCESS_KEYS: Mapping[str, str] = MappingProxyType(
    {
        Access.FRONT: "front_min",
        Access.TRIM: "trim_min",
        Access.REAR: "rear_min",
        Access.SEAT: "seat_min",
    }
)


def _usual(key: str) -> float:
    return WORK_ROWS[key].default.value


def _usual_access() -> Mapping[str, float]:
    usual = {access: _usual(key) for access, key in _ACCESS_KEYS.items()}
    return MappingProxyType(usual)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a test costs, in minutes of work."""

    access_min: Mapping[str, float] = field(default_factory=_usual_access)
    each_min: float = _usual("each_min")
    """Thinking, setting up and writing down, for whatever test."""
    look_min: float = _usual("look_min")
    operate_min: float = _usual("operate_min")
    lamp_min: float = _usual("lamp_min")
    unplug_min: float = _usual("unplug_min")
    pull_min: float = _usual("pull_min")
    block_is_down: bool = False

    def minutes(self, access: str) -> float:
        """Return the minutes to reach a place; a block that hangs already is near."""
        if access == Access.REAR and self.block_is_down:
            return self.access_min[Access.FRONT]
        return self.access_min[access]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """What stands in for what the map does not say."""

    ohms: Mapping[str, float] = field(default_factory=lambda: _RESISTANCE_OHM)
    odds: Mapping[str, tuple[float, float, float]] = field(
        default_factory=lambda: _ODDS
    )
    work: Work = field(default_factory=Work)
    wire_m: float = 2.5
    supply_wire_m: float = 1.5
    jumper_m: float = 0.3
    wire_mohm_per_m: float = 12.0
    fuse_mohm_times_amps: float = 77.0
    load_share: float = 0.4
    load_a: float = 3.0
    charge_over_nominal: float = 1.05
    """Volts of a full battery at rest over the system's: 12.6 V for 12 V."""
    emf_spread: float = 0.04
    lamp_w: float = LAMP_W
    """Watts of the lamp that is put in the place of a fuse."""
    meter_v: float = 0.02
    meter_share: float = 0.005
    drop_doubt: float = 0.3
    """Share by which the drop of a sound part may differ from the assumed one."""
    contact_doubt_v: float = 0.01
    """Volts by which a drop smaller than that may differ, at most twice the drop:
    sound contacts differ several-fold. Common practice, no source."""
    current_doubt: float = 0.04
    slip_share: float = 0.001
    """How often a reading is noted wrong."""
    second_contact: float = 0.15
    """How often heat at one contact of a fuse has spoilt the other as well."""
    pair_share: float = 0.2
    wrong_count: float = 0.15
    swapped: float = 0.05
    nothing_wrong: float = 0.5


def assumptions_of(document: Map) -> Assumptions:
    """Return what holds for a map: its own work and odds, else the defaults."""
    own = document.work
    minutes = {key: _usual(key) for key in WORK_ROWS}
    minutes |= {k: v for k in WORK_ROWS if (v := getattr(own, k)) is not None}
    access = {each: minutes.pop(key) for each, key in _ACCESS_KEYS.items()}
    work = Work(
        access_min=MappingProxyType(access),
        block_is_down=own.block_is_down,
        **minutes,
    )
    odds = dict(_ODDS)
    for key, mine in document.odds.items():
        kind = ODDS_KEYS[key]
        usual = odds[kind]
        held = (mine.open, mine.resistance, mine.short)
        opened, resists, shorts = (
            default if value is None else value
            for default, value in zip(usual, held, strict=True)
        )
        odds[kind] = (opened, resists, shorts)
    lamp_w = LAMP_W if own.lamp_w is None else own.lamp_w
    return Assumptions(odds=MappingProxyType(odds), work=work, lamp_w=lamp_w)
