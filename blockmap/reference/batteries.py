"""Holds the volts of lead-acid batteries: at rest by charge, and while charged.

Documents spread by a tenth of a volt, a quarter of the way from full to half: a
charge is a band and never one figure. For flooded batteries at rest for hours only.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "CHARGING_VOLTS",
    "REST_TABLES",
    "REST_TEMPERATURE_C",
    "SPECIFIC_GRAVITY",
    "VOLTS_PER_DEGREE",
    "RestTable",
]


@dataclass(frozen=True, slots=True)
class RestTable:
    """One document's points: percent of charge and resting volts, falling."""

    source: Source
    points: tuple[tuple[float, float], ...]
    status: Status = Status.VERIFIED


REST_TABLES: Final = (
    RestTable(
        doc.BATTERY_TABLE,
        ((100, 12.65), (75, 12.45), (50, 12.24), (25, 12.06), (0, 11.89)),
    ),
    RestTable(
        doc.BATTERY_MAGAZINE, ((100, 12.66), (75, 12.45), (50, 12.30), (25, 12.15))
    ),
    RestTable(
        doc.BATTERY_LIST, ((100, 12.6), (75, 12.4), (50, 12.2), (25, 12.0), (0, 11.6))
    ),
    RestTable(doc.BATTERY_HOBBY, ((100, 12.60), (25, 11.95), (0, 11.85))),
)
"""12 V flooded lead-acid at rest; the first one is a maker's and leads."""

SPECIFIC_GRAVITY: Final = (
    (100, 1.265),
    (75, 1.225),
    (50, 1.19),
    (25, 1.155),
    (0, 1.12),
)
"""Specific gravity of the acid by percent of charge at 26.7 °C. Source: first table."""

REST_TEMPERATURE_C: Final = 26.7
"""Temperature of the first table, 80 °F."""

VOLTS_PER_DEGREE: Final = Sourced(
    0.024 / (10 * 5 / 9),
    "V/°C",
    Status.VERIFIED,
    (doc.BATTERY_TABLE,),
    "a 12 V battery reads 0.024 V more for each 10 °F above 80 °F",
)

CHARGING_VOLTS: Final = (
    ("usual", 13.7, 14.7, (doc.CHARGING_A,)),
    ("usual", 13.8, 14.5, (doc.CHARGING_B,)),
    ("possibly undercharged below", 13.5, 13.5, (doc.CHARGING_A,)),
    ("overcharge above", 15.0, 15.0, (doc.CHARGING_A,)),
    ("float", 13.5, 13.8, (doc.CHARGING_B,)),
)
"""12 V with the engine running: what, from, to, documents. Common practice; a car with
a dynamo and a mechanical regulator differs: see its shop manual."""
