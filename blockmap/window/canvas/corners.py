"""A picture with four numbered corners that are put on those of the block in it.

While a corner moves, a round glass shows what lies under it three times as large. It
tells where the corners are put down and knows no map.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPalette,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QWidget

from blockmap.model.geometry import Point
from blockmap.model.photos import WHOLE_PICTURE
from blockmap.window.guard import guarded

__all__ = ["CornerPicture"]

_MARGIN_PX = 18
_HANDLE_PX = 9.0
_REACH_PX = 22.0
_GLASS_PX = 80.0
_LARGER = 3.0
_STEP, _FAR_STEP = 0.1, 1.0
"""Percent that an arrow key moves a corner."""
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_NUMBERS = (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3, Qt.Key.Key_4)


def _tr(text: str) -> str:
    return QCoreApplication.translate("tracing", text)


class CornerPicture(QWidget):
    """Shows the picture.

    moved tells the four corners, in percent of it, and what is the same for all moves
    of one gesture: a drag, or a run of arrow keys at one corner.
    """

    moved = Signal(tuple, object)

    def __init__(self) -> None:
        super().__init__()
        self.image, self.words = QImage(), ""
        self.corners: tuple[Point, ...] = WHOLE_PICTURE
        self.chosen = 0
        self._held = False
        self._gesture = object()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName(_tr("Corners of the block in the picture"))

    def show_image(self, image: QImage | None, words: str) -> None:
        """Show a picture, or words where there is none."""
        self.image, self.words = image or QImage(), words
        self._say()
        self.update()

    def set_corners(self, corners: Sequence[Point]) -> None:
        """Show the corners where they are in the map."""
        if not self._held:
            self.corners = tuple(corners)
            self._say()
            self.update()

    def _say(self) -> None:
        if self.image.isNull():
            self.setAccessibleDescription(self.words)
            return
        x, y = self.corners[self.chosen]
        said = _tr("Corner %1 at %2 % from the left and %3 % from the top")
        for place, value in (("%1", self.chosen + 1), ("%2", x), ("%3", y)):
            said = said.replace(place, f"{value:g}", 1)
        self.setAccessibleDescription(said)

    @guarded(lambda: QSize(320, 240))
    def minimumSizeHint(self) -> QSize:
        return QSize(320, 240)

    # places

    def place(self) -> QRectF:
        """Return the pixels that the picture takes."""
        room = QRectF(self.rect()).adjusted(*(_MARGIN_PX,) * 2, *(-_MARGIN_PX,) * 2)
        keep = Qt.AspectRatioMode.KeepAspectRatio
        size = self.image.size().toSizeF().scaled(room.size(), keep)
        box = QRectF(QPointF(0.0, 0.0), size)
        box.moveCenter(room.center())
        return box

    def to_px(self, corner: Point) -> QPointF:
        """Return the pixel of a place in percent of the picture."""
        box = self.place()
        return QPointF(
            box.left() + corner.x_mm * box.width() / 100,
            box.top() + corner.y_mm * box.height() / 100,
        )

    def _from_px(self, px: QPointF) -> Point:
        """Return the place of a pixel, kept within the picture's margin."""
        box = self.place()
        x = (px.x() - box.left()) * 100 / box.width()
        y = (px.y() - box.top()) * 100 / box.height()
        return Point(*(round(min(max(value, -5.0), 105.0), 2) for value in (x, y)))

    def _put(self, number: int, place: Point) -> None:
        corners = list(self.corners)
        corners[number] = place
        self.corners = tuple(corners)
        self._say()
        self.update()

    # what Qt calls

    @guarded()
    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton or self.image.isNull():
            return
        away = [
            (self.to_px(c) - event.position()).manhattanLength() for c in self.corners
        ]
        nearest = away.index(min(away))
        if away[nearest] <= 2 * _REACH_PX:
            self.chosen, self._held = nearest, True
            self._gesture = object()
            self._say()
            self.update()

    @guarded()
    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held:
            self._put(self.chosen, self._from_px(event.position()))

    @guarded()
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._held and event.button() is Qt.MouseButton.LeftButton:
            self._held = False
            self.update()
            self.moved.emit(self.corners, self._gesture)
            self._gesture = object()

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _NUMBERS and not self.image.isNull():
            self.chosen, self._gesture = _NUMBERS.index(key), object()
            self._say()
            self.update()
        elif key in _ARROWS and not self.image.isNull():
            far = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            step = _FAR_STEP if far else _STEP
            right, down = _ARROWS[key]
            x, y = self.corners[self.chosen]
            moved = Point(round(x + right * step, 2), round(y + down * step, 2))
            self._put(self.chosen, moved)
            self.moved.emit(self.corners, self._gesture)
        else:
            super().keyPressEvent(event)

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._gesture = object()
        self.update()

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        try:
            if self.image.isNull():
                flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
                painter.drawText(self.rect(), int(flags), self.words)
                return
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.drawImage(self.place(), self.image)
            self._paint_corners(painter)
            if self._held:
                self._paint_glass(painter)
        finally:
            painter.end()

    def _paint_corners(self, painter: QPainter) -> None:
        """Draw the corners with light and dark lines: a photo may be either."""
        spots = [self.to_px(corner) for corner in self.corners]
        for width, colour in ((3.5, QColor("white")), (1.5, QColor("black"))):
            painter.setPen(QPen(colour, width))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolygon(QPolygonF(spots))
        ink = self.palette().color(QPalette.ColorRole.Highlight)
        for number, spot in enumerate(spots):
            box = QRectF(0, 0, 2 * _HANDLE_PX, 2 * _HANDLE_PX)
            box.moveCenter(spot)
            chosen = number == self.chosen and self.hasFocus()
            painter.setPen(QPen(ink if chosen else QColor("black"), 3 if chosen else 1))
            painter.setBrush(QColor("white"))
            painter.drawEllipse(box)
            painter.setPen(QColor("black"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(number + 1))

    def _paint_glass(self, painter: QPainter) -> None:
        """Draw what lies under the held corner larger, away from the hand."""
        spot, box = self.to_px(self.corners[self.chosen]), QRectF(self.rect())
        left = spot.x() > box.center().x()
        far = _GLASS_PX + 4
        middle = QPointF(box.left() + far if left else box.right() - far, far)
        if spot.y() < box.center().y():
            middle.setY(box.bottom() - far)
        ring = QPainterPath()
        ring.addEllipse(middle, _GLASS_PX, _GLASS_PX)
        painter.save()
        painter.setClipPath(ring)
        painter.fillPath(ring, self.palette().color(QPalette.ColorRole.Window))
        painter.translate(middle)
        painter.scale(_LARGER, _LARGER)
        painter.translate(-spot)
        painter.drawImage(self.place(), self.image)
        painter.restore()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, colour in ((3.5, QColor("white")), (1.5, QColor("black"))):
            painter.setPen(QPen(colour, width))
            painter.drawPath(ring)
            for dx, dy in ((12, 0), (0, 12)):
                arm = QPointF(dx, dy)
                painter.drawLine(middle - arm, middle + arm)
