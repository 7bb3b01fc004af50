"""Finds cavities that overlap and cavities off the outline, exactly, turned or not.

Overlaps in plain Python: a hash of the ground into cells finds neighbours, separating
axes decide about them, quicker than a geometry library for a few hundred boxes. An
outline of corners is left to shapely, which is imported when a map has one. Less than a
hundredth of a millimetre is a shared edge, not an overlap. The list of overlaps is
capped: 20,000 cavities on one place have too many pairs to tell.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from blockmap.model.document import Block, Cavity
from blockmap.model.geometry import Box, Point
from blockmap.model.ids import CavityId

__all__ = [
    "OVERLAP_LIMIT",
    "OffOutline",
    "Overlaps",
    "footprint",
    "off_outline",
    "overlapping_pairs",
    "overlaps_in",
]

OVERLAP_LIMIT = 200
"""Most pairs that are listed for one block; the rest is said in words."""

TOLERANCE_MM = 0.01
"""Depth below which two cavities only share an edge."""

_LEAST_CELL_MM = 4.0


class Footprint(NamedTuple):
    """The ground a cavity takes: its upright box, and corners when it is askew."""

    id: CavityId
    box: Box
    corners: tuple[Point, ...]
    upright: bool


def footprint(cavity: Cavity) -> Footprint:
    """Return the ground a cavity takes in the front view."""
    turn = cavity.turn_deg % 180
    if turn in (0.0, 90.0):
        half_w, half_h = cavity.width_mm / 2, cavity.height_mm / 2
        if turn:
            half_w, half_h = half_h, half_w
        x, y = cavity.x_mm, cavity.y_mm
        left, top, right, bottom = x - half_w, y - half_h, x + half_w, y + half_h
        corners: tuple[Point, ...] = (
            Point(left, top),
            Point(right, top),
            Point(right, bottom),
            Point(left, bottom),
        )
        return Footprint(cavity.id, Box(left, top, right, bottom), corners, True)
    return Footprint(cavity.id, cavity.bounds, cavity.corners, False)


@dataclass(frozen=True, slots=True)
class Overlaps:
    """Pairs of overlapping cavities, and whether there are more than were listed."""

    pairs: tuple[tuple[CavityId, CavityId], ...]
    more: bool


def overlapping_pairs(
    cavities: Iterable[Cavity], limit: int = OVERLAP_LIMIT
) -> Overlaps:
    """Return the pairs of cavities whose ground overlaps, in the order given.

    The cavities are those of one block. The search stops once there are more than
    limit pairs.
    """
    return overlaps_in([footprint(cavity) for cavity in cavities], limit)


def overlaps_in(prints: Sequence[Footprint], limit: int = OVERLAP_LIMIT) -> Overlaps:
    """Return the overlapping pairs of footprints, in the order given."""
    pairs: list[tuple[int, int]] = []
    for a, b in _neighbours(prints):
        if _overlap(prints[a], prints[b]):
            pairs.append((a, b))
            if len(pairs) > limit:
                break
    more = len(pairs) > limit
    chosen = sorted(pairs[:limit])
    return Overlaps(tuple((prints[a].id, prints[b].id) for a, b in chosen), more)


def _neighbours(prints: Sequence[Footprint]) -> Iterator[tuple[int, int]]:
    """Yield each pair whose boxes overlap once, the earlier of the map first."""
    if len(prints) < 2:
        return
    extents = sum(max(p.box.width_mm, p.box.height_mm) for p in prints)
    cell_mm = max(extents / len(prints), _LEAST_CELL_MM)
    cells: dict[tuple[int, int], list[int]] = {}
    for number, one in enumerate(prints):
        left, top, right, bottom = one.box
        column_1, column_2 = int(left // cell_mm), int(right // cell_mm)
        row_1, row_2 = int(top // cell_mm), int(bottom // cell_mm)
        for column in range(column_1, column_2 + 1):
            for row in range(row_1, row_2 + 1):
                cell = cells.setdefault((column, row), [])
                for other in cell:
                    two = prints[other].box
                    if (
                        left + TOLERANCE_MM < two[2]
                        and two[0] + TOLERANCE_MM < right
                        and top + TOLERANCE_MM < two[3]
                        and two[1] + TOLERANCE_MM < bottom
                        # Of all cells the two share, only the first tells of them.
                        and column == max(column_1, int(two[0] // cell_mm))
                        and row == max(row_1, int(two[1] // cell_mm))
                    ):
                        yield other, number
                cell.append(number)


def _overlap(a: Footprint, b: Footprint) -> bool:
    """Tell whether two footprints whose boxes overlap do so themselves."""
    if a.upright and b.upright:
        return True
    return not (_parted(a.corners, b.corners) or _parted(b.corners, a.corners))


def _parted(one: tuple[Point, ...], two: tuple[Point, ...]) -> bool:
    """Tell whether a line along a side of the first rectangle parts the two."""
    for near, far in ((one[0], one[1]), (one[1], one[2])):
        dx, dy = far[0] - near[0], far[1] - near[1]
        length = (dx * dx + dy * dy) ** 0.5
        if not length:
            continue
        ux, uy = dx / length, dy / length
        # Along this side the first rectangle reaches from 0 to length.
        along = [(p[0] - near[0]) * ux + (p[1] - near[1]) * uy for p in two]
        if max(along) <= TOLERANCE_MM or min(along) >= length - TOLERANCE_MM:
            return True
    return False


@dataclass(frozen=True, slots=True)
class OffOutline:
    """A cavity off the outline, and whether all of it is."""

    cavity: CavityId
    wholly: bool


def off_outline(block: Block, cavities: Iterable[Cavity]) -> Iterator[OffOutline]:
    """Yield the cavities that reach over the block's outline or lie outside it."""
    if block.outline:
        yield from _off_corners(block, cavities)
        return
    inside = Box(0.0, 0.0, *block.size)
    whole = inside.grown(TOLERANCE_MM)
    for cavity in cavities:
        box = cavity.bounds
        if whole.union(box) != whole:
            yield OffOutline(cavity.id, not inside.grown(-TOLERANCE_MM).meets(box))


def _off_corners(block: Block, cavities: Iterable[Cavity]) -> Iterator[OffOutline]:
    """Do so for an outline of corners, which may be notched."""
    from shapely import Polygon, prepare

    outline = Polygon(block.outline_points)
    ground = outline.buffer(TOLERANCE_MM, join_style="mitre")
    inside = outline.buffer(-TOLERANCE_MM, join_style="mitre")
    prepare(ground)
    prepare(inside)
    for cavity in cavities:
        body = Polygon(cavity.corners)
        if not ground.covers(body):
            yield OffOutline(cavity.id, not inside.intersects(body))
