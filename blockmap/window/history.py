"""How much memory the steps of the history hold, and how many of them are kept.

A step shares with the map there is now all that it did not touch. What is its own are
the records it replaced, and the lists they stood in: 20 kB for an edit of one of 500
cavities, half a megabyte for one of them all. So a long day is bounded by memory, not
by a number of steps. Nothing here undoes anything.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields

from blockmap.model.document import Map

__all__ = ["HISTORY_LIMIT", "LEAST_STEPS", "MOST_BYTES", "step_bytes", "steps_kept"]

HISTORY_LIMIT = 20_000
"""Most steps that can be undone."""
MOST_BYTES = 64 * 1024 * 1024
"""When the history holds more than this, its oldest steps are let go of."""
LEAST_STEPS = 200
"""So many steps can be undone however much they hold."""
_SPARE_STEPS = 50
"""So many more are let go of at once, not one at each edit."""
_RECORD_BYTES = 900
"""A cavity with its wires and loads, measured."""
_PLACE_BYTES = 30
"""What a record takes of the list it stands in, measured."""


def step_bytes(before: Map, after: Map) -> int:
    """Return about how much memory a step holds beside what both maps share."""
    held = 0
    for each in fields(Map):
        old, new = getattr(before, each.name), getattr(after, each.name)
        if old is new:
            continue
        if not isinstance(old, Mapping):
            held += _RECORD_BYTES
            continue
        replaced = sum(1 for key, record in old.items() if new.get(key) is not record)
        held += _RECORD_BYTES * replaced + _PLACE_BYTES * len(old)
    return held


def steps_kept(held: Sequence[int]) -> int:
    """Return how many of the newest steps stay, from what each holds, oldest first.

    All while they hold no more than MOST_BYTES; else those that hold half of it, and
    LEAST_STEPS at least, so that this does not come again soon.
    """
    if sum(held) <= MOST_BYTES or len(held) < LEAST_STEPS + _SPARE_STEPS:
        return len(held)
    room, kept = MOST_BYTES // 2, 0
    for each in reversed(held):
        room -= each
        if room < 0 and kept >= LEAST_STEPS:
            break
        kept += 1
    return kept
