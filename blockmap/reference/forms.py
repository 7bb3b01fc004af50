"""Finds the bodies that cavities take by what people call them.

Everyday words, inches and decimal commas are understood; makers' catalogue codes are
not. It does not say which rating fits a body.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from blockmap.reference.form_list import ALL_FORMS, KINDS, Form

__all__ = [
    "FORMS",
    "KINDS",
    "Form",
    "closest_forms",
    "default_form",
    "form_named",
    "forms_of_kind",
]

FORMS: Mapping[str, Form] = MappingProxyType({form.name: form for form in ALL_FORMS})
"""Every form by its name, in the order in which a list of choices shows them."""

_DEFAULTS = {
    "fuse": "medium blade",
    "breaker": "blade breaker",
    "relay": "relay 4-pin",
    "flasher": "flasher 2-pin",
    "tab": "tab 6.3",
    "stud": "stud M6",
    "link": "fusible link",
    "terminal": "terminal 2.8",
    "blank": "blank",
}


_LEFT_OUT = {"fuse", "fuses", "size", "in"}


def _words(text: str) -> list[str]:
    """Reduce what a person writes to the words that tell one form from another."""
    plain = re.sub(r"[*×]", " x ", re.sub(r'["″]', " ", text.casefold()))
    plain = re.sub(r"in-?line", " ", plain)
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain).replace(",", " ")
    plain = re.sub(r"(?<=\d)\s*mm\b", "", plain)
    plain = re.sub(r"(?<=\d)\s*(?:x|by)\s*(?=\d)", "x", plain)
    return [word for word in plain.split() if word not in _LEFT_OUT]


def _key(text: str) -> str:
    return " ".join(sorted(_words(text)))


@cache
def _by_key() -> Mapping[str, Form]:
    found: dict[str, Form] = {}
    for form in ALL_FORMS:
        for text in (form.name, *form.aliases):
            found.setdefault(_key(text), form)
    return found


@cache
def _by_spelling() -> Mapping[str, Form]:
    found: dict[str, Form] = {}
    for form in ALL_FORMS:
        for text in (form.name, *form.aliases):
            found.setdefault(" ".join(_words(text)), form)
    return found


@lru_cache(maxsize=1024)
def form_named(text: str) -> Form | None:
    """Return the form that a person means by a name or an everyday word.

    Case, the order of the words, 'mm', 'fuse', 'in-line', the decimal comma and the
    multiplication sign do not matter. Returns None when no form is meant for
    certain; see `closest_forms`.
    """
    return _by_key().get(_key(text))


def closest_forms(text: str) -> tuple[str, ...]:
    """Return up to three form names that are spelt most like the text, best first."""
    from difflib import get_close_matches

    known = _by_spelling()
    near = get_close_matches(" ".join(_words(text)), known, n=8, cutoff=0.5)
    return tuple(dict.fromkeys(known[spelling].name for spelling in near))[:3]


def default_form(kind: str) -> Form:
    """Return the form a new cavity of this kind starts with.

    Raises ValueError for a word that is not one of `KINDS`.
    """
    if kind not in _DEFAULTS:
        raise ValueError(
            f'"{kind}" is not a kind of cavity; write one of: {", ".join(KINDS)}'
        )
    return FORMS[_DEFAULTS[kind]]


def forms_of_kind(kind: str) -> tuple[Form, ...]:
    """Return the forms that suit a kind of cavity, in the order of `FORMS`."""
    return tuple(form for form in ALL_FORMS if form.kind == kind)
