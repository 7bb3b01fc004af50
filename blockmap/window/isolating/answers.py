"""Reads what a person types as the answer to a proposed test.

A number is volts or millivolts; a word says what was seen. What the test cannot show
is refused with a sentence.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QCoreApplication

from blockmap.model.errors import BadValue
from blockmap.model.units import number_text, read_number

if TYPE_CHECKING:
    from blockmap.analysis.isolation.telling import NextReading

__all__ = ["METERED", "Typed", "read_answer", "words_for"]

METERED = ("volts", "drop")
"""Kinds of test that are made with a meter."""
_UNIT = re.compile(r"(?P<value>.*\d)\s*(?P<unit>mv|v)", re.IGNORECASE)
_WORDS = {
    "load": ("works", "dim", "dead"),
    "in place": ("bright", "dim", "dark"),
    "looked": ("whole", "broken"),
    "volts": ("live", "dim", "dead"),
}


class Typed(NamedTuple):
    """An answer: volts or what was seen, or a sentence why it cannot be taken."""

    value_v: float | None = None
    seen: str = ""
    refusal: str = ""


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


def words_for(kind: str) -> tuple[str, ...]:
    """Return the words that answer a kind of test."""
    return _WORDS.get(kind, ())


def read_answer(proposed: NextReading, text: str, unit: str, volts: float) -> Typed:
    """Return what a typed text answers; volts is that of the car's battery."""
    word = " ".join(text.split())
    if not word:
        return Typed(refusal=_tr("Type what it shows"))
    if proposed.kind in METERED:
        match = _UNIT.fullmatch(word)
        number = match["value"] if match else word
        unit = match["unit"] if match else unit
        try:
            value = read_number(number, typed=True)
        except BadValue as problem:
            return _word(proposed.kind, word, str(problem))
        milli = unit.lower() == "mv"
        value_v = value / 1000 if milli else value
        meant = value if milli else value / 1000
        if not match and not _fits(value_v, proposed) and _fits(meant, proposed):
            said = _tr("%1 V or %1 mV? Type the unit with it")
            return Typed(refusal=said.replace("%1", number_text(value)))
        if abs(value_v) > 2.5 * abs(volts):
            said = _tr("%1 V is more than this car can show; is it mV?")
            return Typed(refusal=said.replace("%1", number_text(value_v)))
        return Typed(value_v=round(value_v, 6))
    return _word(proposed.kind, word, "")


def _fits(value_v: float, proposed: NextReading) -> bool:
    """Tell whether any suspect, or a sound car, shows about so much."""
    value = abs(value_v)
    return any(
        0.6 * low - 0.005 <= value <= 1.5 * high + 0.005
        for low, high in proposed.expects
    )


def _word(kind: str, word: str, otherwise: str) -> Typed:
    from blockmap.analysis.isolation.observations import looked_word, seen_word

    known = looked_word(word) if kind == "looked" else seen_word(word)
    if known and kind != "drop":
        return Typed(seen=word)
    words = words_for(kind)
    if not words:
        return Typed(refusal=otherwise)
    said = _tr("“%1” does not answer it; type %2")
    listed = ", ".join(words[:-1]) + " " + _tr("or") + " " + words[-1]
    if kind in METERED:
        listed = _tr("a number such as 9.5 V or 450 mV, or %1").replace("%1", listed)
    return Typed(refusal=said.replace("%1", word[:40]).replace("%2", listed))
