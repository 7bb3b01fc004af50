"""The label sheet: the face at true size, strips for the rows, and single labels."""

from __future__ import annotations

from collections.abc import Sequence

from blockmap.drawing.figure import view_heading
from blockmap.drawing.primitives import (
    Face,
    Primitive,
    bounds_of_primitives,
    moved,
)
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.model.ids import BlockId
from blockmap.reference.paper import Paper
from blockmap.sheets.face_labels import FaceDrawing, draw_face
from blockmap.sheets.finding_words import (
    accepted_words,
    findings_of_block,
    level_word,
)
from blockmap.sheets.flow import Flow
from blockmap.sheets.key_grid import key_grid
from blockmap.sheets.label_pieces import Piece, single_label, single_size, strips
from blockmap.sheets.label_words import LeastHeight, label_words, least_height
from blockmap.sheets.pages import (
    SMALL_CAP_MM,
    Clipped,
    Draft,
    PageItem,
    Remarks,
    Sheet,
    content_area,
    facts_line,
    finished,
    oriented,
    paper_of,
)
from blockmap.sheets.picture import face_key
from blockmap.sheets.rows import find_rows
from blockmap.sheets.rulers import Correction, crop_marks, page_rulers, print_words
from blockmap.sheets.tiles import Tile, overlap_marks, tiles_of

__all__ = ["compose_labels"]

_GLUE = "Tiles overlap by 10 mm: lay cross on cross and glue."
_MARKS_MM = 5.0
"""Room that crop marks take outside the outline."""


def compose_labels(
    document: Map,
    block: BlockId,
    *,
    view: View = View.FRONT,
    paper: str = "a4",
    correction: tuple[float, float] = (1.0, 1.0),
) -> Sheet:
    """Return the label sheet of one block.

    correction is what the user measured of the printer: across, down, each from 0.97
    to 1.03. Raises KeyError for a block the map has not, ValueError for a paper that
    is not known or a correction out of range.
    """
    part = document.blocks[block]
    factors = Correction.of(correction)
    stock = paper_of(paper)
    least = least_height(document.car)
    remarks = Remarks()
    cavities = tuple(document.cavities_of(block))
    for cavity in cavities:
        for text in (cavity.designation, *label_words(cavity).texts):
            remarks.check(f"Label of {cavity.designation}", text)
    remarks.check("Block", part.name)
    remarks.check("Car", document.car.name)
    face = draw_face(document, part, view, least.cap_mm, remarks)
    laid, flow = _face_pages(face, stock, factors)
    _put_pieces(flow, document, cavities, part, view, factors, least, remarks)
    upright = oriented(stock)
    laid += [(upright, tuple(items), "") for items in flow.pages]
    title = f"Labels: {part.name or part.id}"
    details = facts_line(document)
    drafts = [
        Draft(
            size=size,
            items=(*page_rulers(size, factors), *items),
            title=f"{title}, {more}" if more else title,
            view=view_heading(view, part),
            details=details,
            say=(*print_words(factors), *((_GLUE,) if more else ())),
        )
        for size, items, more in laid
    ]
    return finished("labels", title, drafts, remarks.sentences())


_Laid = tuple[Size, tuple[PageItem, ...], str]


def _face_pages(
    face: FaceDrawing, stock: Paper, factors: Correction
) -> tuple[list[_Laid], Flow]:
    """Lay the face on one page, upright or lying, else on as few tiles as can be.

    Returns the full pages, and the flow for what follows: it begins below the face
    when that stands on an upright page.
    """
    whole = face.bounds.union(face.block_box.grown(_MARKS_MM))
    items = (*face.items, *crop_marks(face.block_box))
    choices: list[tuple[int, Size, tuple[Tile, ...]]] = []
    for lying in (False, True):
        size = oriented(stock, lying=lying)
        area = content_area(size)
        room = Size(area.width_mm / factors.across, area.height_mm / factors.down)
        tiles = tiles_of(whole, room)
        choices.append((len(tiles), size, tiles))
    count, size, tiles = min(choices, key=lambda choice: choice[0])
    flow = Flow(content_area(oriented(stock)), factors)
    if count > 1:
        boxed = [(item, bounds_of_primitives((item,))) for item in items]
        return [
            _tile_page(boxed, whole, tile, tiles, size, factors) for tile in tiles
        ], flow
    area = content_area(size)
    left = area.left_mm + (area.width_mm - whole.width_mm * factors.across) / 2
    at = Point(left, area.top_mm)
    placed = moved(items, at.x_mm - whole.left_mm, at.y_mm - whole.top_mm)
    corrected = factors.applied(placed, at)
    if size != oriented(stock):
        return [(size, corrected, "")], flow
    flow.start_below(corrected, at.y_mm + whole.height_mm * factors.down + 4)
    return [], flow


def _tile_page(
    items: Sequence[tuple[Primitive, Box | None]],
    whole: Box,
    tile: Tile,
    tiles: Sequence[Tile],
    size: Size,
    factors: Correction,
) -> _Laid:
    """Lay one tile on a page: only what lies in it, with the marks to join it."""
    at = Point(content_area(size).left_mm, content_area(size).top_mm)
    near = [item for item, drawn in items if drawn and _meets(drawn, tile.box)]
    marked = (*near, *overlap_marks(tile, whole))
    dx, dy = at.x_mm - tile.box.left_mm, at.y_mm - tile.box.top_mm
    placed = factors.applied(moved(marked, dx, dy), at)
    window = Box(
        at.x_mm,
        at.y_mm,
        at.x_mm + tile.box.width_mm * factors.across,
        at.y_mm + tile.box.height_mm * factors.down,
    )
    more = f"tile {tile.name} of {tiles[0].name} to {tiles[-1].name}"
    return size, (Clipped(window, placed),), more


def _meets(drawn: Box, box: Box) -> bool:
    return drawn.grown(1.0).meets(box.grown(1.0))


def _put_pieces(
    flow: Flow,
    document: Map,
    cavities: Sequence[Cavity],
    block: Block,
    view: View,
    factors: Correction,
    least: LeastHeight,
    remarks: Remarks,
) -> None:
    """Put strips, single labels and the remarks on the pages."""
    rows = find_rows(cavities, block, view)
    pieces = {
        down: [
            piece
            for row in rows
            if row.down is down
            for piece in strips(
                row, least.cap_mm, _longest(flow.area, factors, down), remarks
            )
        ]
        for down in (False, True)
    }
    if rows:
        every = [*pieces[False], *pieces[True]]
        flow.heading(
            "Label strips, cut half way between neighbours",
            min(piece.size.height_mm for piece in every) + 6,
        )
        for piece in every:
            flow.put(piece)
        if pieces[True]:
            flow.beside()
    if cavities:
        each = single_size(cavities, least.cap_mm)
        flow.heading("Single labels", each.height_mm + 2)
        for cavity in cavities:
            flow.put(single_label(cavity, each, least.cap_mm, remarks))
    flow.below()
    key = face_key(document, block, view, least.cap_mm)
    if key:
        items, size = key_grid(key, flow.area.width_mm)
        flow.heading("Key of the figure", size.height_mm)
        flow.put(Piece(size, items))
    flow.below()
    judged = [
        f"{level_word(finding)}: {finding.what}; {accepted_words(finding)}".rstrip("; ")
        for finding in findings_of_block(document, block.id)
    ]
    if judged:
        flow.heading("Wrong by the map, or accepted", 8)
        flow.lines([p for text in judged for p in wrapped(text, flow.area.width_mm)])
    flow.below()
    said = [least.words, *(remarks.sentences() or ("Every text fits.",))]
    flow.heading("Size of letters, and what does not fit", 8)
    flow.lines([part for text in said for part in wrapped(text, flow.area.width_mm)])


def _longest(area: Box, factors: Correction, down: bool) -> float:
    if down:
        return (area.height_mm - 12) / factors.down
    return area.width_mm / factors.across


def wrapped(text: str, width_mm: float) -> tuple[str, ...]:
    """Return a sentence in lines of this width, in small letters."""
    lines: list[str] = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if text_width_mm(longer, Face.REGULAR, SMALL_CAP_MM) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(line for line in lines if line)
