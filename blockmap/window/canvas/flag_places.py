"""Finds room on the figure for the flags of readings, off letters, bodies and flags.

Places are kept as ways from the contact in pixels, so that moving the figure costs
nothing; they are sought anew when the zoom, the cavities or the readings change.
Nothing here draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF

from blockmap.model.geometry import Point
from blockmap.window.canvas.overlay import polygon_of

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["FlagPlaces"]

_GAPS_PX = (7.0, 16.0, 30.0, 50.0)
_TURNS_DEG = (0, 45, -45, 90, -90)
"""Ways a flag may hang from its contact, against the way out of the body."""
_FARTHER = 20.0
"""What a longer or turned line costs, in square pixels of something covered."""

_LETTERS = 4.0
"""How much worse letters are to cover than the rest."""


class FlagPlaces:
    """Keeps the room found for each flag while zoom, cavities and flags hold."""

    def __init__(self) -> None:
        self._seen: tuple[object, ...] = ()
        self._boxes: list[QRectF] = []

    def of(
        self,
        view: Stage,
        flags: Sequence[tuple[QPointF, QPointF, QSizeF]],
        values: object,
    ) -> list[QRectF]:
        """Return one box for each flag: its contact, the way out, and its size."""
        content = view.content
        book = content.book
        scale = view.frame_now.scale
        seen = values, content.cavities, content.view, scale, book.exact, len(flags)
        if seen != self._seen:
            found = _sought(view, flags)
            self._boxes = [
                box.translated(-at)
                for box, (at, _out, _size) in zip(found, flags, strict=True)
            ]
            self._seen = seen
        return [
            box.translated(at)
            for box, (at, _out, _size) in zip(self._boxes, flags, strict=True)
        ]


def _sought(
    view: Stage, flags: Sequence[tuple[QPointF, QPointF, QSizeF]]
) -> list[QRectF]:
    reached = [_reached(at, size) for at, _out, size in flags]
    taken = list(_what_stands(view, reached))
    seen = QRectF(view.viewport().rect())
    found: list[QRectF] = []
    for (at, out, size), around in zip(flags, reached, strict=True):
        near = [(rect, dear) for rect, dear in taken if rect.intersects(around)]
        ways = list(_candidates(at, out, size))
        costs = [
            _FARTHER * n
            + _LETTERS * (_area(way) - _covered(way, seen))
            + sum(dear * _covered(way, rect) for rect, dear in near)
            for n, way in enumerate(ways)
        ]
        best = costs.index(min(costs))
        found.append(ways[best])
        taken.append((ways[best], _LETTERS))
    return found


def _reached(at: QPointF, size: QSizeF) -> QRectF:
    """Return where a flag of a contact may come to lie."""
    reach = max(size.width(), size.height()) + 2 * _GAPS_PX[-1]
    return QRectF(at.x() - reach, at.y() - reach, 2 * reach, 2 * reach)


def _what_stands(
    view: Stage, reached: Sequence[QRectF]
) -> Iterator[tuple[QRectF, float]]:
    """Yield what flags should not cover where they reach, and how dear it is."""
    if not reached:
        return
    frame, book = view.frame_now, view.content.book
    origin, scale = frame.to_px(Point(0, 0)), frame.scale
    for cavity in view.content.cavities:
        # Its marks and its label stand within about its own length of it.
        room = 2 * view.mm_px(max(cavity.width_mm, cavity.height_mm)) + 40
        about = view.px_of(cavity.centre)
        square = QRectF(about.x() - room, about.y() - room, 2 * room, 2 * room)
        if not any(square.intersects(each) for each in reached):
            continue
        yield polygon_of(view, cavity).boundingRect(), 1.0
        body = book.body(cavity)
        if body is not None:  # with the marks beside it
            b = body.bounds
            marks = QRectF(
                b.x() * scale, b.y() * scale, b.width() * scale, b.height() * scale
            )
            yield marks.translated(origin), 1.0
        label = book.label_box(cavity)
        if label is not None:
            yield frame.rect_px(label), _LETTERS


def _candidates(at: QPointF, out: QPointF, size: QSizeF) -> Iterator[QRectF]:
    """Yield boxes beside a contact, the most natural first."""
    for gap in _GAPS_PX:
        for turn in _TURNS_DEG:
            c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            way = QPointF(c * out.x() - s * out.y(), s * out.x() + c * out.y())
            dx = way.x() * (size.width() / 2 + gap)
            dy = way.y() * (size.height() / 2 + gap)
            box = QRectF(QPointF(0, 0), size)
            box.moveCenter(at + QPointF(dx, dy))
            yield box


def _covered(box: QRectF, other: QRectF) -> float:
    return _area(box.intersected(other))


def _area(box: QRectF) -> float:
    return box.width() * box.height()
