"""Terminal families: what holds a contact in its block, and how it is released.

The record is what a map holds of a family; `family_named` looks among the map's own
families first and then among those that ship. It knows no part numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Protocol

from blockmap.model.schema import Shape, prop
from blockmap.reference.terminal_families import GENERIC_FAMILIES, SORTS

__all__ = [
    "NOT_SINGLY",
    "HoldsFamilies",
    "TerminalFamily",
    "families",
    "family_key",
    "family_named",
]

NOT_SINGLY = "not released singly"


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalFamily:
    """One kind of terminal: how it locks, comes out, is crimped and is tested."""

    name: str = prop(
        "Family", Shape.TEXT, "what contacts and blocks call it", required=True
    )
    sort: str | None = prop("Sort", Shape.CHOICE, "what it is", allowed=SORTS)
    lock_first: str = prop(
        "Lock first", Shape.TEXT, "what must be opened before any terminal is released"
    )
    released_from: str | None = prop(
        "Released from",
        Shape.CHOICE,
        "from which face the tool goes in",
        allowed=("front", "rear", NOT_SINGLY),
    )
    tool: str = prop("Tool", Shape.TEXT, "what it is released with")
    leaves_to: str | None = prop(
        "Leaves to",
        Shape.CHOICE,
        "to which side it comes out",
        allowed=("front", "rear", "top", "bottom"),
    )
    steps: str = prop(
        "Steps", Shape.LONG_TEXT, "how it is released and refitted, one step a line"
    )
    strip_mm: float | None = prop(
        "Strip length",
        Shape.NUMBER,
        "insulation taken off before crimping",
        unit="mm",
        low=0.5,
        high=50,
    )
    seal: str = prop("Seal", Shape.TEXT, "the seal on its wire; empty for none")
    capacity_a: float | None = prop(
        "Capacity",
        Shape.NUMBER,
        "the amps a sound one carries",
        unit="A",
        low=0.1,
        high=500,
    )
    grip_test: str = prop(
        "Grip test", Shape.LONG_TEXT, "how its hold on a blade is tried"
    )
    known: str = prop(
        "Figures known how", Shape.TEXT, "where strip length and capacity come from"
    )
    notes: str = prop("Notes", Shape.LONG_TEXT, "anything else about the family")

    @property
    def singly(self) -> bool | None:
        """Whether one of them can be released alone; None when that is not noted."""
        if self.released_from is None:
            return None
        return self.released_from != NOT_SINGLY


class HoldsFamilies(Protocol):
    """A map, as far as its families go."""

    @property
    def families(self) -> Mapping[str, TerminalFamily]:
        """The map's own families by key."""


@cache
def _shipped() -> tuple[TerminalFamily, ...]:
    names = [field.name for field in fields(TerminalFamily)]
    return tuple(
        TerminalFamily(**{name: getattr(generic, name) for name in names})
        for generic in GENERIC_FAMILIES
    )


def family_key(text: str) -> str:
    """Return what tells families apart: letters of any case, spaces or hyphens."""
    return " ".join(text.replace("-", " ").split()).casefold()


def families(document: HoldsFamilies) -> tuple[TerminalFamily, ...]:
    """Return every family there is for a map: its own, then those that ship."""
    own = tuple(document.families.values())
    taken = {family_key(family.name) for family in own}
    return (*own, *(f for f in _shipped() if family_key(f.name) not in taken))


def family_named(document: HoldsFamilies, text: str) -> TerminalFamily | None:
    """Return the family that a contact or block names by its name or its key."""
    if not text.strip():
        return None
    key = family_key(text)
    for own, family in document.families.items():
        if key in (family_key(own), family_key(family.name)):
            return family
    return next((f for f in _shipped() if family_key(f.name) == key), None)
