"""Draws one strip and its jumpers: lines that join contacts and go round bodies.

Each contact is joined to the nearest one that is already on the metal, over the route
that crosses the fewest bodies. The route is a way to see what belongs together; it is
not the shape of the metal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.contacts import contact_spots
from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.grid import BoxGrid
from blockmap.drawing.landings import (
    BEYOND_MM,
    LANDING_MM,
    landing_mark,
    landing_place,
)
from blockmap.drawing.primitives import Ellipse, Primitive, line, mapped
from blockmap.model.document import Cavity, Strip
from blockmap.model.geometry import Box, Point, bounds_of
from blockmap.model.ids import CavityId, ContactRef, read_contact
from blockmap.model.wiring import LANDS_HIDDEN, Landing

__all__ = [
    "Crowd",
    "Joined",
    "StripPicture",
    "StripRefs",
    "contact_place",
    "draw_strip",
    "joined_by",
    "landing_box",
    "leg_boxes",
    "looked_at_for",
    "refs_of",
    "seen_strip",
]

CLEAR_MM = 1.2
"""Distance that lines keep from bodies they do not belong to."""


class Crowd(NamedTuple):
    """What routes go round: the bodies, and the lines of the strips before."""

    bodies: BoxGrid
    lines: BoxGrid


@dataclass(slots=True)
class StripPicture:
    """One strip: its lines, which lie under the bodies, and the landing above.

    ``landing`` is the box round the mark where the supply arrives.
    """

    under: list[Primitive] = field(default_factory=list)
    over: list[Primitive] = field(default_factory=list)
    routes: list[tuple[Point, ...]] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)
    landing: Box | None = None


def contact_place(cavity: Cavity, contact: str, style: FigureStyle) -> Point:
    """Return where a contact is drawn; the cavity's centre when it has not that one."""
    spot = contact_spots(cavity, outline_of(cavity)).get(contact)
    frame = frame_of(cavity, style)
    return frame.at(spot.u, spot.v) if spot else frame.at(0.0, 0.0)


def seen_strip(picture: StripPicture, style: FigureStyle) -> StripPicture:
    """Return a strip drawn for the front view as it is seen in another."""

    def place(point: Point) -> Point:
        return style.view.apply(point, style.size)

    return StripPicture(
        list(mapped(picture.under, place)),
        list(mapped(picture.over, place)),
        [tuple(map(place, route)) for route in picture.routes],
        picture.marks,
        picture.landing and style.view.apply_box(picture.landing, style.size),
    )


class StripRefs(NamedTuple):
    """The contacts that a strip names, those of other blocks and misspelt ones too."""

    members: tuple[ContactRef | None, ...]
    jumped: tuple[ContactRef | None, ...]
    lands_at: ContactRef | None

    def cavities(self) -> Iterator[CavityId]:
        """Yield the cavities of the contacts."""
        for ref in (*self.members, *self.jumped, self.lands_at):
            if ref is not None:
                yield ref.cavity


def refs_of(strip: Strip) -> StripRefs:
    """Return the contacts that a strip names."""
    block = strip.block
    return StripRefs(
        tuple(read_contact(text, block) for text in strip.members),
        tuple(read_contact(jumper.to, block) for jumper in strip.jumpers),
        read_contact(strip.lands_at, block) if strip.lands_at else None,
    )


class _Ring(NamedTuple):
    """Where the supply arrives on a contact: which, and the ring beside the body."""

    contact: Point
    centre: Point
    radius_mm: float


class _OffContacts(NamedTuple):
    """Where the supply arrives off the contacts, and whether that is hidden."""

    landing: Landing
    hidden: bool


class Joined(NamedTuple):
    """The places that a strip joins: all that its picture and its crowd follow from."""

    members: tuple[Point, ...]
    ends: tuple[Point, ...]
    landing: _Ring | _OffContacts | None

    @property
    def marks(self) -> set[str]:
        """The names of what is drawn, for the key."""
        drawn = {
            "strip": _joins(self.members[:1], self.members[1:]),
            "jumper": _joins(self.members, self.ends),
            "landing": isinstance(self.landing, _Ring),
        }
        if isinstance(self.landing, _OffContacts):
            drawn["landing hidden" if self.landing.hidden else "landing on metal"] = (
                True
            )
        return {mark for mark, on in drawn.items() if on}


def _joins(start: Sequence[Point], rest: Sequence[Point]) -> bool:
    """Tell whether a tree of such places has a route."""
    return not set(rest) <= set(start or rest[:1])


def joined_by(
    strip: Strip,
    refs: StripRefs,
    cavities: Mapping[CavityId, Cavity],
    style: FigureStyle,
) -> Joined:
    """Return the places of a strip's contacts on a block of these cavities."""
    members = _there(refs.members, cavities)
    at = members.index(refs.lands_at) if refs.lands_at in members else None
    landing = strip.landing(at, len(members))
    hidden = strip.lands == LANDS_HIDDEN
    return Joined(
        tuple(_place(ref, cavities, style) for ref in members),
        tuple(_place(ref, cavities, style) for ref in _there(refs.jumped, cavities)),
        _OffContacts(landing, hidden)
        if landing is not None and (landing.on is None or hidden)
        else _ring(refs.lands_at, cavities, style),
    )


def _there(
    refs: Sequence[ContactRef | None], cavities: Mapping[CavityId, Cavity]
) -> list[ContactRef]:
    return [ref for ref in refs if ref is not None and ref.cavity in cavities]


def _place(
    ref: ContactRef, cavities: Mapping[CavityId, Cavity], style: FigureStyle
) -> Point:
    return contact_place(cavities[ref.cavity], ref.contact, style)


def _ring(
    ref: ContactRef | None, cavities: Mapping[CavityId, Cavity], style: FigureStyle
) -> _Ring | None:
    """Return the ring at the end of the body where the supply arrives."""
    cavity = cavities.get(ref.cavity) if ref else None
    if ref is None or cavity is None:
        return None
    spot = contact_spots(cavity, outline_of(cavity)).get(ref.contact)
    frame = frame_of(cavity, style)
    radius_mm = min(max(0.5 * frame.half_v, 1.1), 1.6)
    u, v = (spot.u, spot.v) if spot else (0.0, 0.0)
    side = 1.0 if u > 0 else -1.0
    centre = frame.at(side * (frame.half_u + radius_mm + 0.35), v)
    return _Ring(frame.at(u, v), centre, radius_mm)


def draw_strip(joined: Joined, line_mm: float, crowd: Crowd) -> StripPicture:
    """Return the picture of one strip among a crowd, seen from the front."""
    picture = StripPicture(marks=joined.marks)
    members, ends = joined.members, joined.ends
    for route in _tree(members[:1], members[1:], crowd):
        picture.under.append(line(route, "strip", line_mm * 4.5))
        picture.routes.append(route)
    dash = (line_mm * 9, line_mm * 5)
    for route in _tree(members, ends, crowd):
        picture.under.append(line(route, "strip", line_mm * 2.5, dash))
        picture.routes.append(route)
    picture.over += [
        Ellipse(place, 0.42, 0.42, "strip", "paper", line_mm * 0.6)
        for place in (*members, *ends)
    ]
    if isinstance(joined.landing, _Ring):
        _draw_ring(picture, joined.landing, line_mm)
    elif joined.landing is not None:
        _draw_off_contacts(picture, joined.landing, members, crowd, line_mm)
    return picture


def _draw_ring(picture: StripPicture, ring: _Ring, line_mm: float) -> None:
    (x, y), radius_mm = ring.centre, ring.radius_mm
    picture.under.append(line((ring.contact, ring.centre), "strip", line_mm * 4.5))
    edge = Ellipse(ring.centre, radius_mm, radius_mm, "paper", "strip", line_mm * 2)
    picture.over += (
        edge,
        Ellipse(ring.centre, radius_mm * 0.45, radius_mm * 0.45, "strip"),
    )
    picture.landing = Box(x, y, x, y).grown(radius_mm + 0.2)


def _draw_off_contacts(
    picture: StripPicture,
    off: _OffContacts,
    members: Sequence[Point],
    crowd: Crowd,
    line_mm: float,
) -> None:
    centre, tip = landing_place(off.landing, members, picture.routes, crowd)
    if tip is not None:
        picture.under.append(line((tip, centre), "strip", line_mm * 4.5))
    picture.over += landing_mark(centre, off.hidden, line_mm)
    picture.landing = Box(*centre, *centre).grown(LANDING_MM + 0.2)


def leg_boxes(picture: StripPicture, aside_mm: float) -> Iterator[Box]:
    """Yield the box of each straight piece of a strip, so much wider on all sides."""
    for route in picture.routes:
        for leg in pairwise(route):
            yield bounds_of(leg).grown(aside_mm)


def looked_at_for(joined: Joined, picture: StripPicture) -> Iterator[Box]:
    """Yield boxes that hold all that was looked at to draw a strip."""
    reach = max(_OFFSETS) + CLEAR_MM + 0.1
    for route in picture.routes:
        yield bounds_of((route[0], route[-1])).grown(reach)
    if isinstance(joined.landing, _OffContacts):
        for x, y in (joined.members[0], joined.members[-1]):
            yield Box(x, y, x, y).grown(BEYOND_MM + LANDING_MM + 0.1)


def landing_box(picture: StripPicture) -> Box | None:
    """Return the box of the mark where the supply lands, if there is one."""
    return picture.landing


def _tree(
    start: Sequence[Point], rest: Sequence[Point], crowd: Crowd
) -> list[tuple[Point, ...]]:
    """Return routes that join each place to the nearest one joined before it."""
    joined = list(start)
    routes = []
    for place in rest:
        if joined:
            near = min(
                joined, key=lambda p: abs(p[0] - place[0]) + abs(p[1] - place[1])
            )
            if near != place:
                routes.append(_route(near, place, crowd))
        joined.append(place)
    return routes


_OFFSETS = (0.0, 4.0, -4.0, 7.0, -7.0)


def _route(a: Point, b: Point, crowd: Crowd) -> tuple[Point, ...]:
    """Return the route along the axes that is short and runs over least of any body.

    Routes are tried from the shortest; one that is dearer than the best before it is
    looked at needs no looking.
    """
    best: tuple[Point, ...] = (a, b)
    least = math.inf
    for length, route in sorted((_length(route), route) for route in _routes(a, b)):
        if length >= least:
            break
        cost = length + _crossed(route, crowd, least - length)
        if cost < least - 1e-9:
            best, least = route, cost
    return best


def _routes(a: Point, b: Point) -> list[tuple[Point, ...]]:
    (ax, ay), (bx, by) = a, b
    found: list[tuple[Point, ...]] = []
    if abs(ax - bx) < 0.6 or abs(ay - by) < 0.6:
        found.append((a, b))
    else:
        found.append((a, Point(bx, ay), b))
        found.append((a, Point(ax, by), b))
    for offset in _OFFSETS:
        for base in {(ax + bx) / 2, ax, bx}:
            x = base + offset
            found.append((a, Point(x, ay), Point(x, by), b))
        for base in {(ay + by) / 2, ay, by}:
            y = base + offset
            found.append((a, Point(ax, y), Point(bx, y), b))
    return found


def _length(route: tuple[Point, ...]) -> float:
    """Return what a route costs by its length and bends alone."""
    cost = 0.0
    for (ax, ay), (bx, by) in pairwise(route):
        length = abs(ax - bx) + abs(ay - by)
        if length > 0.01:
            cost += 0.25 * length + 0.8
    return round(cost, 6)


def _crossed(route: tuple[Point, ...], crowd: Crowd, enough: float) -> float:
    """Return what a route costs by what it runs over, counted up to ``enough``."""
    cost = 0.0
    for (ax, ay), (bx, by) in pairwise(route):
        left, right = (ax, bx) if ax < bx else (bx, ax)
        top, bottom = (ay, by) if ay < by else (by, ay)
        for grid, by_mm in ((crowd.bodies, CLEAR_MM), (crowd.lines, CLEAR_MM / 2)):
            cost += 4.0 * grid.overlap(
                left - by_mm, top - by_mm, right + by_mm, bottom + by_mm
            )
        if cost > enough:
            break
    return cost
