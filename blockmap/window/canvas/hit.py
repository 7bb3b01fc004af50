"""Which cavity a point or a box means, and which lies next in a direction.

Plain geometry on cavities in front-view millimetres. Nothing here draws or selects.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise

from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point, rotated
from blockmap.model.ids import CavityId, StripId

__all__ = [
    "cavity_at",
    "inside",
    "nearest_towards",
    "rectangles_meet",
    "route_at",
    "touched_by",
]


def cavity_at(
    cavities: Sequence[Cavity], point: Point, reach_mm: float
) -> CavityId | None:
    """Return the cavity under a point, the last drawn first.

    Where there is none, a small one whose target reaches so far is meant, the
    nearest first; reach_mm is half the least size of a target.
    """
    near: tuple[float, CavityId] | None = None
    for cavity in reversed(cavities):
        dx = point.x_mm - cavity.x_mm
        dy = point.y_mm - cavity.y_mm
        radius = (cavity.width_mm + cavity.height_mm) / 2 + reach_mm
        if abs(dx) > radius or abs(dy) > radius:
            continue
        local = rotated(point, cavity.centre, -cavity.turn_deg)
        across = abs(local.x_mm - cavity.x_mm)
        down = abs(local.y_mm - cavity.y_mm)
        half_w, half_h = cavity.width_mm / 2, cavity.height_mm / 2
        if across <= half_w and down <= half_h:
            return cavity.id
        if across <= max(half_w, reach_mm) and down <= max(half_h, reach_mm):
            distance = dx * dx + dy * dy
            if near is None or distance < near[0]:
                near = (distance, cavity.id)
    return near[1] if near else None


def route_at(
    routes: Mapping[StripId, Sequence[Sequence[Point]]], point: Point, reach_mm: float
) -> StripId | None:
    """Return whose route runs nearest to a point, within the reach."""
    best: tuple[float, StripId] | None = None
    for id_, lines in routes.items():
        for route in lines:
            for a, b in pairwise(route):
                far = _distance(a, b, point)
                if far <= reach_mm and (best is None or far < best[0]):
                    best = (far, id_)
    return best[1] if best else None


def _distance(a: Point, b: Point, p: Point) -> float:
    """Return how far a point is from the line between two others."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    along = 0.0
    if square:
        along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square
        along = min(max(along, 0.0), 1.0)
    return math.hypot(p[0] - a[0] - along * dx, p[1] - a[1] - along * dy)


def touched_by(cavities: Iterable[Cavity], box: Box) -> list[CavityId]:
    """Return the cavities whose middle lies in a box, or that fill it, in order."""
    return [
        cavity.id
        for cavity in cavities
        if box.holds(cavity.centre)
        or (cavity.bounds.meets(box) and _crosses(cavity, box))
    ]


def _crosses(cavity: Cavity, box: Box) -> bool:
    corners = (
        Point(box.left_mm, box.top_mm),
        Point(box.right_mm, box.top_mm),
        Point(box.right_mm, box.bottom_mm),
        Point(box.left_mm, box.bottom_mm),
    )
    return rectangles_meet(cavity.corners, corners)


def rectangles_meet(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Tell whether two turned rectangles share more than an edge.

    They do not when a line along a side of one keeps them apart.
    """
    for shape in (a, b):
        for first, second in ((shape[0], shape[1]), (shape[1], shape[2])):
            nx, ny = second[1] - first[1], first[0] - second[0]
            length = math.hypot(nx, ny) or 1.0
            one = [(x * nx + y * ny) / length for x, y in a]
            two = [(x * nx + y * ny) / length for x, y in b]
            if max(one) <= min(two) + 1e-6 or max(two) <= min(one) + 1e-6:
                return False
    return True


def inside(outline: Sequence[Point], points: Iterable[Point]) -> bool:
    """Tell whether every point lies in the outline or within a hair of it."""
    return all(_within(outline, point) for point in points)


def _within(outline: Sequence[Point], point: Point) -> bool:
    x, y = point
    odd = False
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        if _on_side(a, b, point):
            return True
        if (a[1] > y) != (b[1] > y):
            cut = a[0] + (y - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
            odd ^= x < cut
    return odd


def _on_side(a: Point, b: Point, p: Point) -> bool:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    if length == 0:
        return False
    off = abs((p[0] - a[0]) * dy - (p[1] - a[1]) * dx) / length
    along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length
    return off < 1e-3 and -1e-3 <= along <= length + 1e-3


def nearest_towards(
    cavities: Iterable[Cavity],
    start: Cavity,
    towards: tuple[int, int],
    seen: Callable[[Point], Point],
) -> CavityId | None:
    """Return the cavity that an arrow key means, looking as the view is seen.

    Straight ahead counts before aside: twice the distance aside is added.
    """
    x, y = seen(start.centre)
    best: tuple[float, CavityId] | None = None
    for cavity in cavities:
        if cavity.id == start.id:
            continue
        px, py = seen(cavity.centre)
        ahead = (px - x) * towards[0] + (py - y) * towards[1]
        aside = abs((px - x) * towards[1]) + abs((py - y) * towards[0])
        if ahead <= 0.05 or aside > 3 * ahead:
            continue
        cost = ahead + 2 * aside
        if best is None or cost < best[0]:
            best = (cost, cavity.id)
    return best[1] if best else None
