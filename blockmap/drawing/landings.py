"""Draws where a strip's supply lands when that is not on a contact: a crossed ring.

It stands on the metal between two contacts or off the last one, with a dashed edge
where the landing is hidden. A landing on a contact is a ring with a dot; see strips.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from blockmap.drawing.grid import BoxGrid
from blockmap.drawing.primitives import Path, Primitive, line
from blockmap.model.geometry import Box, Point, bounds_of
from blockmap.model.wiring import Landing

__all__ = ["BEYOND_MM", "LANDING_MM", "landing_mark", "landing_place"]

LANDING_MM = 1.6
"""Radius of the ring."""

_SIDES = 28

_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
_WAYS = ((0, -1), (0, 1), (-1, 0), (1, 0))
_STEPS_MM = (4.0, 5.0, 6.5)
BEYOND_MM = max(_STEPS_MM)
"""How far off the last contact the ring stands at most."""

Route = tuple[Point, ...]


def landing_mark(centre: Point, hidden: bool, line_mm: float) -> list[Primitive]:
    """Return the crossed ring of a supply that lands off the contacts."""
    x, y = centre
    ring = tuple(
        Point(
            x + LANDING_MM * math.cos(math.tau * n / _SIDES),
            y + LANDING_MM * math.sin(math.tau * n / _SIDES),
        )
        for n in range(_SIDES)
    )
    reach = LANDING_MM if not hidden else LANDING_MM * 0.55
    cross = [
        line((Point(x - dx, y - dy), Point(x + dx, y + dy)), "strip", line_mm * 2)
        for dx, dy in ((reach, 0.0), (0.0, reach))
    ]
    dash = (0.6, 0.45) if hidden else ()
    edge = Path(ring, True, "", "strip", line_mm * 2, dash)
    return [Path(ring, True, "paper"), *cross, edge]


def landing_place(
    landing: Landing,
    places: Sequence[Point],
    routes: Sequence[Route],
    crowded: Sequence[BoxGrid],
) -> tuple[Point, Point | None]:
    """Return the middle of the ring, and the contact it is joined to by a line.

    places are the contacts on the metal in their order, routes what joins them, and
    crowded what the ring is to keep clear of. Between contacts it stands on the
    metal and needs no line.
    """
    if landing.gap is not None and landing.between(len(places)):
        one, other = places[landing.gap - 1], places[landing.gap]
        return _on_metal(routes, one, other, crowded), None
    if landing.on is not None:
        tip = places[landing.on]
    else:
        tip = places[-1] if landing.gap else places[0]
    return _beyond(tip, places, routes, crowded), tip


def _on_metal(
    routes: Sequence[Route], one: Point, other: Point, crowded: Sequence[BoxGrid]
) -> Point:
    """Return the place on the metal between two contacts that covers least else."""
    route = next((r for r in routes if {r[0], r[-1]} == {one, other}), None)
    route = route or next((r for r in routes if r[-1] == other), (one, other))
    spots = [
        Point(a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
        for a, b in pairwise(route)
        if a != b
        for share in _SHARES
    ]
    middle = Point((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    return min(
        spots or [middle],
        key=lambda spot: (_covered(spot, crowded), _far(spot, middle)),
    )


def _beyond(
    tip: Point,
    places: Sequence[Point],
    routes: Sequence[Route],
    crowded: Sequence[BoxGrid],
) -> Point:
    """Return a place off a contact, away from the metal, from bodies and the rest."""
    metal = BoxGrid()
    for route in routes:
        for leg in pairwise(route):
            metal.add(bounds_of(leg).grown(0.4))
    spots = [
        Point(tip[0] + dx * step, tip[1] + dy * step)
        for step in _STEPS_MM
        for dx, dy in _WAYS
    ]
    count = len(places)
    middle = Point(sum(x for x, _ in places) / count, sum(y for _, y in places) / count)

    def cost(spot: Point) -> tuple[float, float, float]:
        over = _covered(spot, (*crowded, metal))
        return (over, _far(spot, tip), -_far(spot, middle))

    return min(spots, key=cost)


def _covered(spot: Point, crowded: Sequence[BoxGrid]) -> float:
    box = Box(*spot, *spot).grown(LANDING_MM)
    return round(sum(grid.overlap(*box) for grid in crowded), 6)


def _far(a: Point, b: Point) -> float:
    return round(math.dist(a, b), 6)
