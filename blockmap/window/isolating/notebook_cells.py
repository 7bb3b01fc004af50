"""The columns of the readings notebook, in the order in which they are typed."""

from __future__ import annotations

__all__ = ["COLUMNS", "FOLLOWS"]

FOLLOWS = "follows"
"""The one column that is not typed: what follows from the reading."""

COLUMNS = (
    "point", "against", "states", "load", "value", "unit", "seen", "amps_a", FOLLOWS,
    "date", "out", "meter", "note",
)  # fmt: skip
