"""Shows on the figure what was measured where, and where the probe goes next.

A reading is a small flag of paper outside the end of its contact, where it covers the
least (flag_places.py); the next point is a ring with a dashed line. It draws what it
is given and knows no readings of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPen

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.contacts import contact_spots
from blockmap.model.document import Cavity
from blockmap.model.geometry import Point
from blockmap.model.ids import CavityId

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = [
    "TEST_POINTS",
    "Ordered",
    "Probed",
    "draw_ordered",
    "draw_probed",
    "numbers_at",
    "spot_of",
]

_LEAST_PX = 40.0
"""A place shorter than this on the screen gets a dot without a value."""
TEST_POINTS = {"b1": "feed", "b2": "load"}
"""The fuse's own test points lie over these contacts."""


@dataclass(frozen=True, slots=True)
class Probed:
    """Values by cavity and contact, and the next point; '' where nothing is shown.

    ``beside`` is where the other probe goes.
    """

    values: tuple[tuple[CavityId, str, str], ...] = ()
    following: tuple[CavityId, str] = ("", "")
    beside: tuple[CavityId, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Ordered:
    """Parts in order from the supply, by cavity and contact; '' is one left open."""

    parts: tuple[tuple[CavityId, str, str], ...] = ()


def numbers_at(
    parts: Iterable[tuple[CavityId, str, str]],
) -> tuple[tuple[CavityId, str, str], ...]:
    """Return one mark for each spot, the numbers of all that lie there in it."""
    found: dict[tuple[CavityId, str], list[str]] = {}
    for cavity, contact, number in parts:
        found.setdefault((cavity, contact), []).append(number)
    marks = []
    for at, numbers in found.items():
        known = [number for number in numbers if number]
        ends = (known[0], known[-1]) if known[1:] else tuple(known)
        marks.append((*at, "–".join(ends)))
    return tuple(marks)


def spot_of(cavity: Cavity, contact: str) -> Point | None:
    """Return where a contact lies in the front view; the centre for the place alone."""
    if not contact or contact == "fuse":
        return cavity.centre
    spots = contact_spots(cavity, outline_of(cavity))
    spot = spots.get(TEST_POINTS.get(contact, contact))
    if spot is None:
        return None
    first, second, _, fourth = cavity.corners
    u, v = spot.u / cavity.width_mm, spot.v / cavity.height_mm
    return Point(
        cavity.x_mm + u * (second.x_mm - first.x_mm) + v * (fourth.x_mm - first.x_mm),
        cavity.y_mm + u * (second.y_mm - first.y_mm) + v * (fourth.y_mm - first.y_mm),
    )


def draw_probed(painter: QPainter, view: FigureView) -> None:
    """Draw the flags of the readings and the ring of the next point."""
    shown = view.probed
    font = painter.font()
    usual = painter.font()
    font.setPointSizeF(max(font.pointSizeF() * 0.9, 6.0))
    painter.setFont(font)
    dots, flags = [], []
    for id_, contact, text in shown.values:
        cavity = view.content.cavity(id_)
        spot = spot_of(cavity, contact) if cavity else None
        if cavity is None or spot is None:
            continue
        at = view.px_of(spot)
        dots.append(at)
        if view.mm_px(max(cavity.width_mm, cavity.height_mm)) >= _LEAST_PX:
            flags.append((at, _way_out(view, cavity, at), text))
    _draw_dots(painter, view, dots)
    _draw_flags(painter, view, flags)
    spots: dict[Point, None] = {}
    for id_, contact in (shown.following, shown.beside):
        cavity = view.content.cavity(id_)
        spot = spot_of(cavity, contact) if cavity else None
        if spot is not None:
            spots[spot] = None
    for spot in spots:
        _draw_ring(painter, view, view.px_of(spot))
    painter.setFont(usual)


def _way_out(view: FigureView, cavity: Cavity, at: QPointF) -> QPointF:
    way = at - view.px_of(cavity.centre)
    length = float((way.x() ** 2 + way.y() ** 2) ** 0.5)
    return way / length if length > 1.0 else QPointF(1.0, 0.0)


def _draw_dots(painter: QPainter, view: FigureView, dots: list[QPointF]) -> None:
    painter.setPen(QPen(view.inks("paper"), 1.5))
    painter.setBrush(view.inks("ink"))
    for at in dots:
        painter.drawEllipse(at, 3.5, 3.5)


def _draw_flags(
    painter: QPainter, view: FigureView, flags: list[tuple[QPointF, QPointF, str]]
) -> None:
    metrics = painter.fontMetrics()
    sized = []
    for at, out, text in flags:
        lines = text.splitlines()
        wide = max(metrics.horizontalAdvance(each) for each in lines) + 8
        sized.append((at, out, QSizeF(wide, metrics.lineSpacing() * len(lines) + 2)))
    boxes = view.flag_places.of(view, sized, view.probed.values)
    painter.setPen(QPen(view.inks("ink"), 1.2))
    painter.setBrush(view.inks("paper"))
    for (at, _out, _text), box in zip(flags, boxes, strict=True):
        painter.drawLine(at, box.center())
    for (_at, _out, text), box in zip(flags, boxes, strict=True):
        painter.drawRect(box)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _draw_ring(painter: QPainter, view: FigureView, at: QPointF) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(view.inks("paper"), 5.0))
    painter.drawEllipse(at, 12.0, 12.0)
    painter.setPen(QPen(view.inks("ink"), 2.5, Qt.PenStyle.DashLine))
    painter.drawEllipse(at, 12.0, 12.0)


def draw_ordered(painter: QPainter, view: FigureView) -> None:
    """Draw a numbered disc at each part that is shared, a ring at each left open."""
    ink, paper = view.inks("ink"), view.inks("paper")
    usual = painter.font()
    font = painter.font()
    font.setBold(True)
    painter.setFont(font)
    metrics = painter.fontMetrics()
    for id_, contact, number in view.ordered.parts:
        cavity = view.content.cavity(id_)
        at = spot_of(cavity, contact) if cavity else None
        if at is None:
            continue
        middle = view.px_of(at)
        if not number:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for colour, width in ((paper, 4.0), (ink, 1.5)):
                painter.setPen(QPen(colour, width, Qt.PenStyle.DotLine))
                painter.drawEllipse(middle, 6.0, 6.0)
            continue
        tall = metrics.height() + 2.0
        disc = QRectF(0, 0, max(tall, metrics.horizontalAdvance(number) + 8.0), tall)
        disc.moveCenter(middle)
        painter.setPen(QPen(paper, 1.5))
        painter.setBrush(ink)
        painter.drawRoundedRect(disc, tall / 2, tall / 2)
        painter.setPen(paper)
        painter.drawText(disc, Qt.AlignmentFlag.AlignCenter, number)
    painter.setFont(usual)
