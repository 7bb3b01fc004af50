"""Gives the standard body colour of a fuse by its form and rating.

The colour is a reading aid only: the figure stamped on the fuse rules, and the same
colour means another rating in another body. A rating for which no document names a
colour stays uncoloured. The RGB values are this program's own choice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockmap.reference import documents as doc
from blockmap.reference.contrast import contrast_ratio
from blockmap.reference.forms import form_named
from blockmap.reference.sources import MEMORY_NOTE, Source, Status

__all__ = ["BODY_RGB", "BodyColour", "body_colour", "standard_ratings", "text_on"]


@dataclass(frozen=True, slots=True)
class BodyColour:
    """The colour word of a fuse body, its RGB, and how the word is known."""

    name: str
    rgb: str
    status: Status
    sources: tuple[Source, ...]
    note: str = ""


BODY_RGB: Mapping[str, str] = {
    "black": "#2b2b2b",
    "grey": "#9aa0a6",
    "violet": "#8e5bb5",
    "pink": "#f2a3bd",
    "tan": "#d9b98c",
    "brown": "#8a5a33",
    "red": "#d93a36",
    "blue": "#3f8fd2",
    "yellow": "#f7d432",
    "clear": "#f4f4ee",
    "green": "#3fae5a",
    "orange": "#f28c28",
    "white": "#fafafa",
}
"""Tint for each colour word, chosen here; no document read gives values."""

_INK = ("#000000", "#ffffff")

_F03, _F16 = doc.BLADE_COLOUR_GUIDE, doc.MEDIUM_COLOUR_ROWS
_Row = tuple[str, tuple[Source, ...]]

_MEDIUM: Mapping[float, _Row] = {
    1: ("black", (_F03, _F16)),
    2: ("grey", (_F03, _F16)),
    3: ("violet", (_F03,)),
    4: ("pink", (_F03, _F16)),
    5: ("tan", (_F03,)),
    7.5: ("brown", (_F03,)),
    10: ("red", (_F03, _F16)),
    15: ("blue", (_F03, doc.MINI_READINGS)),
    20: ("yellow", (_F03,)),
    25: ("clear", (_F03,)),
    30: ("green", (_F03,)),
    40: ("orange", (_F03,)),
}
# 25 A and 35 A are left out: one datasheet says the series has no colour for them.
_MAXI: Mapping[float, _Row] = {
    20: ("yellow", (doc.TRADE_ARTICLE_MAXI,)),
    30: ("green", (doc.TRADE_ARTICLE_MAXI,)),
    40: ("orange", (doc.TRADE_ARTICLE_MAXI,)),
    50: ("red", (doc.TRADE_ARTICLE_MAXI,)),
    60: ("blue", (doc.TRADE_ARTICLE_MAXI,)),
    70: ("tan", (doc.TRADE_ARTICLE_MAXI,)),
    80: ("clear", (doc.TRADE_ARTICLE_MAXI,)),
}
_TORPEDO: Mapping[float, _Row] = {
    5: ("yellow", (doc.ENCYCLOPEDIA_FUSES,)),
    8: ("white", (doc.ENCYCLOPEDIA_FUSES,)),
    16: ("red", (doc.ENCYCLOPEDIA_FUSES,)),
    25: ("blue", (doc.ENCYCLOPEDIA_FUSES,)),
}
_TABLES: Mapping[str, Mapping[float, _Row]] = {
    "medium": _MEDIUM,
    "mini": {amps: row for amps, row in _MEDIUM.items() if 2 <= amps <= 30},
    "micro": {amps: row for amps, row in _MEDIUM.items() if 5 <= amps <= 30},
    "maxi": _MAXI,
    "torpedo": _TORPEDO,
}
_NOTES = {"maxi": "the maxi colours mean other ratings than those of smaller blades"}

# Glass fuses carry their rating on the cap. Ratings of the fuses whose length tells
# the rating: maker datasheet. British glass: continuous ratings as a mailing list
# quotes them. Other bodies: common practice, no source.
_OTHER_RATINGS: Mapping[str, tuple[float, ...]] = {
    "glass 6.3 x 15.9": (4,),
    "glass 6.3 x 19": (6,),
    "glass 6.3 x 22": (7.5, 9),
    "glass 6.3 x 27": (14,),
    "glass 6.3 x 32": (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30),
    "glass 6.3 x 25": (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30),
    "glass 6.3 x 36.5": (30,),
    "glass 6.3 x 29": (1.5, 2.25, 2.5, 3, 4, 5, 6, 7.5, 12.5, 17.5, 25, 30),
    "glass 5 x 20": (0.5, 1, 2, 3.15, 5, 6.3, 10),
    "blade breaker": (5, 6, 7.5, 8, 10, 15, 20, 25, 30),
    "stud breaker": (15, 20, 25, 30, 40, 50),
    "bolted strip fuse": (30, 40, 50, 60, 80, 100),
}


def body_colour(form_name: str, rating_a: float) -> BodyColour | None:
    """Return the standard body colour of a fuse, None when it has none.

    ``rating_a`` is in amps. None also stands for a form that is not known or whose
    bodies are not coloured by rating. Source: the documents named in the result.
    """
    form = form_named(form_name)
    row = _TABLES.get(form.colour_table, {}).get(rating_a) if form else None
    if form is None or row is None:
        return None
    name, sources = row
    if form.colour_table == "micro":
        note = f"taken over from the medium blade, {MEMORY_NOTE}"
        return BodyColour(name, BODY_RGB[name], Status.MEMORY, (), note)
    note = _NOTES.get(form.colour_table, "")
    return BodyColour(name, BODY_RGB[name], Status.VERIFIED, sources, note)


def standard_ratings(form_name: str) -> tuple[float, ...]:
    """Return the usual ratings of a form in amps, ascending; empty when none known.

    Coloured bodies: the ratings of the colour table. Glass fuses whose length tells
    the rating: maker datasheet. The rest is common practice, no source.
    """
    form = form_named(form_name)
    if form is None:
        return ()
    return _OTHER_RATINGS.get(form.name) or tuple(_TABLES.get(form.colour_table, ()))


def text_on(rgb: str) -> str:
    """Return '#000000' or '#ffffff', whichever is easier to read on a colour."""
    return max(_INK, key=lambda ink: contrast_ratio(ink, rgb))
