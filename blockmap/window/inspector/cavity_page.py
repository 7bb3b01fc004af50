"""The inspector's page for one or several cavities."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QDate, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QPushButton

from blockmap.model.columns import column
from blockmap.model.document import Cavity, Evidence, Map
from blockmap.model.edits.tagging import set_evidence
from blockmap.model.evidence import facts_of
from blockmap.model.geometry import Point, Size, View, side_word
from blockmap.model.units import number_text
from blockmap.reference.forms import KINDS
from blockmap.window.inspector.contact_groups import ConditionGroup, ContactGroups
from blockmap.window.inspector.evidence_group import EvidenceGroup
from blockmap.window.inspector.fields import (
    ChoiceField,
    Field,
    FlagField,
    LongTextField,
    TextField,
)
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.inspector.paths import ConditionVisit
from blockmap.window.inspector.subjects import CavitySubject
from blockmap.window.legend.suggestions import Suggestion, suggest
from blockmap.window.legend.wording import hint, schema_word
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["CavityPage"]

_NUMBERS = ("x_mm", "y_mm", "width_mm", "height_mm", "turn_deg")
_SUGGESTED = (
    "form",
    "rating_a",
    "fitted_a",
    "fitted_form",
    "circuit",
    "legend",
    "legend_long",
    "legend_short",
    "loads",
)
_WIDE = ("circuit", "loads", "legend_long", "notes")


class CavityPage(FormPage):
    """Every property of the selected cavities, in groups."""

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._visit = ConditionVisit()
        self._subject = CavitySubject(session, ())
        self._code = ""
        self._add_place()
        self._add_texts(_tr("What it is"), ("kind", "own", "moulded", "manual"))
        self._add_more(("form", "rating_a", "fitted_a", "fitted_form"))
        self._add_texts(
            _tr("Circuit"),
            ("circuit", "legend", "legend_short", "legend_long", "loads"),
        )
        self.contacts = ContactGroups(self, session)
        for part in ("fuse", "housing"):
            self.add_group(ConditionGroup(f"@{part}", _tr(_PART_HEADINGS[part])))
        self.evidence = EvidenceGroup()
        self.add_group(self.evidence)
        self._add_seen_today()
        self._add_texts(_tr("Flags and notes"), ("do_not_use", "off_panel", "notes"))
        self.finish()

    def _add_place(self) -> None:
        group = FormGroup(_tr("Place and size"))
        for key in _NUMBERS:
            group.add(self._field(key))
        self._side = ChoiceField(
            "feed_side",
            schema_word(column("feed_side").label),
            schema_word(column("feed_side").help),
            self._sides,
        )
        group.add(self._side)
        self.in_view = QLabel()
        self.in_view.setTextFormat(Qt.TextFormat.PlainText)
        self.in_view.setWordWrap(True)
        self.in_view.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.in_view.setForegroundRole(QPalette.ColorRole.PlaceholderText)
        group.add(self.in_view)
        self.add_group(group)

    def _add_texts(self, heading: str, keys: Sequence[str]) -> None:
        group = FormGroup(heading)
        for key in keys:
            group.add(self._field(key), wide=key in _WIDE)
        self.add_group(group)

    def _add_more(self, keys: Sequence[str]) -> None:
        for key in keys:
            self.groups[-1].add(self._field(key))

    def _field(self, key: str) -> Field:
        row = column(key)
        label = schema_word(row.label)
        label = f"{label} ({row.unit})" if row.unit else label
        help_text = schema_word(row.help)
        if key == "kind":
            words = [
                (kind, QCoreApplication.translate("trade", kind)) for kind in KINDS
            ]
            return ChoiceField(key, label, help_text, words)
        if key in ("do_not_use", "off_panel"):
            return FlagField(key, label, help_text)
        if key == "notes":
            return LongTextField(key, label, help_text)
        field = TextField(
            key, label, help_text, numeric=row.numeric, hint=hint(key, "")
        )
        if key in _SUGGESTED:
            field.editor.set_provider(lambda text: self._offers(key, text))
        return field

    def _offers(self, key: str, text: str) -> tuple[Suggestion, ...]:
        cavities = self._subject.cavities
        only = cavities[0] if cavities else None
        found = suggest(self._session.document, only, key, text)
        return tuple(Suggestion(one.text, one.note) for one in found)

    def _sides(self) -> list[tuple[str, str]]:
        """Return the sides the feed contact can lie on, as the cavities are turned."""
        sides = {
            tuple(side_word(c.centre, end) for end in c.ends)
            for c in self._subject.cavities
        }
        words = [*sides.pop(), "unknown"] if len(sides) == 1 else ["unknown"]
        return [(word, QCoreApplication.translate("trade", word)) for word in words]

    def _add_seen_today(self) -> None:
        self.seen_today = QPushButton(_tr("All &seen on the car today"))
        self.seen_today.setToolTip(
            _tr("Say of every fact of the selected cavities that it was seen today")
        )
        self.seen_today.setObjectName("seen today")
        self.seen_today.clicked.connect(self._mark_seen)
        self.evidence.add(self.seen_today)

    def _mark_seen(self) -> None:
        today = QDate.currentDate().toString(Qt.DateFormat.ISODate)
        cavities = self._subject.cavities
        text = _tr("Mark all facts of %1 as seen")
        one = cavities[0].designation if len(cavities) == 1 else ""
        several = _tr("%1 cavities").replace("%1", str(len(cavities)))
        text = text.replace("%1", one or several)
        self._session.edit(text, _all_seen, tuple(c.id for c in cavities), today)

    def show_cavities(self, ids: tuple[str, ...], *, fresh: bool) -> None:
        """Show these cavities; fresh when others were shown before."""
        if fresh:
            today = QDate.currentDate().toString(Qt.DateFormat.ISODate)
            self._visit = ConditionVisit(today)
        self._subject = CavitySubject(self._session, ids, self._visit)
        cavities = self._subject.cavities
        code = self._session.document.car.colour_code
        self.contacts.show_contacts(cavities, code)
        self.evidence.show_facts(cavities)
        for group in self.groups:
            if isinstance(group, ConditionGroup):
                group.show_parts(self._subject)
        self.show_view()
        self.show_subject(self._subject, fresh=fresh)

    def show_view(self) -> None:
        """Say where the cavity lies in the view that is shown, if not the front."""
        view, cavities = self._selection.view, self._subject.cavities
        text = ""
        if view is not View.FRONT and len(cavities) == 1:
            block = self._session.document.blocks[cavities[0].block]
            text = _place_in(view, cavities[0], block.size)
        self.in_view.setText(text)
        self.groups[0].show_field(self.in_view, bool(text))
        self.arrange()


_PART_HEADINGS = {"fuse": "Fuse or part in it", "housing": "Housing"}


def _place_in(view: View, cavity: Cavity, size: Size) -> str:
    """Return 'In rear view: x 80 mm, y 20 mm, feed left'."""
    centre = view.apply(cavity.centre, size)
    text = _tr("In %1: x %2 mm, y %3 mm")
    text = text.replace("%1", _view_name(view))
    text = text.replace("%2", number_text(round(centre.x_mm, 3)))
    text = text.replace("%3", number_text(round(centre.y_mm, 3)))
    if cavity.feed_end != "unknown":
        start, finish = cavity.ends
        end: Point = start if cavity.feed_end == "start" else finish
        side = side_word(centre, view.apply(end, size))
        word = QCoreApplication.translate("trade", side)
        text += _tr(", feed %1").replace("%1", word)
    return text


def _view_name(view: View) -> str:
    return {
        View.REAR: _tr("rear view"),
        View.FLIPPED: _tr("the flipped view"),
        View.TURNED: _tr("the turned view"),
    }.get(view, _tr("front view"))


def _all_seen(document: Map, ids: tuple[str, ...], date: str) -> Map:
    """Say of every fact not yet seen that it was seen on this date."""
    for id_ in ids:
        for key in facts_of(document.cavities[id_]):
            old = document.cavities[id_].evidence.get(key)
            if old is None or old.how != "seen":
                test = old.test if old else ""
                seen = Evidence(how="seen", test=test, date=date)
                document = set_evidence(document, [id_], key, seen)
    return document


def _tr(text: str) -> str:
    return QCoreApplication.translate("inspector", text)
