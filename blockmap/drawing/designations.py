"""Places designation and legend beside one body, where there is room, over nothing.

Strips are kept clear of as long as another place is left. What cannot be set at the
least legible height is left out: first the legend, then the words. A label that has
no room beside the body goes onto it: into a free room of a large one, else the
designation alone in place of the rating.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple, Protocol

from blockmap.drawing.contacts import end_zone
from blockmap.drawing.fit import LINE_PITCH, fit_text
from blockmap.drawing.frame import FigureStyle, Frame
from blockmap.drawing.label_wish import Wish
from blockmap.drawing.picture import AT_ENDS
from blockmap.drawing.primitives import Anchor, Face, Primitive, Text, rectangle
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Box, Point

__all__ = ["Ground", "Grounds", "LabelPlace", "place_label"]

MARGIN_MM = 0.6
REACH_MM = 30.0
LEGEND_SHARE = 0.88
ROW_GAP = 0.9
"""Free room between designation and legend in a row, in heights of a capital."""
BEYOND_MM = 4.0
"""A label above or below reaches no further beyond the ends of its body."""
ENOUGH = 0.79
"""Share of the wished letter height at which no better place is looked for."""


class LabelPlace(NamedTuple):
    """The label of one cavity: on which side, what is drawn, and its box."""

    side: str
    primitives: tuple[Primitive, ...]
    box: Box
    doubtful: bool


class Ground(Protocol):
    """What labels keep clear of."""

    def meeting(self, box: Box) -> list[Box]:
        """Return the boxes that share more than an edge with this one."""


Grounds = tuple[Ground, Ground]
"""What is never covered, and what is as long as there is no other place."""


class _Line(NamedTuple):
    text: str
    face: Face
    cap_mm: float
    ink: str


class _Offer(NamedTuple):
    """A label that fits on one side; the greater, the better."""

    level: int
    cap_mm: float
    rank: int
    side: str
    lines: tuple[_Line, ...]
    in_row: bool


_UPRIGHT = ("right", "left", "above", "below")
_LYING = ("above", "below", "right", "left")


def place_label(
    wish: Wish,
    frame: Frame,
    outline: str,
    rooms: Sequence[Box],
    grounds: Grounds,
    style: FigureStyle,
) -> LabelPlace | None:
    """Return where a wish has room beside a body or on it, None when it has none.

    rooms are those on the body itself. Nothing but these arguments counts, and of the
    grounds only what they are asked.
    """
    hard, soft = grounds
    body = frame.bounds
    sides = _UPRIGHT if body.height_mm > 1.2 * body.width_mm else _LYING
    best = _best_offer(wish, frame, body, sides, (hard, soft), style)
    ground = ""
    if best is None or best.level < 2 or best.cap_mm < ENOUGH * style.label_cap_mm:
        crossing = _best_offer(wish, frame, body, sides, (hard,), style)
        if crossing and (best is None or _clearly_better(crossing, best)):
            best, ground = crossing, style.ground
        inside = _in_room(wish, rooms, style)
        if inside and (best is None or inside[0][:2] > best[:2]):
            # The lines of a place not to use go through its body: words cover them.
            return _set(*inside, "body" if wish.words else "")
    return _set(best, body, ground) if best else _on_body(wish, frame, outline, style)


def _clearly_better(one: _Offer, other: _Offer) -> bool:
    """Tell whether a label over a line is worth it: it says more or is far larger."""
    if one.level != other.level:
        return one.level > other.level
    return one.cap_mm > 1.3 * other.cap_mm


def _best_offer(
    wish: Wish,
    frame: Frame,
    body: Box,
    sides: tuple[str, ...],
    grids: tuple[Ground, ...],
    style: FigureStyle,
) -> _Offer | None:
    best: _Offer | None = None
    for rank, side in enumerate(sides):
        offer = _offer(wish, frame, body, side, -rank, grids, style)
        if offer and (best is None or offer > best):
            best = offer
        if best and best.level == 3 and best.cap_mm >= ENOUGH * style.label_cap_mm:
            break
    return best


def _offer(
    wish: Wish,
    frame: Frame,
    body: Box,
    side: str,
    rank: int,
    grids: Iterable[Ground],
    style: FigureStyle,
) -> _Offer | None:
    """Return the best label for one side, or None when not even the name fits."""
    most = max(style.label_cap_mm, style.least_cap_mm)
    sideways = side in ("left", "right")
    x, y = body.centre
    half = _band(frame, sideways, most)
    caps = sorted({most, max(0.8 * most, style.least_cap_mm), style.least_cap_mm})
    across = text_width_mm(wish.designation, wish.face, 1.0)
    if sideways:
        reach = _reach(side, body, (y - half, y + half), grids)
        room = reach - 2 * MARGIN_MM, 2 * half
        return _in_band(wish, side, rank, caps, room, style)
    half = max(half, across * caps[0] / 2 + MARGIN_MM)
    best: _Offer | None = None
    wide = _row_mm(wish, most) / 2 + MARGIN_MM
    # Where a row is longer than the body, the ends of the body are tried, too.
    for each in (
        (half, wide) if half < wide <= body.width_mm / 2 + BEYOND_MM else (half,)
    ):
        reach = _reach(side, body, (x - each, x + each), grids)
        room = 2 * each, reach - 2 * MARGIN_MM
        offer = _in_band(wish, side, rank, caps, room, style)
        if offer and (best is None or offer[:2] > best[:2]):
            best = offer
        if best and best.level == 3 and best.cap_mm >= most:
            break
    return best


def _row_mm(wish: Wish, cap_mm: float) -> float:
    """Return the length of designation and full legend in one row; 0 without one."""
    if wish.words or not wish.legends:
        return 0.0
    legend_mm = text_width_mm(wish.legends[0], wish.legend_face, LEGEND_SHARE * cap_mm)
    return (
        text_width_mm(wish.designation, wish.face, cap_mm)
        + ROW_GAP * cap_mm
        + legend_mm
    )


def _in_band(
    wish: Wish,
    side: str,
    rank: int,
    caps: Sequence[float],
    room: tuple[float, float],
    style: FigureStyle,
) -> _Offer | None:
    """Return the label that says most in a room of this width and height."""
    width, height = room
    across = text_width_mm(wish.designation, wish.face, 1.0)
    best: _Offer | None = None
    for cap in reversed(caps):
        if across * cap > width + 1e-9 or cap > height + 1e-9:
            continue
        sideways = side in ("left", "right")
        level, lines, in_row = _fill(wish, cap, width, height, sideways, style)
        offer = _Offer(level, cap, rank, side, lines, in_row)
        if best is None or offer.level > best.level:
            best = offer
            if level == 3:
                break
    return best


def _band(frame: Frame, sideways: bool, cap_mm: float) -> float:
    """Return half the extent along the body that a label on a side may take."""
    body = frame.bounds
    extent = body.height_mm if sideways else body.width_mm
    zone = end_zone(frame.half_u, frame.half_v)
    along = abs(frame.uy) if sideways else abs(frame.ux)
    if along > 0.7:
        extent -= 2 * zone
    return max(extent / 2, 0.55 * cap_mm) + (0.0 if sideways else 1.5)


def _reach(
    side: str, body: Box, band: tuple[float, float], grids: Iterable[Ground]
) -> float:
    """Return how far a band beside the body is free, in millimetres."""
    left, top, right, bottom = body
    low, high = band
    regions = {
        "right": Box(right, low, right + REACH_MM, high),
        "left": Box(left - REACH_MM, low, left, high),
        "above": Box(low, top - REACH_MM, high, top),
        "below": Box(low, bottom, high, bottom + REACH_MM),
    }
    reach = REACH_MM
    for grid in grids:
        hits = grid.meeting(regions[side])
        if not hits:
            continue
        if side == "right":
            near = min(hit[0] for hit in hits) - right
        elif side == "left":
            near = left - max(hit[2] for hit in hits)
        elif side == "above":
            near = top - max(hit[3] for hit in hits)
        else:
            near = min(hit[1] for hit in hits) - bottom
        reach = min(reach, near)
    return reach


def _fill(
    wish: Wish,
    cap: float,
    width: float,
    height: float,
    sideways: bool,
    style: FigureStyle,
) -> tuple[int, tuple[_Line, ...], bool]:
    """Return how much of the wish fits under a designation of this size, and how.

    Level 3 is everything, 2 a shorter legend, 1 no legend, 0 the designation alone.
    """
    lines = [_Line(wish.designation, wish.face, cap, "ink")]
    small = max(LEGEND_SHARE * cap, style.least_cap_mm)
    if not sideways and len(wish.legends) and not wish.words:
        rest = width - text_width_mm(wish.designation, wish.face, cap)
        rest -= ROW_GAP * cap
        for number, text in enumerate(wish.legends):
            if text_width_mm(text, wish.legend_face, small) <= rest:
                lines.append(_Line(text, wish.legend_face, small, "ink"))
                return 2 if number else 3, tuple(lines), True
    used = cap
    if wish.words:
        said = fit_text(
            (wish.words,),
            width,
            height - used - (LINE_PITCH - 1) * small,
            style.least_cap_mm,
            small,
            Face.BOLD,
            lines=2 if sideways else 1,
        )
        if said is None:
            return 0, tuple(lines), False
        ink = "stop" if wish.words == "do not use" else "ink"
        lines += [_Line(text, Face.BOLD, said.cap_mm, ink) for text in said.lines]
        used += LINE_PITCH * said.cap_mm * len(said.lines)
    if not wish.legends:
        return 3, tuple(lines), False
    gap = (LINE_PITCH - 1) * small
    fitted = fit_text(
        wish.legends,
        width,
        height - used - gap,
        style.least_cap_mm,
        small,
        wish.legend_face,
        lines=2 if sideways else 1,
    )
    if fitted is None:
        return 1, tuple(lines), False
    full = " ".join(fitted.lines).replace(" ", "") == wish.legends[0].replace(" ", "")
    lines += [
        _Line(text, wish.legend_face, fitted.cap_mm, "ink") for text in fitted.lines
    ]
    return 3 if full else 2, tuple(lines), False


def _set(offer: _Offer, body: Box, ground: str) -> LabelPlace:
    """Return the label with its lines at their places."""
    widths = [text_width_mm(n.text, n.face, n.cap_mm) for n in offer.lines]
    gap = ROW_GAP * offer.cap_mm
    if offer.in_row:
        width, height = sum(widths) + gap, offer.cap_mm
    else:
        width = max(widths)
        height = offer.cap_mm + sum(LINE_PITCH * n.cap_mm for n in offer.lines[1:])
    left, top = _corner(offer.side, body, width, height)
    box = Box(left, top, left + width, top + height)
    texts: list[Primitive] = []
    if ground:
        texts.append(rectangle(box.grown(0.25), ground))
    if offer.in_row:
        first, second = offer.lines
        base = top + offer.cap_mm
        texts.append(_text(first, Point(left, base), "start"))
        texts.append(_text(second, Point(left + widths[0] + gap, base), "start"))
    else:
        anchors: dict[str, Anchor] = {"right": "start", "left": "end"}
        anchor = anchors.get(offer.side, "middle")
        x = {"start": left, "middle": left + width / 2, "end": left + width}[anchor]
        base = top
        for number, line in enumerate(offer.lines):
            base += line.cap_mm * (LINE_PITCH if number else 1.0)
            texts.append(_text(line, Point(x, base), anchor))
    doubtful = any(line.face is Face.ITALIC for line in offer.lines)
    return LabelPlace(offer.side, tuple(texts), box, doubtful)


def _text(line: _Line, at: Point, anchor: Anchor) -> Text:
    return Text(line.text, at, line.cap_mm, line.face, anchor, line.ink)


def _corner(side: str, body: Box, width: float, height: float) -> tuple[float, float]:
    x, y = body.centre
    if side == "on":
        return x - width / 2, y - height / 2
    if side == "right":
        return body.right_mm + MARGIN_MM, y - height / 2
    if side == "left":
        return body.left_mm - MARGIN_MM - width, y - height / 2
    if side == "above":
        return x - width / 2, body.top_mm - MARGIN_MM - height
    return x - width / 2, body.bottom_mm + MARGIN_MM


def _in_room(
    wish: Wish, rooms: Sequence[Box], style: FigureStyle
) -> tuple[_Offer, Box] | None:
    """Return the label, and the free room of a large body in which it says most."""
    most = max(style.label_cap_mm, style.least_cap_mm)
    best: tuple[_Offer, Box] | None = None
    for rank, room in enumerate(rooms):
        width, height = room.width_mm, room.height_mm
        for cap in (most, max(0.8 * most, style.least_cap_mm), style.least_cap_mm):
            across = text_width_mm(wish.designation, wish.face, cap)
            if across > width or cap > height:
                continue
            level, lines, _ = _fill(wish, cap, width, height, True, style)
            offer = _Offer(level, cap, -rank, "on", lines, False)
            if best is None or offer > best[0]:
                best = offer, room
    return best


def _on_body(
    wish: Wish, frame: Frame, outline: str, style: FigureStyle
) -> LabelPlace | None:
    """Return the designation set on the body's middle, over the rating."""
    if outline not in AT_ENDS:
        return None
    zone = end_zone(frame.half_u, frame.half_v)
    room = frame.upright(0, 0, frame.half_u - 1.12 * zone, 0.86 * frame.half_v)
    most = max(style.label_cap_mm, style.least_cap_mm)
    fitted = fit_text(
        (wish.designation,),
        room.width_mm,
        room.height_mm,
        style.least_cap_mm,
        most,
        wish.face,
        lines=1,
    )
    if fitted is None:
        return None
    doubtful = wish.face is Face.ITALIC
    texts: tuple[Primitive, ...] = (
        rectangle(room, "body"),
        *fitted.texts(room.centre),
    )
    return LabelPlace("on", texts, room, doubtful)
