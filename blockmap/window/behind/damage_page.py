"""Damage of one place, with repairs and log; and one condition of several places.

Whatever is said of a condition goes through the edit that writes the log as well.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.columns import column
from blockmap.model.document import Cavity, InterimMeasure, Repair
from blockmap.model.edits import add_log, add_repair, remove_repair
from blockmap.model.edits.behind import parts_of
from blockmap.model.ids import CavityId
from blockmap.model.places import condition_at
from blockmap.model.schema import property_named
from blockmap.reference.trade_words import REPAIR_STAGES
from blockmap.window.behind.chooser import Chooser, place_word
from blockmap.window.behind.damage_subjects import (
    InterimSubject,
    RepairSubject,
    next_stage,
    repairs_of,
)
from blockmap.window.behind.photo_row import PhotoRow
from blockmap.window.behind.several import SeveralGroup
from blockmap.window.folding_row import FoldingRow, in_row
from blockmap.window.guard import guarded
from blockmap.window.inspector.contact_groups import ConditionGroup
from blockmap.window.inspector.fields import ChoiceField, Field, FlagField, TextField
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.inspector.paths import ConditionVisit
from blockmap.window.inspector.subjects import CavitySubject
from blockmap.window.legend.wording import condition_words, schema_word
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.this_day import today

__all__ = ["DamagePage"]

_REPAIR_KEYS = ("stage", "what", "part", "price", "source", "date", "note")
MOST_LOG_LINES = 200


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def _trade(word: str) -> str:
    return QCoreApplication.translate("trade", word)


class DamagePage(FormPage):
    """Everything about what is wrong with one cavity and what is done about it."""

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._id: CavityId | None = None
        self._visit = ConditionVisit()
        self.setAcceptDrops(True)
        self._nothing = FormGroup(_tr("Select places to note their damage"))
        self.add_group(self._nothing)
        self.several = SeveralGroup(session)
        self.add_group(self.several)
        self._make_condition()
        self._make_repairs()
        self._make_interim()
        self._make_log()
        self.finish()

    def _make_condition(self) -> None:
        self.where = Chooser(_tr("Part"))
        self.where.box.currentIndexChanged.connect(lambda _n: self._show_where())
        self.condition = ConditionGroup("feed", _tr("Condition"))
        self.condition.add_above(self.where)
        self.photos = PhotoRow(self._session)
        self.condition.add(self.photos)
        self.add_group(self.condition)
        flags = FormGroup(_tr("Use"))
        row = column("do_not_use")
        self.do_not_use = FlagField(
            "do_not_use", schema_word(row.label), schema_word(row.help)
        )
        flags.add(self.do_not_use)
        self._flags = flags

    def _make_repairs(self) -> None:
        self.repairs = FormGroup(_tr("Repairs"))
        self.repair = Chooser(_tr("Repair"))
        self.repair.box.currentIndexChanged.connect(lambda _n: self._show_repair(True))
        self.repairs.add(self.repair)
        self.add_button = QPushButton(_tr("Add repair"))
        self.advance_button = QPushButton()
        self.remove_button = QPushButton(_tr("Remove repair"))
        self.add_button.clicked.connect(self.add_repair)
        self.advance_button.clicked.connect(self.advance)
        self.remove_button.clicked.connect(self._remove)
        onward = in_row(self.add_button, self.advance_button)
        self.repairs.add(FoldingRow(onward, in_row(self.remove_button)))
        self.repair_fields: list[Field] = []
        for key in _REPAIR_KEYS:
            field = self._repair_field(key)
            self.repair_fields.append(field)
            self.repairs.add(field, wide=key in ("what", "part", "note"))
        self.add_group(self.repairs)

    def _repair_field(self, key: str) -> Field:
        row = property_named(Repair, key)
        label, help_text = schema_word(row.label), schema_word(row.help)
        if key == "stage":
            words = [(word, _trade(word)) for word in REPAIR_STAGES]
            return ChoiceField(key, label, help_text, words)
        hint = _tr("year-month-day") if key == "date" else ""
        return TextField(key, label, help_text, hint=hint, numeric=key == "price")

    def _make_interim(self) -> None:
        group = FormGroup(_tr("Interim measure: a patch that must be undone"))
        self.interim_fields: list[Field] = []
        for key in ("what", "where", "since", "until"):
            row = property_named(InterimMeasure, key)
            hint = _tr("year-month-day") if key == "since" else ""
            field = TextField(
                key, schema_word(row.label), schema_word(row.help), hint=hint
            )
            self.interim_fields.append(field)
            group.add(field, wide=key in ("what", "until"))
        self.add_group(group)
        self.add_group(self._flags)

    def _make_log(self) -> None:
        self.log = FormGroup(_tr("Log, newest first; what stands in it stays"))
        inside = QWidget()
        column_ = QVBoxLayout(inside)
        column_.setContentsMargins(0, 0, 0, 0)
        row = QHBoxLayout()
        self.line = QLineEdit()
        self.line.setPlaceholderText(_tr("what was seen, done or decided today"))
        self.line.setAccessibleName(_tr("New line of the log"))
        self.line.returnPressed.connect(self.add_line)
        self.line_button = QPushButton(_tr("Add to log"))
        self.line_button.clicked.connect(self.add_line)
        row.addWidget(self.line, 1)
        row.addWidget(self.line_button)
        column_.addLayout(row)
        self.entries = QLabel()
        self.entries.setTextFormat(Qt.TextFormat.PlainText)
        self.entries.setWordWrap(True)
        self.entries.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.entries.setAccessibleName(_tr("Log"))
        column_.addWidget(self.entries)
        self.log.add(inside)
        self.add_group(self.log)

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        super().commit()
        self.photos.commit()

    # what is shown

    @property
    def cavity(self) -> Cavity | None:
        """The cavity that is shown; None when not exactly one is selected."""
        return self._session.document.cavities.get(self._id or "")

    def refresh(self) -> None:
        """Show the one selected cavity as it is now."""
        ids = self._selection.ids
        id_ = ids[0] if len(ids) == 1 else None
        fresh = id_ != self._id
        self._id = id_
        if fresh:
            self._visit = ConditionVisit(today())
            self.line.clear()
        for group in self.groups:
            if group is self.several:
                wanted = len(ids) > 1
            elif group is self._nothing:
                wanted = not ids
            else:
                wanted = id_ is not None
            if wanted != group.wanted or fresh:
                group.show_group(wanted)
        if self.several.show_places(ids if id_ is None else ()):
            self.arrange()
        if id_ is not None and self.cavity is not None:
            self._show(id_, fresh)
        if fresh:
            self.arrange()

    def _show(self, id_: CavityId, fresh: bool) -> None:
        cavity = self._session.document.cavities[id_]
        self._fill_where(cavity, fresh)
        self._show_condition(fresh)
        subject = CavitySubject(self._session, (id_,))
        self.do_not_use.show_subject(subject, fresh=fresh)
        interim = InterimSubject(self._session, id_)
        for field in self.interim_fields:
            field.show_subject(interim, fresh=fresh)
        self._fill_repairs(fresh)
        self._show_repair(fresh)
        self._show_log(cavity)

    def _fill_where(self, cavity: Cavity, fresh: bool) -> None:
        choices = []
        noted = ""
        for place in parts_of(cavity):
            condition = condition_at(cavity, place)
            shown = place_word(place)
            if condition is not None:
                shown = f"{shown}: {condition_words(condition)}"
                noted = noted or place
            choices.append((place, shown))
        chosen = (noted or choices[0][0]) if fresh else self.where.chosen
        self.where.fill(choices, chosen)

    def _show_where(self) -> None:
        self.condition.commit()
        self._show_condition(True)

    def _show_condition(self, fresh: bool) -> None:
        cavity = self.cavity
        if cavity is None:
            return
        self.condition.move_to(self.where.chosen)
        subject = CavitySubject(self._session, (cavity.id,), self._visit)
        self.condition.show_parts(subject)
        for field in self.condition.shown_fields:
            field.show_subject(subject, fresh=fresh)
        self.photos.show_place(cavity.id, self.where.chosen)
        self.arrange()

    def _fill_repairs(self, fresh: bool) -> None:
        document = self._session.document
        keys = repairs_of(document, self._id or "")
        choices = []
        for key in keys:
            repair = document.repairs[key]
            choices.append((key, f"{key}: {repair.at}, {_trade(repair.stage)}"))
        chosen = self.repair.chosen
        if keys and (fresh or chosen not in keys):
            chosen = keys[-1]
        self.repair.fill(choices, chosen)

    def _show_repair(self, fresh: bool) -> None:
        repair = self._session.document.repairs.get(self.repair.chosen)
        self.repairs.show_field(self.repair, repair is not None)
        for field in self.repair_fields:
            self.repairs.show_field(field, repair is not None)
        self.remove_button.setVisible(repair is not None)
        following = next_stage(repair.stage) if repair else None
        self.advance_button.setVisible(following is not None)
        if following is not None:
            text = _tr("Mark as %1").replace("%1", _trade(following))
            self.advance_button.setText(text)
        if repair is not None:
            subject = RepairSubject(self._session, self.repair.chosen)
            for field in self.repair_fields:
                field.show_subject(subject, fresh=fresh)
        self.arrange()

    def _show_log(self, cavity: Cavity) -> None:
        lines = [
            f"{entry.date or _tr('no date')}  {entry.text}"
            for entry in reversed(cavity.log[-MOST_LOG_LINES:])
        ]
        text = "\n".join(lines) or _tr("Nothing yet.")
        if text != self.entries.text():
            self.entries.setText(text)

    # edits

    def add_repair(self) -> None:
        """Enter a repair of the part that is shown, found today."""
        cavity = self.cavity
        if cavity is None:
            return
        where = self.where.chosen
        condition = condition_at(cavity, where)
        stage = (condition.stage if condition else None) or "found"
        at = f"{cavity.id}.{where}" if where else cavity.id
        repair = Repair(at=at, stage=stage, date=today())
        title = _tr("Add repair at %1").replace("%1", f"{cavity.designation} {where}")
        if self._session.edit(title, add_repair, repair):
            key = str(self._session.last_result)
            self._fill_repairs(True)
            self.repair.box.setCurrentIndex(self.repair.box.findData(key))
            self._show_repair(True)
            self.go_to(self.repair_fields[1])

    def advance(self) -> None:
        """Bring the shown repair to its next stage, as of today."""
        repair = self._session.document.repairs.get(self.repair.chosen)
        following = next_stage(repair.stage) if repair else None
        if following is not None:
            RepairSubject(self._session, self.repair.chosen).advance(following)

    def _remove(self) -> None:
        title = _tr("Remove repair %1").replace("%1", self.repair.chosen)
        self._session.edit(title, remove_repair, self.repair.chosen)

    def add_line(self) -> None:
        """Add what is typed to the log, dated today."""
        cavity, text = self.cavity, self.line.text().strip()
        if cavity is None or not text:
            return
        title = _tr("Add to the log of %1").replace("%1", cavity.designation)
        if self._session.edit(title, add_log, cavity.id, text, today()):
            self.line.clear()

    # a picture dropped on the page is a photo; a map is opened by the window

    @guarded()
    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if self.cavity is not None and _pictures(event):
            event.acceptProposedAction()
        else:
            event.ignore()

    @guarded()
    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        event.setAccepted(self.cavity is not None and bool(_pictures(event)))

    @guarded()
    def dropEvent(self, event: QDropEvent) -> None:
        self.photos.add(_pictures(event))
        event.acceptProposedAction()


def _pictures(event: QDropEvent) -> list[Path]:
    """Return the dropped files that are no maps by their name."""
    urls = event.mimeData().urls()
    files = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
    return [f for f in files if f.suffix.lower() not in (".yaml", ".blockmap")]
