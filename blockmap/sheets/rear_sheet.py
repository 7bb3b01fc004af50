"""The rear sheet: the block as it is seen once it is down, every contact by its wires.

A block is mirrored, and the sheet says so; a connector is seen from its wire side.
Places count from the left edge as seen there, and so do feed sides. It tells which
contacts can be replaced singly.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from blockmap.analysis.behind.damage import damage_of
from blockmap.analysis.behind.singly import replaceable_singly, strip_name, strip_of
from blockmap.drawing.figure import view_heading
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.marks import LETTERS
from blockmap.drawing.primitives import Face
from blockmap.drawing.strips import contact_place
from blockmap.model.document import Block, Cavity, Contact, Map, Wire
from blockmap.model.evidence import is_doubtful
from blockmap.model.geometry import View, side_word
from blockmap.model.ids import BlockId, ContactRef, key_of
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.model.written import landing_text, wire_text
from blockmap.sheets.pages import Sheet
from blockmap.sheets.wire_words import end_words
from blockmap.sheets.work_figure import (
    put_figure,
    put_figure_key,
    with_wires_as_labels,
)
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["behind", "compose_rear", "contact_side"]

_MOST_MM = 150.0

_COLUMNS = (
    TableColumn(title="Place", width_mm=17),
    TableColumn(title="x mm", width_mm=12, ends=True),
    TableColumn(title="y mm", width_mm=13, ends=True),
    TableColumn(title="Contact", width_mm=15),
    TableColumn(title="Side", width_mm=13),
    TableColumn(title="Wires", width_mm=44),
    TableColumn(title="Strip, or where it goes", width_mm=46),
    TableColumn(title="Singly?", width_mm=14),
    TableColumn(title="Found", width_mm=24),
)

_STRIPS = (
    TableColumn(title="Strip", width_mm=20),
    TableColumn(title="Contacts on the metal", width_mm=44),
    TableColumn(title="By jumper wire", width_mm=38),
    TableColumn(title="Supply wire", width_mm=28),
    TableColumn(title="Supply lands", width_mm=38),
    TableColumn(title="Made as", width_mm=30),
)


def compose_rear(document: Map, block: BlockId, *, paper: str = "a4") -> Sheet:
    """Return the rear sheet of one block.

    Raises KeyError for a block the map has not, ValueError for an unknown paper.
    """
    part = document.blocks[block]
    title = f"Rear: {part.name or part.id}"
    view = behind(part)
    words = view_heading(view, part)
    pages = WorkPages(document, "rear", title, paper, view=words, block=part)
    pages.new_page()
    if part.release:
        pages.paragraph(f"Release: {part.release}")
    if part.mount:
        pages.paragraph(f"Mounting: {part.mount}")
    pages.y += 2.0
    labelled = with_wires_as_labels(document, part)
    put_figure(pages, labelled, part, view, most_mm=_MOST_MM, at_ends=True)
    put_figure_key(pages, labelled, part, view)
    pages.heading(f"Contacts, places and sides: {words.lower()}")
    rows: list[list[Cell | str]] = []
    groups: list[int] = []
    index = PlaceIndex(document)
    for cavity in document.cavities_of(block):
        groups.append(len(rows))
        rows += _rows(document, index, part, cavity, view)
    if not rows:
        pages.paragraph("No place is drawn on this block yet.")
        return pages.sheet()
    pages.table(_COLUMNS, rows, groups=groups)
    pages.paragraph(
        "x and y: middle of the place, from the left and the top edge as seen in the "
        "figure. Singly: whether the terminal can be replaced alone. In italics with "
        "“?”: nobody has seen it on the car. Gauges as written in the map."
    )
    _strips(pages, document, index, part)
    return pages.sheet()


def _strips(pages: WorkPages, document: Map, index: PlaceIndex, block: Block) -> None:
    """Say of each strip what is on it, and where and by which wire it is fed."""
    rows: list[list[Cell | str]] = []
    code = document.car.colour_code

    def named(contacts: Iterable[str]) -> str:
        ends = (end_words(document, index, text, block.id) for text in contacts)
        return ", ".join(ends)

    for strip in document.strips_of(block.id):
        wire = Wire(colour=strip.supply_colour, gauge=strip.supply_gauge)
        rows.append(
            [
                Cell(text=strip.name or key_of(strip.id), face=Face.BOLD),
                named(strip.members),
                named(jumper.to for jumper in strip.jumpers),
                "" if wire == Wire() else wire_text(wire, code),
                landing_text(document, strip) or "not noted",
                strip.made or "not noted",
            ]
        )
    if rows:
        pages.heading("Strips")
        pages.table(_STRIPS, rows)


def behind(block: Block) -> View:
    """Return the view in which a block shows its wires: from the rear, mirrored.

    The front view of a connector may be its wire side already.
    """
    if block.kind == "connector" and block.face == "wire side":
        return View.FRONT
    return View.REAR


def contact_side(cavity: Cavity, contact: str, block: Block, view: View) -> str:
    """Return where a contact lies in a view: left, right, top, bottom; '' unknown."""
    if contact not in ("feed", "load") or cavity.feed_end == "unknown":
        return ""
    style = FigureStyle(block.size, view)
    centre = view.apply(cavity.centre, block.size)
    return side_word(centre, contact_place(cavity, contact, style))


def _rows(
    document: Map, index: PlaceIndex, block: Block, cavity: Cavity, view: View
) -> Iterator[list[Cell | str]]:
    at = view.apply(cavity.centre, block.size)
    place: list[Cell | str] = [
        Cell(text=cavity.designation, face=Face.BOLD),
        number_text(round(at.x_mm, 1)),
        number_text(round(at.y_mm, 1)),
    ]
    if cavity.kind == "blank":
        yield [*place, "blank", "", "", "", "", ""]
        return
    found = {d.where: d for d in damage_of(document, cavity)}
    for name in cavity.contact_names or ("",):
        ref = ContactRef(cavity.id, name)
        contact = cavity.contact(name)
        marks = [
            f"{LETTERS.get(damage.condition.state, '')} {damage.condition.state}"
            for where, damage in found.items()
            if where == name or where.startswith(f"{name} wire")
        ]
        if cavity.unusable and place[0]:
            marks.insert(0, "DO NOT USE")
        yield [
            *place,
            name,
            contact_side(cavity, name, block, view),
            _wires(document, cavity, contact),
            _joined(document, index, ref, contact),
            Cell(text=_singly(document, ref), face=Face.BOLD),
            "; ".join(marks),
        ]
        place = ["", "", ""]


def _wires(document: Map, cavity: Cavity, contact: Contact) -> Cell:
    code = document.car.colour_code
    text = "; ".join(wire_text(wire, code) for wire in contact.wires)
    if text and is_doubtful(cavity, "wires"):
        return Cell(text=f"{text} ?", face=Face.ITALIC)
    return Cell(text=text)


def _joined(document: Map, index: PlaceIndex, ref: ContactRef, contact: Contact) -> str:
    held = strip_of(document, ref)
    parts: list[str] = []
    if held:
        parts.append(strip_name(held[0]) + ("" if held[1] else ", by jumper"))
    block = document.cavities[ref.cavity].block
    if contact.fed_from:
        source = end_words(document, index, contact.fed_from, block)
        parts.append(f"from {source}")
    parts += [
        f"to {end_words(document, index, wire.to, block)}"
        for wire in contact.wires
        if wire.to
    ]
    return "; ".join(parts)


def _singly(document: Map, ref: ContactRef) -> str:
    word = replaceable_singly(document, ref).word
    return {"yes": "yes", "no": "NO", "unknown": "?"}[word]
