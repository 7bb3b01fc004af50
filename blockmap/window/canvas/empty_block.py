"""What an empty block shows: the four ways to begin, each a button."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from blockmap.window.theme import icon

__all__ = ["EmptyBlock"]


class EmptyBlock(QWidget):
    """Four ways to begin, in the middle of the figure."""

    draw_wanted = Signal()
    count_wanted = Signal()
    paste_wanted = Signal()
    photo_wanted = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setSpacing(8)
        title = QLabel(self.tr("This block is empty. Four ways to begin:"))
        title.setTextFormat(Qt.TextFormat.PlainText)
        title.setAlignment(Qt.AlignmentFlag.AlignCenter)
        column.addWidget(title)
        self.buttons: list[QPushButton] = []
        for name, text, signal in (
            (
                "tool-row",
                self.tr("Dra&w a row of cavities by a drag"),
                self.draw_wanted,
            ),
            ("tool-grid", self.tr("&Type how many, and add them"), self.count_wanted),
            (
                "edit-paste",
                self.tr("&Paste rows from a spreadsheet"),
                self.paste_wanted,
            ),
            (
                "tool-photo",
                self.tr("&Lay a photo under it and draw over"),
                self.photo_wanted,
            ),
        ):
            button = QPushButton(f"  {text}")
            button.setObjectName(name)
            button.setMinimumHeight(36)
            button.clicked.connect(signal)
            column.addWidget(button)
            self.buttons.append(button)
        self.hide()

    def place(self, room: QRect) -> None:
        """Stand in the middle of the figure, with icons in the colour of now."""
        if self.isHidden():
            return
        for button in self.buttons:
            button.setIcon(icon(button.objectName()))
        size = self.sizeHint()
        self.setGeometry(
            room.x() + (room.width() - size.width()) // 2,
            room.y() + (room.height() - size.height()) // 2,
            size.width(),
            size.height(),
        )
