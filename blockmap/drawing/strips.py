"""Draws strips and their jumpers: lines that join contacts and go round bodies.

Each contact is joined to the nearest one that is already on the metal, over the route
that crosses the fewest bodies. The route is a way to see what belongs together; it is
not the shape of the metal.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import NamedTuple

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.contacts import contact_spots
from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.grid import BoxGrid
from blockmap.drawing.primitives import Ellipse, Primitive, line, mapped
from blockmap.model.document import Cavity, Map, Strip
from blockmap.model.geometry import Box, Point, View, bounds_of
from blockmap.model.ids import BlockId, ContactRef, read_contact

__all__ = ["StripPicture", "contact_place", "landing_box", "strip_pictures"]


CLEAR_MM = 1.2
"""Distance that lines keep from bodies they do not belong to."""


class _Crowd(NamedTuple):
    """What routes go round: the bodies, and the lines of the strips before."""

    bodies: BoxGrid
    lines: BoxGrid


@dataclass(slots=True)
class StripPicture:
    """One strip: its lines, which lie under the bodies, and the landing above."""

    under: list[Primitive] = field(default_factory=list)
    over: list[Primitive] = field(default_factory=list)
    routes: list[tuple[Point, ...]] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)


def contact_place(cavity: Cavity, contact: str, style: FigureStyle) -> Point:
    """Return where a contact is drawn; the cavity's centre when it has not that one."""
    spot = contact_spots(cavity, outline_of(cavity)).get(contact)
    frame = frame_of(cavity, style)
    return frame.at(spot.u, spot.v) if spot else frame.at(0.0, 0.0)


def strip_pictures(
    document: Map, block: BlockId, style: FigureStyle
) -> dict[str, StripPicture]:
    """Return the picture of every strip of a block that has a contact on it.

    Routes are found in the front view; the other views show the same ones.
    """
    if not style.strips:
        return {}
    front = replace(style, view=View.FRONT)
    crowd = _Crowd(BoxGrid(), BoxGrid())
    strips = [s for s in document.strips_of(block) if s.members or s.jumpers]
    if strips:
        for cavity in document.cavities_of(block):
            crowd.bodies.add(frame_of(cavity, front).bounds)
    found: dict[str, StripPicture] = {}
    for strip in strips:
        picture = _strip(document, strip, front, crowd)
        if picture.under or picture.over:
            found[strip.id] = picture if style == front else _seen(picture, style)
        for route in picture.routes:
            for leg in pairwise(route):
                crowd.lines.add(bounds_of(leg).grown(0.4))
    return found


def _seen(picture: StripPicture, style: FigureStyle) -> StripPicture:
    """Return a strip drawn for the front view as it is seen in another."""

    def place(point: Point) -> Point:
        return style.view.apply(point, style.size)

    return StripPicture(
        list(mapped(picture.under, place)),
        list(mapped(picture.over, place)),
        [tuple(map(place, route)) for route in picture.routes],
        picture.marks,
    )


def _places(
    document: Map, refs: Iterable[ContactRef | None], block: BlockId, style: FigureStyle
) -> list[Point]:
    found = []
    for ref in refs:
        cavity = document.cavities.get(ref.cavity) if ref else None
        if ref and cavity and cavity.block == block:
            found.append(contact_place(cavity, ref.contact, style))
    return found


def _strip(
    document: Map, strip: Strip, style: FigureStyle, crowd: _Crowd
) -> StripPicture:
    picture = StripPicture()
    refs = [read_contact(text, strip.block) for text in strip.members]
    joined = _places(document, refs, strip.block, style)
    width = style.line_mm * 4.5
    for route in _tree(joined[:1], joined[1:], crowd):
        picture.under.append(line(route, "strip", width))
        picture.routes.append(route)
        picture.marks.add("strip")
    jumped = [read_contact(jumper.to, strip.block) for jumper in strip.jumpers]
    ends = _places(document, jumped, strip.block, style)
    dash = (style.line_mm * 9, style.line_mm * 5)
    for route in _tree(joined, ends, crowd):
        picture.under.append(line(route, "strip", style.line_mm * 2.5, dash))
        picture.routes.append(route)
        picture.marks.add("jumper")
    picture.over += [
        Ellipse(place, 0.42, 0.42, "strip", "paper", style.line_mm * 0.6)
        for place in (*joined, *ends)
    ]
    _landing(document, strip, style, picture)
    return picture


def _landing(
    document: Map, strip: Strip, style: FigureStyle, picture: StripPicture
) -> None:
    """Draw the ring at the end of the body where the supply arrives."""
    ref = read_contact(strip.lands_at, strip.block) if strip.lands_at else None
    cavity = document.cavities.get(ref.cavity) if ref else None
    if ref is None or cavity is None or cavity.block != strip.block:
        return
    spot = contact_spots(cavity, outline_of(cavity)).get(ref.contact)
    frame = frame_of(cavity, style)
    radius = min(max(0.5 * frame.half_v, 1.1), 1.6)
    u, v = (spot.u, spot.v) if spot else (0.0, 0.0)
    side = 1.0 if u > 0 else -1.0
    contact = frame.at(u, v)
    centre = frame.at(side * (frame.half_u + radius + 0.35), v)
    picture.under.append(line((contact, centre), "strip", style.line_mm * 4.5))
    ring = Ellipse(centre, radius, radius, "paper", "strip", style.line_mm * 2)
    dot = Ellipse(centre, radius * 0.45, radius * 0.45, "strip")
    picture.over += (ring, dot)
    picture.marks.add("landing")


def landing_box(picture: StripPicture) -> Box | None:
    """Return the box of the landing ring, if there is one."""
    if "landing" not in picture.marks:
        return None
    ring = picture.over[-2]
    assert isinstance(ring, Ellipse)
    (x, y), r = ring.centre, ring.rx_mm + 0.2
    return Box(x - r, y - r, x + r, y + r)


def _tree(
    start: Sequence[Point], rest: Sequence[Point], crowd: _Crowd
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


def _route(a: Point, b: Point, crowd: _Crowd) -> tuple[Point, ...]:
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


def _crossed(route: tuple[Point, ...], crowd: _Crowd, enough: float) -> float:
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
