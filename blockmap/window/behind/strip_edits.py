"""A strip's properties as texts a person types, and strips made of selected contacts.

Contacts are written by designation, F1.feed, parted by semicolons; what the map holds
are keys that stay. Plain functions; the edits themselves are those of the model.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence

from blockmap.analysis.behind.singly import strip_of
from blockmap.model.document import Cavity, Jumper, Map, Strip, Wire
from blockmap.model.edits import add_strip, states_named
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import (
    BlockId,
    CavityId,
    ContactRef,
    StripId,
    free_key,
    key_of,
    read_contact,
)
from blockmap.model.places import PlaceIndex
from blockmap.model.schema import property_named, read_value, value_text
from blockmap.model.written import landing_text, read_wires, wire_text

__all__ = [
    "join_strip",
    "make_strip",
    "read_contacts",
    "strip_text",
    "strip_title",
    "strip_with",
    "supply_contact",
]


class _Last:
    """The index of the map asked about last."""

    held: tuple[Map, PlaceIndex] | None = None


def _index(document: Map) -> PlaceIndex:
    last = _Last.held
    if last is None or last[0] is not document:
        last = _Last.held = (document, PlaceIndex(document))
    return last[1]


def strip_title(strip: Strip) -> str:
    """Return the name of a strip, else its key."""
    return strip.name or key_of(strip.id)


def supply_contact(cavity: Cavity) -> str | None:
    """Return the contact of a cavity that a strip feeds; None when it has none."""
    names = cavity.contact_names
    for name in ("feed", "30", "B", "pin"):
        if name in names:
            return name
    return names[0] if len(names) == 1 else None


def contact_text(document: Map, text: str, block: BlockId) -> str:
    """Return how a person writes a contact that the map holds by key."""
    ref = read_contact(text, block)
    cavity = document.cavities.get(ref.cavity) if ref else None
    if ref is None or cavity is None:
        return text
    words = f"{cavity.designation}.{ref.contact}"
    if cavity.block != block:
        words = f"{cavity.block}/{words}"
    index = _index(document)
    return words if index.contact(words, block) == ref else text


def _read_contact(
    document: Map, text: str, block: BlockId, known: Sequence[str] = ()
) -> ContactRef | None:
    """Return the contact that a text names, or that stood in the strip before."""
    index = _index(document)
    cavity = index.cavity(text, block)
    if cavity is not None:
        name = supply_contact(cavity)
        return ContactRef(cavity.id, name) if name else None
    found = index.contact(text, block)
    if found is not None:
        return found
    return read_contact(text, block) if text in known else None


def _held(ref: ContactRef, block: BlockId) -> str:
    """Return how the map holds a contact: by key in the strip's own block."""
    inside = ref.cavity.startswith(f"{block}/")
    return f"{key_of(ref.cavity)}.{ref.contact}" if inside else ref.text()


def _parts(text: str) -> list[str]:
    found = (" ".join(part.split()) for part in re.split(r"[;,\n]", text))
    return [part for part in found if part]


def read_contacts(
    document: Map, text: str, block: BlockId, known: Sequence[str] = ()
) -> tuple[str, ...]:
    """Return the contacts that a text lists, as the map holds them.

    A place without a contact means the one that takes its supply. What is known to
    stand there already is taken as it is. Raises BadValue.
    """
    found = []
    for part in _parts(text):
        ref = _read_contact(document, part, block, known)
        if ref is None:
            raise BadValue(
                f"“{part[:40]}” names no contact of this map; write F1.feed; F2.feed"
            )
        found.append(_held(ref, block))
    return tuple(dict.fromkeys(found))


def _read_jumper(
    document: Map, text: str, block: BlockId, code: str, known: Sequence[str]
) -> Jumper:
    words = text.split()
    for count in range(len(words), 0, -1):
        ref = _read_contact(document, " ".join(words[:count]), block, known)
        if ref is None:
            continue
        wires = read_wires(" ".join(words[count:]), code)
        wire = wires[0] if wires else Wire()
        return Jumper(to=_held(ref, block), colour=wire.colour, gauge=wire.gauge)
    raise BadValue(
        f"“{text[:40]}” names no contact of this map; write F13.feed, and the wire "
        "after it if it is known"
    )


def _jumper_text(document: Map, jumper: Jumper, block: BlockId) -> str:
    words = contact_text(document, jumper.to, block)
    if jumper.colour is None and not jumper.gauge:
        return words
    wire = Wire(colour=jumper.colour, gauge=jumper.gauge)
    return f"{words} {wire_text(wire, document.car.colour_code)}"


def strip_text(document: Map, strip: Strip, key: str) -> str:
    """Return one property of a strip as a person types it; 'landing' in words."""
    block = strip.block
    if key == "landing":
        return landing_text(document, strip)
    if key == "members":
        return "; ".join(contact_text(document, m, block) for m in strip.members)
    if key == "jumpers":
        return "; ".join(_jumper_text(document, j, block) for j in strip.jumpers)
    if key == "lands_at":
        return contact_text(document, strip.lands_at, block) if strip.lands_at else ""
    if key == "live":
        return "; ".join(strip.live)
    if key == "supply":
        wire = Wire(colour=strip.supply_colour, gauge=strip.supply_gauge)
        return "" if wire == Wire() else wire_text(wire, document.car.colour_code)
    return value_text(property_named(Strip, key), getattr(strip, key))


def strip_with(document: Map, strip: Strip, key: str, text: str) -> Strip:
    """Return a strip with a text written into one property. Raises BadValue."""
    block, code = strip.block, document.car.colour_code
    if key == "members":
        members = read_contacts(document, text, block, strip.members)
        _not_elsewhere(document, members, strip)
        return dataclasses.replace(strip, members=members)
    if key == "jumpers":
        parts = _parts(text)
        known = tuple(jumper.to for jumper in strip.jumpers)
        jumpers = tuple(_read_jumper(document, p, block, code, known) for p in parts)
        return dataclasses.replace(strip, jumpers=jumpers)
    if key == "lands_at":
        places = read_contacts(document, text, block, (strip.lands_at,))
        if len(places) > 1:
            raise BadValue("A supply lands at one contact; write one such as F7.feed")
        return dataclasses.replace(strip, lands_at=places[0] if places else "")
    if key == "live":
        return dataclasses.replace(strip, live=_states(document, strip, text))
    if key == "supply":
        wires = read_wires(text, code)
        if len(wires) > 1:
            raise BadValue("Write one supply wire, such as its colour and gauge")
        wire = wires[0] if wires else Wire()
        return dataclasses.replace(
            strip, supply_colour=wire.colour, supply_gauge=wire.gauge
        )
    value = read_value(property_named(Strip, key), text, typed=True)
    return dataclasses.replace(strip, **{key: value})


def _states(document: Map, strip: Strip, text: str) -> tuple[str, ...]:
    """Return states that the map knows, "always", or what stood there already."""
    kept = {word.casefold(): word for word in ("always", *strip.live)}
    found: list[str] = []
    for part in _parts(text):
        known = kept.get(part.casefold())
        found += [known] if known else states_named(document, part)
    return tuple(dict.fromkeys(found))


def _not_elsewhere(document: Map, members: Sequence[str], strip: Strip) -> None:
    """Refuse metal that is part of another strip already."""
    for text in members:
        ref = read_contact(text, strip.block)
        held = strip_of(document, ref) if ref else None
        if held is not None and held[1] and held[0].id != strip.id:
            raise BadValue(
                f"{contact_text(document, text, strip.block)} is part of strip "
                f"{strip_title(held[0])} already; take it off there first"
            )


def _feeds_of(
    document: Map, ids: Sequence[CavityId], block: BlockId
) -> tuple[str, ...]:
    found = []
    for id_ in ids:
        cavity = document.cavities[id_]
        name = supply_contact(cavity)
        if name is None:
            raise EditRefused(
                f"{cavity.designation} has no feed contact; give it a kind or form "
                "first"
            )
        found.append(_held(ContactRef(id_, name), block))
    return tuple(found)


def make_strip(
    document: Map, ids: Sequence[CavityId], block: BlockId
) -> tuple[Map, StripId]:
    """Make a strip of the feed contacts of cavities; return the map and its id.

    Raises EditRefused where one has no such contact or is on another strip.
    """
    members = _feeds_of(document, ids, block)
    number = 1
    taken = {strip_title(strip) for strip in document.strips_of(block)}
    while f"S{number}" in taken:
        number += 1
    keys = {key_of(s.id) for s in document.strips_of(block)}
    id_ = f"{block}/{free_key(f'S{number}', keys)}"
    strip = Strip(id=id_, block=block, name=f"S{number}", members=members)
    try:
        _not_elsewhere(document, members, strip)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    return add_strip(document, strip), id_


def join_strip(document: Map, strip: Strip, ids: Sequence[CavityId]) -> Strip:
    """Return a strip with the feed contacts of more cavities. Raises EditRefused."""
    more = _feeds_of(document, ids, strip.block)
    try:
        _not_elsewhere(document, more, strip)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    members = tuple(dict.fromkeys((*strip.members, *more)))
    return dataclasses.replace(strip, members=members)
