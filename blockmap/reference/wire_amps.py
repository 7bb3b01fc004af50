"""Holds what lists of the trade let a wire carry, and the largest fuse they give it.

The lists are stricter than what factory looms do and disagree with one another: they
are advice. The law for boats (`conductors`) is the upper bound; a fuse may lie above
it by half.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "AREA_AMPS_50C",
    "AREA_AMPS_CLUB",
    "CHASSIS_AMPS",
    "CONTINUOUS_A_PER_MM2",
    "FUSE_BY_AREA",
    "FUSE_BY_GAUGE",
    "FUSE_OVER_WIRE",
    "SHORT_A_PER_MM2",
    "USUAL_SECTIONS",
    "listed_fuse",
]

FUSE_OVER_WIRE: Final = Sourced(
    1.5,
    "",
    Status.VERIFIED,
    (doc.BOAT_FUSES, doc.SHIP_FUSES),
    "a fuse must not pass 150 % of the amps of the wire (boats, under 50 V)",
)

FUSE_BY_GAUGE: Mapping[str, float] = MappingProxyType(
    {
        "16": 7.5,
        "14": 15,
        "12": 20,
        "10": 30,
        "8": 50,
        "6": 80,
        "4": 125,
        "2": 200,
        "1": 250,
        "1/0": 325,
        "2/0": 400,
    }
)
"""Largest fuse in amps by AWG. Source: a fuse seller's list and a club page."""

FUSE_BY_AREA: Mapping[float, float] = MappingProxyType(
    {0.75: 3, 1.0: 6, 1.5: 8, 2.5: 16, 4.0: 25}
)
"""Largest fuse in amps by mm². Source: a club page; steps of ceramic fuses."""

AREA_AMPS_50C: Mapping[float, float] = MappingProxyType(
    {
        1.0: 13.5,
        1.5: 17.0,
        2.5: 22.7,
        4.0: 29.8,
        6.0: 38.3,
        10.0: 51.8,
        16.0: 69.6,
        25.0: 91.6,
        35.0: 112.0,
    }
)
"""Amps for ever by mm² at 50 °C. Source: a club page, which advises half of them."""

AREA_AMPS_CLUB: Mapping[float, float] = MappingProxyType(
    {
        1.5: 16,
        2.5: 20,
        4.0: 30,
        6.0: 40,
        10.0: 50,
        16.0: 70,
        25.0: 90,
        35.0: 110,
        50.0: 140,
    }
)
"""Amps by mm² of another club page."""

CHASSIS_AMPS: Mapping[str, float] = MappingProxyType(
    {
        "10": 55,
        "12": 41,
        "14": 32,
        "16": 22,
        "18": 16,
        "20": 11,
        "22": 7,
        "24": 3.5,
        "26": 2.2,
        "28": 1.4,
    }
)
"""Amps by AWG of a single wire in free air, a list that circulates. Source:
`number_documents.CHASSIS_LIST`; rule-of-thumb quality, no limit for a loom."""

CONTINUOUS_A_PER_MM2: Final = Sourced(
    5.0, "A/mm²", Status.COMMON_PRACTICE, (doc.AREA_RULES_A, doc.AREA_RULES_B)
)
SHORT_A_PER_MM2: Final = Sourced(
    10.0,
    "A/mm²",
    Status.COMMON_PRACTICE,
    (doc.AREA_RULES_A, doc.AREA_RULES_B),
    "for short times",
)

USUAL_SECTIONS: Final = (
    (2.5, "0.5 to 0.75 mm²: tail, side, interior and warning lamps"),
    (8.0, "1.5 mm²: turn signals, headlamps, wipers, horn"),
    (16.0, "2.5 mm²: headlamp feeders"),
    (40.0, "6 mm²: feed of the ignition switch and the fuse panel"),
)
"""Usual sections up to so many amps. Common practice, two club pages, no standard."""


def listed_fuse(awg: str = "", size_mm2: float | None = None) -> Sourced | None:
    """Return the largest fuse in amps that a list gives a wire; None when none does.

    Give a plain AWG number or an area in mm². The lists are strict: advice only.
    """
    if awg in FUSE_BY_GAUGE:
        sources: tuple[Source, ...] = (doc.FUSE_BY_GAUGE,)
        if awg in ("10", "12", "14"):
            sources += (doc.FUSE_BY_GAUGE_CLUB,)
        return Sourced(FUSE_BY_GAUGE[awg], "A", Status.VERIFIED, sources)
    if size_mm2 is not None and size_mm2 in FUSE_BY_AREA:
        amps_a = FUSE_BY_AREA[size_mm2]
        return Sourced(amps_a, "A", Status.VERIFIED, (doc.AREA_AMPS_CLUB,))
    return None
