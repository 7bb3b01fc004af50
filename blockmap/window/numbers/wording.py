"""The words of numbers in the window: verdicts, statuses, values with their bands.

It turns figures into what a person reads; it computes nothing and judges nothing.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from blockmap.analysis.numbers.figure import Comparison, Figure, shown
from blockmap.analysis.numbers.opening_time import seconds_text
from blockmap.reference.sources import Status
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP

__all__ = [
    "figure_word",
    "origin_marks",
    "sign_of",
    "status_words",
    "tr_number",
    "value_words",
    "verdict_words",
]


_STATUS = {
    Status.VERIFIED: QT_TRANSLATE_NOOP("numbers", "verified: read in a document"),
    Status.DERIVED: QT_TRANSLATE_NOOP("numbers", "derived: computed as shown"),
    Status.COMMON_PRACTICE: QT_TRANSLATE_NOOP("numbers", "common practice"),
    Status.MEMORY: QT_TRANSLATE_NOOP(
        "numbers", "from memory: check it in a document before relying on it"
    ),
}


def tr_number(text: str) -> str:
    """Return a text of the numbers in the language of the window."""
    return QCoreApplication.translate("numbers", text)


def figure_word(text: str) -> str:
    """Return the name of a figure in the language of the window."""
    return QCoreApplication.translate("figures", text)


def status_words(figure: Figure) -> str:
    """Return how a figure is known, in words."""
    words = tr_number(_STATUS[figure.status])
    if figure.status is Status.COMMON_PRACTICE and not figure.all_sources():
        words = tr_number("common practice, no source")
    return words


def value_words(figure: Figure) -> str:
    """Return a figure's value, with its band where there is one."""
    if figure.unit == "s":
        low, high = seconds_text(figure.low), seconds_text(figure.high)
        if low == high:
            return high
        return tr_number("%1 to %2").replace("%1", low).replace("%2", high)
    if shown(figure.low) == shown(figure.high):
        return figure.text
    if figure.is_least:
        if not figure.low:
            return tr_number("not known")
        bound = f"{shown(figure.low)} {figure.unit}".rstrip()
        return tr_number("%1 or more").replace("%1", bound)
    return f"{figure.text} ({_band(figure)})"


def _band(figure: Figure) -> str:
    low, high = shown(figure.low), shown(figure.high)
    return tr_number("%1 to %2").replace("%1", low).replace("%2", high)


def verdict_words(held: Comparison) -> str:
    """Return whether a figure keeps its limit, in words and with the share of it."""
    if held.holds_so_far:
        if not held.figure.value:
            return tr_number(held.figure.note)
        words = tr_number("so far %1 of %2; not every load is known")
    elif held.holds:
        words = tr_number("holds: %1 of %2")
    elif held.surely_broken:
        words = tr_number("above: %1 of %2")
    else:
        words = tr_number("perhaps above: %1 of %2")
    share = f"{held.share:.0%}".replace("%", " %").replace("inf", "∞")
    return words.replace("%1", share).replace("%2", held.limit.text)


def sign_of(held: Comparison, level: str) -> str:
    """Return the name of the sign of a comparison whose breach has a level."""
    if held.holds_so_far:
        return ""
    if held.holds:
        return "sound"
    return level if held.surely_broken or level != "error" else "advice"


def origin_marks(*figures: Figure) -> str:
    """Return what must be said beside a value: a limit set by you, from memory."""
    marks = []
    if any(figure.set_by_you for figure in figures):
        marks.append(tr_number("limit set by you"))
    if any(figure.uses_memory for figure in figures):
        marks.append(tr_number("from memory"))
    return ", ".join(marks)
