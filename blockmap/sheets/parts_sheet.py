"""The parts list as a sheet and as CSV: what the damage asks for, and fuses to stock.

It lists what the rules of the analysis find; it prices and orders nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.behind.part import Part, sum_words
from blockmap.analysis.behind.parts import parts_needed
from blockmap.analysis.behind.stock import FuseStock, fuse_stock
from blockmap.drawing.primitives import Face
from blockmap.files.delimited import joined
from blockmap.model.document import Map
from blockmap.model.units import number_text, price_text
from blockmap.reference.fuse_colours import body_colour
from blockmap.sheets.pages import Sheet
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["compose_parts", "parts_csv"]

_PARTS = (
    TableColumn(title="", width_mm=6),
    TableColumn(title="Need", width_mm=11, ends=True),
    TableColumn(title="Perhaps", width_mm=15, ends=True),
    TableColumn(title="Part", width_mm=56),
    TableColumn(title="Gauge", width_mm=20),
    TableColumn(title="Seal", width_mm=22),
    TableColumn(title="Side", width_mm=12),
    TableColumn(title="For, and why", width_mm=42),
    TableColumn(title="Stage", width_mm=24),
    TableColumn(title="Source", width_mm=24),
    TableColumn(title="Price each", width_mm=17, ends=True),
    TableColumn(title="Ordered", width_mm=24),
    TableColumn(title="Received", width_mm=24),
)
_FUSES = (
    TableColumn(title="", width_mm=6),
    TableColumn(title="Form", width_mm=40),
    TableColumn(title="Amps", width_mm=14, ends=True),
    TableColumn(title="Usual colour", width_mm=34),
    TableColumn(title="In use", width_mm=18, ends=True),
    TableColumn(title="Spares to carry", width_mm=28, ends=True),
    TableColumn(title="In the box", width_mm=30),
)
_HEADINGS = (
    "sort",
    "part",
    "family",
    "gauge",
    "seal",
    "side",
    "need",
    "perhaps",
    "for",
    "why",
    "stage",
    "ordered",
    "received",
    "price_each",
    "currency",
    "source",
    "note",
    "repairs",
)


def compose_parts(document: Map, *, paper: str = "a4") -> Sheet:
    """Return the parts list of a whole map.

    Raises ValueError for a paper that is not known.
    """
    pages = WorkPages(document, "parts", "Parts list", paper, lying=True)
    pages.new_page()
    parts = parts_needed(document)
    if parts:
        pages.table(
            _PARTS, [_row(part) for part in parts], title="For the damage noted"
        )
        _sum(pages, parts)
        pages.paragraph(
            "“Perhaps” is wanted only if re-seating or re-forming does not hold. A "
            "contact that is part of a strip is not sold alone: the strip is listed "
            "once. Gauges as written in the map; a seal is chosen by its wire's "
            "insulation. Match every terminal with the old one in hand."
        )
    else:
        pages.paragraph("The damage noted asks for no part.")
    stock = fuse_stock(document)
    if stock:
        pages.table(
            _FUSES, [_fuse(one) for one in stock], title="Fuses to stock", fill=False
        )
        pages.paragraph(
            "Spares: one for each four in use, at least one (common practice, no "
            "source). Never fit a larger fuse than specified."
        )
    return pages.sheet()


def _sum(pages: WorkPages, parts: tuple[Part, ...]) -> None:
    priced = [part for part in parts if part.price is not None]
    if not priced:
        return
    bare = len(parts) - len(priced)
    rest = f"; {bare} of {len(parts)} lines have no price yet" if bare else ""
    said = f"Sum of the prices entered: {sum_words(parts)}{rest}."
    pages.paragraph(said, Face.BOLD)


def _row(part: Part) -> list[Cell | str]:
    why = f"{', '.join(part.places)} ({', '.join(part.why)})" if part.why else ""
    name = f"{part.name}; {part.note}" if part.note else part.name
    return [
        Cell(boxes=("",)),
        Cell(text=str(part.count) if part.count else "", face=Face.BOLD),
        f"+ {part.perhaps}" if part.perhaps else "",
        Cell(text=name, face=Face.BOLD if part.sort == "strip" else Face.REGULAR),
        part.gauge,
        part.seal,
        part.side,
        why or ", ".join(part.places),
        part.stage,
        Cell(text=part.source, blank=not part.source),
        Cell(text=price_text(part.price, part.currency), blank=part.price is None),
        Cell(text=part.ordered, blank=not part.ordered),
        Cell(text=part.received, blank=not part.received),
    ]


def _fuse(stock: FuseStock) -> list[Cell | str]:
    colour = body_colour(stock.form, stock.rating_a)
    return [
        Cell(boxes=("",)),
        stock.form,
        Cell(text=number_text(stock.rating_a), face=Face.BOLD),
        colour.name if colour else "",
        str(stock.in_use),
        Cell(text=str(stock.spares), face=Face.BOLD),
        Cell(blank=True),
    ]


def parts_csv(document: Map) -> str:
    """Return the parts list and the fuses to stock as CSV, one part a line.

    Fuses to stock have the sort 'spare fuse'; their need is the number of spares.
    """
    return joined([_HEADINGS, *_csv_rows(document)])


def _csv_rows(document: Map) -> Iterator[list[str]]:
    for part in parts_needed(document):
        yield [
            part.sort,
            part.name,
            part.family,
            part.gauge,
            part.seal,
            part.side,
            str(part.count),
            str(part.perhaps) if part.perhaps else "",
            "; ".join(part.places),
            "; ".join(part.why),
            part.stage,
            part.ordered,
            part.received,
            "" if part.price is None else f"{part.price:.2f}",
            part.currency if part.price is not None else "",
            part.source,
            part.note,
            "; ".join(part.repairs),
        ]
    for fuse in fuse_stock(document):
        name = f"{fuse.form}, {number_text(fuse.rating_a)} A"
        row = dict.fromkeys(_HEADINGS, "")
        row.update(
            {
                "sort": "spare fuse",
                "part": name,
                "need": str(fuse.spares),
                "why": f"{fuse.in_use} in use",
            }
        )
        yield list(row.values())
