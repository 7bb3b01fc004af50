"""Holds how fast turn signals and hazard flashers may blink, per minute.

The rates of several cycles are averaged, not their times, as the agency that wrote
the interpretation does it: the two ways can differ in their verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Sourced, Status

__all__ = ["FLASH_LIMITS", "ON_SHARE", "FlashLimit"]


@dataclass(frozen=True, slots=True)
class FlashLimit:
    """One rule: flashes per minute from least to most, and how they are measured."""

    name: str
    least_per_min: float
    most_per_min: float
    measured: str
    status: Status
    sources: tuple[Source, ...]


_AGENCY = (doc.FLASH_INTERPRETATION, doc.FLASH_INTERPRETATION_B)
_HOW = "after at least 5 cycles, mean of at least 3"

FLASH_LIMITS: Final = (
    FlashLimit(
        "SAE J945, variable load (flasher normally open)",
        60,
        120,
        _HOW,
        Status.VERIFIED,
        _AGENCY,
    ),
    FlashLimit(
        "SAE J945, fixed load (flasher normally closed)",
        90,
        120,
        _HOW,
        Status.VERIFIED,
        _AGENCY,
    ),
    FlashLimit(
        "UN and Australian rule",
        60,
        120,
        "90 ± 30",
        Status.VERIFIED,
        (doc.FLASH_ADR, doc.FLASH_UN),
    ),
)
ON_SHARE: Final = (
    Sourced(0.30, "", Status.MEMORY, (), f"least share of time on, {MEMORY_NOTE}"),
    Sourced(0.75, "", Status.MEMORY, (), f"most share of time on, {MEMORY_NOTE}"),
)
