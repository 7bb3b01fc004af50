"""Finds the rows and columns in which cavities stand, for strips of labels.

A strip is cut half way between neighbours, so it fits the block when it is laid along
the row. Cavities that stand alone are in no row.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from blockmap.model.document import Block, Cavity
from blockmap.model.geometry import Box, View

__all__ = ["Cell", "Row", "find_rows"]

_OFF_LINE = 0.25
"""Share of a cavity's extent across the row by which it may stand off the line."""
LEAST_PITCH_MM = 3.0
_WIDEST_END_MM = 25.0
"""Half a cell is no wider than this, however far the neighbour."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cavity's part of a strip: from start to finish along the row."""

    cavity: Cavity
    start_mm: float
    finish_mm: float

    @property
    def length_mm(self) -> float:
        """Length along the row."""
        return self.finish_mm - self.start_mm


@dataclass(frozen=True, slots=True)
class Row:
    """Cavities in one line as seen in a view, left to right or top to bottom."""

    down: bool
    cells: tuple[Cell, ...]

    @property
    def length_mm(self) -> float:
        """Length of the strip."""
        return self.cells[-1].finish_mm - self.cells[0].start_mm


@dataclass(frozen=True, slots=True)
class _Seen:
    """A cavity with its place in the view."""

    cavity: Cavity
    box: Box


def find_rows(cavities: Sequence[Cavity], block: Block, view: View) -> tuple[Row, ...]:
    """Return the rows and columns of a block, the fullest chosen first.

    Each cavity is in at most one; off-panel holders and cavities without neighbours
    in line are in none. The order is that of reading: top to bottom, left to right.
    """
    left = [
        _Seen(cavity, view.apply_box(cavity.bounds, block.size))
        for cavity in cavities
        if not cavity.off_panel
    ]
    found: list[tuple[float, float, Row]] = []
    while True:
        groups = [(False, group) for group in _lines(left, down=False)]
        groups += [(True, group) for group in _lines(left, down=True)]
        if not groups:
            break
        down, group = max(groups, key=lambda each: (len(each[1]), not each[0]))
        if len(group) < 2:
            break
        box = group[0].box
        found.append((round(box.centre.y_mm, 1), box.centre.x_mm, _row(group, down)))
        taken = {seen.cavity.id for seen in group}
        left = [seen for seen in left if seen.cavity.id not in taken]
    return tuple(row for _, _, row in sorted(found, key=lambda each: each[:2]))


def _middle(down: bool) -> Callable[[_Seen], float]:
    if down:
        return lambda seen: (seen.box.top_mm + seen.box.bottom_mm) / 2
    return lambda seen: (seen.box.left_mm + seen.box.right_mm) / 2


def _lines(seen: Sequence[_Seen], *, down: bool) -> list[list[_Seen]]:
    """Return groups that stand in line, each sorted along the line."""
    across, along = _middle(not down), _middle(down)
    groups: list[list[_Seen]] = []
    for one in sorted(seen, key=across):
        extent = one.box.width_mm if down else one.box.height_mm
        group = groups[-1] if groups else None
        if group and across(one) - across(group[0]) <= max(1.0, extent * _OFF_LINE):
            group.append(one)
        else:
            groups.append([one])
    return [_apart(sorted(group, key=along), down) for group in groups]


def _apart(group: Sequence[_Seen], down: bool) -> list[_Seen]:
    """Leave out those that lie on top of their neighbour: no cut goes between."""
    along = _middle(down)
    kept = [group[0]]
    for one in group[1:]:
        if along(one) - along(kept[-1]) >= LEAST_PITCH_MM:
            kept.append(one)
    return kept


def _row(group: Sequence[_Seen], down: bool) -> Row:
    along = _middle(down)
    places = [along(one) for one in group]
    halves = [(b - a) / 2 for a, b in pairwise(places)]
    cells = []
    for number, one in enumerate(group):
        before = halves[number - 1] if number else halves[0]
        after = halves[number] if number < len(halves) else halves[-1]
        cells.append(
            Cell(
                one.cavity,
                places[number] - min(before, _WIDEST_END_MM),
                places[number] + min(after, _WIDEST_END_MM),
            )
        )
    return Row(down, tuple(cells))
