"""Reads and shows wire colours, base and stripes, in a named colour code.

A colour is kept as colour words and shown in the code of the map. Text that means
different colours in different codes is refused with each meaning; it is never
guessed. IEC 60757 joins letters in the order of its table, which does not tell base
from stripe: here the first colour is always the base.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from blockmap.reference.wire_codes import (
    CODES,
    LOOSE_LETTERS,
    RGB,
    TABLES,
    WORD_ALIASES,
)

__all__ = [
    "CODES",
    "RGB",
    "ColourNotUnderstood",
    "WireColour",
    "read_colour",
    "show_colour",
]


@dataclass(frozen=True, slots=True)
class WireColour:
    """A wire's base colour and its stripes, as words of `RGB`.

    Raises ValueError for a word that is not one of `RGB`.
    """

    base: str
    stripes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for word in (self.base, *self.stripes):
            if word not in RGB:
                raise ValueError(f'"{word}" is not one of the colour words')

    def words(self) -> str:
        """Return the colours in full words, for example 'brown/white'."""
        return "/".join((self.base, *self.stripes))


class ColourNotUnderstood(ValueError):
    """Text that is no wire colour, or that means several.

    ``meant`` holds the colour words the text may stand for, empty when none is near.
    """

    def __init__(self, text: str, code: str, meant: tuple[str, ...], say: str) -> None:
        super().__init__(say)
        self.text = text
        self.code = code
        self.meant = meant


_CODE_TITLES = {
    "words": "full words",
    "north american": "North American letters",
    "iec 60757": "IEC 60757 letters",
    "german": "German letters",
}
_PREFIXES = {
    "words": "words",
    "north american": "north american",
    "na": "north american",
    "iec 60757": "iec 60757",
    "iec": "iec 60757",
    "german": "german",
    "din": "german",
}
_RUN_TOGETHER = ("iec 60757", "german")
_SHADE = {"LT": "light", "LIGHT": "light", "DK": "dark", "DARK": "dark"}
_FILLERS = {"WITH", "AND", "STRIPE", "STRIPES", "TRACER"}
_MOST_COLOURS = 4


def _word_meant(token: str) -> str | None:
    word = token.casefold()
    word = WORD_ALIASES.get(word, word)
    return word if word in RGB else None


def _meant_in(token: str, code: str) -> str | None:
    """Return the colour of one token under one code, words allowed everywhere."""
    word = _word_meant(token)
    if word is not None:
        return word
    found = TABLES[code].get(token)
    shade, _, rest = token.partition(" ")
    if found is None and code == "north american" and rest:
        plain = TABLES[code].get(rest) or _word_meant(rest)
        shaded = f"{_SHADE.get(shade, '')} {plain}"
        found = shaded if shaded in RGB else None
    return found


def _split(text: str) -> list[str]:
    """Split text into one token per colour, shades kept with their colour."""
    plain = re.sub(r"\b(LT|DK|LIGHT|DARK)[\s.-]+", r"\1 ", text.upper())
    tokens: list[str] = []
    for part in re.split(r"\s*[/,;+&-]\s*|\s+AND\s+|\s+WITH\s+", plain):
        words = [word for word in part.split() if word not in _FILLERS]
        if not words:
            raise ValueError("a colour is missing between two marks")
        tokens += _split_at_spaces(words)
    return tokens


def _split_at_spaces(words: list[str]) -> Iterator[str]:
    at = 0
    while at < len(words):
        pair = " ".join(words[at : at + 2])
        two = len(words) > at + 1 and (
            words[at] in _SHADE or _word_meant(pair) is not None
        )
        yield pair if two else words[at]
        at += 2 if two else 1


def _run_apart(token: str, code: str) -> list[str] | None:
    """Return the colours of letters written together, 'SWGE' or 'BKWH'."""
    if code not in _RUN_TOGETHER or len(token) < 4 or len(token) % 2:
        return None
    pairs = [token[i : i + 2] for i in range(0, len(token), 2)]
    found = [TABLES[code].get(pair) for pair in pairs]
    return None if None in found else [colour for colour in found if colour]


def _whole(tokens: list[str], code: str) -> list[str] | None:
    """Return the colours when every token is understood under one code."""
    colours: list[str] = []
    for token in tokens:
        one = _meant_in(token, code)
        together = [one] if one else _run_apart(token, code)
        if together is None:
            return None
        colours += together
    return colours


def _meanings(token: str) -> dict[tuple[str, ...], list[str]]:
    """Return what a token can mean anywhere, each with the codes that say so."""
    found: dict[tuple[str, ...], list[str]] = {}
    for code in CODES[1:]:
        one = _meant_in(token, code)
        together = (one,) if one else tuple(_run_apart(token, code) or ())
        if together:
            found.setdefault(together, []).append(_CODE_TITLES[code])
    for loose in LOOSE_LETTERS.get(token, ()):
        found.setdefault((loose,), []).append("some makers' manuals")
    return found


def _across_codes(tokens: list[str]) -> list[str] | None:
    """Return the colours when exactly one reading exists in the other codes."""
    readings = {
        tuple(colours)
        for code in CODES[1:]
        if (colours := _whole(tokens, code)) is not None
    }
    loose = [
        [word] if (word := _word_meant(token)) else LOOSE_LETTERS.get(token, ())
        for token in tokens
    ]
    if all(loose):
        if any(len(meanings) > 1 for meanings in loose):
            return None
        readings.add(tuple(meanings[0] for meanings in loose))
    if len(readings) == 1:
        return list(readings.pop())
    return None


def _either(words: tuple[str, ...]) -> str:
    return " or ".join(f'"{word}"' for word in words)


def _refuse(text: str, token: str, code: str) -> ColourNotUnderstood:
    meanings = _meanings(token)
    shown = text.strip()
    if len(meanings) > 1:
        each = "; ".join(
            f"{'/'.join(colours)} in {' and '.join(where)}"
            for colours, where in meanings.items()
        )
        meant = tuple("/".join(colours) for colours in meanings)
        return ColourNotUnderstood(
            shown,
            code,
            meant,
            f'"{token}" in "{shown}" means different colours: {each}. '
            f"Write the colour in full words, {_either(meant)}.",
        )
    from difflib import get_close_matches

    near = get_close_matches(token.casefold(), [*RGB, *WORD_ALIASES], n=3)
    meant = tuple(dict.fromkeys(WORD_ALIASES.get(word, word) for word in near))
    example = meant[0] if meant else show_colour(WireColour("brown", ("white",)), code)
    return ColourNotUnderstood(
        shown,
        code,
        meant,
        f'"{token}" in "{shown}" is no colour in {_CODE_TITLES[code]}. '
        f'Write base/stripe in that code or in full words, for example "{example}".',
    )


def _forced(text: str) -> tuple[str, str | None]:
    """Return the text without a leading code name, and that code."""
    before, colon, after = text.partition(":")
    if not colon:
        return text, None
    code = _PREFIXES.get(" ".join(before.casefold().split()))
    return (after, code) if code else (text, None)


def read_colour(text: str, code: str = "words") -> WireColour:
    """Return the wire colour that a text means under a code of `CODES`.

    Full words are understood under every code, and so are letters of another code
    when they can mean one colour only. A leading 'german:', 'iec:',
    'north american:' or 'words:' makes that code the only one.

    Raises ColourNotUnderstood, whose text says what to write instead, and ValueError
    when the code is not one of `CODES`.
    """
    if code not in CODES:
        raise ValueError(f'"{code}" is no colour code; write one of: {CODES}')
    bare, forced = _forced(text)
    code = forced or code
    try:
        tokens = _split(bare.strip())
    except ValueError:
        tokens = []
    if not 1 <= len(tokens) <= _MOST_COLOURS:
        raise ColourNotUnderstood(
            text.strip(),
            code,
            (),
            f'"{text.strip()}" is not a base colour and up to three stripes. Write '
            f'them with slashes, for example "brown/white".',
        )
    colours = _whole(tokens, code)
    if colours is None and forced is None:
        colours = _across_codes(tokens) or _token_by_token(text, tokens, code)
    if colours is None:
        wrong = next(token for token in tokens if _whole([token], code) is None)
        raise _refuse(text, wrong, code)
    return WireColour(colours[0], tuple(colours[1:]))


def _token_by_token(text: str, tokens: list[str], code: str) -> list[str]:
    colours: list[str] = []
    for token in tokens:
        own = _whole([token], code)
        if own is None:
            meanings = _meanings(token)
            if len(meanings) != 1:
                raise _refuse(text, token, code)
            own = list(next(iter(meanings)))
        colours += own
    return colours


def _letters(word: str, code: str) -> str:
    for letters, colour in TABLES[code].items():
        if colour == word:
            return letters.lower() if code == "german" else letters
    shade, _, rest = word.partition(" ")
    if code == "north american" and rest:
        return f"{'LT' if shade == 'light' else 'DK'} {_letters(rest, code)}"
    return word


def show_colour(colour: WireColour, code: str) -> str:
    """Return the colour in a code; a colour the code lacks is shown as a word.

    What is shown reads back as the same colour. IEC letters stand base first with a
    slash, except green-and-yellow, whose published code is GNYE.
    Source: the tables of `wire_codes`.
    """
    if code not in CODES:
        raise ValueError(f'"{code}" is no colour code; write one of: {CODES}')
    if code == "words":
        return colour.words()
    if code == "iec 60757" and (colour.base, *colour.stripes) == ("green", "yellow"):
        return "GNYE"
    return "/".join(_letters(word, code) for word in (colour.base, *colour.stripes))
