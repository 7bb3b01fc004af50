"""Plane geometry of a block: millimetres, front view, origin top left, y down.

A cavity is a rectangle about its centre. Its length runs through its two ends;
at turn 0 the start end is left, and the turn counts clockwise in degrees, so at turn
90 the start end is on top. Views are exact mappings of points; nothing here draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import NamedTuple

__all__ = [
    "MM_LIMIT",
    "Box",
    "Point",
    "Size",
    "View",
    "bounds_of",
    "corners",
    "end_points",
    "is_simple",
    "rotated",
    "side_word",
]

MM_LIMIT = 2000.0
"""Largest place or size in millimetres: no block under a dashboard is wider."""


class Point(NamedTuple):
    """A place in millimetres."""

    x_mm: float
    y_mm: float


class Size(NamedTuple):
    """Width and height in millimetres."""

    width_mm: float
    height_mm: float


class Box(NamedTuple):
    """An upright rectangle in millimetres."""

    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float

    @property
    def width_mm(self) -> float:
        """Distance from left to right."""
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        """Distance from top to bottom."""
        return self.bottom_mm - self.top_mm

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return Point(
            (self.left_mm + self.right_mm) / 2, (self.top_mm + self.bottom_mm) / 2
        )

    def grown(self, by_mm: float) -> Box:
        """Return the box with every side moved outwards."""
        return Box(
            self.left_mm - by_mm,
            self.top_mm - by_mm,
            self.right_mm + by_mm,
            self.bottom_mm + by_mm,
        )

    def union(self, other: Box) -> Box:
        """Return the smallest box that holds both."""
        return Box(
            min(self.left_mm, other.left_mm),
            min(self.top_mm, other.top_mm),
            max(self.right_mm, other.right_mm),
            max(self.bottom_mm, other.bottom_mm),
        )

    def meets(self, other: Box) -> bool:
        """Tell whether the two boxes share more than an edge."""
        return (
            self.left_mm < other.right_mm
            and other.left_mm < self.right_mm
            and self.top_mm < other.bottom_mm
            and other.top_mm < self.bottom_mm
        )

    def holds(self, point: Point) -> bool:
        """Tell whether the point lies in the box or on its edge."""
        return (
            self.left_mm <= point.x_mm <= self.right_mm
            and self.top_mm <= point.y_mm <= self.bottom_mm
        )


class View(StrEnum):
    """From where a block is seen. The map itself is always the front view."""

    FRONT = "front"
    REAR = "rear"
    FLIPPED = "flipped"
    TURNED = "turned"

    @property
    def words(self) -> str:
        """The name shown on screen and paper."""
        return _VIEW_WORDS[self]

    @property
    def mirrored(self) -> bool:
        """True where left and right, or top and bottom, have changed places singly."""
        return self in (View.REAR, View.FLIPPED)

    def apply(self, point: Point, size: Size) -> Point:
        """Return where a front-view point of a block of this size is seen.

        Each view is its own inverse: applying it twice gives the point back.
        Rear: x' = width - x.
        """
        x, y = point
        if self in (View.REAR, View.TURNED):
            x = size.width_mm - x
        if self in (View.FLIPPED, View.TURNED):
            y = size.height_mm - y
        return Point(x, y)

    def apply_box(self, box: Box, size: Size) -> Box:
        """Return where a front-view box is seen, again with left before right."""
        a = self.apply(Point(box.left_mm, box.top_mm), size)
        b = self.apply(Point(box.right_mm, box.bottom_mm), size)
        return Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


_VIEW_WORDS = {
    View.FRONT: "Front view",
    View.REAR: "Rear view: mirrored",
    View.FLIPPED: "Rear view: flipped top to bottom",
    View.TURNED: "Front view: turned 180 degrees",
}


def rotated(point: Point, about: Point, turn_deg: float) -> Point:
    """Return the point turned clockwise about another; quarter turns are exact."""
    quarter = turn_deg % 360
    if quarter in _QUARTERS:
        cos, sin = _QUARTERS[quarter]
    else:
        angle = math.radians(quarter)
        cos, sin = math.cos(angle), math.sin(angle)
    dx, dy = point.x_mm - about.x_mm, point.y_mm - about.y_mm
    return Point(about.x_mm + dx * cos - dy * sin, about.y_mm + dx * sin + dy * cos)


_QUARTERS = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}


def corners(
    centre: Point, size: Size, turn_deg: float
) -> tuple[Point, Point, Point, Point]:
    """Return the four corners of a turned rectangle, in order round it."""
    half_w, half_h = size.width_mm / 2, size.height_mm / 2
    x, y = centre
    flat = (
        Point(x - half_w, y - half_h),
        Point(x + half_w, y - half_h),
        Point(x + half_w, y + half_h),
        Point(x - half_w, y + half_h),
    )
    a, b, c, d = (rotated(p, centre, turn_deg) for p in flat)
    return a, b, c, d


def end_points(centre: Point, length_mm: float, turn_deg: float) -> tuple[Point, Point]:
    """Return the start and the finish of a line of this length about its centre."""
    x, y = centre
    start = rotated(Point(x - length_mm / 2, y), centre, turn_deg)
    finish = rotated(Point(x + length_mm / 2, y), centre, turn_deg)
    return start, finish


def side_word(centre: Point, end: Point) -> str:
    """Return 'left', 'right', 'top' or 'bottom': where the end lies from the centre."""
    dx, dy = end.x_mm - centre.x_mm, end.y_mm - centre.y_mm
    if abs(dx) >= abs(dy):
        return "left" if dx < 0 else "right"
    return "top" if dy < 0 else "bottom"


def bounds_of(points: Iterable[Point]) -> Box:
    """Return the smallest upright box round the points; there must be at least one."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def is_simple(points: Sequence[Point]) -> bool:
    """Tell whether a closed outline has area and does not cross or touch itself."""
    n = len(points)
    if n < 3 or len(set(points)) != n:
        return False
    if not all(math.isfinite(value) for point in points for value in point):
        return False
    doubled = sum(
        points[i].x_mm * points[(i + 1) % n].y_mm
        - points[(i + 1) % n].x_mm * points[i].y_mm
        for i in range(n)
    )
    if abs(doubled) < 1e-6:
        return False
    for i in range(n):
        for j in range(i + 2, n):
            if i == 0 and j == n - 1:
                continue
            if _cross(points[i], points[i + 1], points[j], points[(j + 1) % n]):
                return False
    return True


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q.x_mm - p.x_mm) * (r.y_mm - p.y_mm) - (q.y_mm - p.y_mm) * (
            r.x_mm - p.x_mm
        )

    s1, s2 = side(a, b, c), side(a, b, d)
    s3, s4 = side(c, d, a), side(c, d, b)
    if s1 * s2 < 0 and s3 * s4 < 0:
        return True
    return any(
        s == 0 and bounds_of((p, q)).holds(r)
        for s, p, q, r in (
            (s1, a, b, c),
            (s2, a, b, d),
            (s3, c, d, a),
            (s4, c, d, b),
        )
    )
