"""Divides a drawing that is larger than the paper into overlapping tiles.

Neighbouring tiles show the same 10 mm, so that they can be laid over each other on
the crosses printed at the corners of the overlap and glued. Rows are lettered from the
top, columns numbered from the left: A1, A2, B1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from blockmap.drawing.primitives import Primitive, line
from blockmap.model.geometry import Box, Point, Size

__all__ = ["OVERLAP_MM", "Tile", "overlap_marks", "tiles_of"]

OVERLAP_MM = 10.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One part of the drawing: its name, and which box of the drawing it shows."""

    name: str
    box: Box


def tiles_of(drawing: Box, room: Size) -> tuple[Tile, ...]:
    """Return the tiles that cover a drawing, each at most as large as the room.

    Tiles of one drawing have the same size and share `OVERLAP_MM` at least.
    """
    columns = _spans(drawing.left_mm, drawing.width_mm, room.width_mm)
    rows = _spans(drawing.top_mm, drawing.height_mm, room.height_mm)
    return tuple(
        Tile(f"{_letters(row)}{column + 1}", Box(left, top, right, bottom))
        for row, (top, bottom) in enumerate(rows)
        for column, (left, right) in enumerate(columns)
    )


def _spans(
    start_mm: float, length_mm: float, room_mm: float
) -> list[tuple[float, float]]:
    if length_mm <= room_mm + 1e-9:
        return [(start_mm, start_mm + length_mm)]
    count = math.ceil((length_mm - OVERLAP_MM) / (room_mm - OVERLAP_MM) - 1e-9)
    each = (length_mm + OVERLAP_MM * (count - 1)) / count
    step = each - OVERLAP_MM
    return [
        (start_mm + step * number, start_mm + step * number + each)
        for number in range(count)
    ]


def _letters(number: int) -> str:
    """Return A to Z, then AA, AB and so on."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def overlap_marks(tile: Tile, drawing: Box) -> tuple[Primitive, ...]:
    """Return crosses on the inner edges of the overlaps, in the drawing's millimetres.

    The same cross is printed on both tiles that meet there.
    """
    box = tile.box
    across = _inner(box.left_mm, box.right_mm, drawing.left_mm, drawing.right_mm)
    down = _inner(box.top_mm, box.bottom_mm, drawing.top_mm, drawing.bottom_mm)
    found: list[Primitive] = []
    for x in across:
        for y in (box.top_mm + 6, box.centre.y_mm, box.bottom_mm - 6):
            found += _cross(Point(x, y))
    for y in down:
        for x in (box.left_mm + 6, box.centre.x_mm, box.right_mm - 6):
            found += _cross(Point(x, y))
    return tuple(found)


def _inner(low: float, high: float, least: float, most: float) -> list[float]:
    """Return the middles of the overlaps at the two ends of a span."""
    found = []
    if low > least + 1e-6:
        found.append(low + OVERLAP_MM / 2)
    if high < most - 1e-6:
        found.append(high - OVERLAP_MM / 2)
    return found


def _cross(at: Point, arm_mm: float = 2.5) -> tuple[Primitive, ...]:
    x, y = at
    return (
        line((Point(x - arm_mm, y), Point(x + arm_mm, y)), "ink", 0.15),
        line((Point(x, y - arm_mm), Point(x, y + arm_mm)), "ink", 0.15),
    )
