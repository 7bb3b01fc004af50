"""Writes what the user fills into a line of the parts list back into the repairs.

Where the damage behind the line has no repair yet, one is entered at its first place.
Plain functions of maps.
"""

from __future__ import annotations

from blockmap.analysis.behind.part import Part
from blockmap.model.document import Map, Repair
from blockmap.model.edits import add_repair, advance_repair, set_repair_text
from blockmap.model.units import price_text
from blockmap.reference.trade_words import REPAIR_STAGES

__all__ = ["FILLED", "fill_part", "part_text"]

FILLED = ("price", "source", "ordered", "received")
"""What the user fills into a line."""


def part_text(part: Part, field: str) -> str:
    """Return what is filled in, as a person types it."""
    if field == "price":
        return price_text(part.price, part.currency)
    return str(getattr(part, field))


def fill_part(document: Map, part: Part, field: str, text: str) -> Map:
    """Write price, source, ordered or received of a part into its repairs.

    A date brings the repair to that stage unless it is further already. Raises
    EditRefused.
    """
    keys = part.repairs
    if not keys:
        if not text.strip():
            return document
        document, keys = _entered(document, part)
    for key in keys:
        document = _filled(document, key, field, text.strip())
    return document


def _entered(document: Map, part: Part) -> tuple[Map, tuple[str, ...]]:
    """Enter a repair at each place of a part; one where it is bought once."""
    once = part.sort in ("strip", "block part")
    keys = []
    for place, stage in zip(
        part.at[:1] if once else part.at, part.stages or ("found",), strict=False
    ):
        repair = Repair(at=place, stage=stage, part=part.name)
        document, key = add_repair(document, repair)
        keys.append(key)
    return document, tuple(keys)


def _filled(document: Map, key: str, field: str, text: str) -> Map:
    if field not in ("ordered", "received") or not text:
        return set_repair_text(document, key, field, text)
    order = REPAIR_STAGES.index
    if order(document.repairs[key].stage) < order(field):
        return advance_repair(document, key, field, text)
    return set_repair_text(document, key, field, text)
