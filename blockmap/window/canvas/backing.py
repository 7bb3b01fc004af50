"""The figure without anything that moves, kept as one image of the viewport.

Hovering, dragging and selecting then cost one copy of an image. An edit draws anew
where pictures changed, zoom and pan draw everything from the batches.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap, QRegion

from blockmap.model.geometry import Box
from blockmap.window.canvas.content import OVER_MM

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["Backing", "draw_scaled"]


class Backing:
    """An image that knows where it is stale."""

    def __init__(self) -> None:
        self._image = QPixmap()
        self._stale = True
        self.used = False

    def spoil(self) -> None:
        """Draw everything anew before the next showing."""
        self._stale = True

    def show(self, painter: QPainter, view: Stage) -> None:
        """Copy the figure to the viewport, drawn anew where its pictures changed."""
        port = view.viewport()
        ratio = port.devicePixelRatioF()
        wanted = port.size() * ratio
        if self._image.size() != wanted or self._image.devicePixelRatioF() != ratio:
            self._image = QPixmap(wanted)
            self._image.setDevicePixelRatio(ratio)
            self._stale = True
        # Parts of pixels at an edge would be mixed with what stood there before.
        changed = view.content.changed_since() if ratio == int(ratio) else None
        if self._stale or changed is None or not self._draw_parts(view, changed):
            self._draw(view)
            self._stale, self.used = False, True
        painter.drawPixmap(0, 0, self._image)

    def _draw(self, view: Stage) -> None:
        self._image.fill(view.inks(_paper(view)))
        painter = QPainter(self._image)
        try:
            draw_scaled(painter, view)
            exposed = _rect_mm(view, QRectF(view.viewport().rect()))
            view.content.draw(painter, view.inks, view.frame_now.scale, exposed)
        finally:
            painter.end()

    def _draw_parts(self, view: Stage, changed: list[QRectF]) -> bool:
        """Draw anew where pictures changed; False when all must be drawn."""
        port, region = view.viewport().rect(), QRegion()
        for rect in changed:
            region += _rect_px(view, rect).intersected(port)
        if region.isEmpty():
            view.content.keep_drawn()
            return True
        painter = QPainter(self._image)
        try:
            painter.setClipRegion(region)
            painter.fillRect(region.boundingRect(), view.inks(_paper(view)))
            draw_scaled(painter, view)
            part = _rect_mm(view, QRectF(region.boundingRect()))
            scale = view.frame_now.scale
            return view.content.draw_part(painter, view.inks, scale, part)
        finally:
            painter.end()


def _paper(view: Stage) -> str:
    return "rear" if view.content.view.mirrored else "paper"


def _rect_mm(view: Stage, rect: QRectF) -> QRectF:
    box = view.frame_now.box_mm(rect)
    return QRectF(
        QPointF(box.left_mm, box.top_mm), QPointF(box.right_mm, box.bottom_mm)
    )


def _rect_px(view: Stage, rect: QRectF) -> QRect:
    """Return the whole pixels round a picture, with what reaches over its bounds."""
    box = Box(rect.left(), rect.top(), rect.right(), rect.bottom()).grown(OVER_MM)
    return view.frame_now.rect_px(box).toAlignedRect().adjusted(-2, -2, 2, 2)


def draw_scaled(painter: QPainter, view: Stage) -> None:
    """Make a painter draw in the millimetres of the view."""
    frame = view.frame_now
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.translate(frame.x_px, frame.y_px)
    painter.scale(frame.scale, frame.scale)
