"""Holds what is assumed where a map is silent: resistances, odds of faults, work.

Every figure here is common practice, no source, unless it says otherwise; each can be
replaced. They rank suspects and choose readings; none is shown as a fact of the car.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

__all__ = [
    "CONDITION_FAULTS",
    "SEVERITY_ODDS",
    "Access",
    "Assumptions",
    "Work",
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
    {
        # kind: open, added resistance, short to ground
        "battery": (0.2, 0.2, 0.0),
        "battery ground": (0.4, 0.6, 0.0),
        "switch": (1.0, 1.0, 0.0),
        "supply wire": (0.3, 0.3, 0.05),
        "strip": (0.1, 0.3, 0.02),
        "jumper": (0.3, 0.3, 0.05),
        "contact": (1.0, 2.0, 0.02),
        "fuse": (3.0, 0.4, 0.0),
        "breaker": (1.0, 0.5, 0.0),
        "link": (0.6, 0.2, 0.0),
        "relay": (1.5, 0.8, 0.0),
        "coil": (1.0, 0.0, 0.0),
        "flasher": (1.5, 0.5, 0.0),
        "control": (1.2, 0.6, 0.05),
        "wire": (0.5, 0.4, 0.5),
        "connector": (0.8, 1.0, 0.05),
        "load": (2.0, 0.3, 0.5),
        "ground": (0.8, 1.2, 0.0),
    }
)
"""How often a part of a kind fails open, gains resistance, or touches ground, to one
another. Common practice, no source: contacts, grounds and lamps before wires, a fuse
before all."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a test costs, in minutes of work. Common practice, no source."""

    access_min: Mapping[str, float] = field(
        default_factory=lambda: MappingProxyType(
            {Access.FRONT: 1.0, Access.TRIM: 4.0, Access.REAR: 7.0, Access.SEAT: 12.0}
        )
    )
    each_min: float = 2.0
    """Thinking, setting up and writing down, for whatever test."""
    look_min: float = 0.7
    operate_min: float = 0.5
    lamp_min: float = 2.0
    unplug_min: float = 3.0
    pull_min: float = 0.5
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
    meter_v: float = 0.02
    meter_share: float = 0.005
    drop_doubt: float = 0.3
    """Share by which the drop of a sound part may differ from the assumed one."""
    current_doubt: float = 0.04
    slip_share: float = 0.001
    """How often a reading is noted wrong."""
    second_contact: float = 0.15
    """How often heat at one contact of a fuse has spoilt the other as well."""
    pair_share: float = 0.2
    wrong_count: float = 0.15
    swapped: float = 0.05
    nothing_wrong: float = 0.5
