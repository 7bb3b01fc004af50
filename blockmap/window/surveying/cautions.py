"""Cautions beside the work they are about."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from blockmap.window.theme import show_sign

__all__ = ["CautionLine"]


class CautionLine(QWidget):
    """A warning sign and sentences; hidden where there are none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sign, self._text = QLabel(), QLabel()
        self._sign.setAccessibleName(QCoreApplication.translate("surveying", "Caution"))
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setWordWrap(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._text, 1)
        self.hide()

    @property
    def text(self) -> str:
        """What is said; empty when nothing is."""
        return self._text.text() if not self.isHidden() else ""

    def show_cautions(self, sentences: Sequence[str]) -> None:
        """Show these sentences, or nothing."""
        text = " ".join(sentences)
        if text and text != self._text.text():
            show_sign(self._sign, "level-warning")
        self._text.setText(text)
        self.setVisible(bool(text))
