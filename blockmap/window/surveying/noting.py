"""Entries of the survey as edits of the readings notebook, and typed volts.

Plain functions; the edits themselves are those of the model. A reading of another day
stays: a new one is noted below it.
"""

from __future__ import annotations

import re

from blockmap.analysis.isolation.survey import Filled, state_words
from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading, remove_reading, set_reading_text
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import ContactRef
from blockmap.model.units import number_text, read_number

__all__ = ["cleared", "noted", "point_text", "typed_volts"]

_OVER = {"feed": "b1", "load": "b2"}
_BEGUN = re.compile(r"[+-]?\d*[.,]?\d*")
"""What may stand in a cell while volts are typed."""


def begins_volts(text: str) -> bool:
    """Tell whether a text may still become a number."""
    return len(text) <= 8 and _BEGUN.fullmatch(text) is not None


def typed_volts(text: str, *, positive_ground: bool) -> float:
    """Return the volts of a typed number. Raises EditRefused.

    With positive ground every live reading is negative: the sign may be left out.
    """
    try:
        value = read_number(text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    return -value if positive_ground and text[:1] not in "+-" else value


def point_text(
    document: Map, filled: Filled, contact: ContactRef, *, at_fuse: bool
) -> str:
    """Return how a reading names a contact, or the fuse's test point over it."""
    cavity = document.cavities[contact.cavity]
    name = contact.contact
    if at_fuse and cavity.kind == "fuse":
        name = _OVER.get(name, name)
    mine = filled.index.cavity(cavity.designation)
    unique = mine is not None and mine.id == cavity.id
    return f"{cavity.designation if unique else cavity.id}.{name}"


def noted(
    document: Map,
    filled: Filled,
    contact: ContactRef,
    state: str,
    *,
    seen: str = "",
    value_v: float | None = None,
    today: str = "",
    at_fuse: bool = True,
) -> Map:
    """Note what a contact showed in a state: a word, or volts. Raises EditRefused.

    An entry of the same day is written over.
    """
    point = point_text(document, filled, contact, at_fuse=at_fuse)
    old = filled.grid.get(contact, {}).get(state)
    if old is not None and not old.loaded:
        reading = document.readings[old.key]
        if reading.date == (today or None) and not reading.aside:
            volts = "" if value_v is None else number_text(value_v)
            for field, text in (
                ("point", point), ("value", volts), ("unit", "V"), ("seen", seen)
            ):  # fmt: skip
                document = set_reading_text(document, old.key, field, text)
            return document
    fresh = Reading(
        point=point,
        states=state_words(state),
        seen=seen,
        value=value_v,
        date=today or None,
    )
    return add_reading(document, fresh)[0]


def cleared(document: Map, filled: Filled, contact: ContactRef, state: str) -> Map:
    """Forget the entry of a contact in a state. Raises EditRefused.

    A reading that was taken with a load on is no entry of the survey: it stays.
    """
    old = filled.grid.get(contact, {}).get(state)
    if old is None:
        return document
    if old.loaded:
        reading = document.readings[old.key]
        raise EditRefused(
            f"This reading was taken with {reading.load[:40]} on; it stands in the "
            "notebook and is removed there"
        )
    return remove_reading(document, old.key)
