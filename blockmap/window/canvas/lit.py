"""Marks on the figure the selected strip, what it needs and what dies with it.

The strip is drawn thick in the colour of the selection. Places are told apart by the
way of an arrow and by their frame, so that nothing hangs on colour: down and a whole
frame for what is dead, down and a dotted frame for what has another feed, up and a
thin frame for what the strip needs. A line of words at the bottom explains the marks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from blockmap.drawing.primitives import Path
from blockmap.drawing.strips import contact_place
from blockmap.model.ids import CavityId, StripId, key_of
from blockmap.window.canvas.overlay import polygon_of
from blockmap.window.canvas.tools.tool import translate

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["Lit", "draw_contact", "draw_lit"]

STRIP_PX = 4.0
HOVER_PX = 1.5
CONTACT_PX = 11.0
FRAMES: dict[str, tuple[float, Qt.PenStyle]] = {
    "dead": (2.5, Qt.PenStyle.SolidLine),
    "still": (2.0, Qt.PenStyle.DotLine),
    "needs": (1.0, Qt.PenStyle.SolidLine),
}
"""Width in pixels and pattern of the frames."""


@dataclass(frozen=True, slots=True)
class Lit:
    """A strip, the cavities that die with it, those still fed and those it needs.

    ``known`` is False while what hangs on it is not worked out yet.
    """

    strip: StripId | None = None
    dead: frozenset[CavityId] = frozenset()
    still: frozenset[CavityId] = frozenset()
    needs: frozenset[CavityId] = frozenset()
    known: bool = False

    def marks(self) -> Iterator[tuple[CavityId, str]]:
        """Yield each marked cavity with its mark: 'dead', 'still' or 'needs'."""
        for mark, ids in (
            ("needs", self.needs),
            ("still", self.still),
            ("dead", self.dead),
        ):
            for id_ in sorted(ids):
                yield id_, mark


def draw_lit(painter: QPainter, view: Stage) -> None:
    """Draw the selected strip, the one under the pointer, and the marks."""
    lit = view.lit
    if view.hovered_strip is not None and view.hovered_strip != lit.strip:
        pen = QPen(view.inks("ink"), HOVER_PX, Qt.PenStyle.DotLine)
        _draw_routes(painter, view, view.hovered_strip, pen)
    if lit.strip is None:
        return
    pen = QPen(view.inks("select"), STRIP_PX)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    _draw_routes(painter, view, lit.strip, pen)
    side = painter.fontMetrics().height() * 0.8
    for id_, mark in lit.marks():
        cavity = view.content.cavity(id_)
        if cavity is None:
            continue
        width, style = FRAMES[mark]
        painter.setPen(QPen(view.inks("ink"), width, style))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        shape = polygon_of(view, cavity, 3.0)
        painter.drawPolygon(shape)
        box = shape.boundingRect()
        if max(box.width(), box.height()) >= side * 1.5:
            _draw_badge(painter, view, box.bottomLeft(), side, mark)
    _draw_words(painter, view, side)


def draw_contact(painter: QPainter, view: Stage) -> None:
    """Draw a ring with four ticks round the contact that was asked for."""
    cavity = view.content.cavity(view.selection.current)
    if cavity is None or not view.selection.contact:
        return
    place = contact_place(cavity, view.selection.contact, view.content.book.style)
    at = view.frame_now.to_px(place)
    box = polygon_of(view, cavity).boundingRect()
    radius = min(CONTACT_PX, max(5.0, min(box.width(), box.height()) / 2 + 3.0))
    ways = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for ink, width in (("paper", 6.0), ("select", 3.0)):
        painter.setPen(QPen(view.inks(ink), width))
        painter.drawEllipse(at, radius, radius)
        for dx, dy in ways:
            way = QPointF(dx, dy)
            painter.drawLine(at + way * radius, at + way * (radius + 7.0))


def _draw_routes(painter: QPainter, view: Stage, strip: StripId, pen: QPen) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    jumper = QPen(pen)
    picture = view.content.book.strips.get(strip)
    if picture is None:
        _draw_contacts(painter, view, strip, pen)
        return
    if pen.style() is Qt.PenStyle.SolidLine:
        jumper.setDashPattern([2.0, 2.0])
    for line in picture.under:
        if isinstance(line, Path):
            painter.setPen(jumper if line.dash_mm else pen)
            places = [view.frame_now.to_px(point) for point in line.points]
            painter.drawPolyline(QPolygonF(places))
    if pen.widthF() == STRIP_PX:
        painter.setPen(pen)
        for route in picture.routes:
            for point in (route[0], route[-1]):
                painter.drawEllipse(view.frame_now.to_px(point), STRIP_PX, STRIP_PX)


def _draw_contacts(
    painter: QPainter, view: Stage, strip_id: StripId, pen: QPen
) -> None:
    """Draw what reaches over from a strip of another block: contacts, dashed lines."""
    strip = view.content.document.strips.get(strip_id)
    if strip is None:
        return
    style = view.content.book.style
    places = []
    for ref in dict.fromkeys(strip.contact_refs()):
        cavity = view.content.cavity(ref.cavity)
        if cavity is not None:
            spot = contact_place(cavity, ref.contact, style)
            places.append(view.frame_now.to_px(spot))
    dashed = QPen(pen)
    dashed.setDashPattern([2.0, 2.0])
    painter.setPen(dashed)
    painter.drawPolyline(QPolygonF(places))
    painter.setPen(pen)
    for place in places:
        painter.drawEllipse(place, STRIP_PX, STRIP_PX)


def _draw_badge(
    painter: QPainter, view: Stage, at: QPointF, side: float, mark: str
) -> None:
    """Draw an arrow down or up; hollow where another feed remains."""
    ink, paper = view.inks("ink"), view.inks("paper")
    hollow = mark == "still"
    ground, line = (paper, ink) if hollow else (ink, paper)
    rect = QRectF(0, 0, side, side)
    rect.moveCenter(at)
    painter.setPen(QPen(line if not hollow else ink, 1.0))
    painter.setBrush(QColor(ground))
    painter.drawRect(rect)
    up = -1.0 if mark == "needs" else 1.0
    reach = side * 0.3
    tip = at + QPointF(0, reach * up)
    pen = QPen(line, max(1.5, side / 9))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawLine(at - QPointF(0, reach * up), tip)
    painter.drawLine(tip, tip + QPointF(-reach * 0.8, -reach * 0.8 * up))
    painter.drawLine(tip, tip + QPointF(reach * 0.8, -reach * 0.8 * up))


def _draw_words(painter: QPainter, view: Stage, side: float) -> None:
    """Say at the bottom which strip is marked and what the marks mean."""
    lit = view.lit
    strip = view.content.document.strips.get(lit.strip or "")
    if strip is None:
        return
    name = translate("Figure", "Strip %1").replace("%1", strip.name or key_of(strip.id))
    block = view.content.document.blocks.get(strip.block)
    if block is not None and block is not view.content.block:
        elsewhere = translate("Figure", "%1, on %2")
        name = elsewhere.replace("%1", name).replace("%2", block.name or block.id)
    parts = [("", name)]
    for mark, ids, words in (
        ("dead", lit.dead, translate("Figure", "dead without it: %1")),
        ("still", lit.still, translate("Figure", "has another feed: %1")),
        ("needs", lit.needs, translate("Figure", "it needs: %1")),
    ):
        if ids:
            parts.append((mark, words.replace("%1", str(len(ids)))))
    if lit.known and len(parts) == 1:
        parts.append(("", translate("Figure", "nothing is known to hang on it")))
    metrics = painter.fontMetrics()
    gap = side * 0.6
    wide = gap + sum(
        metrics.horizontalAdvance(words) + gap + (side + gap / 2 if mark else 0)
        for mark, words in parts
    )
    port = QRectF(view.viewport().rect())
    high = metrics.height() + 6.0
    box = QRectF(8, port.bottom() - high - 8, min(wide, port.width() - 16), high)
    painter.setPen(QPen(view.inks("faint"), 1.0))
    painter.setBrush(view.inks("paper"))
    painter.drawRect(box)
    x, middle = box.left() + gap, box.center().y()
    painter.save()
    painter.setClipRect(box)
    for mark, words in parts:
        if mark:
            _draw_badge(painter, view, QPointF(x + side / 2, middle), side, mark)
            x += side + gap / 2
        painter.setPen(view.inks("ink"))
        base = middle + (metrics.ascent() - metrics.descent()) / 2
        painter.drawText(QPointF(x, base), words)
        x += metrics.horizontalAdvance(words) + gap
    painter.restore()
