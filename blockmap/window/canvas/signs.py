"""The signs of findings on the figure as a few paths, kept while they hold.

All signs of a level are one path, so that a hundred of them cost little more than one
to draw; what one cavity adds to the paths is worked out once for a zoom. Nothing here
draws.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Size, View
from blockmap.model.ids import CavityId
from blockmap.window.canvas.batches import same_objects
from blockmap.window.canvas.frame import Frame
from blockmap.window.canvas.overlay import polygon_of

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["SIGNED_LEVELS", "SignPaths", "Signs"]

SIGNED_LEVELS = ("advice", "error")
"""Levels of findings that have a sign on the figure, errors over advice."""

SIGN_PX = 7.0
"""Half the side of the square that a sign takes."""

LEAST_PX = 6.0
"""A cavity smaller than this has no sign."""


class Signs(NamedTuple):
    """Frames round cavities with an error, and by level the signs and their bangs."""

    frames: QPainterPath
    by_level: dict[str, tuple[QPainterPath, QPainterPath]]


class _Own(NamedTuple):
    """What one cavity has of it."""

    cavity: Cavity
    level: str
    label: Box | None
    frame: QPainterPath
    sign: QPainterPath
    bang: QPainterPath


class SignPaths:
    """Makes the paths of the signs, and keeps what stays the same."""

    def __init__(self) -> None:
        self._seen: tuple[Frame, View, Size] | None = None
        self._own: dict[CavityId, _Own] = {}
        self._last: tuple[list[_Own], Signs] | None = None

    def of(self, view: Stage, marked: Iterable[tuple[Cavity, str]]) -> Signs:
        """Return the signs of these cavities and levels in pixels of the viewport."""
        seen = view.frame_now, view.content.view, view.content.size
        if seen != self._seen:
            self._seen, self._own, self._last = seen, {}, None
        wanted = [
            self._of_one(view, cavity, level)
            for cavity, level in marked
            if level in SIGNED_LEVELS
        ]
        last = self._last
        if last is None or not same_objects(last[0], wanted):
            last = self._last = wanted, _merged(wanted)
            self._own = {own.cavity.id: own for own in wanted}
        return last[1]

    def _of_one(self, view: Stage, cavity: Cavity, level: str) -> _Own:
        own, label = self._own.get(cavity.id), view.content.book.label_box(cavity)
        if (
            own is None
            or own.cavity is not cavity
            or own.level != level
            or own.label is not label
        ):
            own = _made(view, cavity, level, label)
        return own


def _merged(wanted: list[_Own]) -> Signs:
    frames = QPainterPath()
    by_level = {level: (QPainterPath(), QPainterPath()) for level in SIGNED_LEVELS}
    for own in wanted:
        sign, bang = by_level[own.level]
        frames.addPath(own.frame)
        sign.addPath(own.sign)
        bang.addPath(own.bang)
    return Signs(frames, by_level)


def _made(view: Stage, cavity: Cavity, level: str, label: Box | None) -> _Own:
    frame, sign, bang = QPainterPath(), QPainterPath(), QPainterPath()
    box = polygon_of(view, cavity).boundingRect()
    if max(box.width(), box.height()) >= LEAST_PX:
        at = _beside_label(box, label and view.frame_now.rect_px(label))
        if level == "error":
            corners = (QPointF(0, -8), QPointF(8, 6), QPointF(-8, 6))
            sign.addPolygon(QPolygonF([at + corner for corner in corners]))
            sign.closeSubpath()
            frame.addPolygon(polygon_of(view, cavity, 1.0))
            frame.closeSubpath()
        else:
            sign.addEllipse(at, 6.0, 6.0)
        bang.moveTo(at + QPointF(0, -3.5))
        bang.lineTo(at + QPointF(0, 1.0))
        bang.moveTo(at + QPointF(0, 3.5))
        bang.lineTo(at + QPointF(0, 3.7))
    return _Own(cavity, level, label, frame, sign, bang)


def _beside_label(body: QRectF, label: QRectF | None) -> QPointF:
    """Return the corner of a body where its sign covers no letter of its own."""
    corners = (
        body.topRight() + QPointF(1.0, -1.0),
        body.bottomRight() + QPointF(1.0, 1.0),
        body.topLeft() + QPointF(-1.0, -1.0),
        body.bottomLeft() + QPointF(-1.0, 1.0),
    )
    around = QRectF(-SIGN_PX, -SIGN_PX, 2 * SIGN_PX, 2 * SIGN_PX)
    free = (
        corner
        for corner in corners
        if label is None or not around.translated(corner).intersects(label)
    )
    return next(free, corners[0])
