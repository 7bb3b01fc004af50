"""What part of the figure the window looks at: scale and origin, and zooming them.

Plain arithmetic between millimetres as seen and pixels of the viewport. The scale is
held within limits and every number stays finite. Nothing here draws.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

from blockmap.model.geometry import Box, Point

__all__ = ["LEAST_ZOOM", "MOST_ZOOM", "TRUE_SIZE", "Frame"]

TRUE_SIZE = 96 / 25.4
"""Pixels per millimetre at 100 %: a logical inch has 96 pixels."""

LEAST_ZOOM, MOST_ZOOM = 0.01, 64.0


@dataclass(frozen=True, slots=True)
class Frame:
    """A scale in pixels per millimetre, and where the seen origin lies, in pixels."""

    scale: float = TRUE_SIZE
    x_px: float = 0.0
    y_px: float = 0.0

    @property
    def zoom(self) -> float:
        """The scale against true size: 1.0 is 100 %."""
        return self.scale / TRUE_SIZE

    def to_px(self, seen: Point) -> QPointF:
        """Return the pixel of a point of the view."""
        return QPointF(
            self.x_px + seen.x_mm * self.scale, self.y_px + seen.y_mm * self.scale
        )

    def to_mm(self, px: QPointF) -> Point:
        """Return the point of the view under a pixel."""
        return Point(
            (px.x() - self.x_px) / self.scale, (px.y() - self.y_px) / self.scale
        )

    def rect_px(self, seen: Box) -> QRectF:
        """Return the pixels that a box of the view covers."""
        return QRectF(
            self.to_px(Point(seen.left_mm, seen.top_mm)),
            self.to_px(Point(seen.right_mm, seen.bottom_mm)),
        )

    def box_mm(self, rect: QRectF) -> Box:
        """Return the box of the view under a rectangle of pixels."""
        a, b = self.to_mm(rect.topLeft()), self.to_mm(rect.bottomRight())
        return Box(a.x_mm, a.y_mm, b.x_mm, b.y_mm)

    def zoomed(self, factor: float, about: QPointF) -> Frame:
        """Return the frame scaled about a pixel that stays where it is."""
        if not math.isfinite(factor) or factor <= 0:
            return self
        scale = _held(self.scale * factor)
        ratio = scale / self.scale
        return Frame(
            scale,
            about.x() + (self.x_px - about.x()) * ratio,
            about.y() + (self.y_px - about.y()) * ratio,
        )

    def shifted(self, dx_px: float, dy_px: float) -> Frame:
        """Return the frame with the figure moved by so many pixels."""
        return Frame(self.scale, self.x_px + dx_px, self.y_px + dy_px)

    @staticmethod
    def fitted(seen: Box, into: QRectF) -> Frame:
        """Return the frame that shows a whole box in the middle of a rectangle."""
        wide = max(seen.width_mm, 1.0)
        high = max(seen.height_mm, 1.0)
        scale = _held(min(max(into.width(), 1) / wide, max(into.height(), 1) / high))
        middle = seen.centre
        return Frame(
            scale,
            into.center().x() - middle.x_mm * scale,
            into.center().y() - middle.y_mm * scale,
        )


def _held(scale: float) -> float:
    if not math.isfinite(scale):
        return TRUE_SIZE
    return min(max(scale, TRUE_SIZE * LEAST_ZOOM), TRUE_SIZE * MOST_ZOOM)
