"""Holds what tests cost in minutes of work, and how often kinds of part fail.

Every figure is common practice, no source. They choose between readings and rank
suspects; none is a fact of a car, and each may be set anew in a map.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from blockmap.reference.sources import COMMON_PRACTICE_NOTE, Sourced, Status

__all__ = [
    "LAMP_W",
    "MOST_MIN",
    "MOST_ODDS",
    "ODDS_ROWS",
    "WORK_ROWS",
    "OddsRow",
    "WorkRow",
]

MOST_MIN = 600.0
"""Longest work that can be set, in minutes."""
LAMP_W = 55.0
"""Watts of the lamp put in a fuse's place, as a headlamp bulb: common practice."""
MOST_ODDS = 1000.0
"""Largest odds that can be set."""


@dataclass(frozen=True, slots=True)
class WorkRow:
    """What one kind of work is called, what it is, and its usual minutes."""

    label: str
    help: str
    default: Sourced


@dataclass(frozen=True, slots=True)
class OddsRow:
    """How often a kind of part fails, to one another: three figures without unit."""

    label: str
    open: float
    resistance: float
    short: float
    note: str = COMMON_PRACTICE_NOTE


def _work(label: str, help_text: str, minutes: float) -> WorkRow:
    usual = Sourced(minutes, "min", Status.COMMON_PRACTICE, (), COMMON_PRACTICE_NOTE)
    return WorkRow(label, help_text, usual)


WORK_ROWS: Mapping[str, WorkRow] = MappingProxyType(
    {
        "front_min": _work("At the front", "to reach a test point of the front", 1.0),
        "trim_min": _work("Behind the trim", "to reach what a panel covers", 4.0),
        "rear_min": _work("Block down", "to take the block down and reach behind", 7.0),
        "seat_min": _work("Seat out", "to reach what lies under a seat", 12.0),
        "each_min": _work(
            "Any reading", "to think, set up and write down, whatever the test", 2.0
        ),
        "look_min": _work("Look at a fuse", "to see whether its element is whole", 0.7),
        "operate_min": _work("Work a switch", "to switch a load on and see", 0.5),
        "pull_min": _work("Pull a fuse", "to pull one and put it back", 0.5),
        "lamp_min": _work("Lamp in place", "to put a lamp in a fuse's place", 2.0),
        "unplug_min": _work("Unplug a branch", "to part a plug and join it again", 3.0),
    }
)  # fmt: skip

ODDS_ROWS: Mapping[str, OddsRow] = MappingProxyType(
    {
        "battery": OddsRow("Battery", 0.2, 0.2, 0.0),
        "battery ground": OddsRow("Battery ground", 0.4, 0.6, 0.0),
        "switch": OddsRow("Switch", 1.0, 1.0, 0.0),
        "supply wire": OddsRow("Supply wire", 0.3, 0.3, 0.05),
        "strip": OddsRow("Strip", 0.1, 0.3, 0.02),
        "jumper": OddsRow("Jumper wire", 0.3, 0.3, 0.05),
        "contact": OddsRow("Contact", 1.0, 2.0, 0.02),
        "fuse": OddsRow("Fuse", 3.0, 0.4, 0.0),
        "breaker": OddsRow("Breaker", 1.0, 0.5, 0.0),
        "link": OddsRow("Link", 0.6, 0.2, 0.0),
        "relay": OddsRow("Relay, its contacts", 1.5, 0.8, 0.0),
        "coil": OddsRow("Relay, its coil", 1.0, 0.0, 0.0),
        "flasher": OddsRow("Flasher", 1.5, 0.5, 0.0),
        "control": OddsRow("Switch of a load", 1.2, 0.6, 0.05),
        "wire": OddsRow("Wire", 0.5, 0.4, 0.5),
        "connector": OddsRow("Connector", 0.8, 1.0, 0.05),
        "load": OddsRow("Load", 2.0, 0.3, 0.5),
        "ground": OddsRow("Ground of a load", 0.8, 1.2, 0.0),
    }
)
"""Open, added resistance, short to ground, by kind of part: contacts, grounds and lamps
before wires, a fuse before all. A nought says that the fault is not looked for."""
