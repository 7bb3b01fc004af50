"""The metal contacts of a cavity: where each is drawn, and the mark of the feed.

Two contacts lie at the ends of the body. The places of a relay's contacts follow the
usual drawing, not the pins of the part at hand: the moulded numbers rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.drawing.frame import Frame
from blockmap.drawing.primitives import Ellipse, Face, Path, Primitive, Text
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Cavity
from blockmap.model.evidence import is_doubtful
from blockmap.model.geometry import Box, Point

__all__ = ["Spot", "contact_spots", "draw_contact", "draw_feed", "draw_names"]


@dataclass(frozen=True, slots=True)
class Spot:
    """One contact in a cavity's own lengths: its centre and half sizes."""

    u: float
    v: float
    du: float
    dv: float


_RELAY = {
    "30": (0.0, -0.34),
    "87": (0.0, 0.27),
    "87a": (0.0, 0.06),
    "85": (-0.31, -0.06),
    "86": (0.31, -0.06),
}
"""Shares of the body. Common practice, no source."""

_AT_ENDS = ("feed", "load")

_INSET = {"can": 0.3, "link": 0.3, "ceramic": 0.3}
"""How far from a rounded end its contact begins, in shares of the end zone."""


def end_zone(half_u: float, half_v: float) -> float:
    """Return the length at each end of a body that belongs to its contact."""
    return min(0.36 * half_u, 1.5 * half_v, 6.0)


def contact_spots(cavity: Cavity, outline: str) -> dict[str, Spot]:
    """Return each contact's place, in the order of the contacts' names.

    Where the feed end is not known the feed contact stands at the start end, and is
    not marked.
    """
    half_u, half_v = cavity.width_mm / 2, cavity.height_mm / 2
    zone = end_zone(half_u, half_v)
    feed = 1.0 if cavity.feed_end == "finish" else -1.0
    spots: dict[str, Spot] = {}
    spare: list[str] = []
    for name in cavity.contact_names:
        if outline == "box" and name in _RELAY:
            u, v = _RELAY[name]
            flat = name in ("30", "87", "87a")
            du, dv = (0.16, 0.045) if flat else (0.045, 0.16)
            spots[name] = Spot(
                2 * u * half_u, 2 * v * half_v, du * half_u * 1.4, dv * half_v * 1.4
            )
        elif name in _AT_ENDS:
            side = feed if name == "feed" else -feed
            spots[name] = Spot(
                side * (half_u - (_INSET.get(outline, 0.08) + 0.36) * zone),
                0.0,
                0.27 * zone,
                min(0.24 * half_v, 0.17 * zone),
            )
        elif name == "pin" and outline in ("tab", "terminal", "stud"):
            v, du, dv = _PIN[outline]
            spots[name] = Spot(0.0, v * half_v, du * half_u, dv * half_v)
        else:
            spare.append(name)
    for number, name in enumerate(spare, 1):
        u = half_u * (2 * number / (len(spare) + 1) - 1)
        spots[name] = Spot(u, 0.76 * half_v, min(0.12 * half_u, 1.5), 0.14 * half_v)
    return spots


_PIN = {
    "tab": (-0.42, 0.86, 0.34),
    "terminal": (0.0, 0.5, 0.3),
    "stud": (0.0, 0.32, 0.32),
}
"""Place across, half length and half breadth in shares of the body's halves."""


def draw_contact(
    frame: Frame, spot: Spot, outline: str, fill: str, line_mm: float
) -> Primitive:
    """Return the small rectangle of a contact, the blade of a tab, a stud's thread."""
    if outline == "stud":
        return Ellipse(frame.at(spot.u, spot.v), spot.du, spot.du, fill, "ink", line_mm)
    if outline == "tab":
        u, v, du, dv = spot.u, spot.v, spot.du, spot.dv
        taper = (du - dv, 0.5 * dv)
        blade = (
            (u - du, v - dv),
            (u + taper[0], v - dv),
            (u + du, v - taper[1]),
            (u + du, v + taper[1]),
            (u + taper[0], v + dv),
            (u - du, v + dv),
        )
        return Path(frame.points(blade), True, fill, "ink", line_mm)
    return Path(
        frame.rect(spot.u, spot.v, spot.du, spot.dv), True, fill, "ink", line_mm
    )


def draw_feed(
    frame: Frame, spot: Spot, cavity: Cavity, outline: str, ink: str, line_mm: float
) -> Path:
    """Return the triangle that points from the feed end into the cavity.

    It is filled when somebody saw on the car which end is fed, hollow when not.
    """
    zone = end_zone(frame.half_u, frame.half_v)
    side = 1.0 if spot.u > 0 else -1.0
    inset = _INSET.get(outline, 0.08)
    base = side * (frame.half_u - inset * zone)
    tip = side * (frame.half_u - (inset + 0.96) * zone)
    half = min(0.56 * zone, (0.76 - inset) * frame.half_v)
    seen = not is_doubtful(cavity, "feed_end")
    return Path(
        frame.points(((base, -half), (base, half), (tip, 0.0))),
        True,
        ink if seen else "",
        ink,
        line_mm,
    )


def draw_names(
    frame: Frame, spots: dict[str, Spot], taken: Sequence[Box], least_cap_mm: float
) -> list[Primitive]:
    """Return the name of each contact that is neither feed nor load, next to it.

    It stands below the contact, else above it, right or left of it: on the body and
    over no contact and no mark. A name without a place is left out.
    """
    named = [name for name in spots if name not in _AT_ENDS and name != "pin"]
    cap = min(0.16 * min(frame.half_u, frame.half_v), 2.4)
    if not named or cap < least_cap_mm:
        return []
    crowd = [*taken, *(_seen(frame, spot) for spot in spots.values())]
    places = {name: _beside(_seen(frame, spots[name]), name, cap) for name in named}
    best = _placed(places, crowd, frame.bounds)
    if len(best) < len(named):
        # A body that stands on its head has its room above the contacts.
        other = {n: [b[1], b[0], *b[2:]] for n, b in places.items()}
        best = max(best, _placed(other, crowd, frame.bounds), key=len)
    return [
        Text(name, Point(box.centre.x_mm, box.bottom_mm), cap)
        for name, box in best.items()
    ]


def _placed(
    places: dict[str, list[Box]], crowd: Sequence[Box], body: Box
) -> dict[str, Box]:
    """Return the first place of each name on the body and off the crowd."""
    found: dict[str, Box] = {}
    for name, boxes in places.items():
        for box in boxes:
            others = [*crowd, *found.values()]
            if body.union(box) == body and not any(map(box.meets, others)):
                found[name] = box
                break
    return found


def _seen(frame: Frame, spot: Spot) -> Box:
    """Return the upright box of a contact in the view."""
    x, y = frame.at(spot.u, spot.v)
    half_x = abs(frame.ux) * spot.du + abs(frame.vx) * spot.dv
    half_y = abs(frame.uy) * spot.du + abs(frame.vy) * spot.dv
    return Box(x - half_x, y - half_y, x + half_x, y + half_y)


def _beside(contact: Box, name: str, cap_mm: float) -> list[Box]:
    """Return the boxes below, above, right and left of a contact for its name."""
    width_mm = text_width_mm(name, Face.REGULAR, cap_mm)
    gap = 0.4 * cap_mm
    (x, y), half = contact.centre, width_mm / 2
    left, top, right, bottom = contact
    return [
        Box(x - half, bottom + gap, x + half, bottom + gap + cap_mm),
        Box(x - half, top - gap - cap_mm, x + half, top - gap),
        Box(right + gap, y - cap_mm / 2, right + gap + width_mm, y + cap_mm / 2),
        Box(left - gap - width_mm, y - cap_mm / 2, left - gap, y + cap_mm / 2),
    ]
