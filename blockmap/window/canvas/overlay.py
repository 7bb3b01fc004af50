"""What lies on top of the figure: selection, hover, guides, previews and headings.

Everything is drawn in pixels of the viewport, so that lines keep their width at every
zoom. Selection has one colour that nothing else uses. Marks differ by shape and
pattern as well as by colour.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QPainter, QPainterPath, QPen, QPolygonF

from blockmap.model.document import Cavity
from blockmap.model.snapping import Guide, GuideKind
from blockmap.window.canvas.batches import Inks

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = [
    "draw_arrow",
    "draw_badge",
    "draw_findings",
    "draw_focus",
    "draw_guides",
    "draw_heading",
    "draw_hint",
    "draw_hover",
    "draw_marquee",
    "draw_selected",
    "draw_unfit",
    "polygon_of",
]

FRAME_PX = 0.75
"""So little outside the body that the frame stays off the letters beside it."""


def polygon_of(view: Stage, cavity: Cavity, grow_px: float = 0.0) -> QPolygonF:
    """Return the turned rectangle of a cavity in pixels, its sides moved outwards."""
    corners = [view.px_of(p) for p in cavity.corners]
    if not grow_px:
        return QPolygonF(corners)
    along = corners[1] - corners[0]
    across = corners[3] - corners[0]
    u = along * (grow_px / max(_length(along), 1e-6))
    v = across * (grow_px / max(_length(across), 1e-6))
    return QPolygonF(
        [
            corners[0] - u - v,
            corners[1] + u - v,
            corners[2] + u + v,
            corners[3] - u + v,
        ]
    )


def _length(way: QPointF) -> float:
    return float((way.x() ** 2 + way.y() ** 2) ** 0.5)


def _see_through(colour: QColor, share: float) -> QColor:
    thin = QColor(colour)
    thin.setAlphaF(share)
    return thin


def draw_selected(painter: QPainter, view: Stage, cavities: Sequence[Cavity]) -> None:
    """Frame what is selected; the current one of several has a double frame."""
    colour = view.inks("select")
    current = view.selection.current
    several = len(cavities) > 1
    painter.setBrush(Qt.BrushStyle.NoBrush)
    path = QPainterPath()
    for cavity in cavities:
        path.addPolygon(polygon_of(view, cavity, FRAME_PX))
        path.closeSubpath()
    painter.setPen(QPen(colour, 2.5))
    painter.drawPath(path)
    for cavity in cavities:
        if several and cavity.id == current:
            painter.setPen(QPen(colour, 1.0))
            painter.drawPolygon(polygon_of(view, cavity, FRAME_PX + 2.8))


def draw_hover(painter: QPainter, view: Stage, cavity: Cavity) -> None:
    """Frame what the pointer is on, thinly, without covering it."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    pen = QPen(view.inks("ink"), 1.0, Qt.PenStyle.DotLine)
    painter.setPen(pen)
    painter.drawPolygon(polygon_of(view, cavity, 3.0))


def draw_unfit(painter: QPainter, view: Stage, cavity: Cavity) -> None:
    """Hatch a previewed cavity that lies on another or off the outline."""
    colour = view.inks("error")
    painter.setPen(QPen(colour, 2.0))
    painter.setBrush(QBrush(_see_through(colour, 0.75), Qt.BrushStyle.BDiagPattern))
    painter.drawPolygon(polygon_of(view, cavity, 1.0))


def draw_findings(
    painter: QPainter, view: Stage, marked: Iterable[tuple[Cavity, str]]
) -> None:
    """Mark what checks speak of: a triangle and a frame for errors, a disc for advice.

    Information is left to the list of findings.
    """
    signs = view.signs.of(view, marked)
    paper = view.inks("paper")
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(view.inks("error"), 1.5, Qt.PenStyle.DashLine))
    painter.drawPath(signs.frames)
    for level, (sign, bang) in signs.by_level.items():
        painter.setPen(QPen(paper, 1.2))
        painter.setBrush(view.inks(level))
        painter.drawPath(sign)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(paper, 1.8))
        painter.drawPath(bang)


def draw_marquee(painter: QPainter, inks: Inks, rect: QRectF) -> None:
    """Draw the rectangle that encloses what will be selected."""
    colour = inks("select")
    painter.setPen(QPen(colour, 1.0, Qt.PenStyle.DashLine))
    painter.setBrush(_see_through(colour, 0.10))
    painter.drawRect(rect)


def draw_guides(painter: QPainter, view: Stage, guides: Sequence[Guide]) -> None:
    """Draw what a moving box lines up with; a repeated pitch shows its length."""
    colour = view.inks("sound")  # not like the selection, which has a blue
    for guide in guides:
        a, b = view.px_of(guide.start), view.px_of(guide.finish)
        if guide.kind is GuideKind.SPACING:
            painter.setPen(QPen(colour, 1.5))
            draw_arrow(painter, a, b, 6.0)
            draw_arrow(painter, b, a, 6.0)
            text = QLocale().toString(guide.distance_mm, "f", 1)
            draw_badge(painter, view.inks, (a + b) / 2.0, text)
            continue
        style = Qt.PenStyle.DashLine
        if guide.kind is GuideKind.OUTLINE:
            style = Qt.PenStyle.DashDotLine
        painter.setPen(QPen(colour, 1.2, style))
        painter.drawLine(a, b)


def draw_arrow(painter: QPainter, a: QPointF, b: QPointF, head_px: float) -> None:
    """Draw a line from a to b with a head at b."""
    painter.drawLine(a, b)
    way = b - a
    length = _length(way)
    if length < 1e-6:
        return
    u = way / length
    v = QPointF(-u.y(), u.x())
    foot = b - u * head_px
    painter.drawLine(b, foot + v * (head_px / 2))
    painter.drawLine(b, foot - v * (head_px / 2))


def draw_badge(painter: QPainter, inks: Inks, at: QPointF, text: str) -> None:
    """Write a short text on a patch of paper about a place."""
    metrics = painter.fontMetrics()
    rect = QRectF(metrics.boundingRect(text)).adjusted(-4, -2, 4, 2)
    rect.moveCenter(at)
    painter.setPen(QPen(inks("faint"), 1.0))
    painter.setBrush(inks("paper"))
    painter.drawRoundedRect(rect, 3.0, 3.0)
    painter.setPen(inks("ink"))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)


def heading_font(base: QFont) -> QFont:
    """Return the font of the view's name: the figure's own, large and bold."""
    font = QFont(base)
    font.setFamilies(["IBM Plex Sans Condensed", *base.families()])
    if base.pointSizeF() > 0:
        font.setPointSizeF(base.pointSizeF() * 1.7)
    else:
        font.setPixelSize(round(base.pixelSize() * 1.7))
    font.setBold(True)
    return font


def draw_heading(
    painter: QPainter, view: Stage, view_words: str, block_words: str
) -> None:
    """Write the view's name in the corner, and the block's name under it."""
    inks, font = view.inks, view.font()
    painter.save()
    large = heading_font(font)
    painter.setFont(large)
    first = QRectF(painter.fontMetrics().boundingRect(view_words))
    painter.setFont(font)
    second = QRectF(painter.fontMetrics().boundingRect(block_words))
    wide = max(first.width(), second.width()) + 20
    high = first.height() + (second.height() if block_words else 0) + 12
    ground = inks("rear" if view.content.view.mirrored else "paper")
    patch = _see_through(ground, 0.85)
    painter.fillRect(QRectF(0, 0, wide, high), patch)
    painter.setPen(inks("ink"))
    painter.setFont(large)
    painter.drawText(QPointF(10, 6 + painter.fontMetrics().ascent()), view_words)
    painter.setFont(font)
    painter.setPen(inks("faint ink"))
    base = 8 + first.height() + painter.fontMetrics().ascent()
    painter.drawText(QPointF(10, base), block_words)
    painter.restore()


def draw_focus(painter: QPainter, inks: Inks, rect: QRectF) -> None:
    """Frame the figure while keys go to it."""
    painter.setPen(QPen(inks("ink"), 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(rect.adjusted(1, 1, -1, -1))


def draw_hint(painter: QPainter, inks: Inks, rect: QRectF, text: str) -> None:
    """Say on an empty block what to do."""
    painter.setPen(inks("faint ink"))
    font = painter.font()
    font.setPointSizeF(max(font.pointSizeF(), 6.0) * 1.2)
    painter.setFont(font)
    flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
    painter.drawText(rect.adjusted(60, 60, -60, -60), int(flags), text)
