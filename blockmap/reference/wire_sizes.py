"""Holds the names one wire has in another system, which the documents disagree on.

Nothing is converted with these tables: a gauge stays as written. They explain to a
reader why 14 AWG may be called 1.5 mm² in one manual and 2.0 mm² in another.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Source, Sourced, Status

__all__ = ["METRIC_NAMES", "TRADE_MM_AREA", "names_of_area", "trade_size_area"]

METRIC_NAMES: Final[tuple[tuple[str, float, str, Source], ...]] = tuple(
    (system, size_mm2, awg, source)
    for system, source, rows in (
        (
            "ISO",
            doc.METRIC_NAMES_ISO,
            (
                (0.35, "22"),
                (0.5, "20"),
                (0.75, "18"),
                (1.0, "16"),
                (1.5, "14"),
                (2.5, "12"),
                (4.0, "10"),
                (6.0, "8"),
                (16.0, "4"),
                (25.0, "2"),
                (35.0, "2"),
            ),
        ),
        (
            "SAE metric",
            doc.METRIC_NAMES_SAE,
            (
                (0.5, "20"),
                (0.8, "18"),
                (1.0, "16"),
                (2.0, "14"),
                (3.0, "12"),
                (5.0, "10"),
                (8.0, "8"),
                (13.0, "6"),
                (19.0, "4"),
                (32.0, "2"),
                (52.0, "1/0"),
            ),
        ),
    )
    for size_mm2, awg in rows
)
"""System, mm², the gauge number it goes by, and the document. VERIFIED."""

TRADE_MM_AREA: Mapping[float, float] = MappingProxyType(
    {6: 4.6, 5: 2.9, 4: 1.85, 3: 0.85, 2.5: 0.64, 2: 0.55}
)
"""Area in mm² by Australian trade millimetres, which measure over the insulation."""


def names_of_area(size_mm2: float) -> tuple[tuple[str, str, Source], ...]:
    """Return each system's gauge number for an area in mm², with its document."""
    return tuple(
        (system, awg, source)
        for system, mm2, awg, source in METRIC_NAMES
        if mm2 == size_mm2
    )


def trade_size_area(trade_mm: float) -> Sourced | None:
    """Return the area in mm² of an Australian trade size; None when it is no row."""
    area = TRADE_MM_AREA.get(trade_mm)
    if area is None:
        return None
    note = "differs by maker: 3 mm may also be 1.13 mm²" if trade_mm == 3 else ""
    return Sourced(area, "mm²", Status.VERIFIED, (doc.AUSTRALIAN_SIZES,), note)
