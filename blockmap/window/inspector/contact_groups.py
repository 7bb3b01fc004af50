"""The inspector's groups for contacts: wires, what feeds them, and their condition.

Groups are made when a cavity first needs them and used again for the next one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QWidget

from blockmap.model.document import Cavity, Wire
from blockmap.reference.trade_words import (
    CONDITIONS,
    JUDGED_BY,
    REPAIR_STAGES,
    SEVERITIES,
)
from blockmap.window.inspector.fields import ChoiceField, Field, TextField
from blockmap.window.inspector.form import FormGroup
from blockmap.window.inspector.paths import row_of_path
from blockmap.window.inspector.subjects import Subject
from blockmap.window.legend.suggestions import Suggestion, suggest
from blockmap.window.legend.swatches import wire_row
from blockmap.window.legend.wording import hint, schema_word
from blockmap.window.session import Session

if TYPE_CHECKING:
    from blockmap.window.inspector.form import FormPage

__all__ = ["ConditionGroup", "ContactGroups"]

_DETAILS = ("judged", "date", "stage", "note")


def _tr(text: str) -> str:
    return QCoreApplication.translate("inspector", text)


def _trade(word: str) -> str:
    return QCoreApplication.translate("trade", word)


def _with_none(words: Sequence[str]) -> list[tuple[str, str]]:
    return [("", "—"), *((word, _trade(word)) for word in words)]


class ConditionGroup(FormGroup):
    """The condition of one contact or part; its details show when there is one."""

    def __init__(self, where: str, heading: str) -> None:
        super().__init__(heading)
        self.where = where
        self._add_condition(where)
        self._name_fields()

    def _add_condition(self, where: str) -> None:
        base = f"condition/{where}"
        severities = [
            ("", "—"),
            *((str(n), f"{n} {_trade(word)}") for n, word in SEVERITIES.items()),
        ]
        self.state = self._choice(f"{base}/state", _with_none(CONDITIONS))
        self.details: list[Field] = [
            self._choice(f"{base}/severity", severities),
            self._text(f"{base}/judged", JUDGED_BY, _tr("such as grip test")),
            self._text(f"{base}/date", (), _tr("year-month-day")),
            self._choice(f"{base}/stage", _with_none(REPAIR_STAGES)),
            self._text(f"{base}/note", (), ""),
        ]
        self.add(self.state)
        for number, field in enumerate(self.details):
            self.add(field, wide=number == len(self.details) - 1)

    def _name_fields(self) -> None:
        for field in self.fields:
            field.set_accessible_prefix(self.heading.text())

    def _choice(self, path: str, words: list[tuple[str, str]]) -> ChoiceField:
        row = row_of_path(path)
        return ChoiceField(path, schema_word(row.label), schema_word(row.help), words)

    def _text(self, path: str, known: Sequence[str], hint_text: str) -> TextField:
        row = row_of_path(path)
        field = TextField(
            path, schema_word(row.label), schema_word(row.help), hint=hint_text
        )
        if known:
            field.editor.set_provider(lambda text: _starting(known, text))
        return field

    def add_above(self, widget: QWidget) -> None:
        """Put something that spans the group above its fields."""
        self.add(widget)
        self._fields.insert(0, self._fields.pop())

    def move_to(self, where: str) -> None:
        """Show the condition of another part of the same cavity."""
        self.where = where
        for field in self.fields:
            field.path = f"condition/{where}/{field.path.rpartition('/')[2]}"

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        for field in self.fields:
            if field.pending:
                field.commit()

    def show_parts(self, subject: Subject) -> None:
        """Show the details of a condition only where there is one."""
        state = subject.value(f"condition/{self.where}/state")
        for field in self.details:
            self.show_field(field, state != "")


def _starting(known: Sequence[str], text: str) -> tuple[Suggestion, ...]:
    start = text.strip().casefold()
    return tuple(Suggestion(w) for w in known if w.startswith(start) and w != start)


class _WireSwatches(QLabel):
    """The colours of the wires, beside the words that name them."""

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)

    def show_wires(self, wires: Sequence[Wire]) -> None:
        """Show one small picture a wire; none hides it."""
        self.setVisible(bool(wires))
        if not wires:
            return
        height = max(8, round(self.fontMetrics().height() * 0.6))
        ratio = self.devicePixelRatioF()
        ink = self.palette().color(QPalette.ColorRole.Text).name()
        colours = tuple(wire.colour for wire in wires)
        self.setPixmap(wire_row(colours, height, ink, ratio))


class ContactGroup(ConditionGroup):
    """One contact: its wires, what feeds it, its condition."""

    def __init__(self, name: str, session: Session) -> None:
        FormGroup.__init__(self, _heading(name))
        self.where = self.name = name
        self._session = session
        self.swatches = _WireSwatches()
        self._code = ""
        row = row_of_path("contact/x/wires")
        self.wires = TextField(
            f"contact/{name}/wires",
            schema_word(row.label),
            _tr("colour and gauge of each wire, parted by semicolons"),
            before=[self.swatches],
        )
        self.wires.editor.set_provider(self._wires_offered)
        fed = row_of_path("contact/x/fed_from")
        self.fed_from = TextField(
            f"contact/{name}/fed_from",
            schema_word(fed.label),
            schema_word(fed.help),
            hint=_tr("such as F7.load"),
        )
        self.add(self.wires, wide=True)
        self.add(self.fed_from)
        self.add(self._text(f"contact/{name}/terminal", (), ""))
        self._add_condition(name)
        self._name_fields()

    def _wires_offered(self, text: str) -> tuple[Suggestion, ...]:
        return suggest(self._session.document, None, "wires", text)

    def show_code(self, code: str) -> None:
        """Show in which code wire colours are typed."""
        if code != self._code:
            self._code = code
            self.wires.set_hint(hint("feed_wires", code))

    def show_wires(self, cavities: Sequence[Cavity]) -> None:
        """Show the colours of the wires when all cavities have the same."""
        wires = cavities[0].contact(self.name).wires if cavities else ()
        alike = all(c.contact(self.name).wires == wires for c in cavities)
        self.swatches.show_wires(wires if alike else ())


def _heading(name: str) -> str:
    named = {
        "feed": _tr("Feed contact"),
        "load": _tr("Load contact"),
        "pin": _tr("Contact"),
    }
    return named.get(name) or _tr("Contact %1").replace("%1", name)


MOST_CONTACTS = 12
"""Most contacts shown for one cavity; the file can hold more."""


class ContactGroups:
    """The groups of the contacts that all selected cavities have."""

    def __init__(self, page: FormPage, session: Session) -> None:
        self._page, self._session = page, session
        self._at = len(page.groups)
        self._groups: dict[str, ContactGroup] = {}
        for name in ("feed", "load"):
            self._make(name)

    def _make(self, name: str) -> ContactGroup:
        group = ContactGroup(name, self._session)
        self._page.insert_group(self._at + len(self._groups), group)
        self._groups[name] = group
        return group

    def show_contacts(self, cavities: Sequence[Cavity], code: str) -> None:
        """Show a group for each contact that all these cavities have."""
        names = _shared_names(cavities)
        made = [name for name in names if name not in self._groups]
        for name in made:
            self._make(name)
        for name, group in self._groups.items():
            group.show_group(name in names)
            if name in names:
                group.show_code(code)
                group.show_wires(cavities)
        if made:
            self._page.finish()


def _shared_names(cavities: Sequence[Cavity]) -> tuple[str, ...]:
    if not cavities:
        return ()
    kinds = {(c.form, c.kind, tuple(c.contacts)): c for c in cavities}
    first, *rest = (c.contact_names for c in kinds.values())
    return tuple(n for n in first if all(n in other for other in rest))[:MOST_CONTACTS]
