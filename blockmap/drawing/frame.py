"""Where a cavity's own lengths and breadths lie in the view that is drawn.

Inside a cavity u runs from its start end to its finish end and v across, both from
the centre in millimetres. The frame holds the exact mapping of (u, v) to the view.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point, Size, View, rotated

__all__ = ["FigureStyle", "Frame", "frame_of"]


@dataclass(frozen=True, slots=True)
class FigureStyle:
    """How a figure is drawn; colours are left to the palette.

    ``size`` is that of the block. No text is set with capitals below
    ``least_cap_mm``: what does not fit at that height is left out. Labels are set
    at ``label_cap_mm`` where there is room.
    """

    size: Size
    view: View = View.FRONT
    least_cap_mm: float = 1.0
    label_cap_mm: float = 2.2
    line_mm: float = 0.2
    legend: bool = True
    ratings: bool = True
    conditions: bool = True
    strips: bool = True
    doubt: bool = True

    @property
    def ground(self) -> str:
        """The colour inside the outline; mirrored views have one of their own."""
        return "rear block" if self.view.mirrored else "block"


@dataclass(frozen=True, slots=True)
class Frame:
    """The mapping of one cavity's (u, v) to the view, and its half sizes."""

    x_mm: float
    y_mm: float
    ux: float
    uy: float
    vx: float
    vy: float
    half_u: float
    half_v: float

    @property
    def square(self) -> bool:
        """True where the cavity stands in quarter turns, so that boxes stay boxes."""
        return not (self.ux and self.uy)

    def at(self, u: float, v: float) -> Point:
        """Return the place of (u, v) in the view."""
        return Point(
            self.x_mm + u * self.ux + v * self.vx, self.y_mm + u * self.uy + v * self.vy
        )

    def points(self, places: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
        """Return the places of several (u, v) in the view."""
        x, y, ux, uy, vx, vy = self.x_mm, self.y_mm, self.ux, self.uy, self.vx, self.vy
        return tuple(Point(x + u * ux + v * vx, y + u * uy + v * vy) for u, v in places)

    def rect(self, u: float, v: float, du: float, dv: float) -> tuple[Point, ...]:
        """Return the corners of the rectangle about (u, v) with these half sizes."""
        return self.points(
            ((u - du, v - dv), (u + du, v - dv), (u + du, v + dv), (u - du, v + dv))
        )

    def upright(self, u: float, v: float, du: float, dv: float) -> Box:
        """Return the upright box for text inside the rectangle about (u, v).

        In quarter turns it is the rectangle; else the largest box inside it that is
        half as wide again as it is high.
        """
        x, y = self.at(u, v)
        across, down = abs(self.ux), abs(self.uy)
        if self.square:
            half_x, half_y = (du, dv) if across else (dv, du)
        else:
            half_y = min(du / (1.5 * across + down), dv / (1.5 * down + across))
            half_x = 1.5 * half_y
        return Box(x - half_x, y - half_y, x + half_x, y + half_y)

    @property
    def bounds(self) -> Box:
        """The upright box round the whole cavity."""
        half_x = abs(self.ux) * self.half_u + abs(self.vx) * self.half_v
        half_y = abs(self.uy) * self.half_u + abs(self.vy) * self.half_v
        x, y = self.x_mm, self.y_mm
        return Box(x - half_x, y - half_y, x + half_x, y + half_y)


_ORIGIN = Point(0.0, 0.0)


def frame_of(cavity: Cavity, style: FigureStyle) -> Frame:
    """Return the frame of a cavity in the view of the style."""
    view, size = style.view, style.size
    x, y = view.apply(Point(cavity.x_mm, cavity.y_mm), size)
    right = -1.0 if view in (View.REAR, View.TURNED) else 1.0
    down = -1.0 if view in (View.FLIPPED, View.TURNED) else 1.0
    cos, sin = rotated(Point(1.0, 0.0), _ORIGIN, cavity.turn_deg)
    return Frame(
        x,
        y,
        right * cos,
        down * sin,
        -right * sin,
        down * cos,
        cavity.width_mm / 2,
        cavity.height_mm / 2,
    )
