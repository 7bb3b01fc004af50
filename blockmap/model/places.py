"""Finds the part of a map that a person means by a place such as F11.load wire.

A repair and a wire's other end are written the way people speak: by designation, with
or without the block, with or without the contact. It finds, or says None; it changes
nothing.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from blockmap.model.document import Cavity, Condition, Map
from blockmap.model.ids import BlockId, CavityId, ContactRef, cavity_id, key_of

__all__ = [
    "Place",
    "condition_at",
    "find_cavity",
    "find_contact",
    "find_place",
    "wire_place",
]

_WIRE = re.compile(r"(?P<contact>.+) wire(?: (?P<number>[1-9][0-9]?))?$")


class Place(NamedTuple):
    """A cavity and what of it: a contact, 'load wire', 'housing', 'fuse', or ''."""

    cavity: CavityId
    where: str = ""


def wire_place(where: str) -> tuple[str, int] | None:
    """Return contact and index of 'load wire' or 'load wire 2'; None for another."""
    match = _WIRE.match(where)
    return (match["contact"], int(match["number"] or 1) - 1) if match else None


def find_cavity(
    document: Map, text: str, block: BlockId | None = None
) -> Cavity | None:
    """Return the cavity that a key, id or designation names.

    The given block is looked in first. A name that several cavities bear means none.
    """
    word = " ".join(text.split())
    if word in document.cavities:
        return document.cavities[word]
    if block is not None:
        if cavity_id(block, word) in document.cavities:
            return document.cavities[cavity_id(block, word)]
        found = [c for c in document.cavities_of(block) if word in c.designations]
        if len(found) == 1:
            return found[0]
    head, slash, tail = word.partition("/")
    found = [
        cavity
        for cavity in document.cavities.values()
        if (not slash and (word == key_of(cavity.id) or word in cavity.designations))
        or (slash and tail in cavity.designations and _is_block(document, cavity, head))
    ]
    return found[0] if len(found) == 1 else None


def _is_block(document: Map, cavity: Cavity, name: str) -> bool:
    block = document.blocks.get(cavity.block)
    return block is not None and name in (block.id, block.name)


def find_place(document: Map, text: str, block: BlockId | None = None) -> Place | None:
    """Return the cavity and its part that words such as F11.load or F11 name."""
    whole = find_cavity(document, text, block)
    if whole is not None:
        return Place(whole.id)
    name, dot, where = text.strip().rpartition(".")
    cavity = find_cavity(document, name, block) if dot and name else None
    return Place(cavity.id, where) if cavity and where else None


def find_contact(
    document: Map, text: str, block: BlockId | None = None
) -> ContactRef | None:
    """Return the contact that a wire's end names, such as F1.load, C1.3 or C1/3.

    C1.3 is place 3 of the connector C1 where no place C1 has a contact 3. A place
    alone stands for its main contact.
    """
    place = find_place(document, text, block)
    if place is not None:
        cavity = document.cavities[place.cavity]
        if not place.where:
            return ContactRef(cavity.id, cavity.main_contact)
        if place.where in cavity.contact_names:
            return ContactRef(cavity.id, place.where)
    head, dot, tail = text.strip().partition(".")
    if not dot:
        return None
    for key, part in document.blocks.items():
        if head not in (key, part.name):
            continue
        for one in document.cavities_of(key):
            if tail == key_of(one.id) or tail in one.designations:
                return ContactRef(one.id, one.main_contact)
    return None


def condition_at(cavity: Cavity, where: str) -> Condition | None:
    """Return what is noted of one part of a cavity: contact, wire, housing or fuse."""
    if where == "housing":
        return cavity.housing
    if where == "fuse":
        return cavity.fuse
    wire = wire_place(where)
    if wire is not None:
        wires = cavity.contact(wire[0]).wires
        return wires[wire[1]].condition if wire[1] < len(wires) else None
    return cavity.contact(where).condition
