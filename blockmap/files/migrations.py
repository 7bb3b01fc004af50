"""The number of the file format, and the steps from older numbers to it.

A step takes the composed tree of a file of one format and changes it into the next.
It sees places and texts, never values, so that errors still name the line they are on.
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping

from blockmap.files.composer import Mapping

__all__ = ["FORMAT", "MIGRATIONS", "Migration", "migrate"]

FORMAT = 1
"""The format that this version of the program writes."""

Migration = Callable[[Mapping], None]

MIGRATIONS: MutableMapping[int, Migration] = {}
"""For each older format, the step that makes the tree one of the next format."""


def migrate(root: Mapping, written_as: int) -> bool:
    """Bring a tree up to FORMAT in place; False when no step leads from its format."""
    for number in range(written_as, FORMAT):
        step = MIGRATIONS.get(number)
        if step is None:
            return False
        step(root)
    return True
