"""The columns of the readings notebook, in the order in which they are typed."""

from __future__ import annotations

__all__ = ["COLUMNS", "FOLLOWS", "STANDS"]

FOLLOWS = "follows"
"""A column that is not typed: what follows from the reading."""
STANDS = "stands"
"""Another: before a repair, or since; shown once a reading is set aside."""

COLUMNS = (
    "point", STANDS, "against", "states", "load", "value", "unit", "seen", "amps_a",
    FOLLOWS, "date", "out", "meter", "note",
)  # fmt: skip
