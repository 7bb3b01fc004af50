"""Lists the fixed words of the trade that a map uses for states and judgements.

The words are those a person would say under the dash. A map may add key and switch
states of its own; it may not add conditions, severities or stages of repair.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = [
    "CONDITIONS",
    "EVIDENCE_WORDS",
    "JUDGED_BY",
    "KEY_STATES",
    "LOAD_HABITS",
    "POLARITIES",
    "REPAIR_STAGES",
    "SEVERITIES",
    "SWITCH_STATES",
    "SYSTEM_VOLTS",
    "VIEWS",
]

CONDITIONS: Final = (
    "sound",
    "spread",
    "backed out",
    "corroded",
    "heat-marked",
    "annealed",
    "loose rivet",
    "broken",
    "missing",
    "wrong terminal",
    "wire cooked",
    "untested",
)
"""What can be said of a contact, wire, housing or fuse; 'spread' has lost its grip,
'annealed' its temper."""

SEVERITIES: Mapping[int, str] = MappingProxyType(
    {1: "watch", 2: "repair soon", 3: "do not use as is"}
)

REPAIR_STAGES: Final = (
    "found",
    "watch",
    "interim",
    "part wanted",
    "ordered",
    "received",
    "fitted",
    "proved",
    "retired",
)
"""The life of a repair, in order."""

KEY_STATES: Final = ("KEY OUT", "OFF", "ACC", "RUN", "START")
SWITCH_STATES: Final = ("PARK", "HEAD LOW", "HEAD HIGH", "BRAKE")

EVIDENCE_WORDS: Final = ("seen", "book", "guess", "unknown")
"""How a fact is known: seen on the car, from the book, a guess, or not at all."""

JUDGED_BY: Final = (
    "seen",
    "grip test",
    "tug test",
    "millivolts across",
    "volts to ground",
    "resistance",
    "test lamp",
    "warm to the touch",
    "pulled one at a time",
    "told by an earlier owner",
)
"""How a condition or a fact was judged."""

LOAD_HABITS: Final = ("continuous", "intermittent", "in-rush")
SYSTEM_VOLTS: Final = (6, 12, 24)
POLARITIES: Final = ("negative ground", "positive ground")
VIEWS: Final = ("front", "rear", "flipped", "turned 180")
