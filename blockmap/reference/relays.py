"""Holds what is known of plug-in relays: contacts, layouts, coil, and socket numbers.

Two layouts of the same cube have their supply and coil contacts swapped: a relay of
one in the place of the other connects the supply wrongly. The numbers of micro relays
are from memory, the order of their coil contacts uncertain: ask, do not assume.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Sourced, Status

__all__ = [
    "COIL_MA",
    "COIL_OHM",
    "CONTACT_RATING_A",
    "MICRO_NUMBERS",
    "RELAY_CONTACTS",
    "RELAY_FACTS",
    "TRAILER_SOCKET",
    "TrailerContact",
]

_SOURCES = (doc.RELAY_LAYOUTS, doc.RELAY_RATINGS)

RELAY_CONTACTS: Mapping[str, str] = MappingProxyType(
    {
        "30": "common, supply",
        "85": "coil, ground",
        "86": "coil, supply",
        "87": "joined with 30 when the coil is on",
        "87a": "joined with 30 at rest (five contacts only)",
        "87b": "second output, joined with 87",
    }
)
"""Contacts of a plug-in relay. Source: two trade articles, VERIFIED."""

RELAY_FACTS: Final = (
    ("Layouts", "type A and type B: 86 and 30 are swapped"),
    ("Coil polarity", "supply on 86, ground on 85; either way unless a diode is in it"),
    ("Tab widths", "6.3 mm usual; 2.8, 4.8 and 9.5 mm on others"),
    ("At rest", "30 joined with 87a; with the coil on, 30 joined with 87"),
)
"""What else the two trade articles say, VERIFIED."""

CONTACT_RATING_A: Final = (
    Sourced(25.0, "A", Status.VERIFIED, _SOURCES, "least contact rating met"),
    Sourced(
        40.0,
        "A",
        Status.VERIFIED,
        _SOURCES,
        "most contact rating met; the contact closed at rest bears less, as 30 of 40 A",
    ),
)
COIL_MA: Final = (
    Sourced(150.0, "mA", Status.VERIFIED, _SOURCES, "coil at 12 V, least"),
    Sourced(200.0, "mA", Status.VERIFIED, _SOURCES, "coil at 12 V, most"),
)
COIL_OHM: Final = (
    Sourced(60.0, "Ω", Status.VERIFIED, _SOURCES, "coil for 12 V, least"),
    Sourced(80.0, "Ω", Status.VERIFIED, _SOURCES, "coil for 12 V, most"),
)
MICRO_NUMBERS: Mapping[str, Sourced] = MappingProxyType(
    {
        number: Sourced(float(number), "", Status.MEMORY, (), f"{means}, {MEMORY_NOTE}")
        for number, means in (
            ("1", "86 or 85, coil"),
            ("2", "85 or 86, coil"),
            ("3", "30, common"),
            ("4", "87a, closed at rest"),
            ("5", "87, closed when the coil is on"),
        )
    }
)
"""Numbers on micro relays and what they may mean."""


@dataclass(frozen=True, slots=True)
class TrailerContact:
    """One contact of the 7-pole socket: its use and the wire the page recommends."""

    contact: str
    use: str
    wire_mm2: float
    status: Status = Status.VERIFIED
    sources: tuple[Source, ...] = (doc.TRAILER_PAGE,)


TRAILER_SOCKET: Final = (
    TrailerContact("L", "left indicator", 1.5),
    TrailerContact("54g", "additional equipment", 2.5),
    TrailerContact("31", "ground", 2.5),
    TrailerContact("R", "right indicator", 1.5),
    TrailerContact("58R", "right lamps", 1.5),
    TrailerContact("54", "brake lamps", 1.5),
    TrailerContact("58L", "left lamps", 1.5),
)
"""Contacts 1 to 7 of the 12 V socket; licence lamps go on 58R and 58L."""
