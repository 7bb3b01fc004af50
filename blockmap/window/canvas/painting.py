"""The order in which things lie on the figure: preview, marks, selection, heading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from blockmap.drawing.figure import view_heading
from blockmap.model.document import Cavity
from blockmap.model.geometry import View
from blockmap.model.ids import CavityId
from blockmap.window.canvas.backing import draw_scaled
from blockmap.window.canvas.content import FigureContent
from blockmap.window.canvas.lit import draw_contact, draw_lit
from blockmap.window.canvas.overlay import (
    draw_findings,
    draw_focus,
    draw_heading,
    draw_hint,
    draw_hover,
    draw_selected,
    draw_unfit,
)
from blockmap.window.canvas.probed import draw_ordered, draw_probed

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["SelectionFrames", "paint_overlay"]

MANY = 60
"""More things than this are drawn plainly, so that a drag keeps up with the hand."""


def paint_overlay(painter: QPainter, view: FigureView) -> None:
    """Draw everything that lies over the figure, in pixels of the viewport."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setFont(view.font())
    content = view.content
    if content.block is None:
        return
    _paint_preview(painter, view)
    moving = frozenset(c.id for c in view.previewed)
    found = (
        (content.cavity(id_), level)
        for id_, level in view.findings.items()
        if id_ not in moving
    )
    draw_findings(painter, view, ((c, level) for c, level in found if c is not None))
    hovered = content.cavity(view.hovered)
    if hovered is not None and hovered.id not in moving:
        draw_hover(painter, view, hovered)
    draw_lit(painter, view)
    draw_probed(painter, view)
    draw_ordered(painter, view)
    _paint_selected(painter, view, moving)
    draw_contact(painter, view)
    view.tool.paint(painter)
    block = content.block
    words = view_heading(content.view, block)
    draw_heading(painter, view, words, block.name or block.id)
    rect = QRectF(view.viewport().rect())
    begun = bool(content.cavities) or view.previewed or view.tool.begun
    if not begun and view.empty.isHidden() and view.photo.image is None:
        draw_hint(painter, view.inks, rect, view.tool.hint())
    if view.hasFocus():
        draw_focus(painter, view.inks, rect)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_selected(
    painter: QPainter, view: FigureView, moving: frozenset[CavityId]
) -> None:
    chosen = view.content.chosen(view.selection.ids)
    if len(chosen) <= MANY:
        shown = {c.id: c for c in view.preview} if moving else {}
        draw_selected(painter, view, [shown.get(c.id, c) for c in chosen])
        return
    frames = view.frames.of(view.content, chosen)
    painter.save()
    draw_scaled(painter, view)
    if moving:
        painter.translate(*view.content.seen_shift(view.preview_shift))
    painter.setPen(QPen(view.inks("select"), 2.5 / view.frame_now.scale))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for frame in frames:  # as one path they would take seven times as long
        painter.drawPolygon(frame)
    painter.restore()


def _paint_preview(painter: QPainter, view: FigureView) -> None:
    if not view.previewed:
        return
    painter.save()
    draw_scaled(painter, view)
    painter.translate(*view.content.seen_shift(view.preview_shift))
    if len(view.previewed) <= MANY:
        painter.setOpacity(0.85)
    view.preview_batch.draw(painter, view.inks, view.frame_now.scale)
    painter.restore()
    if view.unfit:
        for cavity in view.preview:
            if cavity.id in view.unfit:
                draw_unfit(painter, view, cavity)


class SelectionFrames:
    """The frames of very many selected cavities, kept while they hold."""

    def __init__(self) -> None:
        self._of: tuple[View, list[Cavity]] | None = None
        self._frames: list[QPolygonF] = []

    def of(self, content: FigureContent, chosen: list[Cavity]) -> list[QPolygonF]:
        """Return the frames in view millimetres."""
        old = self._of
        same = (
            old is not None
            and old[0] is content.view
            and len(old[1]) == len(chosen)
            and all(a is b for a, b in zip(old[1], chosen, strict=True))
        )
        if not same:
            self._frames = [
                QPolygonF([QPointF(*content.seen(p)) for p in cavity.corners])
                for cavity in chosen
            ]
            self._of = content.view, chosen
        return self._frames
