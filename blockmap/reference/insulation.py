"""Holds what insulation bears, and how bundles and engine spaces lower the amps.

The temperature class of old wire is often unknown: then none is guessed here. The
factors for bundles are a caution and not a rule, for one document prints them for
50 V and above only.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.conductors import INSULATION_CLASSES_C
from blockmap.reference.sources import MEMORY_NOTE, Sourced, Status

__all__ = [
    "BUNDLE_FACTORS",
    "bundle_factor",
    "engine_space_factor",
    "insulation_class",
]

_CAUTION = "a caution, not a rule: one document prints it for 50 V and above only"

BUNDLE_FACTORS: Final = (
    (1, 1.0, doc.BUNDLES),
    (3, 0.7, doc.BUNDLES),
    (4, 0.6, doc.BUNDLES),
    (7, 0.5, doc.BUNDLES),
    (25, 0.4, doc.BUNDLES_25),
)
"""From how many current-carrying wires in a bundle, the factor, and its document."""

_ENGINE_SPACE: Final = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89}

# Words people write for insulation. Primary wire with plain PVC is a class of 80 °C
# to 85 °C: the column of 80 °C at most. The cross-linked types are from memory.
_KINDS: Final = (
    (r"\b(?:gpt|pvc|plastic|vinyl|hdt)\b", 80, True),
    (r"\b(?:gxl|txl|sxl|xlpe|cross-?linked)\b", 125, False),
)


def bundle_factor(conductors: int) -> Sourced:
    """Return the factor on the amps of a wire among so many that carry current.

    Source: `BUNDLE_FACTORS`, derived from a table of boat cable. Raises ValueError
    for fewer than one wire.
    """
    if conductors < 1:
        raise ValueError(f"a bundle has at least one wire, not {conductors}")
    _, factor, source = [row for row in BUNDLE_FACTORS if row[0] <= conductors][-1]
    note = _CAUTION if factor < 1 else ""
    return Sourced(factor, "", Status.DERIVED, (source,), note)


def engine_space_factor(insulation_c: int) -> Sourced:
    """Return the factor on the amps of a wire in an engine space (50 °C).

    Only the factor of 105 °C was read; the rest is MEMORY. Insulation for 200 °C has
    no factor: 1. Raises ValueError for a class that is not of the table.
    """
    if insulation_c not in INSULATION_CLASSES_C:
        raise ValueError(f"{insulation_c} °C is no class of the table")
    factor = _ENGINE_SPACE.get(insulation_c, 1.0)
    if insulation_c == 105:
        return Sourced(factor, "", Status.VERIFIED, (doc.ENGINE_SPACE,))
    return Sourced(factor, "", Status.MEMORY, (), MEMORY_NOTE)


@lru_cache(maxsize=256)
def insulation_class(text: str) -> Sourced | None:
    """Return the temperature class in °C that a note on a wire gives; None when none.

    Understands a temperature ('105 °C', '90C') or a usual kind ('PVC', 'GXL'). A
    temperature between two classes takes the lower one.
    """
    found = re.search(r"(\d{2,3})\s*(?:°|deg|º)?\s*C?\b", text, re.IGNORECASE)
    if found:
        fitting = [c for c in INSULATION_CLASSES_C if c <= int(found[1])]
        if not fitting:
            return None
        return Sourced(fitting[-1], "°C", Status.DERIVED, (), f'as written: "{text}"')
    for pattern, class_c, read in _KINDS:
        if re.search(pattern, text, re.IGNORECASE):
            if read:
                sources = (doc.INSULATION_SUMMARY,)
                return Sourced(class_c, "°C", Status.VERIFIED, sources)
            return Sourced(class_c, "°C", Status.MEMORY, (), MEMORY_NOTE)
    return None
