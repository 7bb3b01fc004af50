"""What a check says: one finding, its level, and the shape of a rule.

It decides nothing. The rules stand in the modules named by their subject; which of
them run, and in what order their findings are told, is the matter of `findings`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from blockmap.model.document import Map

__all__ = ["Finding", "Level", "Rule"]


class Level(StrEnum):
    """How much a finding matters, the gravest first."""

    ERROR = "error"
    ADVICE = "advice"
    INFORMATION = "information"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing a check found.

    ``code`` is stable and names the rule. ``objects`` are the ids of the cavities,
    strips or blocks concerned, the first one where to look. ``what`` says what was
    found, ``why`` why it matters and from which source, ``todo`` what to do; each is
    a sentence without its full stop.
    """

    code: str
    level: Level
    objects: tuple[str, ...]
    what: str
    why: str
    todo: str


Rule = Callable[[Map], Iterable[Finding]]
"""A rule reads the whole map and yields what it found, in the order of the map."""
