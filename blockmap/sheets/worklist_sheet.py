"""The work list: the safe order of taking a block down and mending it.

Its sections stand in the order of the work. First everything that keeps battery, fuses
and wires safe, then one terminal at a time with a box for "out" and one for "back", and
at the end a count: what came out has gone back, but for what must not be used. It does
not teach crimping; the release cards and the service manual do that.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import count

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
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Block, Cavity, InterimMeasure, Map, Wire
from blockmap.model.geometry import Point, Size
from blockmap.model.ids import BlockId, ContactRef
from blockmap.model.places import wire_place
from blockmap.reference.cautions import caution_named
from blockmap.sheets.card_lines import wrapped
from blockmap.sheets.label_words import DO_NOT_USE
from blockmap.sheets.pages import GRID_MM, TEXT_CAP_MM, Sheet
from blockmap.sheets.wire_words import contact_words, wire_words
from blockmap.sheets.work_pages import BOX_MM, Cell, TableColumn, WorkPages, tick_box

__all__ = ["compose_worklist"]

_REPAIR = 2
"""Severity from which a terminal comes out; below it is looked at where it is."""
_PLURALS = {
    "fuse": "fuses",
    "breaker": "breakers",
    "relay": "relays",
    "flasher": "flashers",
}
_TALLY_GAP_MM = 2.0

_COLUMNS = (
    TableColumn(title="No.", width_mm=8, ends=True),
    TableColumn(title="Place, contact", width_mm=21),
    TableColumn(title="Wires", width_mm=31),
    TableColumn(title="Found and decided", width_mm=66),
    TableColumn(title="Release", width_mm=49),
    TableColumn(title="", width_mm=12),
    TableColumn(title="", width_mm=14),
    TableColumn(title="Drop after, mV at A", width_mm=19),
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
    fused = [c for c in cavities if c.kind in _PLURALS]
    wires = sum(len(k.wires) for c in cavities for k in c.contacts.values())
    numbers = count(1)

    def step(text: str) -> None:
        pages.heading(f"{next(numbers)}  {text}")

    step("Before anything moves")
    pages.checks(_before(fused))
    if fused:
        step("Out before the block moves, back when it is up again")
        _tally(pages, fused)
    step("Behind the block")
    pages.checks(_behind(part, wires))
    work = [d for d in damage_of(document) if d.open and d.cavity.block == block]
    numbered = [
        each
        for each in _grouped([d for d in work if _is_terminal(document, d)])
        if any((d.condition.severity or _REPAIR) >= _REPAIR for d in each)
    ]
    released = [d for each in numbered for d in each]
    others = [_other(document, d) for d in work if d not in released]
    others += [_patch(c, c.interim) for c in cavities if c.interim]
    if numbered:
        step("One terminal at a time: the next only when this one is back")
        rows = [_row(document, number, each) for number, each in enumerate(numbered, 1)]
        pages.table(_COLUMNS, rows)
    if others:
        step("Work that releases no terminal")
        pages.checks(others)
    if not numbered and not others:
        step("One terminal at a time")
        pages.paragraph(
            "No open damage is noted for this block. Enter what was found, and print "
            "this list again."
        )
    step("Count, before the battery is connected")
    pages.checks(_after(fused, len(numbered), cavities))
    return pages.sheet()


def _before(fused: Sequence[Cavity]) -> Iterator[str]:
    yield caution_named("airbag wait").text
    yield f"{caution_named('battery').text} Off at ____ : ____"
    yield "Photograph the block from the front before anything is taken out or moved."
    if fused:
        yield f"Take out {_counted(fused)}, one by one. Out: ____ of {len(fused)}"


def _counted(fused: Sequence[Cavity]) -> str:
    """Return how many there are of each kind: 14 fuses, 2 breakers and 1 relay."""
    counts = Counter(cavity.kind for cavity in fused)
    said = [
        f"{counts[kind]} {kind if counts[kind] == 1 else _PLURALS[kind]}"
        for kind in _PLURALS
        if counts[kind]
    ]
    return " and ".join(part for part in (", ".join(said[:-1]), said[-1]) if part)


def _behind(block: Block, wires: int) -> Iterator[str]:
    if block.mount:
        yield f"Take the block down: {block.mount}. Screws and clips kept: ____"
    yield "Photograph the block from the rear, straight on, before a wire is touched."
    noted = {0: "no wire is", 1: "1 wire is"}.get(wires, f"{wires} wires are")
    yield (
        f"Flag both ends of every wire that will move ({noted} noted in the map). "
        "Look for wires that the map does not hold; write them in."
    )
    if block.release:
        yield f"Release: {block.release}"


def _tally(pages: WorkPages, fused: Sequence[Cavity]) -> None:
    """Set one small row for each fuse: the boxes out and back, its place and amps.

    What is not to be used has no box for going back.
    """
    start = 2 * BOX_MM + 4.0
    said = []
    for cavity in fused:
        amps = f"{amps_text(cavity.rating_a)} A" if cavity.rating_a else ""
        known = DO_NOT_USE if cavity.unusable else amps
        said.append(f"{cavity.designation}  {known}".strip())
    face, cap = Face.REGULAR, TEXT_CAP_MM
    widest = start + max(text_width_mm(text, face, cap) for text in said)
    whole = pages.area.width_mm
    columns = max(1, min(5, int((whole + _TALLY_GAP_MM) / (widest + _TALLY_GAP_MM))))
    width = (whole - (columns - 1) * _TALLY_GAP_MM) / columns
    for cavity, text in zip(fused, said, strict=True):
        boxes = 1 if cavity.unusable else 2
        items: list[Primitive] = [
            tick_box(Point(number * (BOX_MM + 1.6), BOX_MM)) for number in range(boxes)
        ]
        rows = wrapped(text, width - start, face, cap)
        for number, row in enumerate(rows):
            at = Point(start, BOX_MM - 0.5 + number * GRID_MM)
            items.append(Text(row, at, cap, face, "start"))
        high = BOX_MM + 1.2 + (len(rows) - 1) * GRID_MM
        pages.shelf(items, Size(width, high), 1.2, _TALLY_GAP_MM)
    pages.end_shelf()
    words = "First box: out. Second box: back, the specified rating."
    if any(cavity.unusable for cavity in fused):
        words += " A place with one box stays empty and marked, unless mended today."
    pages.paragraph(words)


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
        Cell(text=contact_words(cavity, name), face=Face.BOLD),
        _wires(cavity, wires, code),
        f"{states}: {notes}" if notes else states,
        _release(document, ref),
        Cell(boxes=("out",)),
        Cell(boxes=("back",)),
        Cell(blank=True),
    ]


def _wires(cavity: Cavity, wires: Sequence[Wire], code: str) -> Cell:
    """Return wires one below the other; all of a cavity are known in the same way."""
    said = [wire_words(cavity, wire, code) for wire in wires]
    if not said:
        return Cell(text="none noted")
    return Cell(text="\n".join(text for text, _ in said), face=said[0][1])


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
        parts.append(f"out to the {family.leaves_to}")
    return "; ".join(parts)


def _other(document: Map, damage: Damage) -> str:
    cavity = damage.cavity
    name = damage.where
    note = f": {damage.condition.note}" if damage.condition.note else ""
    text = f"{contact_words(cavity, name)}, {damage.condition.state}{note}"
    wire = wire_place(name)
    ref = ContactRef(cavity.id, wire[0] if wire else name)
    held = strip_of(document, ref)
    if name in cavity.contact_names and held and held[1]:
        text += f" [part of {strip_name(held[0])}: do not release it]"
    return text


def _patch(cavity: Cavity, patch: InterimMeasure) -> str:
    """Say what was patched, where, and until when; it is work to be undone."""
    where = f" ({patch.where})" if patch.where else ""
    until = f" Until: {patch.until}." if patch.until else ""
    return (
        f"{cavity.designation}, patched: {patch.what}{where}.{until} Look at it; does "
        "it stay: ____"
    )


def _after(
    fused: Sequence[Cavity], terminals: int, cavities: Sequence[Cavity]
) -> Iterator[str]:
    if terminals:
        yield f"Terminals out: ____ of {terminals}. Back: ____ of {terminals}."
    yield "Every wire at the block tugged; none comes back. Locks and covers closed."
    yield "No tool, blade, cut wire or flag is left behind the block."
    back = [cavity for cavity in fused if not cavity.unusable]
    if back:
        yield (
            f"Back, each of the specified rating: {_counted(back)}. "
            f"Back: ____ of {len(back)}"
        )
    unusable = [c.designation for c in cavities if c.unusable]
    if unusable:
        yield (
            f"Not to be used, unless mended today: {', '.join(unusable)}. Their places "
            "stay empty and marked."
        )
    yield "Battery connected, ground cable last. Each circuit worked on is tried."
    yield "Results, dates and stages entered in the map.  Date ____________"
