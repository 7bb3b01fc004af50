"""Measures the screen by a bank card, so that true size is true.

Screens seldom know how large they are. The card's outline is drawn, the user holds a
real card against it and moves the slider until both are alike.
"""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSlider, QVBoxLayout, QWidget

from blockmap.reference.paper import CARD_ID1
from blockmap.window.canvas.frame import TRUE_SIZE
from blockmap.window.guard import guarded

__all__ = ["CardMeasure"]

LEAST, MOST = 0.5, 2.5
"""Least and greatest share of the usual 96 pixels to the inch."""
STEPS = 1000
CORNER_MM = 3.18
MARGIN_PX = 4


class _CardOutline(QWidget):
    """The outline of a card of 85.6 × 54 mm at one scale."""

    def __init__(self) -> None:
        super().__init__()
        self._share = 1.0
        self.setAccessibleName(self.tr("Outline of a bank card"))

    def show_share(self, share: float) -> None:
        """Draw the card for a screen of this share of the usual pixels."""
        self._share = share
        self.updateGeometry()
        self.update()

    def card_px(self) -> QRectF:
        """Return the outline in pixels of this widget."""
        scale = TRUE_SIZE * self._share
        return QRectF(
            MARGIN_PX,
            MARGIN_PX,
            CARD_ID1.width_mm * scale,
            CARD_ID1.height_mm * scale,
        )

    @guarded(lambda: QSize(340, 220))
    def sizeHint(self) -> QSize:
        card = self.card_px()
        return QSize(
            round(card.width()) + 2 * MARGIN_PX, round(card.height()) + 2 * MARGIN_PX
        )

    @guarded(lambda: QSize(340, 220))
    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.palette().color(QPalette.ColorRole.WindowText), 2))
        corner = CORNER_MM * TRUE_SIZE * self._share
        painter.drawRoundedRect(self.card_px(), corner, corner)
        words = self.tr("Hold a bank card here, %1 × %2 mm")
        words = words.replace("%1", self.locale().toString(CARD_ID1.width_mm, "f", 1))
        words = words.replace("%2", self.locale().toString(CARD_ID1.height_mm, "f", 1))
        room = self.card_px().adjusted(10, 10, -10, -10)
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(room, flags, words)
        painter.end()


class CardMeasure(QWidget):
    """A card, a slider under it; measured carries the share of the usual pixels."""

    measured = Signal(float)

    def __init__(self, share: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.card = _CardOutline()
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(round(LEAST * STEPS), round(MOST * STEPS))
        self.slider.setSingleStep(2)
        self.slider.setPageStep(20)
        self.slider.setAccessibleName(self.tr("Size of the card on this screen"))
        self.slider.valueChanged.connect(self._moved)
        self.setFocusProxy(self.slider)
        usual = QPushButton(self.tr("&Usual size"))
        usual.setToolTip(self.tr("Take the screen to have 96 pixels to the inch"))
        usual.setAutoDefault(False)
        usual.clicked.connect(lambda: self.slider.setValue(STEPS))
        row = QHBoxLayout()
        row.addWidget(self.slider, 1)
        row.addWidget(usual)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.card)
        column.addLayout(row)
        self.slider.setValue(round(min(max(share, LEAST), MOST) * STEPS))
        self.card.show_share(self.slider.value() / STEPS)

    def _moved(self, value: int) -> None:
        self.card.show_share(value / STEPS)
        self.measured.emit(value / STEPS)
