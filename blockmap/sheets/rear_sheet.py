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
from blockmap.model.document import Block, Cavity, Map, Wire
from blockmap.model.evidence import is_doubtful
from blockmap.model.geometry import View, side_word
from blockmap.model.ids import BlockId, ContactRef, key_of, read_contact
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.model.written import landing_text, wire_text
from blockmap.sheets.label_words import DO_NOT_USE
from blockmap.sheets.pages import Sheet
from blockmap.sheets.wire_words import end_words, wire_words
from blockmap.sheets.work_figure import (
    put_figure,
    put_figure_key,
    with_wires_as_labels,
)
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["behind", "compose_rear", "contact_side"]

_MOST_MM = 150.0
_SAME = ("", "", "", "", "")
"""A line of the contact above it: place, x, y, contact and side are said already."""

_COLUMNS = (
    TableColumn(title="Place", width_mm=17),
    TableColumn(title="x mm", width_mm=12, ends=True),
    TableColumn(title="y mm", width_mm=13, ends=True),
    TableColumn(title="Contact", width_mm=14),
    TableColumn(title="Side", width_mm=13),
    TableColumn(title="Wires", width_mm=42),
    TableColumn(title="Strip, or where it goes", width_mm=46),
    TableColumn(title="Singly?", width_mm=13),
    TableColumn(title="Found", width_mm=28),
)

_STRIPS = (
    TableColumn(title="Strip", width_mm=16),
    TableColumn(title="Contacts on the metal", width_mm=56),
    TableColumn(title="By jumper wire", width_mm=40),
    TableColumn(title="Supply wire", width_mm=35),
    TableColumn(title="Supply lands", width_mm=28),
    TableColumn(title="Made as", width_mm=23),
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
        "figure. A wire whose other end is not noted has its circuit beside it. "
        "Singly: whether the terminal can be replaced alone. In italics with “?”: "
        "nobody has seen it on the car. Gauges as written in the map."
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
                _noted(wire, code),
                landing_text(document, strip) or "not noted",
                strip.made or "not noted",
            ]
        )
    if rows:
        pages.table(_STRIPS, rows, title="Strips")


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
        marks = [
            f"{LETTERS.get(damage.condition.state, '')} {damage.condition.state}"
            for where, damage in found.items()
            if where == name or where.startswith(f"{name} wire")
        ]
        if cavity.unusable and place[0]:
            marks.insert(0, DO_NOT_USE)
        (wire, goes), *more = _joined(document, index, ref) or [("", "")]
        yield [
            *place,
            name,
            contact_side(cavity, name, block, view),
            wire,
            goes,
            Cell(text=_singly(document, ref), face=Face.BOLD),
            "\n".join(marks),
        ]
        for wire, goes in more:
            yield [*_SAME, wire, goes, "", ""]
        place = ["", "", ""]


_Joined = tuple[Cell | str, Cell | str]
"""A wire, and what it or the contact is joined to."""


def _joined(document: Map, index: PlaceIndex, ref: ContactRef) -> list[_Joined]:
    """Return line by line what is joined to a contact, and by which wire."""
    cavity = document.cavities[ref.cavity]
    contact = cavity.contact(ref.contact)
    found: list[_Joined] = list(_of_strip(document, ref))
    if contact.fed_from:
        found.append(
            ("", f"from {end_words(document, index, contact.fed_from, cavity.block)}")
        )
    code = document.car.colour_code
    circuit = _circuit(cavity) if ref.contact == cavity.main_contact else ""
    for wire in contact.wires:
        goes: Cell | str = circuit
        if wire.to:
            goes = f"to {end_words(document, index, wire.to, cavity.block)}"
        elif found and contact.fed_from and not found[-1][0]:
            _, goes = found.pop()
        text, face = wire_words(cavity, wire, code)
        found.append((Cell(text=text, face=face), goes))
    return found


def _circuit(cavity: Cavity) -> Cell | str:
    """Return what a place protects, for a wire of which no other end is noted."""
    text, key = cavity.legend or cavity.circuit, "legend"
    if not cavity.legend:
        key = "circuit"
    if text and is_doubtful(cavity, key):
        return Cell(text=f"{text}?", face=Face.ITALIC)
    return text


def _of_strip(document: Map, ref: ContactRef) -> Iterator[_Joined]:
    """Yield the strip of a contact, the jumper to it, and the supply landing on it."""
    held = strip_of(document, ref)
    if held is None:
        return
    strip, metal = held
    code = document.car.colour_code
    name = strip_name(strip)
    if not metal:
        for jumper in strip.jumpers:
            if read_contact(jumper.to, strip.block) == ref:
                wire = Wire(colour=jumper.colour, gauge=jumper.gauge)
                yield _noted(wire, code), f"{name}, by jumper"
        return
    lands = strip.lands is None and read_contact(strip.lands_at, strip.block) == ref
    if lands:
        wire = Wire(colour=strip.supply_colour, gauge=strip.supply_gauge)
        yield _noted(wire, code), f"{name}: its supply lands here"
    else:
        yield "", name


def _noted(wire: Wire, code: str) -> str:
    return "" if wire == Wire() else wire_text(wire, code)


def _singly(document: Map, ref: ContactRef) -> str:
    word = replaceable_singly(document, ref).word
    return {"yes": "yes", "no": "NO", "unknown": "?"}[word]
