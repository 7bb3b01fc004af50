"""The handles of one selected cavity: where they are and which one a press means.

Handles stand outside the body, so that they hide nothing and leave room to drag.
Each takes presses in a square of at least 24 pixels (WCAG 2.2, 2.5.8 target size).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from blockmap.model.document import Cavity
from blockmap.model.geometry import Point, rotated
from blockmap.window.canvas.batches import Inks

__all__ = ["Handle", "HandleSet", "handles_for"]

TARGET_PX = 24.0
SIZE_PX = 9.0
OFF_PX = 13.0
TURN_OFF_PX = 40.0
SIDE_ROOM_PX = 30.0
"""A side shorter than this shows only the handles of its corners."""

_CURSORS = (
    Qt.CursorShape.SizeHorCursor,
    Qt.CursorShape.SizeFDiagCursor,
    Qt.CursorShape.SizeVerCursor,
    Qt.CursorShape.SizeBDiagCursor,
)


@dataclass(frozen=True, slots=True)
class Handle:
    """One handle: along and across say which side or corner, -1, 0 or 1 each."""

    at: QPointF
    along: int
    across: int
    cursor: Qt.CursorShape
    turns: bool = False


class HandleSet:
    """The handles of one cavity as they are shown now."""

    def __init__(self, handles: list[Handle], stem: tuple[QPointF, QPointF]) -> None:
        self.handles = tuple(handles)
        self._stem = stem

    def at(self, px: QPointF) -> Handle | None:
        """Return the handle whose target holds the pixel, the nearest of several."""
        best: tuple[float, Handle] | None = None
        for handle in self.handles:
            dx, dy = handle.at.x() - px.x(), handle.at.y() - px.y()
            if max(abs(dx), abs(dy)) > TARGET_PX / 2:
                continue
            distance = dx * dx + dy * dy
            if best is None or distance < best[0]:
                best = (distance, handle)
        return best[1] if best else None

    def paint(self, painter: QPainter, inks: Inks) -> None:
        """Draw squares for sizes and a ring on a stem for turning."""
        colour = inks("select")
        painter.setPen(QPen(colour, 1.5))
        painter.drawLine(*self._stem)
        painter.setBrush(inks("paper"))
        for handle in self.handles:
            half = SIZE_PX / 2
            rect = QRectF(handle.at.x() - half, handle.at.y() - half, SIZE_PX, SIZE_PX)
            if handle.turns:
                painter.drawEllipse(rect.adjusted(-1, -1, 1, 1))
            else:
                painter.drawRect(rect)


def handles_for(
    cavity: Cavity, px_of: Callable[[Point], QPointF], *, sides: bool
) -> HandleSet:
    """Return the handles of a cavity, given how its points become pixels.

    Those of the sides stand where labels do, so they are there only when wanted.
    """
    half_w, half_h = cavity.width_mm / 2, cavity.height_mm / 2

    def local(along: float, across: float) -> QPointF:
        x, y = cavity.centre
        place = Point(x + along, y + across)
        return px_of(rotated(place, cavity.centre, cavity.turn_deg))

    middle = local(0.0, 0.0)
    u = _unit(local(half_w, 0.0) - middle)
    v = _unit(local(0.0, half_h) - middle)
    long_px = _length(local(half_w, 0.0) - local(-half_w, 0.0))
    broad_px = _length(local(0.0, half_h) - local(0.0, -half_h))
    handles: list[Handle] = []
    for along in (-1, 0, 1):
        for across in (-1, 0, 1):
            if (along, across) == (0, 0):
                continue
            if along == 0 and (not sides or long_px < SIDE_ROOM_PX):
                continue
            if across == 0 and (not sides or broad_px < SIDE_ROOM_PX):
                continue
            way = u * along + v * across
            at = local(along * half_w, across * half_h) + way * OFF_PX
            handles.append(Handle(at, along, across, _cursor(way)))
    foot, top = _turn_handle(local, half_w, half_h, (u, v))
    handles.append(Handle(top, 0, 0, Qt.CursorShape.PointingHandCursor, turns=True))
    return HandleSet(handles, (foot, top))


def _turn_handle(
    local: Callable[[float, float], QPointF],
    half_w: float,
    half_h: float,
    axes: tuple[QPointF, QPointF],
) -> tuple[QPointF, QPointF]:
    """Return foot and top of the turn handle, off the side that is seen topmost."""
    u, v = axes
    sides = (
        (local(half_w, 0.0), u),
        (local(-half_w, 0.0), u * -1.0),
        (local(0.0, half_h), v),
        (local(0.0, -half_h), v * -1.0),
    )
    foot, way = min(sides, key=lambda side: side[1].y())
    return foot, foot + way * TURN_OFF_PX


def _length(way: QPointF) -> float:
    return math.hypot(way.x(), way.y())


def _unit(way: QPointF) -> QPointF:
    length = _length(way)
    return way / length if length else QPointF(1.0, 0.0)


def _cursor(way: QPointF) -> Qt.CursorShape:
    eighth = round(math.degrees(math.atan2(way.y(), way.x())) / 45) % 4
    return _CURSORS[eighth]
