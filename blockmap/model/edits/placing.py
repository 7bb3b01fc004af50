"""Edits that put cavities where they are: add, move, resize, turn, align, delete."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from enum import StrEnum

from blockmap.model.document import MM_LIMIT, Cavity, Map, Strip
from blockmap.model.edits.typed import read_typed
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.geometry import Box, Point, Size, bounds_of
from blockmap.model.ids import BlockId, CavityId, cavity_id, free_key, key_of
from blockmap.model.numbering import CountingOrder, designations_from, grid_order
from blockmap.reference.forms import form_named

__all__ = [
    "Direction",
    "Edge",
    "Grid",
    "add_cavities",
    "add_grid",
    "align_cavities",
    "arrange_cavities",
    "delete_cavities",
    "distribute_cavities",
    "duplicate_cavities",
    "grid_cavities",
    "move_cavities",
    "new_cavity",
    "resize_cavities",
    "turn_cavities",
]

CAVITY_LIMIT = 5000
"""Most cavities a map takes; a real car has a few hundred."""


class Edge(StrEnum):
    """What aligned cavities have in common, in the front view."""

    LEFT = "left edges"
    RIGHT = "right edges"
    TOP = "top edges"
    BOTTOM = "bottom edges"
    MIDDLE_X = "middles on one vertical line"
    MIDDLE_Y = "middles on one horizontal line"


class Direction(StrEnum):
    """Along which line cavities are distributed."""

    ACROSS = "across"
    DOWN = "down"


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A row or grid to be added: centre of the top left place, counts, pitches.

    turn_deg as for a cavity; size None takes the size of the form.
    """

    first: Point
    columns: int = 1
    rows: int = 1
    pitch_x_mm: float = 20.0
    pitch_y_mm: float = 25.0
    form: str = "medium blade"
    size: Size | None = None
    turn_deg: float = 90.0
    rating_a: float | None = None
    first_designation: str = ""
    order: CountingOrder = CountingOrder.RIGHT


def new_cavity(
    document: Map,
    block: BlockId,
    centre: Point,
    *,
    form: str = "medium blade",
    turn_deg: float = 90.0,
    designation: str = "",
    size: Size | None = None,
) -> Cavity:
    """Return a cavity that could be added: its key is free, its size its form's."""
    return _made(
        document.cavities, block, centre, form, turn_deg, designation, size, None
    )


def _made(
    taken: Collection[CavityId],
    block: BlockId,
    centre: Point,
    form_name: str,
    turn_deg: float,
    designation: str,
    size: Size | None,
    rating_a: float | None,
) -> Cavity:
    form = form_named(form_name)
    if form is None:
        raise EditRefused(f"The form “{form_name}” is not known; choose one")
    key = free_key(designation or "c1", _KeysOf(taken, block))
    width, height = size or (form.length_mm, form.width_mm)
    return Cavity(
        id=cavity_id(block, key),
        block=block,
        kind=form.kind,
        own=designation,
        x_mm=centre.x_mm,
        y_mm=centre.y_mm,
        width_mm=width,
        height_mm=height,
        turn_deg=turn_deg,
        form=form.name,
        rating_a=rating_a,
    )


class _KeysOf:
    """The keys in use in one block, seen through the ids of all."""

    def __init__(self, taken: Collection[CavityId], block: BlockId) -> None:
        self._taken, self._block = taken, block

    def __contains__(self, key: object) -> bool:
        return cavity_id(self._block, str(key)) in self._taken


def add_cavities(document: Map, cavities: Sequence[Cavity]) -> Map:
    """Add cavities to their blocks, after those already there."""
    if not cavities:
        return document
    if len(document.cavities) + len(cavities) > CAVITY_LIMIT:
        raise EditRefused(
            f"A map holds at most {CAVITY_LIMIT} cavities; "
            f"{len(cavities)} more would pass that"
        )
    merged = dict(document.cavities)
    for cavity in cavities:
        if cavity.block not in document.blocks:
            raise EditRefused(f"There is no block “{cavity.block}” to put it in")
        if cavity.id in merged:
            raise EditRefused(f"The key “{cavity.id}” is taken; choose another")
        merged[cavity.id] = _checked(cavity)
    return dataclasses.replace(document, cavities=_by_block(document, merged))


def _by_block(
    document: Map, cavities: Mapping[CavityId, Cavity]
) -> dict[CavityId, Cavity]:
    """Keep the cavities of each block together, as files are written."""
    order = {block: number for number, block in enumerate(document.blocks)}
    ranked = sorted(cavities.items(), key=lambda item: order[item[1].block])
    return dict(ranked)


def grid_cavities(document: Map, block: BlockId, grid: Grid) -> tuple[Cavity, ...]:
    """Return the cavities a grid would add, in counting order.

    Raises EditRefused when the counts, pitches or first designation make no sense.
    """
    if not (1 <= grid.columns <= 200 and 1 <= grid.rows <= 200):
        raise EditRefused("A grid has from 1 to 200 columns and from 1 to 200 rows")
    count = grid.columns * grid.rows
    if count > CAVITY_LIMIT:
        raise EditRefused(f"{count} places are more than the {CAVITY_LIMIT} of a map")
    try:
        start = read_typed(Cavity, "own", grid.first_designation)
        names = designations_from(start, count, columns=grid.columns)
        read_typed(Cavity, "own", max(names, key=len))
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    used = {name for c in document.cavities_of(block) for name in c.designations}
    twice = next((name for name in names if name and name in used), None)
    if twice:
        raise EditRefused(
            f"{twice} is in this block already; start with another designation"
        )
    taken = set(document.cavities)
    made: list[Cavity] = []
    for name, (column, row) in zip(
        names, grid_order(grid.columns, grid.rows, grid.order), strict=True
    ):
        centre = Point(
            _clean(grid.first.x_mm + column * grid.pitch_x_mm),
            _clean(grid.first.y_mm + row * grid.pitch_y_mm),
        )
        cavity = _made(
            taken,
            block,
            centre,
            grid.form,
            grid.turn_deg,
            name,
            grid.size,
            grid.rating_a,
        )
        taken.add(cavity.id)
        made.append(cavity)
    held = document.blocks.get(block)
    panel = Box(0.0, 0.0, *(held.size if held else (MM_LIMIT, MM_LIMIT)))
    # What lies wholly outside is no part of the block: an in-line holder beside it.
    return tuple(
        c if panel.meets(c.bounds) else dataclasses.replace(c, off_panel=True)
        for c in made
    )


def add_grid(document: Map, block: BlockId, grid: Grid) -> Map:
    """Add a row or grid of cavities in one step."""
    return add_cavities(document, grid_cavities(document, block, grid))


def move_cavities(document: Map, centres: Mapping[CavityId, Point]) -> Map:
    """Put cavities at new centres, in the front view."""
    return _replaced(
        document,
        {
            id_: _with(document, id_, x_mm=_clean(p.x_mm), y_mm=_clean(p.y_mm))
            for id_, p in centres.items()
        },
    )


def resize_cavities(document: Map, sizes: Mapping[CavityId, tuple[Point, Size]]) -> Map:
    """Give cavities new centres and sizes (length and breadth before turning)."""
    return _replaced(
        document,
        {
            id_: _with(
                document,
                id_,
                x_mm=_clean(p.x_mm),
                y_mm=_clean(p.y_mm),
                width_mm=_clean(size.width_mm),
                height_mm=_clean(size.height_mm),
            )
            for id_, (p, size) in sizes.items()
        },
    )


def turn_cavities(document: Map, ids: Iterable[CavityId], by_deg: float) -> Map:
    """Turn each cavity clockwise about its own centre; the feed end turns with it."""
    return _replaced(
        document,
        {
            id_: _with(
                document,
                id_,
                turn_deg=_clean((document.cavities[id_].turn_deg + by_deg) % 360),
            )
            for id_ in ids
        },
    )


def arrange_cavities(document: Map, placed: Iterable[Cavity]) -> Map:
    """Install cavities that differ from the map's only in place, size and turn."""
    return _replaced(document, {cavity.id: cavity for cavity in placed})


def duplicate_cavities(
    document: Map, ids: Iterable[CavityId], dx_mm: float, dy_mm: float
) -> tuple[Map, tuple[CavityId, ...]]:
    """Add copies moved by dx, dy; return the map and the new ids.

    A copy keeps form, size, turn, rating and feed end; what was found at the one
    place (circuit, wires, conditions, evidence) is not true of the other and goes.
    """
    taken = set(document.cavities)
    copies: list[Cavity] = []
    for id_ in ids:
        old = document.cavities[id_]
        key = free_key(key_of(old.id), _KeysOf(taken, old.block))
        copy = Cavity(
            id=cavity_id(old.block, key),
            block=old.block,
            kind=old.kind,
            x_mm=_clean(old.x_mm + dx_mm),
            y_mm=_clean(old.y_mm + dy_mm),
            width_mm=old.width_mm,
            height_mm=old.height_mm,
            turn_deg=old.turn_deg,
            feed_end=old.feed_end,
            form=old.form,
            rating_a=old.rating_a,
        )
        taken.add(copy.id)
        copies.append(copy)
    return add_cavities(document, copies), tuple(copy.id for copy in copies)


def delete_cavities(document: Map, ids: Iterable[CavityId]) -> Map:
    """Remove cavities, and their contacts from the strips that held them."""
    gone = frozenset(ids)
    if not gone & document.cavities.keys():
        return document
    kept = {id_: c for id_, c in document.cavities.items() if id_ not in gone}
    fewer = {id_: _without(strip, gone) for id_, strip in document.strips.items()}
    same = all(fewer[id_] is strip for id_, strip in document.strips.items())
    strips = document.strips if same else fewer
    return dataclasses.replace(document, cavities=kept, strips=strips)


def _without(strip: Strip, gone: frozenset[CavityId]) -> Strip:
    def stays(text: str) -> bool:
        place = text.rpartition(".")[0]
        return (place if "/" in place else cavity_id(strip.block, place)) not in gone

    members = tuple(text for text in strip.members if stays(text))
    jumpers = tuple(jumper for jumper in strip.jumpers if stays(jumper.to))
    lands_at = strip.lands_at if strip.lands_at and stays(strip.lands_at) else ""
    if (members, jumpers, lands_at) == (strip.members, strip.jumpers, strip.lands_at):
        return strip
    return dataclasses.replace(
        strip, members=members, jumpers=jumpers, lands_at=lands_at
    )


def align_cavities(document: Map, ids: Sequence[CavityId], edge: Edge) -> Map:
    """Bring the chosen edges or middles of cavities onto one line.

    Edges go to the outermost of them; middles to the middle of all.
    """
    parts = [document.cavities[id_] for id_ in ids]
    if len(parts) < 2:
        raise EditRefused("Select two or more cavities to align them")
    whole = bounds_of(point for part in parts for point in part.corners)
    centres: dict[CavityId, Point] = {}
    for part in parts:
        box, (x, y) = part.bounds, part.centre
        centres[part.id] = {
            Edge.LEFT: Point(x + whole.left_mm - box.left_mm, y),
            Edge.RIGHT: Point(x + whole.right_mm - box.right_mm, y),
            Edge.TOP: Point(x, y + whole.top_mm - box.top_mm),
            Edge.BOTTOM: Point(x, y + whole.bottom_mm - box.bottom_mm),
            Edge.MIDDLE_X: Point(whole.centre.x_mm, y),
            Edge.MIDDLE_Y: Point(x, whole.centre.y_mm),
        }[edge]
    return move_cavities(document, centres)


def distribute_cavities(
    document: Map, ids: Sequence[CavityId], direction: Direction
) -> Map:
    """Space the middles of cavities evenly between the two outermost."""
    parts = [document.cavities[id_] for id_ in ids]
    if len(parts) < 3:
        raise EditRefused("Select three or more cavities to distribute them")
    across = direction is Direction.ACROSS
    parts.sort(key=lambda part: part.x_mm if across else part.y_mm)
    low, high = parts[0].centre, parts[-1].centre
    centres: dict[CavityId, Point] = {}
    for number, part in enumerate(parts):
        share = number / (len(parts) - 1)
        if across:
            x = low.x_mm + (high.x_mm - low.x_mm) * share
            centres[part.id] = Point(x, part.y_mm)
        else:
            y = low.y_mm + (high.y_mm - low.y_mm) * share
            centres[part.id] = Point(part.x_mm, y)
    return move_cavities(document, centres)


def _with(document: Map, id_: CavityId, **values: float) -> Cavity:
    cavity = document.cavities[id_]
    if all(getattr(cavity, key) == value for key, value in values.items()):
        return cavity
    return _checked(dataclasses.replace(cavity, **values))  # type: ignore[arg-type]


def _checked(cavity: Cavity) -> Cavity:
    places = (cavity.x_mm, cavity.y_mm, cavity.turn_deg)
    if not all(math.isfinite(v) and abs(v) <= MM_LIMIT for v in places):
        raise EditRefused(
            f"{cavity.designation} would lie more than {MM_LIMIT:.0f} mm away"
        )
    if not all(1 <= side <= 500 for side in cavity.size):
        raise EditRefused(f"{cavity.designation} must be from 1 to 500 mm each way")
    return cavity


def _replaced(document: Map, cavities: Mapping[CavityId, Cavity]) -> Map:
    fresh = {
        id_: cavity
        for id_, cavity in cavities.items()
        if document.cavities[id_] is not cavity
    }
    if not fresh:
        return document
    return dataclasses.replace(document, cavities={**document.cavities, **fresh})


def _clean(value: float) -> float:
    """Drop the dust of floating point: places are kept to a micrometre."""
    return round(value, 3) + 0.0
