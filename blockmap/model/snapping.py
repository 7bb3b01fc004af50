"""Where a moving point or box comes to rest: neighbours, outline, spacing, step.

Everything is in front-view millimetres. A snap looks at each axis by itself. What it
snapped to comes back as guide lines, so that a figure can show why. Nothing here
moves a cavity or knows a pointer.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from blockmap.model.geometry import Box, Point, bounds_of

__all__ = ["Guide", "GuideKind", "SnapField", "Snapped", "stepped"]

SAME_MM = 0.0005
"""Places are kept to a micrometre: nearer than half of one is the same."""

GUIDE_LIMIT = 12
"""Most guide lines of one snap; more say nothing and take time to draw."""


class GuideKind(StrEnum):
    """What a moving box has in common with what stands still."""

    CENTRE = "centre"
    EDGE = "edge"
    OUTLINE = "outline"
    SPACING = "spacing"


@dataclass(frozen=True, slots=True)
class Guide:
    """A line that shows one thing a box snapped to.

    distance_mm is the pitch, from centre to centre, that a spacing guide repeats.
    """

    kind: GuideKind
    start: Point
    finish: Point
    distance_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Snapped:
    """How far to shift a box or point, and what it then lines up with."""

    dx_mm: float
    dy_mm: float
    guides: tuple[Guide, ...] = ()

    def applied(self, point: Point) -> Point:
        """Return the point with the shift added."""
        return Point(point.x_mm + self.dx_mm, point.y_mm + self.dy_mm)


class _Mark(NamedTuple):
    """A line that something can snap to; span is where it is on the other axis."""

    at: float
    low: float
    high: float
    kind: GuideKind


class _Wish(NamedTuple):
    """A shift along one axis; the one with the least cost is taken."""

    cost: float
    shift: float


_EDGE_COST = 0.4
"""How much of the reach an edge stands back: rows are laid out by their centres."""


def stepped(value_mm: float, step_mm: float) -> float:
    """Return the nearest whole step; the value itself when the step is 0."""
    if step_mm <= 0:
        return value_mm
    return round(round(value_mm / step_mm) * step_mm, 3) + 0.0


class SnapField:
    """What stands still while something moves: boxes of cavities and the outline."""

    def __init__(self, others: Iterable[Box], outline: Sequence[Point] = ()) -> None:
        self._others = tuple(others)
        self._axes = (
            _Axis(self._others, outline, 0),
            _Axis(self._others, outline, 1),
        )

    def snap_box(self, box: Box, *, reach_mm: float, step_mm: float) -> Snapped:
        """Return the shift that lines a box up, else puts its centre on the step.

        reach_mm is how far away a line still attracts; with reach 0 and step 0
        nothing moves.
        """
        shifts: list[float] = []
        for axis in self._axes:
            shift = axis.best(box, reach_mm)
            if shift is None:
                middle = box.centre[axis.number]
                shift = stepped(middle, step_mm) - middle
            shifts.append(shift)
        moved = _shifted(box, *shifts)
        guides = [g for axis in self._axes for g in axis.guides(moved, reach_mm)]
        return Snapped(shifts[0], shifts[1], tuple(guides[:GUIDE_LIMIT]))

    def snap_point(self, point: Point, *, reach_mm: float, step_mm: float) -> Snapped:
        """Return the shift that puts a point on a line of a neighbour or the outline.

        Used for corners and handles; equal spacing does not apply.
        """
        box = Box(*point, *point)
        shifts: list[float] = []
        for axis in self._axes:
            shift = axis.nearest(box, reach_mm)
            if shift is None:
                at = point[axis.number]
                shift = stepped(at, step_mm) - at
            shifts.append(shift)
        moved = _shifted(box, *shifts)
        found = [g for axis in self._axes for g in axis.lines(moved, reach_mm)]
        return Snapped(shifts[0], shifts[1], tuple(found[:GUIDE_LIMIT]))


def _shifted(box: Box, dx: float, dy: float) -> Box:
    return Box(box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)


class _Axis:
    """The lines of one axis: number 0 is x, 1 is y."""

    def __init__(
        self, others: Sequence[Box], outline: Sequence[Point], number: int
    ) -> None:
        self.number = number
        self._others = others
        self._centres = self._sorted(
            _Mark(b.centre[number], *self._span(b), GuideKind.CENTRE) for b in others
        )
        edges = [
            _Mark(at, *self._span(b), GuideKind.EDGE)
            for b in others
            for at in (b[number], b[number + 2])
        ]
        if outline:
            edges += self._outline_edges(outline)
            whole = bounds_of(outline)
            middle = whole.centre[number]
            self._centres = self._sorted(
                (
                    *self._centres,
                    _Mark(middle, *self._span(whole), GuideKind.OUTLINE),
                )
            )
        self._edges = self._sorted(edges)

    @staticmethod
    def _sorted(marks: Iterable[_Mark]) -> list[_Mark]:
        return sorted(marks, key=lambda mark: mark.at)

    def _span(self, box: Box) -> tuple[float, float]:
        across = 1 - self.number
        return box[across], box[across + 2]

    def _outline_edges(self, outline: Sequence[Point]) -> Iterable[_Mark]:
        across = 1 - self.number
        for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
            if abs(a[self.number] - b[self.number]) < SAME_MM:
                low, high = sorted((a[across], b[across]))
                yield _Mark(a[self.number], low, high, GuideKind.OUTLINE)

    def _targets(self, box: Box) -> list[tuple[float, list[_Mark]]]:
        """The places of a moving box with the lines each of them may come to."""
        low, high = box[self.number], box[self.number + 2]
        if high - low < SAME_MM:
            return [(low, self._centres), (low, self._edges)]
        return [
            ((low + high) / 2, self._centres),
            (low, self._edges),
            (high, self._edges),
        ]

    def nearest(self, box: Box, reach: float) -> float | None:
        """Return the smallest shift onto a line within reach."""
        wishes = list(self._line_wishes(box, reach))
        return min(wishes).shift if wishes else None

    def best(self, box: Box, reach: float) -> float | None:
        """Return the smallest shift onto a line or into an equal spacing."""
        wishes = list(self._line_wishes(box, reach))
        middle = box.centre[self.number]
        for place, *_ in self._spacings(box, reach):
            shift = place - middle
            if abs(shift) <= reach:
                wishes.append(_Wish(abs(shift), shift))
        return min(wishes).shift if wishes else None

    def _line_wishes(self, box: Box, reach: float) -> Iterable[_Wish]:
        for at, marks in self._targets(box):
            first = bisect_left(marks, at - reach, key=lambda mark: mark.at)
            last = bisect_right(marks, at + reach, key=lambda mark: mark.at)
            for mark in marks[first:last]:
                shift = mark.at - at
                back = 0.0 if marks is self._centres else _EDGE_COST * reach
                yield _Wish(abs(shift) + back, shift)

    def _row(self, box: Box) -> list[float]:
        """The centres of the neighbours that lie beside the box, in order."""
        low, high = self._span(box)
        found = []
        for other in self._others:
            o_low, o_high = self._span(other)
            if o_low < high and low < o_high:
                found.append(other.centre[self.number])
        return sorted(set(found))

    def _spacings(self, box: Box, reach: float) -> list[tuple[float, float, float]]:
        """Places of equal pitch near the box: (place, first centre, pitch)."""
        row = self._row(box)
        if len(row) < 2:
            return []
        middle = box.centre[self.number]
        index = bisect_left(row, middle)
        found: list[tuple[float, float, float]] = []
        for at in {index - 1, index, index + 1}:
            if at >= 2 and at <= len(row):
                pitch = row[at - 1] - row[at - 2]
                found.append((row[at - 1] + pitch, row[at - 2], pitch))
            if 0 <= at <= len(row) - 2:
                pitch = row[at + 1] - row[at]
                found.append((row[at] - pitch, row[at] - pitch, pitch))
            if 1 <= at <= len(row) - 1:
                pitch = (row[at] - row[at - 1]) / 2
                found.append((row[at - 1] + pitch, row[at - 1], pitch))
        return [
            wish
            for wish in found
            if abs(wish[0] - middle) <= reach and wish[2] > SAME_MM
        ]

    def guides(self, box: Box, reach: float) -> list[Guide]:
        """Return the lines and spacings that hold for a box where it is now."""
        found = self.lines(box, reach)
        if reach <= 0:
            return found
        middle = box.centre[self.number]
        across = box.centre[1 - self.number]
        for place, first, pitch in self._spacings(box, SAME_MM):
            if abs(place - middle) < SAME_MM:
                for number in (0, 1):
                    start = self._point(first + number * pitch, across)
                    finish = self._point(first + (number + 1) * pitch, across)
                    found.append(Guide(GuideKind.SPACING, start, finish, pitch))
                break
        return found

    def lines(self, box: Box, reach: float) -> list[Guide]:
        """Return the lines that pass through the box where it is now."""
        if reach <= 0:
            return []
        spans: dict[tuple[float, GuideKind], tuple[float, float]] = {}
        own = self._span(box)
        for at, marks in self._targets(box):
            first = bisect_left(marks, at - SAME_MM, key=lambda mark: mark.at)
            last = bisect_right(marks, at + SAME_MM, key=lambda mark: mark.at)
            for mark in marks[first:last]:
                key = (round(mark.at, 3), mark.kind)
                low, high = spans.get(key, own)
                spans[key] = min(low, mark.low), max(high, mark.high)
        return [
            Guide(kind, self._point(at, low), self._point(at, high))
            for (at, kind), (low, high) in spans.items()
        ]

    def _point(self, along: float, across: float) -> Point:
        return Point(along, across) if self.number == 0 else Point(across, along)
