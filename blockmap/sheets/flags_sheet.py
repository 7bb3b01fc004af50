"""Wire flags: paper flags for both ends of every wire of a block, to fold over it.

A flag is two leaves of 28 x 10 mm with a bridge between them for the wire; folded, it
reads the right way up from both sides. It names block, place and contact, colour and
gauge, and the other end, so that each wire finds its way home.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blockmap.drawing.primitives import Face, Primitive, Text, line, moved, rectangle
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Block, Cavity, Map, Strip, Wire
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.ids import BlockId, key_of
from blockmap.model.places import PlaceIndex
from blockmap.model.wiring import LANDS_HIDDEN
from blockmap.model.written import landing_text
from blockmap.reference.wire_colours import show_colour
from blockmap.sheets.pages import Remarks, Sheet, cut_to_width
from blockmap.sheets.wire_words import contact_words, end_words, wire_words
from blockmap.sheets.work_pages import WorkPages, fold_line

__all__ = ["BRIDGE_MM", "LEAF", "Flag", "compose_flags", "flags_of"]

LEAF = Size(28.0, 10.0)
BRIDGE_MM = 6.0
"""Paper that goes round the wire: thick wires of 4 mm need about 6."""
_PAD_MM = 0.9
_GAP_MM = 3.0
_CAPS_MM = (2.2, 1.9, 1.9)
_LEAST_MM = 1.5


@dataclass(frozen=True, slots=True)
class Flag:
    """The three lines of one flag: where it is, the wire, and the other end.

    face is that of the wire: in italics when nobody has seen it on the car.
    """

    where: str
    wire: str
    other: str
    face: Face = Face.REGULAR


def compose_flags(document: Map, block: BlockId, *, paper: str = "a4") -> Sheet:
    """Return the flags of one block's wires.

    Raises KeyError for a block the map has not, ValueError for an unknown paper.
    """
    part = document.blocks[block]
    title = f"Wire flags: {part.name or part.id}"
    pages = WorkPages(document, "flags", title, paper, block=part)
    pages.new_page()
    pages.paragraph(
        "Print at 100 %. Cut on the solid lines, fold on the dashed lines round the "
        "wire, glue the leaves together. Upper of each pair: at the block; lower: at "
        "the wire's other end. No flag, no release. In italics with “?”: not seen on "
        "the car, compare first."
    )
    pages.y += 2.0
    pairs = list(flags_of(document, part))
    size = Size(2 * LEAF.width_mm + BRIDGE_MM, 2 * LEAF.height_mm)
    for here, there in pairs:
        below = moved(_drawn(there, pages.remarks), 0.0, LEAF.height_mm)
        pages.shelf((*_drawn(here, pages.remarks), *below), size, _GAP_MM)
    pages.end_shelf()
    if pairs:
        pages.paragraph(
            f"{len(pairs)} wires, {2 * len(pairs)} flags. Wires that the map does not "
            "hold have none: flag them by hand."
        )
    else:
        pages.paragraph("No wire of this block is noted yet.")
    return pages.sheet()


def flags_of(document: Map, block: Block) -> Iterator[tuple[Flag, Flag]]:
    """Yield the two flags of every wire of a block: of contacts, supplies, jumpers."""
    index = PlaceIndex(document)
    for cavity in document.cavities_of(block.id):
        for name in cavity.contact_names:
            for wire in cavity.contact(name).wires:
                source = cavity.contact(name).fed_from if name == "feed" else ""
                to = wire.to or source
                noted = end_words(document, index, to, block.id) if to else ""
                yield _pair(document, block, cavity, name, wire, noted)
    for strip in document.strips_of(block.id):
        yield from _of_strip(document, index, block, strip)


def _prefix(document: Map, block: Block) -> str:
    return f"{block.name or block.id} " if len(document.blocks) > 1 else ""


def _pair(
    document: Map, block: Block, cavity: Cavity, name: str, wire: Wire, noted: str
) -> tuple[Flag, Flag]:
    where = _prefix(document, block) + contact_words(cavity, name)
    said, face = wire_words(cavity, wire, document.car.colour_code)
    other = noted or _other_end(cavity, name)
    return (
        Flag(where, said, f"to {other}" if other else "to ____________", face),
        Flag(other or "end not noted", said, f"from {where}", face),
    )


def _other_end(cavity: Cavity, name: str) -> str:
    """Return what a wire goes to as far as the map tells: its loads or circuit.

    Of several wordings the fullest that is legible on a flag is taken.
    """
    if name == "feed":
        return "supply"
    if name != cavity.main_contact:
        return cavity.contact(name).note.removeprefix("to ")
    loads = [load.name for load in cavity.loads]
    offers = [", ".join(loads), cavity.circuit]
    if len(loads) > 1:
        offers.append(f"{loads[0]} + {len(loads) - 1}")
    offers.append(cavity.legend)
    said = [offer for offer in offers if offer]
    room = LEAF.width_mm - 2 * _PAD_MM
    for offer in said:
        if text_width_mm(f"from {offer}", Face.BOLD, _LEAST_MM) <= room:
            return offer
    return said[0] if said else ""


def _of_strip(
    document: Map, index: PlaceIndex, block: Block, strip: Strip
) -> Iterator[tuple[Flag, Flag]]:
    code = document.car.colour_code
    name = f"strip {strip.name or key_of(strip.id)}"
    prefix = _prefix(document, block)
    if strip.supply_colour or strip.supply_gauge:
        colour = show_colour(strip.supply_colour, code) if strip.supply_colour else ""
        said = " ".join(part for part in (colour, strip.supply_gauge) if part)
        at = f"{prefix}{name} {_landing(document, strip)}".rstrip()
        source = strip.fed_from or "supply"
        yield (
            Flag(at, said, f"from {source}"),
            Flag(source, said, f"to {at}"),
        )
    for jumper in strip.jumpers:
        colour = show_colour(jumper.colour, code) if jumper.colour else ""
        said = " ".join(part for part in (colour, jumper.gauge) if part)
        to = prefix + end_words(document, index, jumper.to, block.id)
        yield (
            Flag(f"{prefix}{name}", said or "jumper", f"jumper to {to}"),
            Flag(to, said or "jumper", f"jumper from {name}"),
        )


def _landing(document: Map, strip: Strip) -> str:
    """Return where the supply lands in as few words as a flag has room for."""
    words = landing_text(document, strip).rpartition(", ")[2]
    return "hidden" if words == strip.lands == LANDS_HIDDEN else words


def _drawn(flag: Flag, remarks: Remarks) -> tuple[Primitive, ...]:
    """Return a flag about its top left corner: the same text on both leaves."""
    wide, high = LEAF
    whole = Box(0.0, 0.0, 2 * wide + BRIDGE_MM, high)
    items: list[Primitive] = [rectangle(whole, "", "ink", 0.15)]
    for x in (wide, wide + BRIDGE_MM):
        items.append(fold_line(Point(x, 0.0), Point(x, high)))
    bridge = wide + BRIDGE_MM / 2
    items.append(line((Point(bridge, 0.8), Point(bridge, high - 0.8)), "faint", 0.1))
    for left in (0.0, wide + BRIDGE_MM):
        items += _leaf(flag, left, remarks)
    return tuple(items)


def _leaf(flag: Flag, left: float, remarks: Remarks) -> Iterator[Primitive]:
    room = LEAF.width_mm - 2 * _PAD_MM
    texts = (flag.where, flag.wire, flag.other)
    faces = (Face.BOLD, flag.face, Face.REGULAR)
    y = _PAD_MM + 0.2
    for text, face, most in zip(texts, faces, _CAPS_MM, strict=True):
        wide = text_width_mm(text, face, 1.0) or 1.0
        cap = min(most, room / wide)
        shown = text
        if cap < _LEAST_MM:
            cap = _LEAST_MM
            shown = cut_to_width(text, room, face, cap)
            if shown != text:
                remarks.add(f"Flag of {flag.where}: “{text}” is shortened")
        y += most
        yield Text(shown, Point(left + _PAD_MM, y), cap, face, "start")
        y += 0.85
