"""The order in which things lie on the figure: preview, marks, selection, heading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from blockmap.drawing.figure import view_heading
from blockmap.window.canvas.backing import draw_scaled
from blockmap.window.canvas.overlay import (
    draw_finding,
    draw_focus,
    draw_heading,
    draw_hint,
    draw_hover,
    draw_selected,
    draw_unfit,
)

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["paint_overlay"]


def paint_overlay(painter: QPainter, view: FigureView) -> None:
    """Draw everything that lies over the figure, in pixels of the viewport."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setFont(view.font())
    content = view.content
    if content.block is None:
        return
    _paint_preview(painter, view)
    moving = {c.id: c for c in view.preview}
    for id_, level in view.findings.items():
        cavity = content.cavity(id_)
        if cavity is not None and id_ not in moving:
            draw_finding(painter, view, cavity, level)
    hovered = content.cavity(view.hovered)
    if hovered is not None and hovered.id not in moving:
        draw_hover(painter, view, hovered)
    chosen = content.chosen(view.selection.ids)
    draw_selected(painter, view, [moving.get(c.id, c) for c in chosen])
    view.tool.paint(painter)
    block = content.block
    words = view_heading(content.view, block)
    draw_heading(painter, view, words, block.name or block.id)
    rect = QRectF(view.viewport().rect())
    if not content.cavities and not view.preview and view.empty.isHidden():
        draw_hint(painter, view.inks, rect, view.tool.hint())
    if view.hasFocus():
        draw_focus(painter, view.inks, rect)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_preview(painter: QPainter, view: FigureView) -> None:
    if not view.preview:
        return
    painter.save()
    draw_scaled(painter, view)
    painter.translate(view.preview_shift.x_mm, view.preview_shift.y_mm)
    painter.setOpacity(0.85)
    view.preview_batch.draw(painter, view.inks, view.frame_now.scale)
    painter.restore()
    for cavity in view.preview:
        if cavity.id in view.unfit:
            draw_unfit(painter, view, cavity)
