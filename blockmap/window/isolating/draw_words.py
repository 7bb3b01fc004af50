"""The words of the key-off draw: currents with their bands, candidates, origins."""

from __future__ import annotations

from blockmap.analysis.isolation.parasitic import Drawn, Match
from blockmap.analysis.numbers.figure import Figure, shown
from blockmap.window.isolating.beside import tr_job
from blockmap.window.numbers.wording import origin_marks

__all__ = ["band", "current_words", "matches", "matches_words", "origin"]


def band(figure: Figure) -> str:
    """Return a current with its band."""
    if not figure.is_band:
        return figure.text
    said = tr_job("%1 mA (%2 to %3)").replace("%1", shown(figure.value))
    return said.replace("%2", shown(figure.low)).replace("%3", shown(figure.high))


def current_words(drawn: Drawn | None) -> str:
    """Return what passes a fuse, in mA, with its band."""
    if drawn is None:
        return ""
    if drawn.current is None:
        return tr_job("not known")
    low, high = shown(drawn.current.low), shown(drawn.current.high)
    said = tr_job("%1 (%2 to %3)").replace("%1", shown(drawn.current.value))
    return said.replace("%2", low).replace("%3", high)


def matches(matches: tuple[Match, ...]) -> str:
    """Return loads that would draw as much, in words."""
    return tr_job(" or ").join(" + ".join(match.loads) for match in matches)


def matches_words(drawn: Drawn | None) -> str:
    """Return what a fuse may feed just now, and how its current is known."""
    if drawn is None:
        return ""
    if drawn.current is None:
        return tr_job("no table gives this body's resistance: use a current clamp")
    parts = []
    if drawn.matches:
        parts.append(matches(drawn.matches))
    if drawn.unsized:
        said = tr_job("%1 (current not noted)")
        parts.append(said.replace("%1", ", ".join(drawn.unsized[:3])))
    if not any(each.unit == "mΩ" for each in drawn.current.inputs):
        parts.append(tr_job("resistance taken between two ratings"))
    marks = origin_marks(drawn.current)
    if marks:
        parts.append(marks)
    return "; ".join(parts)


def origin(figure: Figure) -> str:
    """Return the formula of a current, what is noted of it, and its documents."""
    titles = [source.title for source in figure.all_sources()]
    lines = [figure.formula, figure.note]
    if titles:
        lines.append(tr_job("From: %1").replace("%1", "; ".join(titles)))
    return "\n".join(line for line in lines if line)
