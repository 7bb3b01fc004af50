"""The figure without anything that moves, kept as one image of the viewport.

Hovering, dragging and selecting then cost one copy of an image. Zoom, pan and edits
draw it anew from the batches.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPixmap

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["Backing", "draw_scaled"]


class Backing:
    """An image that knows when it is stale."""

    def __init__(self) -> None:
        self._image = QPixmap()
        self._stale = True
        self.used = False

    def spoil(self) -> None:
        """Draw anew before the next showing."""
        self._stale = True

    def show(self, painter: QPainter, view: Stage) -> None:
        """Copy the figure to the viewport."""
        port = view.viewport()
        ratio = port.devicePixelRatioF()
        wanted = port.size() * ratio
        if self._image.size() != wanted or self._image.devicePixelRatioF() != ratio:
            self._image = QPixmap(wanted)
            self._image.setDevicePixelRatio(ratio)
            self._stale = True
        if self._stale:
            self._draw(view)
            self._stale, self.used = False, True
        painter.drawPixmap(0, 0, self._image)

    def _draw(self, view: Stage) -> None:
        content, frame = view.content, view.frame_now
        self._image.fill(view.inks("rear" if content.view.mirrored else "paper"))
        painter = QPainter(self._image)
        try:
            draw_scaled(painter, view)
            box = frame.box_mm(QRectF(view.viewport().rect()))
            exposed = QRectF(
                QPointF(box.left_mm, box.top_mm), QPointF(box.right_mm, box.bottom_mm)
            )
            content.draw(painter, view.inks, frame.scale, exposed)
        finally:
            painter.end()


def draw_scaled(painter: QPainter, view: Stage) -> None:
    """Make a painter draw in the millimetres of the view."""
    frame = view.frame_now
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.translate(frame.x_px, frame.y_px)
    painter.scale(frame.scale, frame.scale)
