"""Passing and standing messages inside the window, so that no dialog is needed."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from blockmap.window.theme import icon

__all__ = ["MessageBar"]


class MessageBar(QFrame):
    """A line across the window that says something until it is closed.

    A report, when given, can be copied to the clipboard; nothing is sent anywhere.
    """

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 4, 6, 4)
        self._sign = QLabel()
        self._text = QLabel()
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setWordWrap(True)
        self._copy = QPushButton(self.tr("Copy report"))
        self._copy.clicked.connect(self._copy_report)
        close = QPushButton(self.tr("Close"))
        close.clicked.connect(self._close)
        row.addWidget(self._sign)
        row.addWidget(self._text, 1)
        row.addWidget(self._copy)
        row.addWidget(close)
        self._report = ""
        self.hide()

    def say(self, text: str, *, report: str = "", level: str = "advice") -> None:
        """Show a sentence; with a report it can be copied."""
        self._sign.setPixmap(icon(f"level-{level}").pixmap(20, 20))
        self._text.setText(text)
        self._report = report
        self._copy.setVisible(bool(report))
        self.setAccessibleName(text)
        self.show()

    def _copy_report(self) -> None:
        QGuiApplication.clipboard().setText(self._report)

    def _close(self) -> None:
        self.hide()
        self.closed.emit()
