"""Words for places and wires: what contacts and ends are called, colours in rows.

In a narrow row a wire's colour and gauge stand beyond the contact it is at, turned when
the body is upright. Only words that are legible and over nothing are set.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.contacts import contact_spots
from blockmap.drawing.designations import LabelPlace
from blockmap.drawing.figure import FigureStyle
from blockmap.drawing.fit import LINE_PITCH, Fitted, fit_text
from blockmap.drawing.frame import Frame, frame_of
from blockmap.drawing.picture import obstacles_of
from blockmap.drawing.primitives import Face, Primitive, Text
from blockmap.model.document import Block, Cavity, Map, Wire
from blockmap.model.evidence import is_doubtful
from blockmap.model.geometry import Box, Point
from blockmap.model.ids import BlockId, CavityId
from blockmap.model.places import PlaceIndex
from blockmap.model.written import wire_text

__all__ = [
    "contact_words",
    "end_words",
    "place_words",
    "wire_words",
    "words_at_ends",
]

_TEST_POINTS = {"b1": "feed", "b2": "load"}
_GAP_MM = 0.8
_EDGE_MM = 1.0


def contact_words(cavity: Cavity, where: str) -> str:
    """Return what every sheet calls a part of a place: F11 load, F11 housing, T3.

    The one contact of a tab or terminal needs no name; a fuse's own test points are
    told by the side they lie on.
    """
    if where in _TEST_POINTS:
        return f"{cavity.designation} {_TEST_POINTS[where]} test point"
    if where == "pin" or where.startswith("pin wire"):
        where = where.removeprefix("pin").strip()
    return f"{cavity.designation} {where}".strip()


def wire_words(cavity: Cavity, wire: Wire, code: str) -> tuple[str, Face]:
    """Return a wire of a cavity and how it is set: in doubt where nobody saw it."""
    text = wire_text(wire, code)
    if is_doubtful(cavity, "wires"):
        return f"{text}?", Face.ITALIC
    return text, Face.REGULAR


def end_words(document: Map, index: PlaceIndex, text: str, block: BlockId) -> str:
    """Return what a person calls the other end of a wire that is noted at a block.

    Its block is named when it is another one. Words that name no place stay.
    """
    ref = index.contact(text, block)
    if ref is None:
        return text
    cavity = document.cavities[ref.cavity]
    return _on_block(document, cavity, block) + contact_words(cavity, ref.contact)


def place_words(document: Map, index: PlaceIndex, text: str) -> str:
    """Return what a sheet calls a place that was typed as F11.load or dash/F11.b1.

    Its block is named when the map has several. Words that name no place stay.
    """
    place = index.place(text)
    if place is None:
        return text
    cavity = document.cavities[place.cavity]
    only = cavity.block if len(document.blocks) == 1 else ""
    return _on_block(document, cavity, only) + contact_words(cavity, place.where)


def _on_block(document: Map, cavity: Cavity, block: BlockId) -> str:
    """Return the name of a cavity's block with a space, '' when it is this one."""
    if cavity.block == block:
        return ""
    other = document.blocks[cavity.block]
    return f"{other.name or other.id} "


def words_at_ends(
    document: Map,
    block: Block,
    style: FigureStyle,
    labels: Mapping[CavityId, LabelPlace],
) -> Iterator[Primitive]:
    """Yield the words of the cavities whose label does not say their legend.

    The legends of the map given are the words to set. Sizes are those of the style.
    """
    cavities = [(c, frame_of(c, style)) for c in document.cavities_of(block.id)]
    taken = [box for c, frame in cavities for box in obstacles_of(c, frame, style)]
    taken += [label.box for label in labels.values()]
    for cavity, frame in cavities:
        if not cavity.legend or _says(labels.get(cavity.id), cavity):
            continue
        end = _end(cavity, frame)
        if end is None:
            continue
        doubt = "?" if is_doubtful(cavity, "legend") else ""
        face = Face.ITALIC if doubt else Face.REGULAR
        down = abs(end[1]) > abs(end[0])
        room = _room(frame.bounds, end, taken, style)
        fitted = fit_text(
            [f"{text}{doubt}" for text in (cavity.legend, cavity.legend_short) if text],
            room.height_mm if down else room.width_mm,
            room.width_mm if down else room.height_mm,
            style.least_cap_mm,
            style.label_cap_mm,
            face,
        )
        if fitted is not None:
            yield from _set(fitted, room, end)


def _says(label: LabelPlace | None, cavity: Cavity) -> bool:
    """Tell whether a label holds more than names and warnings."""
    if label is None:
        return False
    words = [item.text for item in label.primitives if isinstance(item, Text)]
    plain = {cavity.designation, f"{cavity.designation}?", "do not use"}
    return any(word not in plain for word in words)


def _end(cavity: Cavity, frame: Frame) -> tuple[float, float] | None:
    """Return the way from the middle to the main contact; None unless at an end."""
    if not frame.square:
        return None
    spot = contact_spots(cavity, outline_of(cavity)).get(cavity.main_contact)
    if spot is None or abs(spot.u) < 0.4 * frame.half_u:
        return None
    side = 1.0 if spot.u > 0 else -1.0
    return side * frame.ux, side * frame.uy


def _room(
    body: Box, end: tuple[float, float], taken: list[Box], style: FigureStyle
) -> Box:
    """Return the free box beyond an end, as broad as the body."""
    width, height = style.size
    left, top, right, bottom = body
    x, y = end
    if abs(y) > abs(x):
        near = [b for b in taken if b.left_mm < right and left < b.right_mm]
        if y > 0:
            after = [b.top_mm for b in near if b.top_mm >= bottom - 0.5]
            stop = min([*after, height - _EDGE_MM])
            return Box(left, bottom + _GAP_MM, right, max(stop - _GAP_MM, bottom))
        before = [b.bottom_mm for b in near if b.bottom_mm <= top + 0.5]
        stop = max([*before, _EDGE_MM])
        return Box(left, min(stop + _GAP_MM, top), right, top - _GAP_MM)
    near = [b for b in taken if b.top_mm < bottom and top < b.bottom_mm]
    if x > 0:
        after = [b.left_mm for b in near if b.left_mm >= right - 0.5]
        stop = min([*after, width - _EDGE_MM])
        return Box(right + _GAP_MM, top, max(stop - _GAP_MM, right), bottom)
    before = [b.right_mm for b in near if b.right_mm <= left + 0.5]
    stop = max([*before, _EDGE_MM])
    return Box(min(stop + _GAP_MM, left), top, left - _GAP_MM, bottom)


def _set(fitted: Fitted, room: Box, end: tuple[float, float]) -> Iterator[Text]:
    """Yield the lines from the contact's end outwards, turned where it is upright."""
    x, y = end
    cap, pitch = fitted.cap_mm, fitted.cap_mm * LINE_PITCH
    for number, words in enumerate(fitted.lines):
        if abs(y) > abs(x):
            along = room.centre.x_mm - fitted.height_mm / 2 + cap + number * pitch
            if y > 0:
                at = Point(along, room.top_mm)
                yield Text(words, at, cap, fitted.face, "end", turn_deg=-90.0)
            else:
                at = Point(along, room.bottom_mm)
                yield Text(words, at, cap, fitted.face, "start", turn_deg=-90.0)
        else:
            down = room.centre.y_mm - fitted.height_mm / 2 + cap + number * pitch
            edge = room.left_mm if x > 0 else room.right_mm
            anchor = "start" if x > 0 else "end"
            yield Text(words, Point(edge, down), cap, fitted.face, anchor)  # type: ignore[arg-type]
