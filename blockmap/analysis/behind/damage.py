"""Lists all damage of a map, each with the repair that tends it and its stage.

One line a condition. What must be bought for it is the matter of parts.py.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockmap.model.document import Cavity, Condition, Map, Repair
from blockmap.model.places import Place, PlaceIndex

__all__ = ["DONE", "Damage", "damage_of", "repairs_by_place"]

DONE = ("fitted", "proved", "retired")
"""Stages after which nothing more is bought."""


@dataclass(frozen=True, slots=True)
class Damage:
    """One condition that says something: where it is, and the repair for it."""

    cavity: Cavity
    where: str
    condition: Condition
    repair_key: str = ""
    repair: Repair | None = None

    @property
    def stage(self) -> str:
        """How far it has come: by its repair, else as the condition says."""
        if self.repair is not None:
            return self.repair.stage
        return self.condition.stage or "found"

    @property
    def open(self) -> bool:
        """True while something remains to be done."""
        return self.stage not in DONE


def repairs_by_place(document: Map) -> Mapping[Place, str]:
    """Return the key of the repair at each place; the last entered one counts."""
    index = PlaceIndex(document)
    found: dict[Place, str] = {}
    for key, repair in document.repairs.items():
        place = index.place(repair.at)
        if place is not None:
            found[place] = key
    return found


def damage_of(document: Map, cavity: Cavity | None = None) -> tuple[Damage, ...]:
    """Return the damage of a map, or of one cavity, in the order of the map.

    A part that was looked at and found sound is none, nor is one that nobody tried.
    """
    places = repairs_by_place(document)
    found: list[Damage] = []
    cavities = document.cavities.values() if cavity is None else (cavity,)
    for one in cavities:
        numbers: dict[str, int] = {}
        for where, condition in one.conditions:
            numbers[where] = numbers.get(where, 0) + 1
            if condition.state == "sound":
                continue
            if condition.state == "untested" and not condition.severity:
                continue
            number = numbers[where]
            exact = where if number == 1 else f"{where} {number}"
            key = places.get(Place(one.id, exact)) or places.get(Place(one.id))
            repair = document.repairs[key] if key else None
            found.append(Damage(one, exact, condition, key or "", repair))
    return tuple(found)
