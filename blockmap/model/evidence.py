"""Which facts of a cavity there are, and how many were seen on the car.

A fact is a property marked so in the schema that holds something.
"""

from __future__ import annotations

from typing import NamedTuple

from blockmap.model.document import Cavity, Map
from blockmap.model.schema import properties

__all__ = ["FactCount", "count_facts", "facts_of", "is_doubtful"]

FACT_KEYS = (
    *(row.key for row in properties(Cavity) if row.fact),
    "wires",
)


class FactCount(NamedTuple):
    """How many facts a map or cavity holds, and how many were seen on the car."""

    seen: int
    known: int

    def words(self) -> str:
        """Return the count as prints show it."""
        return f"{self.seen} of {self.known} facts seen on the car"


def facts_of(cavity: Cavity) -> tuple[str, ...]:
    """Return the keys of the facts this cavity holds."""
    if cavity.kind == "blank":
        return ()
    held = [
        key
        for key in FACT_KEYS
        if key != "wires" and getattr(cavity, key) not in (None, "", (), "unknown")
    ]
    if any(contact.wires for contact in cavity.contacts.values()):
        held.append("wires")
    return tuple(held)


def is_doubtful(cavity: Cavity, key: str) -> bool:
    """Tell whether nobody has seen this fact on the car."""
    known = cavity.evidence.get(key)
    return known is None or known.how != "seen"


def count_facts(document: Map) -> FactCount:
    """Return how many facts the whole map holds and how many were seen."""
    seen = known = 0
    for cavity in document.cavities.values():
        facts = facts_of(cavity)
        known += len(facts)
        seen += sum(not is_doubtful(cavity, key) for key in facts)
    return FactCount(seen, known)
