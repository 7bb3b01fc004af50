"""Passing and standing messages inside the window, so that no dialog is needed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from blockmap.window.folding_row import FoldingRow, in_row
from blockmap.window.theme import show_sign

__all__ = ["BarAction", "MessageBar"]

_WORTH_LETTERS = 40
"""Room a message is worth beside its buttons, else they go below it."""
BarAction = tuple[str, Callable[[], object]]
"""The words of a button and what it does; the message goes away with the click."""


@dataclass(frozen=True, slots=True)
class _Message:
    text: str
    report: str
    level: str
    action: BarAction | None
    about: str


class MessageBar(QFrame):
    """A line across the window that says something until it is closed.

    The latest message is shown; closing it brings back the one before. A report, when
    given, can be copied to the clipboard; nothing is sent anywhere.
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
        self._act = QPushButton()
        self._act.clicked.connect(self._do_action)
        self._copy = QPushButton(self.tr("Copy report"))
        self._copy.clicked.connect(self._copy_report)
        close = QPushButton(self.tr("Close"))
        close.clicked.connect(self._close)
        row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        buttons = in_row(self._act, self._copy, close)
        row.addWidget(FoldingRow(self._text, buttons, letters=_WORTH_LETTERS), 1)
        self._messages: list[_Message] = []
        self.hide()

    @property
    def text(self) -> str:
        """The message shown, empty when there is none."""
        return self._messages[-1].text if self._messages else ""

    def say(
        self,
        text: str,
        *,
        report: str = "",
        level: str = "advice",
        action: BarAction | None = None,
        about: str = "",
    ) -> None:
        """Show a sentence; with a report it can be copied.

        A later message about the same thing takes the place of the earlier one.
        """
        self._drop(about)
        self._messages = [m for m in self._messages if m.text != text]
        self._messages.append(_Message(text, report, level, action, about))
        self._show_last()

    def warn(self, about: str, text: str) -> None:
        """Say this about something, or nothing more with an empty text."""
        if text:
            self.say(text, about=about)
        else:
            self.unsay(about)

    def unsay(self, about: str) -> None:
        """Take away what was said about something: it is put right."""
        self._drop(about)
        self._show_last()

    def _drop(self, about: str) -> None:
        if about:
            self._messages = [m for m in self._messages if m.about != about]

    def _show_last(self) -> None:
        if not self._messages:
            self.hide()
            return
        last = self._messages[-1]
        show_sign(self._sign, f"level-{last.level}")
        self._text.setText(last.text)
        self._copy.setVisible(bool(last.report))
        self._act.setVisible(last.action is not None)
        if last.action is not None:
            self._act.setText(last.action[0])
        self.setAccessibleName(last.text)
        self.show()

    def _do_action(self) -> None:
        if self._messages:
            action = self._messages.pop().action
            self._show_last()
            if action is not None:
                action[1]()

    def _copy_report(self) -> None:
        if self._messages:
            QGuiApplication.clipboard().setText(self._messages[-1].report)

    def _close(self) -> None:
        if self._messages:
            self._messages.pop()
        self._show_last()
        self.closed.emit()
