"""One condition noted of several places in one step, each told in its own log.

What is typed is a draft until the button notes it; undo takes it back as one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from blockmap.model.document import Condition, Map
from blockmap.model.edits import set_conditions
from blockmap.model.edits.behind import parts_of
from blockmap.model.errors import BadValue
from blockmap.model.ids import CavityId
from blockmap.model.schema import property_named, read_value
from blockmap.window.behind.chooser import Chooser, place_word
from blockmap.window.inspector.contact_groups import ConditionGroup
from blockmap.window.session import Session
from blockmap.window.this_day import today

__all__ = ["Draft", "SeveralGroup"]

ALL = "*"
"""Stands for every contact of each place."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


class Draft:
    """A condition that is typed and not noted yet."""

    def __init__(self) -> None:
        self._texts: dict[str, str] = {"date": today()}

    def value(self, path: str) -> str | None:
        """Return the text of a property."""
        return self._texts.get(path.rpartition("/")[2], "")

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Keep a property; return the sentence of a refusal."""
        del gesture
        key = path.rpartition("/")[2]
        try:
            read_value(property_named(Condition, key), text, typed=True)
        except BadValue as problem:
            return str(problem)
        self._texts[key] = text
        return None

    @property
    def values(self) -> dict[str, Any]:
        """What is said of the condition, as the map holds it."""
        return {
            key: read_value(property_named(Condition, key), text, typed=True)
            for key, text in self._texts.items()
            if text.strip()
        }


class SeveralGroup(ConditionGroup):
    """The part, the condition, and the button that notes it of all places."""

    def __init__(self, session: Session) -> None:
        super().__init__("feed", _tr("Condition of several places"))
        self._session = session
        self._ids: tuple[CavityId, ...] = ()
        self.draft = Draft()
        self.said = QLabel()
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setWordWrap(True)
        self.part = Chooser(_tr("Part"))
        self.part.box.currentIndexChanged.connect(lambda _n: self.said.clear())
        self.add_above(self.part)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        row = QHBoxLayout()
        self.note_button = QPushButton()
        self.note_button.clicked.connect(self.note)
        row.addWidget(self.note_button)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(self.said)
        self.add(inside)
        self.state.editor.currentIndexChanged.connect(lambda _n: self._show_button())

    def show_places(self, ids: Sequence[CavityId]) -> bool:
        """Offer the parts of these places; tell whether the page must be arranged."""
        if len(ids) < 2:
            self._ids = ()
            return False
        fresh, self._ids = tuple(ids) != self._ids, tuple(ids)
        if fresh:
            self.draft = Draft()
            self.said.clear()
            text = _tr("Condition of %1 places").replace("%1", str(len(ids)))
            self.heading.setText(text)
        self.part.fill(self._choices(), self.part.chosen or ALL)
        for field in self.fields:
            field.show_subject(self.draft, fresh=fresh)
        self._show_button()
        return fresh

    def _choices(self) -> list[tuple[str, str]]:
        document, count = self._session.document, len(self._ids)
        having: dict[str, int] = {}
        for id_ in self._ids:
            for part in parts_of(document.cavities[id_]):
                having[part] = having.get(part, 0) + 1
        found = [(ALL, _tr("all contacts"))]
        for part, number in having.items():
            shown = place_word(part)
            if number < count:
                some = _tr("%1, at %2 of them").replace("%1", shown)
                shown = some.replace("%2", str(number))
            found.append((part, shown))
        return found

    def _show_button(self) -> None:
        text = _tr("Note it at %1 places").replace("%1", str(len(self._ids)))
        self.note_button.setText(text)
        state = str(self.state.editor.currentData() or "")
        self.note_button.setEnabled(bool(state))

    def note(self) -> None:
        """Note the draft of the chosen part of every place, in one step."""
        self.commit()
        if any(field.pending for field in self.fields) or not self._ids:
            return
        before, ids = self._session.document, self._ids
        parts = self._parts(before)
        title = _tr("Note condition of %1 places").replace("%1", str(len(ids)))
        refusal = self._session.carry_out(
            title, set_conditions, ids, parts, self.draft.values
        )
        if refusal:
            self.said.setText(refusal)
            return
        after = self._session.document
        lacking = [
            before.cavities[id_].designation
            for id_ in ids
            if not set(parts) & set(parts_of(after.cavities[id_]))
        ]
        text = _tr("Noted, and told in the log of each place.")
        if lacking:
            text = _tr("Noted; %1 has no such part.")
            text = text.replace("%1", ", ".join(lacking[:12]))
        self.said.setText(text)

    def _parts(self, document: Map) -> tuple[str, ...]:
        if self.part.chosen != ALL:
            return (self.part.chosen,)
        names = (n for id_ in self._ids for n in document.cavities[id_].contact_names)
        return tuple(dict.fromkeys(names))
