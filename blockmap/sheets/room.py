"""Finds free places beside cavities for their labels.

A cavity's label may lie below, above, right or left of it: within the cell that is
bounded half way to its neighbours, clear of every other cavity, of the block's edge,
and of what was placed before. Nothing here knows what a label says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

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
class Room:
    """The face of a block: its edge, its cavities, and the labels placed so far."""

    edge: Box
    cavities: Sequence[Box]
    placed: list[Box] = field(default_factory=list)
    _framed: dict[Side, list[Box]] = field(default_factory=dict)

    def _cavities_in(self, side: Side) -> list[Box]:
        """Return the cavities in the frame of a side, turned once for all."""
        found = self._framed.get(side)
        if found is None:
            found = self._framed[side] = [_seen(box, side) for box in self.cavities]
        return found

    def regions(self, around: Box, *, cells: bool = True) -> list[Region]:
        """Return the free regions beside a cavity, those on the block first.

        With cells they stop half way to the neighbours, so that labels never compete;
        without, they reach as far as nothing lies in the way.
        """
        found: list[Region] = []
        off: list[Region] = []
        reach = around.grown(NEAR_MM)
        near = [
            number
            for number, box in enumerate(self.cavities)
            if box is not around and reach.meets(box)
        ]
        placed = [box for box in self.placed if reach.meets(box)]
        for side in SIDES:
            inside, outside = self._beside(around, side, near, placed, cells)
            if inside:
                found.append(Region(side, inside))
            if outside:
                off.append(Region(side, outside, True))
        return found + off

    def touches(self, box: Box) -> bool:
        """Tell whether a label placed so far comes near a box."""
        near = box.grown(CLEAR_MM)
        return any(near.meets(other) for other in self.placed)

    def _beside(
        self,
        around: Box,
        side: Side,
        near: Sequence[int],
        labels: Sequence[Box],
        cells: bool,
    ) -> tuple[Box | None, Box | None]:
        """Return the free boxes on one side: on the block, and beyond its edge.

        The work is done in a frame in which the label lies below.
        """
        me = _seen(around, side)
        edge = _seen(self.edge, side)
        framed = self._cavities_in(side)
        others = [framed[number] for number in near]
        placed = [_seen(box, side) for box in labels]
        if not edge.holds(me.centre):
            edge = me.grown(OUTSIDE_MM)
        left, right = edge.left_mm + CLEAR_MM, edge.right_mm - CLEAR_MM
        if cells:
            left, right = _cell(me, others, left, right)
        top = me.bottom_mm + CLEAR_MM
        over = edge.bottom_mm + CLEAR_MM * 2
        far = edge.bottom_mm - me.bottom_mm > REACH_MM
        inside = Box(left, top, right, min(top + REACH_MM, edge.bottom_mm - CLEAR_MM))
        outside = Box(left, top, right, over + OUTSIDE_MM)
        free = _cleared(inside, me, [*others, *placed], cells)
        beyond = None
        if not far:
            clear = _cleared(outside, me, [*others, *placed], cells)
            if clear:
                beyond = Box(
                    clear.left_mm, max(top, over), clear.right_mm, clear.bottom_mm
                )
        return _kept(free, side), _kept(beyond, side)


def _cell(
    me: Box, others: Sequence[Box], left: float, right: float
) -> tuple[float, float]:
    """Return the limits half way to the neighbours that stand level."""
    mine = me.centre.x_mm
    for other in others:
        if not (other.top_mm < me.bottom_mm and me.top_mm < other.bottom_mm):
            continue
        its = other.centre.x_mm
        between = (mine + its) / 2
        if its < mine:
            left = max(left, between + HALF_GAP_MM, other.right_mm - me.width_mm)
        elif its > mine:
            right = min(right, between - HALF_GAP_MM, other.left_mm + me.width_mm)
    return left, right


def _cleared(box: Box, me: Box, taken: Sequence[Box], cells: bool) -> Box | None:
    """Return what is left of a free box, what lies below the cavity's middle cut off.

    What lies to one side of the middle narrows the box when cells are given up, or
    when it starts level with the cavity; else it makes the box less deep.
    """
    left, top, right, bottom = box
    middle = me.centre.x_mm
    near = sorted(taken, key=lambda other: other.top_mm)
    for other in near:
        if other.bottom_mm < top - CLEAR_MM / 2 or other.top_mm > bottom:
            continue
        if other.right_mm + SIDE_GAP_MM <= left or other.left_mm - SIDE_GAP_MM >= right:
            continue
        level = other.top_mm < top + 7.0
        if other.right_mm < middle - 1 and (level or not cells):
            left = max(left, other.right_mm + SIDE_GAP_MM)
        elif other.left_mm > middle + 1 and (level or not cells):
            right = min(right, other.left_mm - SIDE_GAP_MM)
        else:
            bottom = min(bottom, other.top_mm - CLEAR_MM)
    if right - left <= 1.0 or bottom - top <= 1.0:
        return None
    return Box(left, top, right, bottom)


def _kept(box: Box | None, side: Side) -> Box | None:
    if box is None or box.width_mm <= 1.0 or box.height_mm <= 1.0:
        return None
    return _seen(box, side)


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
