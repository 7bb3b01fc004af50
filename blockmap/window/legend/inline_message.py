"""A sentence beside the place it is about, in place of a dialog."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from blockmap.window.theme import show_sign

__all__ = ["InlineMessage"]


class InlineMessage(QWidget):
    """A sign, a sentence in plain text and, when wanted, one button."""

    action_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sign = QLabel()
        self._sign.setTextFormat(Qt.TextFormat.PlainText)
        self._sign.setAccessibleName(self.tr("Refused"))
        self._text = QLabel()
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setWordWrap(True)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setSizePolicy(
            QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding
        )
        self._button = QPushButton()
        self._button.clicked.connect(self.action_wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 0, 2)
        row.setSpacing(6)
        row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._text, 1)
        row.addWidget(self._button, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        """The sentence that is shown, empty when none is."""
        return self._text.text() if not self.isHidden() else ""

    def say(self, sentence: str, *, action: str = "") -> None:
        """Show a sentence and read it aloud; an empty one takes the last away."""
        if not sentence:
            self.clear()
            return
        show_sign(self._sign, "level-error")
        self._text.setText(sentence)
        self._button.setText(action)
        self._button.setVisible(bool(action))
        self.show()
        event = QAccessibleAnnouncementEvent(self, sentence)
        QAccessible.updateAccessibility(event)

    def clear(self) -> None:
        """Show nothing."""
        if not self.isHidden():
            self._text.clear()
            self.hide()
