"""Tells when two entries of a map mean one load: a person notes it at both its ends."""

from __future__ import annotations

import re

from blockmap.model.document import Load

__all__ = ["is_again"]

_COMMON = frozenset(("left", "right", "front", "rear", "lamp", "light", "and", "motor"))


def is_again(load: Load, others: list[Load]) -> bool:
    """Tell whether one of the others is the same load: as many amps, a word in common.

    Words that any two loads may share do not count.
    """
    words = _words(load.name)
    return any(
        load.amps_a is not None
        and other.amps_a == load.amps_a
        and bool(words & _words(other.name))
        for other in others
    )


def _words(name: str) -> set[str]:
    found = re.findall(r"[a-z]+", name.casefold())
    return {word.rstrip("s") for word in found} - _COMMON
