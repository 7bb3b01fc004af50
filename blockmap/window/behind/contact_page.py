"""The contacts of the selected place: strip, terminal, wires and their other ends.

For each contact it answers whether it can be replaced singly, and leads along wires
and up to the supply. It changes nothing.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from blockmap.analysis.behind.paths import trace_up, what_dies
from blockmap.model.document import Map
from blockmap.model.ids import CavityId, ContactRef
from blockmap.model.places import PlaceIndex
from blockmap.window.behind.asking import Asker
from blockmap.window.behind.links import LinkedLabel
from blockmap.window.behind.strip_edits import supply_contact
from blockmap.window.behind.words import contact_words, dies_words, trace_words
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["ContactPage", "all_contact_words"]

MOST_CONTACTS = 12
MOST_TRACES = 4


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def all_contact_words(document: Map, id_: CavityId) -> tuple[str, ...]:
    """Return a paragraph for each contact, then the ways up to the supply."""
    cavity = document.cavities.get(id_)
    if cavity is None:
        return ()
    index = PlaceIndex(document)
    found = []
    told = {supply_contact(cavity), cavity.main_contact}
    for name in cavity.contact_names[:MOST_CONTACTS]:
        words = contact_words(document, cavity, name, index)
        if name in told:
            dies = what_dies(document, ContactRef(id_, name))
            words += "<br>" + dies_words(document, dies)
        found.append(words)
    if cavity.contact_names:
        found += [
            trace_words(document, trace)
            for trace in trace_up(document, id_)[:MOST_TRACES]
            if len(trace.nodes) > 1
        ]
    return tuple(found)


class ContactPage(QScrollArea):
    """Paragraphs with links; jumped carries what a link names."""

    jumped = Signal(str)

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._asked: CavityId | None = None
        self.asker = Asker(session, self)
        self.asker.answered.connect(self._show)
        self._laid_out = QTimer(self)
        self._laid_out.setSingleShot(True)
        self._laid_out.setInterval(0)
        self._laid_out.timeout.connect(self.show_contact)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(8, 6, 8, 8)
        self._column.setSpacing(10)
        self._nothing = QLabel()
        self._nothing.setTextFormat(Qt.TextFormat.PlainText)
        self._nothing.setWordWrap(True)
        self._column.addWidget(self._nothing)
        self._column.addStretch(1)
        self.setWidget(inside)
        self.labels: list[LinkedLabel] = []
        self.setAccessibleName(_tr("Contacts"))

    def refresh(self) -> None:
        """Ask anew what is behind the one selected place."""
        if not self.isVisible():
            return
        ids = self._selection.ids
        id_ = ids[0] if len(ids) == 1 else None
        if id_ is None:
            self._asked = None
            self.asker.ask(None)
            self._show(())
            return
        if id_ != self._asked:
            self._asked = id_
            self._show(())
            self._nothing.hide()
        self.asker.ask(lambda document: all_contact_words(document, id_))

    def show_contact(self) -> None:
        """Bring the words about the contact that was asked for in sight."""
        id_ = self._selection.current
        cavity = self._session.document.cavities.get(id_ or "")
        names = cavity.contact_names[:MOST_CONTACTS] if cavity else ()
        if self._selection.contact in names:
            label = self.labels[names.index(self._selection.contact) :][:1]
            if label and label[0].isVisible():
                bar = self.verticalScrollBar()
                bar.setValue(label[0].y())

    def _show(self, words: tuple[str, ...]) -> None:
        while len(self.labels) < len(words):
            label = LinkedLabel()
            label.jumped.connect(self.jumped)
            self._column.insertWidget(self._column.count() - 1, label)
            self.labels.append(label)
        for number, label in enumerate(self.labels):
            label.show_words(words[number] if number < len(words) else "")
        self._nothing.setVisible(not words)
        self._nothing.setText(
            _tr("This place has no contacts.")
            if self._asked
            else _tr("Select one place to see what is behind it.")
        )
        if words:
            self._laid_out.start()
