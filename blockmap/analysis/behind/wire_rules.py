"""Rules about wires: both ends noted, both ends alike, colours that tell no jobs apart.

A wire from a fuse to a load that is entered beside it has its other end there. What is
looked at is the wire that names another place of the map, and the wire at a connector.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from blockmap.analysis.finding import Finding, Level, reads
from blockmap.model.document import Block, Cavity, Map, Wire
from blockmap.model.ids import BlockId, CavityId, ContactRef
from blockmap.model.places import PlaceIndex
from blockmap.reference.wire_colours import WireColour, show_colour

__all__ = ["alike_at_connectors", "differing_ends", "lost_ends", "open_ends"]

_REFERENCE = re.compile(r"\S+[./]\S+")
"""A text that means a place of the map and not words."""


_WIRED = ("contacts", "kind", "form", "circuit", "loads", "own", "moulded", "manual")
"""What these rules look at of a cavity: its wires, and what names it and them."""


def _ends(document: Map) -> Iterator[tuple[Cavity, str, Wire, ContactRef | None]]:
    """Yield every wire with a noted other end, and the contact that it names."""
    index = PlaceIndex(document)
    for cavity in document.cavities.values():
        for name, contact in cavity.contacts.items():
            for wire in contact.wires:
                if wire.to:
                    found = index.contact(wire.to, cavity.block)
                    yield cavity, name, wire, found


@reads(*_WIRED, parts=("blocks", "car"))
def lost_ends(document: Map) -> Iterator[Finding]:
    """Find wires whose other end names a contact that the map has not."""
    for cavity, name, wire, found in _ends(document):
        if found is None and _REFERENCE.fullmatch(wire.to):
            yield Finding(
                code="wire-end-missing",
                level=Level.ADVICE,
                objects=(cavity.id,),
                what=f"A wire at the {name} contact of {cavity.designation} goes to "
                f"{wire.to}, which is not there",
                why="a load cannot be followed past such a name",
                todo="draw the connector and its places, or correct the name",
            )


@reads(*_WIRED, parts=("blocks", "car"))
def differing_ends(document: Map) -> Iterator[Finding]:
    """Find wires whose colour is another at their other end."""
    for cavity, name, wire, found in _ends(document):
        if found is None or wire.colour is None:
            continue
        other = document.cavities[found.cavity]
        colours = [w.colour for w in other.contact(found.contact).wires if w.colour]
        if not colours or wire.colour in colours:
            continue
        code = document.car.colour_code
        there = ", ".join(show_colour(colour, code) for colour in colours)
        yield Finding(
            code="wire-ends-differ",
            level=Level.ADVICE,
            objects=(cavity.id, other.id),
            what=f"The wire {show_colour(wire.colour, code)} at the {name} contact of "
            f"{cavity.designation} goes to {other.designation}, where "
            f"{there} is noted",
            why="a wire has one colour from end to end, unless it is spliced",
            todo="look at both ends; note a splice where there is one",
        )


def _connectors(document: Map) -> Iterator[Block]:
    return (b for b in document.blocks.values() if b.kind == "connector")


@reads(*_WIRED, parts=("blocks", "car"))
def open_ends(document: Map) -> Iterator[Finding]:
    """List the places of a connector whose wires have no other end, block by block."""
    reached = {found for _, _, _, found in _ends(document) if found}
    for block in _connectors(document):
        bare: list[CavityId] = []
        for cavity in document.cavities_of(block.id):
            for name, contact in cavity.contacts.items():
                told = any(wire.to for wire in contact.wires) or cavity.loads
                if (
                    contact.wires
                    and not told
                    and ContactRef(cavity.id, name) not in reached
                ):
                    bare.append(cavity.id)
        if bare:
            names = ", ".join(document.cavities[i].designation for i in bare)
            yield Finding(
                code="wire-end-unknown",
                level=Level.INFORMATION,
                objects=tuple(dict.fromkeys(bare)),
                what=f"The other end of the wire is not noted at {names} of "
                f"{block.name or block.id}",
                why="a load is traced through a connector by both ends of its wires",
                todo="note where the wire goes, or the load it ends at",
            )


@reads(*_WIRED, parts=("blocks", "car"))
def alike_at_connectors(document: Map) -> Iterator[Finding]:
    """Find wires of one colour at several places of a connector.

    Places that name one circuit or go to one place are one job. Places with a circuit
    of their own are the matter of another rule.
    """
    for block in _connectors(document):
        users: dict[WireColour, dict[CavityId, str]] = {}
        for cavity in document.cavities_of(block.id):
            for contact in cavity.contacts.values():
                for wire in contact.wires:
                    if wire.colour is not None and not cavity.circuit:
                        job = wire.to or f"place {cavity.id}"
                        users.setdefault(wire.colour, {})[cavity.id] = job
        yield from _alike(document, block.id, users)


def _alike(
    document: Map, block: BlockId, users: dict[WireColour, dict[CavityId, str]]
) -> Iterator[Finding]:
    for colour, jobs in users.items():
        if len(set(jobs.values())) < 2:
            continue
        names = ", ".join(document.cavities[i].designation for i in jobs)
        shown = show_colour(colour, document.car.colour_code)
        part = document.blocks[block]
        yield Finding(
            code="wires-alike-at-connector",
            level=Level.INFORMATION,
            objects=tuple(jobs),
            what=f"Wires of the colour {shown} are at {names} of "
            f"{part.name or part.id}",
            why="at the connector the colour alone does not tell them apart",
            todo="flag both ends before a terminal is released",
        )
