"""The condition sheet: all damage of the map, patches, and what must not be used.

Marks tell by letter, frame and cross; colour only repeats it. Each line of the table
shows the mark that stands in the figure.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from blockmap.analysis.behind.damage import Damage, damage_of
from blockmap.drawing.figure import view_heading
from blockmap.drawing.key import KEY_BOX
from blockmap.drawing.marks import LETTERS, condition_mark, interim_mark
from blockmap.drawing.primitives import Face, Primitive
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Point, View
from blockmap.model.places import PlaceIndex
from blockmap.reference.trade_words import SEVERITIES
from blockmap.sheets.finding_words import errors_and_accepted, put_findings
from blockmap.sheets.pages import Sheet
from blockmap.sheets.photo_pieces import put_photos
from blockmap.sheets.wire_words import place_words
from blockmap.sheets.work_figure import put_figure, put_figure_key
from blockmap.sheets.work_pages import Cell, TableColumn, WorkPages

__all__ = ["compose_condition"]

_MIDDLE = Point(KEY_BOX.width_mm / 2, KEY_BOX.height_mm / 2)
_MOST_MM = 150.0

_COLUMNS = (
    TableColumn(title="Mark", width_mm=11),
    TableColumn(title="Place", width_mm=16),
    TableColumn(title="Part", width_mm=17),
    TableColumn(title="Condition", width_mm=24),
    TableColumn(title="Severity", width_mm=22),
    TableColumn(title="Judged by", width_mm=23),
    TableColumn(title="Date", width_mm=23),
    TableColumn(title="Stage", width_mm=18),
    TableColumn(title="Found and decided", width_mm=62),
)
_PATCHES = (
    TableColumn(title="", width_mm=9),
    TableColumn(title="Place", width_mm=22),
    TableColumn(title="Interim measure", width_mm=75),
    TableColumn(title="Where", width_mm=40),
    TableColumn(title="Since", width_mm=24),
    TableColumn(title="Until", width_mm=45),
)
_LOG = (
    TableColumn(title="Place", width_mm=22),
    TableColumn(title="Date", width_mm=24),
    TableColumn(title="Log", width_mm=160),
)
_WORK = (
    TableColumn(title="Repair", width_mm=16),
    TableColumn(title="At", width_mm=24),
    TableColumn(title="What, and which part", width_mm=80),
    TableColumn(title="Stages reached", width_mm=82),
)


def compose_condition(
    document: Map,
    *,
    view: View = View.FRONT,
    paper: str = "a4",
    map_file: Path | None = None,
) -> Sheet:
    """Return the condition sheet of a whole map, a figure for each block.

    map_file is the map's file, beside which its photos are.
    Raises ValueError for a paper that is not known.
    """
    title = "Condition: damage, patches, places not to use"
    pages = WorkPages(document, "condition", title, paper)
    damage = damage_of(document)
    cavities = document.cavities.values()
    for block in document.blocks.values():
        on_it = [d for d in damage if d.cavity.block == block.id]
        marked = on_it or any(_is_marked(c) for c in document.cavities_of(block.id))
        if marked:
            _block_pages(pages, document, block, on_it, view)
            put_photos(pages, document.cavities_of(block.id), map_file)
    if not any(_is_marked(c) for c in cavities) and not damage:
        pages.new_page()
        pages.paragraph("No damage, no patch and no place not to use is noted.")
    _repairs(pages, document)
    put_findings(pages, document, errors_and_accepted(document))
    _log(pages, cavities)
    return pages.sheet()


def _is_marked(cavity: Cavity) -> bool:
    return bool(
        cavity.do_not_use
        or cavity.interim
        or any(condition.photos for _, condition in cavity.conditions)
    )


def _block_pages(
    pages: WorkPages, document: Map, block: Block, damage: Iterable[Damage], view: View
) -> None:
    pages.block, pages.view = block, view_heading(view, block)
    pages.new_page()
    cavities = tuple(document.cavities_of(block.id))
    unusable = [c.designation for c in cavities if c.unusable]
    if unusable:
        pages.paragraph(f"DO NOT USE: {', '.join(unusable)}", Face.BOLD, 2.8)
        pages.y += 1.0
    put_figure(pages, document, block, view, most_mm=_MOST_MM)
    put_figure_key(pages, document, block, view)
    rows = [_row(one) for one in damage]
    if rows:
        pages.table(_COLUMNS, rows, title=f"Damage in {block.name or block.id}")
    patched = [c for c in cavities if c.interim]
    if patched:
        pages.table(
            _PATCHES,
            [_patch(cavity) for cavity in patched],
            title="Interim measures, to be undone",
        )


def _mark(damage: Damage) -> tuple[Primitive, ...]:
    if damage.condition.state not in LETTERS:
        return ()
    return tuple(condition_mark(damage.condition, _MIDDLE, 3.6, 0.2, 0.0))


def _row(damage: Damage) -> list[Cell | str]:
    condition = damage.condition
    severity = condition.severity
    said = f"{severity} {SEVERITIES[severity]}" if severity else "not said"
    note = condition.note
    if damage.repair is not None and damage.repair.part:
        note = "; ".join(p for p in (note, f"part: {damage.repair.part}") if p)
    return [
        Cell(mark=_mark(damage)),
        Cell(text=damage.cavity.designation, face=Face.BOLD),
        damage.where,
        condition.state,
        Cell(text=said, face=Face.BOLD if severity == 3 else Face.REGULAR),
        condition.judged,
        condition.date or "",
        damage.stage,
        note,
    ]


def _patch(cavity: Cavity) -> list[Cell | str]:
    measure = cavity.interim
    assert measure is not None
    return [
        Cell(mark=tuple(interim_mark(_MIDDLE, 3.6))),
        Cell(text=cavity.designation, face=Face.BOLD),
        measure.what,
        measure.where,
        measure.since or "",
        measure.until,
    ]


def _repairs(pages: WorkPages, document: Map) -> None:
    if not document.repairs:
        return
    rows: list[list[Cell | str]] = []
    index = PlaceIndex(document)
    for key, repair in document.repairs.items():
        reached = [
            f"{stage} {date}" if date else stage for stage, date in repair.reached
        ]
        said = (repair.what, repair.part and f"part: {repair.part}", repair.note)
        rows.append(
            [
                Cell(text=key, face=Face.BOLD),
                place_words(document, index, repair.at),
                "; ".join(part for part in said if part),
                ", ".join(reached),
            ]
        )
    pages.table(_WORK, rows, title="Repairs")


def _log(pages: WorkPages, cavities: Iterable[Cavity]) -> None:
    rows: list[list[Cell | str]] = []
    groups: list[int] = []
    for cavity in cavities:
        if cavity.log:
            groups.append(len(rows))
        for number, entry in enumerate(cavity.log):
            name = "" if number else cavity.designation
            rows.append([Cell(text=name, face=Face.BOLD), entry.date or "", entry.text])
    if rows:
        pages.table(_LOG, rows, title="Log of the places", groups=groups)
