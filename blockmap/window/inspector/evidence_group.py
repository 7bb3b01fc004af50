"""The inspector's group for evidence: how each fact is known, by which test, when."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QGridLayout

from blockmap.model.columns import column
from blockmap.model.document import Cavity, Evidence
from blockmap.model.evidence import FACT_KEYS, facts_of
from blockmap.model.schema import Property, property_named
from blockmap.reference.trade_words import EVIDENCE_WORDS, JUDGED_BY
from blockmap.window.inspector.fields import ChoiceField, Field, TextField
from blockmap.window.inspector.form import FormGroup, empty
from blockmap.window.inspector.subjects import Subject
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.legend.wording import schema_word

__all__ = ["EvidenceGroup"]


def _tr(text: str) -> str:
    return QCoreApplication.translate("inspector", text)


_COLUMN_OF = {"feed_end": "feed_side"}


class _FactField(Field):
    """One fact: how it is known, by which test and when, side by side."""

    def __init__(self, fact: str) -> None:
        title = schema_word(column(_COLUMN_OF.get(fact, fact)).label)
        super().__init__(
            f"evidence/{fact}/how", title, schema_word(_evidence("how").help)
        )
        self.fact = fact
        words = [("", _tr("not said")), *((w, _word(w)) for w in EVIDENCE_WORDS)]
        self.how = ChoiceField(
            self.path, _tr("known how"), schema_word(_evidence("how").help), words
        )
        self.test = self._text("test", _tr("by which test"))
        self.date = self._text("date", _tr("year-month-day"))
        self.test.editor.set_provider(_tests)
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(6)
        for part in self.parts:
            part.set_accessible_prefix(title)
            part.label.hide()
        self._column.addLayout(self._grid)
        self.set_narrow(False)
        self.label.setBuddy(self.how.editor)
        self.setFocusProxy(self.how.editor)

    def _text(self, name: str, hint: str) -> TextField:
        row = _evidence(name)
        path = f"evidence/{self.fact}/{name}"
        label, help_text = schema_word(row.label), schema_word(row.help)
        return TextField(path, label, help_text, hint=hint, numeric=True)

    def set_narrow(self, narrow: bool) -> None:
        """Put test and date under the word where there is little room."""
        empty(self._grid)
        self._grid.addWidget(self.how, 0, 0, 1, 2 if narrow else 1)
        for place, part in enumerate(self.parts[1:]):
            self._grid.addWidget(part, int(narrow), place + int(not narrow))
        for place, stretch in enumerate((4, 3, 0) if narrow else (3, 4, 3)):
            self._grid.setColumnStretch(place, stretch)

    @property
    def parts(self) -> tuple[Field, ...]:
        """The three fields of the row."""
        return (self.how, self.test, self.date)

    @property
    def pending(self) -> bool:
        """True while one of them holds a text that is not committed."""
        return any(part.pending for part in self.parts)

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        for part in self.parts:
            part.commit()

    def show_subject(self, subject: Subject, *, fresh: bool) -> None:
        """Show how the fact is known; test and date only where something is said."""
        for part in self.parts:
            part.show_subject(subject, fresh=fresh)
        said = subject.value(self.path) != ""
        for part in self.parts[1:]:
            part.setEnabled(said)


def _evidence(name: str) -> Property:
    return property_named(Evidence, name)


def _word(word: str) -> str:
    said = {
        "seen": _tr("seen on the car"),
        "book": _tr("from the book"),
        "guess": _tr("a guess"),
        "unknown": _tr("unknown"),
    }
    return said.get(word, word)


def _tests(text: str) -> tuple[Suggestion, ...]:
    start = text.strip().casefold()
    return tuple(Suggestion(w) for w in JUDGED_BY if w.startswith(start) and w != start)


class EvidenceGroup(FormGroup):
    """A row for each fact that one of the selected cavities holds."""

    def __init__(self) -> None:
        super().__init__(_tr("Evidence: how each fact is known"))
        self.rows = {fact: _FactField(fact) for fact in FACT_KEYS}
        for field in self.rows.values():
            self.add(field, wide=True)
        self.facts: frozenset[str] = frozenset()

    def show_facts(self, cavities: Sequence[Cavity]) -> None:
        """Show the rows of the facts that are held."""
        facts = frozenset(fact for c in cavities for fact in facts_of(c))
        self.show_group(bool(facts))
        if facts == self.facts:
            return
        self.facts = facts
        for fact, field in self.rows.items():
            self.show_field(field, fact in facts)
