"""Finds the free rooms on a large body, for the label that has no room beside it.

A relay, a flasher or a large blank place has free corners between its contacts, their
numbers, its word and its marks. What is not large, or has its contacts at its ends,
has no such rooms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from blockmap.drawing.contacts import contact_spots
from blockmap.drawing.frame import FigureStyle, Frame
from blockmap.drawing.marks import mark_boxes
from blockmap.drawing.picture import cavity_primitives
from blockmap.drawing.primitives import Text, text_box
from blockmap.model.document import Cavity
from blockmap.model.geometry import Box

__all__ = ["rooms_on_body"]

_LARGE = ("box", "can", "blank")
_CLEAR_MM = 0.5
_LEAST_MM = 1.5


def rooms_on_body(
    cavity: Cavity, frame: Frame, outline: str, style: FigureStyle
) -> tuple[Box, ...]:
    """Return upright boxes of a body that nothing is drawn in, the upper first."""
    if outline not in _LARGE:
        return ()
    spots = contact_spots(cavity, outline) if outline != "blank" else {}
    taken = [
        text_box(item)
        for item in cavity_primitives(cavity, style)
        if isinstance(item, Text)
    ]
    taken += [frame.upright(s.u, s.v, s.du, s.dv) for s in spots.values()]
    if style.conditions:
        taken += mark_boxes(cavity, frame, spots, outline)
    within = _within(frame, outline)
    return tuple(_corners(within, [box.grown(_CLEAR_MM) for box in taken]))


def _within(frame: Frame, outline: str) -> Box:
    """Return the upright box of which all lies on the body, within its edge."""
    round_ = 0.68 if outline == "can" else 1.0
    whole = frame.upright(0, 0, round_ * frame.half_u, round_ * frame.half_v)
    return whole.grown(-1.5 * _CLEAR_MM)


def _corners(within: Box, taken: Sequence[Box]) -> Iterator[Box]:
    """Yield the largest free boxes in each corner: as wide, then as high as can be."""
    left, top, right, bottom = within
    for upper in (True, False):
        for leftmost in (True, False):
            ends = {right if leftmost else left}
            ends |= {box.left_mm if leftmost else box.right_mm for box in taken}
            for end in sorted(ends):
                room = (
                    Box(left, top, end, bottom)
                    if leftmost
                    else Box(end, top, right, bottom)
                )
                met = [box for box in taken if box.meets(room)]
                if upper:
                    low = min((box.top_mm for box in met), default=bottom)
                    room = room._replace(bottom_mm=low)
                else:
                    high = max((box.bottom_mm for box in met), default=top)
                    room = room._replace(top_mm=high)
                if room.width_mm >= _LEAST_MM and room.height_mm >= _LEAST_MM:
                    yield room
