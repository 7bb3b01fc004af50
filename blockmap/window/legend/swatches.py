"""Small pictures of a wire's or a fuse body's colour, beside the words that say it.

They are never alone: the text of the cell says the same.
"""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap

from blockmap.reference.wire_colours import RGB, WireColour

__all__ = ["body_swatch", "wire_row", "wire_swatch"]


def _pixmap(width: float, height: float, ratio: float) -> QPixmap:
    pixmap = QPixmap(round(width * ratio), round(height * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    return pixmap


@lru_cache(maxsize=512)
def wire_swatch(
    colour: WireColour | None, height: int, ink: str, ratio: float
) -> QPixmap:
    """Return a piece of wire: base colour, stripes along it, a thin ink outline.

    height in device-independent pixels. A colour that is not known is left hollow.
    """
    width = height * 2
    pixmap = _pixmap(width, height, ratio)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    box = QRectF(0.5, 0.5, width - 1, height - 1)
    pen = QPen(QColor(ink), 1)
    if colour is None:
        pen.setStyle(Qt.PenStyle.DotLine)
    else:
        painter.fillRect(box, QColor(RGB[colour.base]))
        _paint_stripes(painter, box, colour)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(box, 2, 2)
    painter.end()
    return pixmap


@lru_cache(maxsize=512)
def wire_row(
    colours: tuple[WireColour | None, ...], height: int, ink: str, ratio: float
) -> QPixmap:
    """Return the pieces of several wires side by side."""
    step = height * 2 + 3
    whole = _pixmap(step * len(colours), height, ratio)
    painter = QPainter(whole)
    for number, colour in enumerate(colours):
        piece = wire_swatch(colour, height, ink, ratio)
        painter.drawPixmap(number * step, 0, piece)
    painter.end()
    return whole


def _paint_stripes(painter: QPainter, box: QRectF, colour: WireColour) -> None:
    count = len(colour.stripes)
    if not count:
        return
    band = box.height() * 0.42 / count
    gap = (box.height() - band * count) / (count + 1)
    for number, stripe in enumerate(colour.stripes):
        top = box.top() + gap + number * (band + gap)
        painter.fillRect(
            QRectF(box.left(), top, box.width(), band), QColor(RGB[stripe])
        )


@lru_cache(maxsize=128)
def body_swatch(rgb: str, height: int, ink: str, ratio: float) -> QPixmap:
    """Return a small upright fuse body of this colour with a thin ink outline."""
    width = max(6, round(height * 0.7))
    pixmap = _pixmap(width, height, ratio)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(ink), 1))
    painter.setBrush(QColor(rgb))
    painter.drawRoundedRect(QRectF(0.5, 0.5, width - 1, height - 1), 2, 2)
    painter.end()
    return pixmap
