"""The work list: the safe order of taking a block down and mending it.

First everything that keeps battery, fuses and wires safe, then one terminal at a time
with a box for "out" and one for "back", and at the end a count: what came out has gone
back. It does not teach crimping; the release cards and the service manual do that.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.behind.damage import Damage, damage_of
from blockmap.analysis.behind.singly import (
    family_of,
    family_words,
    replaceable_singly,
    strip_name,
    strip_of,
)
from blockmap.drawing.picture import amps_text
from blockmap.drawing.primitives import Face, Primitive, Text
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Point, Size
from blockmap.model.ids import BlockId, ContactRef
from blockmap.model.places import wire_place
from blockmap.model.written import wire_text
from blockmap.reference.cautions import caution_named
from blockmap.sheets.pages import TEXT_CAP_MM, Sheet
from blockmap.sheets.work_pages import BOX_MM, Cell, TableColumn, WorkPages, tick_box

__all__ = ["compose_worklist"]

_REPAIR = 2
"""Severity from which a terminal comes out; below it is looked at where it is."""
_FUSE_KINDS = ("fuse", "breaker", "relay", "flasher")

_COLUMNS = (
    TableColumn(title="No.", width_mm=9, ends=True),
    TableColumn(title="Place, contact", width_mm=24),
    TableColumn(title="Wires", width_mm=31),
    TableColumn(title="Found and decided", width_mm=60),
    TableColumn(title="Release", width_mm=44),
    TableColumn(title="", width_mm=14),
    TableColumn(title="", width_mm=15),
    TableColumn(title="Drop after, mV at A", width_mm=22),
)


def compose_worklist(document: Map, block: BlockId, *, paper: str = "a4") -> Sheet:
    """Return the work list of one block.

    Raises KeyError for a block the map has not, ValueError for an unknown paper.
    """
    part = document.blocks[block]
    title = f"Work list: {part.name or part.id}"
    pages = WorkPages(document, "worklist", title, paper, block=part)
    pages.new_page()
    cavities = tuple(document.cavities_of(block))
    fused = [c for c in cavities if c.kind in _FUSE_KINDS]
    wires = sum(len(k.wires) for c in cavities for k in c.contacts.values())
    pages.heading("Before anything moves")
    pages.checks(_before(part, len(fused), wires))
    if fused:
        pages.heading("Out before the block moves, back when it is up again")
        _tally(pages, fused)
    work = [d for d in damage_of(document) if d.open and d.cavity.block == block]
    numbered = [
        each
        for each in _grouped([d for d in work if _is_terminal(document, d)])
        if any((d.condition.severity or _REPAIR) >= _REPAIR for d in each)
    ]
    released = [d for each in numbered for d in each]
    others = [d for d in work if d not in released]
    if numbered:
        pages.heading("One terminal at a time: the next only when this one is back")
        rows = [_row(document, number, each) for number, each in enumerate(numbered, 1)]
        pages.table(_COLUMNS, rows)
    if others:
        pages.heading("Work that releases no terminal")
        pages.checks(_other(document, d) for d in others)
    if not work:
        pages.heading("One terminal at a time")
        pages.paragraph(
            "No open damage is noted for this block. Enter what was found, and print "
            "this list again."
        )
    pages.heading("Count, before the battery is connected")
    pages.checks(_after(len(fused), len(numbered), cavities))
    return pages.sheet()


def _before(block: Block, fuses: int, wires: int) -> Iterator[str]:
    yield caution_named("airbag wait").text
    yield f"{caution_named('battery').text} Off at ____ : ____"
    if fuses:
        yield (
            "Photograph the block from the front, fuses in, then take all "
            f"{fuses} fuses, breakers, relays and flashers out. Out: ____ of {fuses}"
        )
    else:
        yield "Photograph the block from the front, before it is moved or parted."
    if block.mount:
        yield f"Take the block down: {block.mount}. Screws and clips kept: ____"
    yield "Photograph the block from the rear, straight on, before a wire is touched."
    yield (
        f"Flag both ends of every wire that will move ({wires} wires are noted in the "
        "map). Look for wires that the map does not hold; write them in."
    )
    if block.release:
        yield f"Release: {block.release}"


def _tally(pages: WorkPages, cavities: list[Cavity]) -> None:
    """Set one small row for each fuse: its place and amps, and the boxes out, back."""
    size = Size((pages.area.width_mm - 3 * 2.0) / 4, BOX_MM + 1.2)
    for cavity in cavities:
        amps = f"  {amps_text(cavity.rating_a)} A" if cavity.rating_a else ""
        known = "  DO NOT USE" if cavity.unusable else amps
        at = Point(2 * BOX_MM + 4.0, BOX_MM - 0.5)
        items: list[Primitive] = [
            tick_box(Point(0.0, BOX_MM)),
            tick_box(Point(BOX_MM + 1.6, BOX_MM)),
            Text(cavity.designation + known, at, TEXT_CAP_MM, Face.REGULAR, "start"),
        ]
        pages.shelf(items, size, 2.0)
    pages.end_shelf()
    pages.paragraph("First box: out. Second box: back, the specified rating.")


def _is_terminal(document: Map, damage: Damage) -> bool:
    """Tell whether a terminal has to come out for this damage."""
    if damage.where in ("housing", "fuse"):
        return False
    wire = wire_place(damage.where)
    name = wire[0] if wire else damage.where
    ref = ContactRef(damage.cavity.id, name)
    return replaceable_singly(document, ref).word != "no"


def _grouped(damage: list[Damage]) -> list[list[Damage]]:
    """Bring contact and wire of one terminal together."""
    found: dict[ContactRef, list[Damage]] = {}
    for one in damage:
        wire = wire_place(one.where)
        ref = ContactRef(one.cavity.id, wire[0] if wire else one.where)
        found.setdefault(ref, []).append(one)
    return list(found.values())


def _row(document: Map, number: int, damage: list[Damage]) -> list[Cell | str]:
    first = damage[0]
    cavity = first.cavity
    wire = wire_place(first.where)
    name = wire[0] if wire else first.where
    ref = ContactRef(cavity.id, name)
    wires = cavity.contact(name).wires
    code = document.car.colour_code
    states = ", ".join(dict.fromkeys(d.condition.state for d in damage))
    noted = (d.condition.note for d in damage)
    notes = "; ".join(dict.fromkeys(note for note in noted if note))
    return [
        Cell(text=str(number), face=Face.BOLD),
        Cell(text=f"{cavity.designation} {name}", face=Face.BOLD),
        "; ".join(wire_text(each, code) for each in wires) or "none noted",
        f"{states}: {notes}" if notes else states,
        _release(document, ref),
        Cell(boxes=("out",)),
        Cell(boxes=("back",)),
        Cell(blank=True),
    ]


def _release(document: Map, ref: ContactRef) -> str:
    family = family_of(document, ref)
    if family is None:
        words = family_words(document, ref)
        return words or "family not noted: look before you pull"
    parts = [family.name]
    if family.lock_first and not family.lock_first.startswith("none"):
        parts.append(f"first the {family.lock_first}")
    if family.released_from:
        parts.append(f"tool from the {family.released_from}")
    if family.leaves_to:
        parts.append(f"leaves to the {family.leaves_to}")
    return "; ".join(parts)


def _other(document: Map, damage: Damage) -> str:
    cavity = damage.cavity
    name = damage.where
    note = f": {damage.condition.note}" if damage.condition.note else ""
    text = f"{cavity.designation} {name}, {damage.condition.state}{note}"
    wire = wire_place(name)
    ref = ContactRef(cavity.id, wire[0] if wire else name)
    held = strip_of(document, ref)
    if name in cavity.contact_names and held and held[1]:
        text += f" [part of {strip_name(held[0])}: do not release it]"
    return text


def _after(fuses: int, terminals: int, cavities: tuple[Cavity, ...]) -> Iterator[str]:
    if terminals:
        yield f"Terminals out: ____ of {terminals}. Back: ____ of {terminals}."
    yield "Every wire at the block tugged; none comes back. Locks and covers closed."
    yield "No tool, blade, cut wire or flag is left behind the block."
    if fuses:
        yield f"Fuses and relays back, each of the specified rating: ____ of {fuses}."
    unusable = [c.designation for c in cavities if c.unusable]
    if unusable:
        yield (
            f"Not to be used, unless mended today: {', '.join(unusable)}. Their places "
            "stay empty and marked."
        )
    yield "Battery connected, ground cable last. Each circuit worked on is tried."
    yield "Results, dates and stages entered in the map.  Date ____________"
