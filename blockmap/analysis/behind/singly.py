"""Answers whether one contact can be replaced alone, and what family it is of.

The answer follows from how the strip it is on is made and from its terminal family.
Where neither is noted the answer is that nobody knows: a contact that is taken for a
single terminal and is riveted breaks the block.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from blockmap.model.document import Map, Strip
from blockmap.model.ids import ContactRef, StripId, key_of, read_contact
from blockmap.model.terminals import TerminalFamily, family_named

__all__ = [
    "Answer",
    "families_used",
    "family_of",
    "family_words",
    "replaceable_singly",
    "strip_name",
    "strip_of",
]

_ONE_PIECE = ("one stamping", "riveted")
_WITHOUT = ("tab", "stud", "link")
_BAR = "solid bar that unbolts"


class Answer(NamedTuple):
    """Yes, no or unknown, and the reason as a sentence without its full stop."""

    word: Literal["yes", "no", "unknown"]
    why: str


def strip_name(strip: Strip) -> str:
    """Return what a strip is called."""
    return f"strip {strip.name or key_of(strip.id)}"


_Holds = Mapping[ContactRef, tuple[Strip, bool]]


class _Last:
    """The strips asked for last, by contact: a map is asked hundreds of times."""

    held: tuple[Mapping[StripId, Strip], _Holds] | None = None


def strip_of(document: Map, ref: ContactRef) -> tuple[Strip, bool] | None:
    """Return the strip a contact hangs on, and whether it is part of the metal.

    False means that a jumper wire joins it.
    """
    last = _Last.held
    if last is None or last[0] is not document.strips:
        last = _Last.held = (document.strips, _by_contact(document.strips))
    return last[1].get(ref)


def _by_contact(strips: Mapping[StripId, Strip]) -> _Holds:
    found: dict[ContactRef, tuple[Strip, bool]] = {}
    for metal in (True, False):
        for strip in strips.values():
            texts = strip.members if metal else [j.to for j in strip.jumpers]
            for text in texts:
                ref = read_contact(text, strip.block)
                if ref is not None:
                    found.setdefault(ref, (strip, metal))
    return found


def family_words(document: Map, ref: ContactRef) -> str:
    """Return the family a contact names, else its block's; '' when none is noted.

    A contact that is part of a strip is of no family unless it names one itself; nor
    are tabs and studs, which are part of the block, links, which are wires, and
    holders away from the block.
    """
    cavity = document.cavities[ref.cavity]
    own = cavity.contact(ref.contact).terminal
    if own:
        return own
    if cavity.kind in _WITHOUT or cavity.off_panel:
        return ""
    held = strip_of(document, ref)
    if held and held[1] and held[0].made != "wire splice":
        return ""
    block = document.blocks.get(cavity.block)
    return block.terminal if block else ""


def family_of(document: Map, ref: ContactRef) -> TerminalFamily | None:
    """Return the terminal family of a contact, if it is noted and described."""
    return family_named(document, family_words(document, ref))


def families_used(document: Map) -> tuple[tuple[TerminalFamily, tuple[str, ...]], ...]:
    """Return each family that contacts of the map are of, with those cavities' ids.

    A block's own family counts for each of its cavities that takes something.
    """
    found: dict[str, tuple[TerminalFamily, dict[str, None]]] = {}
    for cavity in document.cavities.values():
        if cavity.kind == "blank":
            continue
        for name in cavity.contact_names:
            family = family_of(document, ContactRef(cavity.id, name))
            if family is not None:
                found.setdefault(family.name, (family, {}))[1][cavity.id] = None
    return tuple((family, tuple(ids)) for family, ids in found.values())


def replaceable_singly(document: Map, ref: ContactRef) -> Answer:
    """Return whether one contact can be replaced without its neighbours, and why."""
    cavity = document.cavities.get(ref.cavity)
    if cavity is None or ref.contact not in cavity.contact_names:
        return Answer("unknown", f"there is no contact {ref.text()}")
    held = strip_of(document, ref)
    if held and held[1]:
        return _on_metal(document, ref, held[0])
    joined = f", joined to {strip_name(held[0])} by a wire" if held else ""
    family = family_of(document, ref)
    words = family_words(document, ref)
    if family is None or family.singly is None:
        if not words:
            return Answer("unknown", f"its terminal family is not noted{joined}")
        return Answer("unknown", f"how a “{words}” is released is not noted{joined}")
    if family.singly:
        return Answer("yes", f"a single terminal ({family.name}){joined}")
    return Answer("no", f"a {family.name} is not released singly{joined}")


def _on_metal(document: Map, ref: ContactRef, strip: Strip) -> Answer:
    name = strip_name(strip)
    family = family_of(document, ref)
    own = document.cavities[ref.cavity].contact(ref.contact).terminal
    if strip.made in _ONE_PIECE:
        how = "one stamping" if strip.made == "one stamping" else "riveted together"
        return Answer("no", f"it is part of {name}, which is {how}")
    if strip.made is None:
        return Answer("unknown", f"it is on {name}; how that is made is not noted")
    if family is not None and family.singly is False:
        return Answer("no", f"a {family.name} is not released singly")
    if strip.made == _BAR:
        if own:
            return Answer("yes", f"a terminal of its own ({own}) on a bar that unbolts")
        return Answer("no", f"it is part of {name}, a bar that unbolts as one piece")
    return Answer("yes", f"{name} is a wire splice: each wire has its own terminal")
