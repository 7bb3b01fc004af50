"""Holds what wires of American gauges may carry, as a published upper bound.

The table is law for boats, not for cars: a single conductor in free air at 30 °C, with
no allowance for a bundle or an engine space. A wire in a car may carry less, never
more. Metric wire is left out: no table read gives it by insulation.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from blockmap.reference.sources import Source

__all__ = [
    "AWG_AMPS",
    "BOAT_WIRE_TABLE",
    "INSULATION_CLASSES_C",
    "allowable_amps_a",
]

BOAT_WIRE_TABLE = Source(
    "33 CFR 183.425 Table 5, allowable amperage of conductors by insulation",
    "http://federal.elaws.us/cfr/title-33/section-183.425",
)

INSULATION_CLASSES_C: Final = (60, 75, 80, 90, 105, 125, 200)
"""Temperature classes of insulation in °C, the columns of the table."""

AWG_AMPS: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        "18": (10, 10, 15, 20, 20, 25, 25),
        "16": (15, 15, 20, 25, 25, 30, 35),
        "14": (20, 20, 25, 30, 35, 40, 45),
        "12": (25, 25, 35, 40, 45, 50, 55),
        "10": (40, 40, 50, 55, 60, 70, 70),
        "8": (55, 65, 70, 70, 80, 90, 100),
        "6": (80, 95, 100, 100, 120, 125, 135),
        "4": (105, 125, 130, 135, 160, 170, 180),
        "3": (120, 145, 150, 155, 180, 195, 210),
        "2": (140, 170, 175, 180, 210, 225, 240),
        "1": (165, 195, 210, 210, 245, 265, 280),
        "1/0": (195, 230, 245, 245, 285, 305, 325),
        "2/0": (225, 265, 285, 285, 330, 355, 370),
        "3/0": (260, 310, 330, 330, 385, 410, 430),
        "4/0": (300, 360, 385, 385, 445, 475, 510),
    }
)
"""Amps by gauge, one for each of `INSULATION_CLASSES_C`. Source: `BOAT_WIRE_TABLE`."""


def allowable_amps_a(gauge: str, insulation_c: int = 105) -> int | None:
    """Return the most amps a wire of this American gauge may carry, '16' or '2/0'.

    insulation_c is one of `INSULATION_CLASSES_C`, in °C. None when the table has no
    such gauge. Source: `BOAT_WIRE_TABLE`. Raises ValueError for another class.
    """
    row = AWG_AMPS.get(gauge)
    column = INSULATION_CLASSES_C.index(insulation_c)
    return None if row is None else row[column]
