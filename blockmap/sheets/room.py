"""Finds free places beside cavities for their labels.

A cavity's label may lie below, above, right or left of it: within the cell that is
bounded half way to its neighbours, clear of every other cavity, of the block's edge,
and of what was placed before. Nothing here knows what a label says.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from operator import itemgetter

from blockmap.model.geometry import Box

__all__ = ["Region", "Room", "Side"]

CLEAR_MM = 0.8
"""Free paper between a label and a cavity or the block's edge."""
REACH_MM = 30.0
"""A label lies no further out than this, so that one sees whose it is."""
OUTSIDE_MM = 26.0
NEAR_MM = 80.0
"""What lies further off than this is not looked at: twice a reach and a label."""
HALF_GAP_MM = 0.3
SIDE_GAP_MM = 0.6
"""Free paper between labels that stand beside each other."""


class Side(StrEnum):
    """On which side of its cavity a label lies; over means on the body itself."""

    BELOW = "below"
    ABOVE = "above"
    RIGHT = "right"
    LEFT = "left"
    OVER = "over"


SIDES = (Side.BELOW, Side.ABOVE, Side.RIGHT, Side.LEFT)


@dataclass(frozen=True, slots=True)
class Region:
    """A free rectangle on one side of a cavity; outside means off the block."""

    side: Side
    box: Box
    outside: bool = False


@dataclass(slots=True)
class _Frame:
    """The face turned so that one side is below, and what is placed on it.

    cavities stand in their own order, sorted the highest first with their numbers and
    tops beside them; labels are those of the room turned so far.
    """

    edge: Box
    cavities: list[Box]
    numbers: list[int]
    tops: list[float]
    tallest_mm: float
    labels: list[Box] = field(default_factory=list)

    @classmethod
    def of(cls, edge: Box, cavities: Sequence[Box], side: Side) -> _Frame:
        """Return the frame of a side."""
        seen = [_seen(box, side) for box in cavities]
        numbers = sorted(range(len(seen)), key=lambda number: seen[number].top_mm)
        tops = [seen[number].top_mm for number in numbers]
        tallest_mm = max((box.height_mm for box in seen), default=0.0)
        return cls(_seen(edge, side), seen, numbers, tops, tallest_mm)

    def near(
        self, cavity: int, top_mm: float, bottom_mm: float
    ) -> tuple[list[Box], list[Box]]:
        """Return cavities and labels near a cavity that begin above the bottom.

        Few of them end above the top.
        """
        left, above, right, below = self.cavities[cavity].grown(NEAR_MM)
        first = bisect_left(self.tops, top_mm - self.tallest_mm - CLEAR_MM)
        last = bisect_right(self.tops, bottom_mm)
        boxes = self.cavities
        others = [
            box
            for number in self.numbers[first:last]
            if left < (box := boxes[number])[2]
            and box[0] < right
            and above < box[3]
            and box[1] < below
            and number != cavity
        ]
        labels = [
            box
            for box in self.labels
            if box[1] <= bottom_mm
            and above < box[3]
            and left < box[2]
            and box[0] < right
            and box[1] < below
        ]
        return others, labels


@dataclass(slots=True)
class Room:
    """The face of a block: its edge, its cavities, and the labels placed so far."""

    edge: Box
    cavities: Sequence[Box]
    placed: list[Box] = field(default_factory=list)
    _frames: dict[Side, _Frame] = field(default_factory=dict)

    def _frame(self, side: Side) -> _Frame:
        """Return the face in the frame of a side, turned once for all."""
        found = self._frames.get(side)
        if found is None:
            found = _Frame.of(self.edge, self.cavities, side)
            self._frames[side] = found
        new = self.placed[len(found.labels) :]
        found.labels += [_seen(box, side) for box in new]
        return found

    def regions(self, cavity: int, *, cells: bool = True) -> list[Region]:
        """Return the free regions beside a cavity by number, those on the block first.

        With cells they stop half way to the neighbours, so that labels never compete;
        without, they reach as far as nothing lies in the way.
        """
        found: list[Region] = []
        off: list[Region] = []
        for side in SIDES:
            inside, outside = _beside(self._frame(side), cavity, cells)
            if inside:
                found.append(Region(side, _seen(inside, side)))
            if outside:
                off.append(Region(side, _seen(outside, side), True))
        return found + off

    def touches(self, box: Box) -> bool:
        """Tell whether a label placed so far comes near a box."""
        left, top, right, bottom = box.grown(CLEAR_MM)
        return any(
            left < its_right
            and its_left < right
            and top < its_bottom
            and its_top < bottom
            for its_left, its_top, its_right, its_bottom in self.placed
        )


def _beside(frame: _Frame, cavity: int, cells: bool) -> tuple[Box | None, Box | None]:
    """Return the free boxes below a cavity: on the block, and beyond its edge."""
    me, edge = frame.cavities[cavity], frame.edge
    if not edge.holds(me.centre):
        edge = me.grown(OUTSIDE_MM)
    over = edge.bottom_mm + CLEAR_MM * 2
    lowest = over + OUTSIDE_MM
    others, labels = frame.near(cavity, me.top_mm, lowest)
    left, right = edge.left_mm + CLEAR_MM, edge.right_mm - CLEAR_MM
    if cells:
        left, right = _cell(me, others, left, right)
    top = me.bottom_mm + CLEAR_MM
    far = edge.bottom_mm - me.bottom_mm > REACH_MM
    taken = others + labels
    bottom = min(top + REACH_MM, edge.bottom_mm - CLEAR_MM)
    free = _cleared(Box(left, top, right, bottom), me, taken, cells)
    beyond = None
    if not far:
        beyond = _cleared(Box(left, top, right, lowest), me, taken, cells)
        if beyond:
            beyond = beyond._replace(top_mm=max(top, over))
    return _kept(free), _kept(beyond)


def _cell(
    me: Box, others: Sequence[Box], left: float, right: float
) -> tuple[float, float]:
    """Return the limits half way to the neighbours that stand level."""
    mine = me.centre.x_mm
    width, level_from, level_to = me.width_mm, me.top_mm, me.bottom_mm
    for its_left, its_top, its_right, its_bottom in others:
        if not (its_top < level_to and level_from < its_bottom):
            continue
        its = (its_left + its_right) / 2
        between = (mine + its) / 2
        if its < mine:
            left = max(left, between + HALF_GAP_MM, its_right - width)
        elif its > mine:
            right = min(right, between - HALF_GAP_MM, its_left + width)
    return left, right


_TOP = itemgetter(1)


def _cleared(box: Box, me: Box, taken: Sequence[Box], cells: bool) -> Box | None:
    """Return what is left of a free box, what lies below the cavity's middle cut off.

    What lies to one side of the middle narrows the box when cells are given up, or
    when it starts level with the cavity; else it makes the box less deep.
    """
    left, top, right, bottom = box
    middle = me.centre.x_mm
    level_top = top - CLEAR_MM / 2
    near = [
        other
        for other in taken
        if not (other[3] < level_top or other[1] > bottom)
        and not (other[2] + SIDE_GAP_MM <= left or other[0] - SIDE_GAP_MM >= right)
    ]
    near.sort(key=_TOP)
    for its_left, its_top, its_right, _ in near:
        if its_top > bottom:
            break
        if its_right + SIDE_GAP_MM <= left or its_left - SIDE_GAP_MM >= right:
            continue
        level = its_top < top + 7.0
        if its_right < middle - 1 and (level or not cells):
            left = max(left, its_right + SIDE_GAP_MM)
        elif its_left > middle + 1 and (level or not cells):
            right = min(right, its_left - SIDE_GAP_MM)
        else:
            bottom = min(bottom, its_top - CLEAR_MM)
    if right - left <= 1.0 or bottom - top <= 1.0:
        return None
    return Box(left, top, right, bottom)


def _kept(box: Box | None) -> Box | None:
    if box is None or box.width_mm <= 1.0 or box.height_mm <= 1.0:
        return None
    return box


def _seen(box: Box, side: Side) -> Box:
    """Return a box in the frame in which the side is below; its own inverse."""
    left, top, right, bottom = box
    if side is Side.BELOW:
        return box
    if side is Side.ABOVE:
        return Box(left, -bottom, right, -top)
    if side is Side.RIGHT:
        return Box(top, left, bottom, right)
    return Box(-bottom, -right, -top, -left)
