"""What is said of one finding, and the line in which it is accepted with a reason.

No dialog: the line opens under the finding, Enter accepts, Esc gives up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.edits import accept_finding, withdraw_acceptance
from blockmap.window.folding_row import FoldingRow, in_row
from blockmap.window.guard import guarded
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.session import Session
from blockmap.window.this_day import today

if TYPE_CHECKING:
    from blockmap.analysis.findings import Finding

__all__ = ["AcceptanceLine"]

_WORTH_LETTERS = 40
"""Room a reason is worth beside its buttons, else they go below it."""


class _ReasonEdit(QLineEdit):
    """A line that Esc gives up."""

    given_up = Signal()

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)


class AcceptanceLine(QWidget):
    """Why a finding matters and what to do, with the buttons that judge it.

    origin_wanted asks for where the finding's numbers come from.
    """

    origin_wanted = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._finding: Finding | None = None
        self._key = ""
        self.text = QLabel()
        self.text.setTextFormat(Qt.TextFormat.PlainText)
        self.text.setWordWrap(True)
        self.text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.text.setSizePolicy(
            QSizePolicy.Policy.Preferred, QSizePolicy.Policy.MinimumExpanding
        )
        self.origin = QPushButton(self.tr("&Where from?"))
        self.accept_button = QPushButton(self.tr("Acce&pt with a reason…"))
        self.withdraw_button = QPushButton(self.tr("Wi&thdraw"))
        self.reason = _ReasonEdit()
        self.reason.setPlaceholderText(
            self.tr("Why it may stay, such as: measured at 14 A on the road")
        )
        self.reason.setAccessibleName(self.tr("Reason"))
        self.accept = QPushButton(self.tr("Accept"))
        self.cancel = QPushButton(self.tr("Cancel"))
        self.message = InlineMessage()
        self._arrange()
        self.origin.clicked.connect(self._ask_origin)
        self.accept_button.clicked.connect(self.begin)
        self.withdraw_button.clicked.connect(self.withdraw)
        self.reason.returnPressed.connect(self.finish)
        self.reason.given_up.connect(self.give_up)
        self.accept.clicked.connect(self.finish)
        self.cancel.clicked.connect(self.give_up)
        self.show_finding(None)

    def _arrange(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 8, 4)
        column.setSpacing(4)
        column.addWidget(self.text)
        buttons = QHBoxLayout()
        for button in (self.origin, self.accept_button, self.withdraw_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column.addLayout(buttons)
        judged = in_row(self.accept, self.cancel)
        self._line = FoldingRow(self.reason, judged, letters=_WORTH_LETTERS)
        column.addWidget(self._line)
        column.addWidget(self.message)

    def show_finding(self, finding: Finding | None, lapsed: str = "") -> None:
        """Show a finding, or an acceptance by its key that stands for nothing now."""
        same = (
            finding is not None
            and self._finding is not None
            and (finding.code, finding.objects)
            == (self._finding.code, self._finding.objects)
        )
        if not same:
            self.give_up()
        self._finding = finding
        self._key = finding.acceptance if finding else lapsed
        held = self._session.document.accepted.get(self._key)
        said = ""
        if finding is not None:
            said = f"{_first_large(finding.why)}. {_first_large(finding.todo)}."
            if held is not None and finding.accepted is not None:
                said = f"{self._accepted_words(held.reason, held.date)}. {said}"
            elif held is not None:
                lapsed_words = self.tr("Accepted earlier when it said: %1")
                said = f"{lapsed_words.replace('%1', held.said)}. {said}"
        elif held is not None:
            said = self._accepted_words(held.reason, held.date)
        self.text.setText(_first_large(said))
        self.setVisible(bool(said))
        self._show_buttons()

    def _accepted_words(self, reason: str, date: str | None) -> str:
        if date:
            words = self.tr("Accepted on %1: %2").replace("%1", date)
        else:
            words = self.tr("Accepted: %2")
        return words.replace("%2", reason)

    def _show_buttons(self) -> None:
        finding, open_ = self._finding, not self._line.isHidden()
        held = self._key in self._session.document.accepted
        counts = finding is not None and finding.accepted is None
        self.origin.setVisible(finding is not None and bool(finding.figures))
        self.accept_button.setVisible(counts and not open_)
        self.withdraw_button.setVisible(held and not open_)

    def begin(self) -> None:
        """Open the line for the reason."""
        if self._finding is None or self._finding.accepted is not None:
            return
        self._line.show()
        self._show_buttons()
        self.reason.setFocus()

    def give_up(self) -> None:
        """Close the line and forget what was typed."""
        self.reason.clear()
        self.message.clear()
        self._line.hide()
        self._show_buttons()

    def finish(self) -> None:
        """Accept the finding for the reason typed."""
        finding, reason = self._finding, self.reason.text()
        if finding is None:
            return
        if not reason.strip():
            self.message.say(self.tr("Say why: in a year nobody remembers"))
            return
        done = self._session.edit(
            self.tr("Accept finding"),
            accept_finding,
            finding.code,
            finding.objects,
            finding.what,
            reason,
            today(),
        )
        if done:
            self.give_up()

    def withdraw(self) -> None:
        """Take the acceptance back."""
        if self._key:
            self._session.edit(
                self.tr("Withdraw acceptance"), withdraw_acceptance, self._key
            )

    def _ask_origin(self) -> None:
        if self._finding is not None:
            self.origin_wanted.emit(self._finding)


def _first_large(text: str) -> str:
    return text[:1].upper() + text[1:]
