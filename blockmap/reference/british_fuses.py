"""Holds the ratings of British glass fuses, whose printed figure is not their rating.

The figure on the label is the current at which the fuse melts, twice what it carries
all the time. A fuse of another country with the same figure carries twice as much.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Sourced, Status

__all__ = ["BRITISH_FUSES", "BritishFuse", "continuous_of_printed"]

_SOURCES = (doc.BRITISH_GLASS_LIST, doc.BRITISH_GLASS_CLUB, doc.BRITISH_GLASS_READ)


@dataclass(frozen=True, slots=True)
class BritishFuse:
    """One label: its colour, and three currents in amps.

    ``printed_a`` is the current that melts it in time, ``at_once_a`` at once.
    """

    colour: str
    continuous_a: float
    at_once_a: float
    printed_a: float


BRITISH_FUSES: Final = (
    BritishFuse("blue", 1.5, 3.5, 3),
    BritishFuse("yellow", 2.25, 5, 4.5),
    BritishFuse("red on yellow", 2.5, 6, 5),
    BritishFuse("green", 3, 7, 6),
    BritishFuse("nut brown", 4, 10, 8),
    BritishFuse("red on green", 5, 12, 10),
    BritishFuse("green on black", 5, 12, 10),
    BritishFuse("red on brown", 6, 14, 12),
    BritishFuse("light brown", 7.5, 18, 15),
    BritishFuse("pink", 12.5, 30, 25),
    BritishFuse("white", 17.5, 40, 35),
    BritishFuse("purple on yellow", 25, 60, 50),
    BritishFuse("yellow on red", 30, 75, 60),
)
"""The labels, the smallest first. Source: owners' mailing list and two more pages."""


def continuous_of_printed(printed_a: float) -> Sourced:
    """Return the amps that a British glass fuse of a printed figure carries for long.

    Source: `BRITISH_FUSES`; half the printed figure also where the list has no row.
    """
    listed = any(fuse.printed_a == printed_a for fuse in BRITISH_FUSES)
    return Sourced(
        printed_a / 2,
        "A",
        Status.VERIFIED if listed else Status.DERIVED,
        _SOURCES,
        "the printed figure is the current that melts the fuse, twice what it carries",
    )
