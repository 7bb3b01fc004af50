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
    "PlaceIndex",
    "condition_at",
    "find_contact",
    "find_place",
    "wire_place",
]

_WIRE = re.compile(r"(?P<contact>.+) wire(?: (?P<number>[1-9][0-9]?))?")


class Place(NamedTuple):
    """A cavity and what of it: a contact, 'load wire', 'housing', 'fuse', or ''."""

    cavity: CavityId
    where: str = ""


def wire_place(where: str) -> tuple[str, int] | None:
    """Return contact and index of 'load wire' or 'load wire 2'; None for another."""
    match = _WIRE.fullmatch(where)
    return (match["contact"], int(match["number"] or 1) - 1) if match else None


class PlaceIndex:
    """The names of a map's places, for many look-ups in one and the same map."""

    def __init__(self, document: Map) -> None:
        self._document = document
        self._local: dict[tuple[BlockId, str], dict[CavityId, None]] = {}
        self._anywhere: dict[str, dict[CavityId, None]] = {}
        self._blocks: dict[str, dict[BlockId, None]] = {}
        for cavity in document.cavities.values():
            key = key_of(cavity.id)
            for name in (key, *cavity.designations):
                self._anywhere.setdefault(name, {})[cavity.id] = None
                self._local.setdefault((cavity.block, name), {})[cavity.id] = None
        for block in document.blocks.values():
            for name in (block.id, block.name):
                if name:
                    self._blocks.setdefault(name, {})[block.id] = None

    def cavity(self, text: str, block: BlockId | None = None) -> Cavity | None:
        """Return the cavity that a key, id or designation names.

        The given block is looked in first. A name that several bear means none.
        """
        word = " ".join(text.split())
        cavities = self._document.cavities
        if word in cavities:
            return cavities[word]
        if block is not None:
            if cavity_id(block, word) in cavities:
                return cavities[cavity_id(block, word)]
            near = self._local.get((block, word), {})
            if len(near) == 1:
                return cavities[next(iter(near))]
        head, slash, tail = word.partition("/")
        if slash:
            named = [
                identity
                for key in self._blocks.get(head, ())
                for identity in self._local.get((key, tail), ())
            ]
        else:
            named = list(self._anywhere.get(word, ()))
        return cavities[named[0]] if len(named) == 1 else None

    def place(self, text: str, block: BlockId | None = None) -> Place | None:
        """Return the cavity and its part that words such as F11.load or F11 name."""
        whole = self.cavity(text, block)
        if whole is not None:
            return Place(whole.id)
        name, dot, where = text.strip().rpartition(".")
        cavity = self.cavity(name, block) if dot and name else None
        return Place(cavity.id, where) if cavity and where else None

    def contact(self, text: str, block: BlockId | None = None) -> ContactRef | None:
        """Return the contact that a wire's end names: F1.load, C1.3 or C1/3.

        C1.3 is place 3 of the connector C1 where no place C1 has a contact 3. A
        place alone stands for its main contact.
        """
        place = self.place(text, block)
        cavities = self._document.cavities
        if place is not None:
            cavity = cavities[place.cavity]
            if not place.where:
                return ContactRef(cavity.id, cavity.main_contact)
            if place.where in cavity.contact_names:
                return ContactRef(cavity.id, place.where)
        head, dot, tail = text.strip().partition(".")
        for key in self._blocks.get(head, ()) if dot else ():
            for identity in self._local.get((key, tail), ()):
                return ContactRef(identity, cavities[identity].main_contact)
        return None


def find_place(document: Map, text: str, block: BlockId | None = None) -> Place | None:
    """Return the cavity and its part that words name; see `PlaceIndex.place`."""
    return PlaceIndex(document).place(text, block)


def find_contact(
    document: Map, text: str, block: BlockId | None = None
) -> ContactRef | None:
    """Return the contact that a wire's end names; see `PlaceIndex.contact`."""
    return PlaceIndex(document).contact(text, block)


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
