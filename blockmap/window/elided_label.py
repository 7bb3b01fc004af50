"""A line of text that ends in dots where there is no room, and is whole in its tip."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel

from blockmap.window.guard import guarded
from blockmap.window.plain_tip import plain_tip

__all__ = ["ElidedLabel"]


class ElidedLabel(QLabel):
    """Takes what room there is; accessible text is always the whole one."""

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)

    def setText(self, text: str) -> None:
        """Show another text."""
        super().setText(text)
        self.setToolTip(plain_tip(text))

    @guarded(lambda: QSize(40, 16))
    def minimumSizeHint(self) -> QSize:
        return QSize(
            self.fontMetrics().averageCharWidth() * 8, super().sizeHint().height()
        )

    def shown_text(self) -> str:
        """Return the text as it is painted."""
        room = self.contentsRect().width()
        right = Qt.TextElideMode.ElideRight
        return self.fontMetrics().elidedText(self.text(), right, room)

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(self.contentsRect(), middle, self.shown_text())
        painter.end()
