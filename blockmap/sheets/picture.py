"""A block's figure for the sheets: at true size for labels, small for the card."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from blockmap.drawing.bodies import build_body, outline_of
from blockmap.drawing.figure import KeyEntry, block_primitives, figure_key
from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.picture import RATED_KINDS, amps_text, cavity_primitives
from blockmap.drawing.primitives import Primitive, Text
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, View
from blockmap.model.ids import CavityId

__all__ = ["block_face", "face_key", "free_body", "shows_rating"]

_LEAST_ROOM_MM = 12.0


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


def block_face(
    document: Map,
    block: Block,
    view: View,
    cap_mm: float,
    *,
    wordless: Collection[CavityId],
) -> tuple[Primitive, ...]:
    """Return the figure of a block without labels, in millimetres of the view.

    The bodies of the wordless cavities are left free for a label.
    """
    style = _style(block, view, cap_mm)
    bare = replace(style, ratings=False)
    items = list(block_primitives(document, block.id, style))
    for cavity in document.cavities_of(block.id):
        items += cavity_primitives(cavity, bare if cavity.id in wordless else style)
    return tuple(items)


def face_key(
    document: Map, block: Block, view: View, cap_mm: float
) -> tuple[KeyEntry, ...]:
    """Return the key of the marks that the face uses."""
    style = _style(block, view, cap_mm)
    return figure_key(document, block.id, style, strips={}, labels={})


def free_body(cavity: Cavity, block: Block, view: View) -> Box | None:
    """Return the room on a cavity's own body when it is large enough for a label.

    Bodies that show a rating keep their room for it.
    """
    if cavity.kind in RATED_KINDS:
        return None
    frame = frame_of(cavity, _style(block, view, 2.0))
    body = build_body(outline_of(cavity), frame, "body", 0.2)
    room = frame.upright(*body.room)
    if min(room.width_mm, room.height_mm) < _LEAST_ROOM_MM:
        return None
    return room


def shows_rating(cavity: Cavity, block: Block, view: View, cap_mm: float) -> bool:
    """Tell whether the rating is legible on the cavity's own body."""
    if cavity.rating_a is None:
        return True
    amps = amps_text(cavity.rating_a)
    drawn = cavity_primitives(cavity, _style(block, view, cap_mm))
    return any(isinstance(item, Text) and item.text == amps for item in drawn)
