"""What a row or grid will be, from typed numbers or from one drag.

Pure arithmetic in front-view millimetres: count follows from drag and pitch, the
counting order from the way it was drawn. It asks nobody and shows nothing.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from blockmap.model.document import Map
from blockmap.model.edits import Grid
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Box, Point, Size, bounds_of, corners
from blockmap.model.ids import BlockId
from blockmap.model.numbering import CountingOrder, designations_from
from blockmap.reference.forms import FORMS

__all__ = ["MOST_SIDE", "RowPlan", "free_first", "next_first", "usual_pitch"]

MOST_SIDE = 200
"""Most columns or rows of one grid."""

_PREFIXES = {
    "fuse": "F",
    "breaker": "CB",
    "relay": "R",
    "flasher": "FL",
    "tab": "T",
    "stud": "S",
    "link": "L",
    "terminal": "",
    "blank": "",
}
_GAP_MM = 5.5
"""Room left between neighbours at first, for a designation to stand in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowPlan:
    """What the next places are to be. order None means: as they are drawn."""

    form: str
    size: Size
    turn_deg: float = 90.0
    columns: int = 6
    rows: int = 1
    pitch_x_mm: float = 11.0
    pitch_y_mm: float = 25.0
    first_designation: str = ""
    order: CountingOrder | None = None
    rating_a: float | None = None

    def box_at(self, centre: Point) -> Box:
        """Return the upright box of one place about a centre."""
        return bounds_of(corners(centre, self.size, self.turn_deg))

    def _grid(
        self, corner: Point, way: tuple[int, int], columns: int, rows: int
    ) -> Grid:
        """Return the grid whose first place is a corner; way says where it goes on."""
        x, y = corner
        if way[0] < 0:
            x -= (columns - 1) * self.pitch_x_mm
        if way[1] < 0:
            y -= (rows - 1) * self.pitch_y_mm
        return Grid(
            first=Point(x, y),
            columns=columns,
            rows=rows,
            pitch_x_mm=self.pitch_x_mm,
            pitch_y_mm=self.pitch_y_mm,
            form=self.form,
            size=self.size,
            turn_deg=self.turn_deg,
            rating_a=self.rating_a,
            first_designation=self.first_designation,
            order=self.order or _as_drawn(way, columns, rows),
        )

    def drawn(self, start: Point, finish: Point, *, single_line: bool) -> Grid:
        """Return the grid of a drag from the first place to the last.

        single_line keeps to the longer way. The count follows from the pitch.
        """
        dx, dy = finish.x_mm - start.x_mm, finish.y_mm - start.y_mm
        columns = _count(dx, self.pitch_x_mm)
        rows = _count(dy, self.pitch_y_mm)
        if single_line:
            if abs(dx) >= abs(dy):
                rows = 1
            else:
                columns = 1
        way = (-1 if dx < 0 and columns > 1 else 1, -1 if dy < 0 and rows > 1 else 1)
        return self._grid(start, way, columns, rows)

    def typed(self, first: Point, *, seen_right: int = 1, seen_down: int = 1) -> Grid:
        """Return the grid of the typed counts whose first place is a point.

        seen_right and seen_down are -1 where the view shows the front the other way
        round; they matter only when the order is left to the drawing.
        """
        way = self.order.way if self.order else (seen_right, seen_down)
        return self._grid(first, way, self.columns, self.rows)


def _count(way_mm: float, pitch_mm: float) -> int:
    if pitch_mm <= 0 or not math.isfinite(way_mm):
        return 1
    return min(1 + round(abs(way_mm) / pitch_mm), MOST_SIDE)


def _as_drawn(way: tuple[int, int], columns: int, rows: int) -> CountingOrder:
    """Return the order that starts where the drag started."""
    return CountingOrder.of(way, by_columns=columns == 1 and rows > 1)


def usual_pitch(size: Size, turn_deg: float) -> tuple[float, float]:
    """Return pitches across and down that leave room between neighbours."""
    box = bounds_of(corners(Point(0.0, 0.0), size, turn_deg))
    return (
        float(math.ceil(box.width_mm + _GAP_MM)),
        float(math.ceil(box.height_mm + _GAP_MM)),
    )


_COUNTED = re.compile(r"(\D*)\d{1,6}")


def free_first(document: Map, block: BlockId | None, form: str) -> str:
    """Return the first designation of this kind that no cavity has from there on.

    It goes on as the latest place of this kind in the block is called, if by a number.
    """
    kind = FORMS[form].kind if form in FORMS else "fuse"
    cavities = tuple(document.cavities_of(block)) if block is not None else ()
    prefix = _PREFIXES.get(kind, "")
    for cavity in cavities:
        counted = _COUNTED.fullmatch(cavity.designation)
        if cavity.kind == kind and counted is not None:
            prefix = counted[1]
    highest = 0
    for cavity in cavities:
        for name in cavity.designations:
            number = name.removeprefix(prefix)
            if name.startswith(prefix) and number.isdecimal() and len(number) < 7:
                highest = max(highest, int(number))
    return f"{prefix}{highest + 1}"


def next_first(grid: Grid) -> str:
    """Return the designation that goes on after a grid; '' when none can be told."""
    count = grid.columns * grid.rows
    first = grid.first_designation.strip()
    if not first:
        return ""
    try:
        names = designations_from(first, count + 1, columns=grid.columns)
    except BadValue:
        return ""
    return names[-1] + (":" if first.endswith(":") else "")
