"""A block's figure for the sheets: at true size for labels, small for the card."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from blockmap.drawing.bodies import build_body, outline_of
from blockmap.drawing.figure import KeyEntry, block_primitives, figure_key
from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.picture import (
    RATED_KINDS,
    amps_text,
    cavity_primitives,
    obstacles_of,
)
from blockmap.drawing.primitives import Primitive, Text, bounds_of_primitives
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, Size, View
from blockmap.model.ids import CavityId

__all__ = ["FaceFigure", "face_key", "free_body"]

_LEAST_ROOM_MM = Size(10.0, 6.5)
_PART = 0.15
"""What covers less of a body than this is a contact or a number on it."""


def _style(block: Block, view: View, cap_mm: float) -> FigureStyle:
    """Return the style of a face to be cut out and glued: no doubts, no conditions.

    Text on a body is left out where it would be lower than the least height.
    """
    return FigureStyle(
        block.size,
        view,
        least_cap_mm=cap_mm,
        doubt=False,
        legend=False,
        conditions=False,
        strips=False,
    )


class FaceFigure:
    """The figure of a block at true size, in millimetres of a view, without labels.

    Each cavity is drawn once, however often it is asked for.
    """

    def __init__(self, document: Map, block: Block, view: View, cap_mm: float) -> None:
        self._document, self._block = document, block
        self._style = _style(block, view, cap_mm)
        self._drawn: dict[CavityId, tuple[Primitive, ...]] = {}

    def _cavity(self, cavity: Cavity) -> tuple[Primitive, ...]:
        drawn = self._drawn.get(cavity.id)
        if drawn is None:
            drawn = self._drawn[cavity.id] = cavity_primitives(cavity, self._style)
        return drawn

    def shows_rating(self, cavity: Cavity) -> bool:
        """Tell whether the rating, if there is one, is legible on the body."""
        if cavity.rating_a is None:
            return True
        amps = amps_text(cavity.rating_a)
        return any(
            isinstance(item, Text) and item.text == amps
            for item in self._cavity(cavity)
        )

    def leads(self, cavity: Cavity) -> list[Box]:
        """Return the room that the leads of an in-line holder take."""
        if not cavity.off_panel:
            return []
        _, *leads = obstacles_of(cavity, frame_of(cavity, self._style), self._style)
        return leads

    def drawn(self, *, wordless: Collection[CavityId]) -> tuple[Primitive, ...]:
        """Return the whole figure; wordless bodies are left free for a label."""
        bare = replace(self._style, ratings=False)
        items = list(block_primitives(self._document, self._block.id, self._style))
        for cavity in self._document.cavities_of(self._block.id):
            if cavity.id in wordless:
                items += cavity_primitives(cavity, bare)
            else:
                items += self._cavity(cavity)
        return tuple(items)


def face_key(
    document: Map, block: Block, view: View, cap_mm: float
) -> tuple[KeyEntry, ...]:
    """Return the key of the marks that the face uses."""
    style = _style(block, view, cap_mm)
    return figure_key(document, block.id, style, labels={})


def free_body(cavity: Cavity, block: Block, view: View) -> Box | None:
    """Return the room on a cavity's own body when it is large enough for a label.

    Bodies that show a rating keep their room for it.
    """
    if cavity.kind in RATED_KINDS:
        return None
    style = replace(_style(block, view, 1.5), ratings=False)
    frame = frame_of(cavity, style)
    body = build_body(outline_of(cavity), frame, "body", 0.2)
    room = frame.upright(*body.room)
    whole = frame.bounds
    for item in cavity_primitives(cavity, style):
        part = bounds_of_primitives((item,))
        if part and part.width_mm * part.height_mm < _PART * (
            whole.width_mm * whole.height_mm
        ):
            room = _clear_of(room, part.grown(0.4))
    least = _LEAST_ROOM_MM
    if room.width_mm < least.width_mm or room.height_mm < least.height_mm:
        return None
    return room


def _clear_of(room: Box, part: Box) -> Box:
    """Return what is left of a room above or below a contact or number in it."""
    if not room.meets(part):
        return room
    left, top, right, bottom = room
    if bottom - part.bottom_mm > part.top_mm - top:
        return Box(left, part.bottom_mm, right, bottom)
    return Box(left, top, right, max(top, part.top_mm))
