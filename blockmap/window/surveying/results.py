"""What follows from the survey: feed classes with their offers, contradictions, gaps.

It is worked out in another thread. A strip is made only when its button is pressed.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.isolation.feed_classes import FeedClass, Offer
from blockmap.analysis.isolation.survey import Contradiction, Survey
from blockmap.window.behind.links import LinkedLabel, jump
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.rolled import rolled
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.surveying.strip_offers import (
    class_words,
    contradiction_words,
    offer_title,
    offered_strip,
    undecided_words,
)

__all__ = ["ResultsPage", "gathered"]


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


def gathered(found: Survey) -> list[list[Contradiction]]:
    """Return the contradictions, those of one strip found the same way together."""
    groups: dict[tuple[str, str, str, str], list[Contradiction]] = {}
    for each in found.contradictions:
        alone = "" if each.strip else each.contact.text()
        key = (each.strip or alone, each.found, each.expected, each.contact.contact)
        groups.setdefault(key, []).append(each)
    return list(groups.values())


class ResultsPage(QWidget):
    """The results of one survey; jumped tells that a place was gone to."""

    jumped = Signal()

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._found: Survey | None = None
        self._drawn: Survey | None = None
        self._counts = ""
        self.buttons: list[QPushButton] = []
        self.words: list[LinkedLabel] = []
        self.message = InlineMessage()
        self._body = QWidget()
        self._area = rolled(self._body, sideways=False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 0, 8, 0)
        whole.addWidget(self.message)
        whole.addWidget(self._area, 1)
        self.setAccessibleName(_tr("What follows from the survey"))

    def show_survey(self, found: Survey, counts: str) -> None:
        """Show the results of a survey, and how much of it is done."""
        self._found, self._counts = found, counts
        if self.isVisible():
            self.come_forward()

    def come_forward(self) -> None:
        """Show what came while the page was behind others."""
        if self._found is not None and self._found is not self._drawn:
            self._drawn = self._found
            self._draw(self._found)

    def _draw(self, found: Survey) -> None:
        within = self._area.focusWidget()
        had_focus = within is not None and within.hasFocus()
        self.buttons, self.words = [], []
        self._body = QWidget()
        column = QVBoxLayout(self._body)
        column.setContentsMargins(0, 0, 0, 6)
        column.setSpacing(6)
        self._paragraph(column, self._counts)
        against = gathered(found)
        self._heading(column, _tr("Against the map"), len(against))
        document = self._session.document
        for each in against:
            self._paragraph(column, contradiction_words(document, each))
        if not against:
            self._paragraph(
                column, _tr("Nothing that was tested goes against the map.")
            )
        self._heading(column, _tr("Live in the same states"), len(found.classes))
        if not found.classes:
            self._paragraph(
                column,
                _tr(
                    "Nothing is tested yet. On the grid, note what each contact shows "
                    "with the key off, then in each other state. Contacts that are "
                    "live in the same states are grouped here."
                ),
            )
        else:
            self._paragraph(
                column,
                _tr(
                    "Live together is not yet one piece of metal: look from behind "
                    "before you count on a strip."
                ),
            )
        usual = {state for one in found.classes for state in one.tested}
        for one in found.classes:
            self._paragraph(column, class_words(document, one, usual))
            for offer in one.offers:
                self._offer(column, one, offer)
        for doubt in found.undecided:
            self._paragraph(column, undecided_words(document, doubt))
        column.addStretch(1)
        self._area.setWidget(self._body)
        if had_focus and self.buttons:
            self.buttons[0].setFocus()

    @staticmethod
    def _heading(column: QVBoxLayout, text: str, count: int) -> None:
        label = QLabel(f"{text} ({count})" if count else text)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        column.addWidget(label)

    def _paragraph(self, column: QVBoxLayout, words: str) -> None:
        label = LinkedLabel()
        label.show_words(words)
        label.jumped.connect(self._jump)
        column.addWidget(label)
        self.words.append(label)

    def _offer(self, column: QVBoxLayout, found: FeedClass, offer: Offer) -> None:
        button = QPushButton(offer_title(self._session.document, offer))
        button.setToolTip(_tr("One step, which undo takes back"))
        button.clicked.connect(self._taker(found, offer, button.text()))
        self.buttons.append(button)
        row = QHBoxLayout()
        row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)

    def _taker(self, found: FeedClass, offer: Offer, title: str) -> Callable[[], None]:
        def take() -> None:
            refusal = self._session.carry_out(title, offered_strip, offer, found)
            self.message.say(refusal or "")
            if not refusal:
                self._selection.select_strip(self._session.last_result)

        return take

    def _jump(self, target: str) -> None:
        jump(self._session, self._selection, target)
        self.jumped.emit()
