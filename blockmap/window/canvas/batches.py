"""Primitives as a few large drawing calls: one path or glyph run for each style.

A picture is what one cavity needs, compiled once. A batch merges the pictures of
many cavities, keeping the order in which each is drawn. Colours stay names until the
moment of painting, so that a change of palette compiles nothing. Text too small to be
read is left out at painting time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path as FilePath
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QGlyphRun, QPainter, QPainterPath, QPen, QPolygonF

from blockmap.drawing.palette import Palette
from blockmap.drawing.primitives import Ellipse, Path, Primitive, Text
from blockmap.window.canvas.glyphs import (
    UNITS_PER_MM,
    em_of,
    font_of,
    glyphs_of,
    held_cap,
)

__all__ = [
    "Batch",
    "Inks",
    "Picture",
    "ShapeStyle",
    "compiled",
    "draw_path",
    "same_objects",
]

LEAST_CAP_PX = 5.0
"""Capitals lower than this on the screen are not drawn: they cannot be read."""

LEAST_LINE_PX = 0.9
"""Thinner lines are drawn this wide, so that they do not fade away."""


class ShapeStyle(NamedTuple):
    """What paths of one batch share."""

    fill: str
    stroke: str
    width_mm: float
    dash_mm: tuple[float, ...]


class LetterStyle(NamedTuple):
    """What glyphs of one batch share."""

    file: FilePath
    cap_mm: float
    em: float
    ink: str
    turn_deg: float


Letters = tuple[tuple[int, ...], tuple[float, ...]]
"""Numbers of glyphs, and x and y of each: plain numbers, for there are very many."""

Op = tuple[ShapeStyle, QPainterPath] | tuple[LetterStyle, Letters]


class Picture(NamedTuple):
    """The compiled drawing of one thing, in view millimetres."""

    ops: tuple[Op, ...]
    bounds: QRectF


class Inks:
    """The colours of one palette as Qt colours."""

    def __init__(self, palette: Palette) -> None:
        self.palette = palette
        self._found: dict[str, QColor] = {}

    def __call__(self, name: str) -> QColor:
        """Return the colour of a name or of '#rrggbb'."""
        found = self._found.get(name)
        if found is None:
            found = self._found[name] = QColor(self.palette.resolve(name))
        return found


def same_objects(a: Sequence[object], b: Sequence[object]) -> bool:
    """Tell whether two sequences hold the very same things."""
    return len(a) == len(b) and all(x is y for x, y in zip(a, b, strict=True))


def compiled(primitives: Iterable[Primitive]) -> Picture:
    """Return the picture of these primitives, drawn in their order."""
    ops: list[Op] = []
    bounds = QRectF()
    for item in primitives:
        if isinstance(item, Text):
            bounds = bounds.united(_letters(item, ops))
            continue
        path = QPainterPath()
        if isinstance(item, Path):
            path.addPolygon(QPolygonF([QPointF(x, y) for x, y in item.points]))
            if item.closed:
                path.closeSubpath()
        else:
            path.addEllipse(QPointF(*item.centre), item.rx_mm, item.ry_mm)
        half = item.width_mm / 2 if item.stroke else 0.0
        bounds = bounds.united(path.boundingRect().adjusted(-half, -half, half, half))
        _add_path(ops, _shape_style(item), path)
    return Picture(tuple(ops), bounds)


def _shape_style(item: Path | Ellipse) -> ShapeStyle:
    if isinstance(item, Ellipse):
        return ShapeStyle(item.fill, item.stroke, item.width_mm, ())
    fill = item.fill if item.closed else ""
    return ShapeStyle(fill, item.stroke, item.width_mm, item.dash_mm)


def _add_path(ops: list[Op], style: ShapeStyle, path: QPainterPath) -> None:
    ops.append((style, path))


def _letters(item: Text, ops: list[Op]) -> QRectF:
    cap = held_cap(item.cap_mm)
    for file, numbers, places in glyphs_of(item):
        style = LetterStyle(file, cap, em_of(item.face), item.ink, item.turn_deg)
        ops.append((style, (numbers, places)))
    from blockmap.drawing.primitives import text_box

    box = text_box(item)
    descent = item.cap_mm * 0.4
    return QRectF(
        QPointF(box.left_mm - descent, box.top_mm - descent),
        QPointF(box.right_mm + descent, box.bottom_mm + descent),
    )


class _Layer:
    """One drawing call in the making."""

    def __init__(self, style: ShapeStyle | LetterStyle) -> None:
        self.style = style
        self.path = QPainterPath()
        self.path.setFillRule(Qt.FillRule.WindingFill)
        self.glyphs: list[int] = []
        self.places: list[QPointF] = []
        self.run: QGlyphRun | None = None

    def add(self, what: QPainterPath | Letters) -> None:
        if isinstance(what, QPainterPath):
            self.path.addPath(what)
        else:
            numbers, places = what
            self.glyphs += numbers
            self.places += map(QPointF, places[::2], places[1::2])

    def close(self) -> None:
        if isinstance(self.style, LetterStyle):
            run = QGlyphRun()
            run.setRawFont(font_of(self.style.file, self.style.cap_mm, self.style.em))
            run.setGlyphIndexes(self.glyphs)
            run.setPositions(self.places)
            self.run, self.glyphs, self.places = run, [], []


class Batch:
    """The pictures of several things, merged by style; all lie upon the ground."""

    def __init__(
        self, pictures: Sequence[Picture], ground: Picture | None = None
    ) -> None:
        self.bounds = QRectF()
        layers: list[_Layer] = []
        for style, what in ground.ops if ground is not None else ():
            layers.append(_Layer(style))
            layers[-1].add(what)
        if ground is not None:
            self.bounds = ground.bounds
        first = len(layers)
        for picture in pictures:
            self.bounds = self.bounds.united(picture.bounds)
            cursor = first
            for style, what in picture.ops:
                cursor = _place(layers, style, cursor)
                layers[cursor].add(what)
        for layer in layers:
            layer.close()
        self._layers = layers
        self._ground = first

    def draw(
        self,
        painter: QPainter,
        inks: Inks,
        scale: float,
        on_ground: Callable[[QPainter], object] | None = None,
    ) -> None:
        """Draw everything; the painter is scaled from millimetres to pixels.

        on_ground draws what lies on the ground and under the pictures.
        """
        for number, layer in enumerate(self._layers):
            if number == self._ground and on_ground is not None:
                on_ground(painter)
            style = layer.style
            if isinstance(style, ShapeStyle):
                draw_path(painter, inks, scale, style, layer.path)
            elif style.cap_mm * scale >= LEAST_CAP_PX and layer.run is not None:
                _draw_run(painter, inks, style, layer.run)
        if on_ground is not None and self._ground == len(self._layers):
            on_ground(painter)


def _place(layers: list[_Layer], style: ShapeStyle | LetterStyle, cursor: int) -> int:
    """Return the layer of this style at or after the cursor, made when missing."""
    for number in range(cursor, len(layers)):
        if layers[number].style == style:
            return number
    at = min(cursor + 1, len(layers))
    layers.insert(at, _Layer(style))
    return at


def draw_path(
    painter: QPainter, inks: Inks, scale: float, style: ShapeStyle, path: QPainterPath
) -> None:
    """Draw one path in a style; the painter is scaled from millimetres to pixels."""
    if style.stroke:
        width = max(style.width_mm, LEAST_LINE_PX / scale)
        pen = QPen(inks(style.stroke), width)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if style.dash_mm:
            pen.setDashPattern([length / width for length in style.dash_mm])
        painter.setPen(pen)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
    if style.fill:
        painter.setBrush(inks(style.fill))
    else:
        painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)


def _draw_run(
    painter: QPainter, inks: Inks, style: LetterStyle, run: QGlyphRun
) -> None:
    painter.save()
    if style.turn_deg:
        painter.rotate(style.turn_deg)
    painter.scale(1 / UNITS_PER_MM, 1 / UNITS_PER_MM)
    painter.setPen(inks(style.ink))
    painter.drawGlyphRun(QPointF(0.0, 0.0), run)
    painter.restore()
