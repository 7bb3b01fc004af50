"""What a check says: one finding, its level, and the shapes of rules.

It decides nothing. The rules stand in the modules named by their subject; which of
them run, and in what order their findings are told, is the matter of `findings`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from blockmap.analysis.numbers.figure import SET_BY_YOU, Figure
from blockmap.model.document import Acceptance, Cavity, Map
from blockmap.reference.sources import COMMON_PRACTICE_NOTE, MEMORY_NOTE, Status

__all__ = [
    "READS",
    "CavityRule",
    "Finding",
    "Level",
    "Reads",
    "Rule",
    "reads",
    "why_with",
]


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
    a sentence without its full stop. ``figures`` are the numbers it rests on.

    ``acceptance`` is the key of the map's acceptance of this finding; ``accepted`` is
    that acceptance while it holds, None when the finding says something else by now.
    """

    code: str
    level: Level
    objects: tuple[str, ...]
    what: str
    why: str
    todo: str
    figures: tuple[Figure, ...] = ()
    acceptance: str = ""
    accepted: Acceptance | None = None


Rule = Callable[[Map], Iterable[Finding]]
"""A rule reads the whole map and yields what it found, in the order of the map."""

CavityRule = Callable[[Cavity], Iterable[Finding]]
"""A rule that needs to see one cavity and nothing else."""


@dataclass(frozen=True, slots=True)
class Reads:
    """What a rule looks at: fields of cavities, and parts of the map besides."""

    fields: tuple[str, ...]
    parts: tuple[str, ...]


READS: dict[Rule, Reads] = {}
"""What each rule says it looks at; a rule that says nothing runs after every edit."""


def reads(*fields: str, parts: tuple[str, ...] = ()) -> Callable[[Rule], Rule]:
    """Say which fields of cavities a rule looks at, and which other parts of the map.

    It runs again only when one of them has changed, or cavities came, went or changed
    their order.
    """

    def said(rule: Rule) -> Rule:
        READS[rule] = Reads(fields, parts)
        return rule

    return said


def why_with(reason: str, *figures: Figure) -> str:
    """Return a reason followed by the formulas of figures and where they come from."""
    parts = [reason]
    parts += [figure.formula for figure in figures if figure.formula != figure.text]
    trail = [step for figure in figures for step in figure.trail()]
    titles = dict.fromkeys(s.title for step in trail for s in step.sources)
    if titles:
        parts.append(f"source: {', '.join(titles)}")
    bare = (step for step in trail if not step.sources)
    if any(step.status is Status.COMMON_PRACTICE for step in bare):
        parts.append(COMMON_PRACTICE_NOTE)
    if any(step.status is Status.MEMORY for step in trail):
        parts.append(MEMORY_NOTE)
    if any(SET_BY_YOU in step.note for step in trail):
        parts.append(SET_BY_YOU)
    return "; ".join(dict.fromkeys(parts))
