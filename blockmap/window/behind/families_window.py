"""The terminal families beside the map: looked up, copied, changed, given to contacts.

What ships is only read; a copy in the map can be changed. Every change is one edit of
the session, and the release cards follow.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QSignalBlocker, QSize, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import TerminalFamily
from blockmap.model.edits import (
    assign_family,
    copy_family,
    remove_family,
    set_block_text,
    set_family_text,
)
from blockmap.model.schema import property_named, value_text
from blockmap.model.terminals import family_key
from blockmap.window.behind.family_list import FamilyRow, FamilyTable, family_rows
from blockmap.window.behind.links import LinkedLabel, cavity_links, jump
from blockmap.window.guard import guarded
from blockmap.window.inspector.fields import (
    Field,
    LongTextField,
    TextField,
)
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.inspector.schema_fields import field_of
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.wording import schema_word
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.side_dialog import SideDialog
from blockmap.window.window_place import fit_on_screen

__all__ = ["FamiliesWindow", "FamilySubject"]

_WIDE = ("name", "lock_first", "tool", "steps", "known", "grip_test", "notes")


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def _field(key: str) -> Field:
    field = field_of(property_named(TerminalFamily, key))
    if key == "steps" and isinstance(field, LongTextField):
        field.editor.setFixedHeight(2 * field.editor.height())
    return field


def _let_edit(field: Field, wanted: bool) -> None:
    """Let a field be changed, or only be read; choices refuse by themselves."""
    if isinstance(field, TextField | LongTextField):
        field.editor.setReadOnly(not wanted)


class FamilySubject:
    """One family: of the map's own by its key, or a shipped one, which is only read."""

    def __init__(self, session: Session, row: FamilyRow) -> None:
        self._session, self._row = session, row

    def value(self, path: str) -> str | None:
        """Return the text of a property."""
        own = self._session.document.families.get(self._row.key)
        held = getattr(own or self._row.family, path)
        return value_text(property_named(TerminalFamily, path), held)

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property in one undo step; return the sentence of a refusal."""
        if not self._row.key:
            return _tr("This family ships with the program; copy it to change it")
        label = schema_word(property_named(TerminalFamily, path).label)
        title = _tr("Set %1 of family %2").replace("%1", label.lower())
        title = title.replace("%2", self._row.family.name[:30])
        return self._session.carry_out(
            title, set_family_text, self._row.key, path, text, gesture=gesture
        )


class FamiliesWindow(SideDialog):
    """A list of families on the left, what is known of one on the right."""

    def __init__(self, session: Session, selection: Selection, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self.rows: tuple[FamilyRow, ...] = ()
        self._name = self._key = ""
        self._filled: object = None
        self._of: object = None
        self.setWindowTitle(self.tr("Terminal families"))
        self.table = FamilyTable()
        self._make_form()
        self._make_giving()
        self._arrange()
        self.table.chosen.connect(lambda _row: self._show_family())
        session.changed.connect(lambda _change: self.refresh())
        selection.changed.connect(self._show_giving)
        selection.block_changed.connect(self._show_giving)

    def _make_form(self) -> None:
        self.form = FormPage()
        self.where = LinkedLabel()
        self.where.setAccessibleName(self.tr("Places of the family"))
        self.where.jumped.connect(
            lambda target: jump(self._session, self._selection, target)
        )
        for heading, keys in (
            (self.tr("Family"), ("name", "sort")),
            (
                self.tr("Release"),
                ("lock_first", "released_from", "leaves_to", "tool", "steps"),
            ),
            (
                self.tr("Crimp and current"),
                ("strip_mm", "capacity_a", "seal", "known"),
            ),
            (self.tr("Grip test and notes"), ("grip_test", "notes")),
        ):
            group = FormGroup(heading)
            for key in keys:
                group.add(_field(key), wide=key in _WIDE)
            self.form.add_group(group)
        self.form.groups[0].add(self.where)
        self.form.finish()

    def _make_giving(self) -> None:
        self.contact = QComboBox()
        self.contact.setAccessibleName(self.tr("Contacts that are given the family"))
        self.give_button = QPushButton()
        self.block_button = QPushButton()
        self.give_button.clicked.connect(self.give)
        self.block_button.clicked.connect(self.give_block)
        self.message = InlineMessage()

    def _arrange(self) -> None:
        self.copy_button = QPushButton(self.tr("Cop&y to change"))
        self.copy_button.setToolTip(
            self.tr("Enter a family like this one in the map, to be changed")
        )
        self.new_button = QPushButton(self.tr("Ne&w family"))
        self.remove_button = QPushButton(self.tr("Remo&ve"))
        self.remove_button.setToolTip(
            self.tr("Forget this family of the map; contacts keep its name")
        )
        self.copy_button.clicked.connect(lambda: self._copy(self._current()))
        self.new_button.clicked.connect(lambda: self._copy(None))
        self.remove_button.clicked.connect(self._remove)
        close = QPushButton(self.tr("Clos&e"))
        close.clicked.connect(self.close)
        left, right = QWidget(), QWidget()
        under = QVBoxLayout(left)
        under.setContentsMargins(0, 0, 0, 0)
        under.addWidget(self.table, 1)
        row = QHBoxLayout()
        for button in (self.copy_button, self.new_button, self.remove_button):
            row.addWidget(button)
        row.addStretch(1)
        under.addLayout(row)
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 0, 0, 0)
        self.read_only = QLabel(
            self.tr("This family ships with the program; copy it to change it.")
        )
        self.read_only.setWordWrap(True)
        self.read_only.setTextFormat(Qt.TextFormat.PlainText)
        beside.addWidget(self.read_only)
        beside.addWidget(self.form, 1)
        parts = QSplitter(Qt.Orientation.Horizontal)
        parts.addWidget(left)
        parts.addWidget(right)
        parts.setChildrenCollapsible(False)
        parts.setStretchFactor(0, 2)
        parts.setStretchFactor(1, 3)
        foot = QHBoxLayout()
        foot.addWidget(self.contact)
        foot.addWidget(self.give_button)
        foot.addWidget(self.block_button)
        foot.addStretch(1)
        foot.addWidget(close)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)
        close.setAutoDefault(False)
        whole = QVBoxLayout(self)
        whole.addWidget(parts, 1)
        whole.addWidget(self.message)
        whole.addLayout(foot)
        em = self.fontMetrics().averageCharWidth()
        fit_on_screen(self, QSize(em * 150, self.fontMetrics().height() * 36))

    # what is shown

    def _current(self) -> FamilyRow | None:
        row = self.table.currentRow()
        return self.rows[row] if 0 <= row < len(self.rows) else None

    def show_family(self, name: str) -> None:
        """Bring a family forward by the name that a contact gives it."""
        self._name, self._key = name, ""
        self.refresh()

    def refresh(self) -> None:
        """Show the families as they are now, the same one chosen."""
        if not self.isVisible():
            return
        document = self._session.document
        if document is not self._of:
            self._of = document
            self.rows = family_rows(document)
        at = 0
        for number, row in enumerate(self.rows):
            if self._key and row.key == self._key:
                at = number
                break
            if family_key(row.family.name) == family_key(self._name):
                at = number
        self.table.fill(self.rows, at)
        self._show_family()

    def _show_family(self) -> None:
        row = self._current()
        if row is None:
            return
        self._name, self._key = row.family.name, row.key
        own = bool(row.key)
        mark = (row.key or row.family.name, own)
        fresh, self._filled = mark != self._filled, mark
        self.read_only.setVisible(not own)
        subject = FamilySubject(self._session, row)
        for field in self.form.fields:
            if fresh and field.pending:
                field.commit()
            _let_edit(field, own)
            field.show_subject(subject, fresh=fresh)
        if row.used:
            text = self.tr("Used at %1")
            said = text.replace("%1", cavity_links(self._session.document, row.used))
        else:
            said = self.tr("No contact of this map is of this family yet.")
        self.where.show_words(said)
        self.remove_button.setEnabled(own)
        self._show_giving()

    def _show_giving(self) -> None:
        if not self.isVisible():
            return
        document, ids = self._session.document, self._selection.ids
        names = dict.fromkeys(
            name for id_ in ids for name in document.cavities[id_].contact_names
        )
        chosen = self.contact.currentData()
        with QSignalBlocker(self.contact):
            self.contact.clear()
            self.contact.addItem(self.tr("All single contacts"), "")
            for name in names:
                text = self.tr("%1 contact")
                self.contact.addItem(text.replace("%1", name), name)
            self.contact.setCurrentIndex(max(self.contact.findData(chosen), 0))
        self.contact.setEnabled(bool(names))
        self.give_button.setEnabled(bool(names) and self._current() is not None)
        if not ids:
            said = self.tr("Select places to give it to them")
        elif len(ids) == 1:
            said = self.tr("Give &it to %1")
            said = said.replace("%1", document.cavities[ids[0]].designation)
        else:
            said = self.tr("Give &it to %1 places").replace("%1", str(len(ids)))
        self.give_button.setText(said)
        block = document.blocks.get(self._selection.block or "")
        self.block_button.setVisible(block is not None)
        if block is not None:
            text = self.tr("Give it to the whole &block %1")
            self.block_button.setText(text.replace("%1", block.name or block.id))

    # edits

    def _copy(self, row: FamilyRow | None) -> None:
        name = row.family.name if row else ""
        title = self.tr("Copy family %1") if row else self.tr("Enter a family")
        self.message.clear()
        if self._session.edit(title.replace("%1", name[:30]), copy_family, name):
            key = str(self._session.last_result)
            self.show_family(self._session.document.families[key].name)
            self.form.fields[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _remove(self) -> None:
        row = self._current()
        if row is not None and row.key:
            title = self.tr("Remove family %1").replace("%1", row.family.name[:30])
            self._session.edit(title, remove_family, row.key)

    def give(self) -> None:
        """Say that the chosen contacts of the selected places are of this family."""
        row, ids = self._current(), self._selection.ids
        if row is None or not ids:
            return
        title = self.tr("Give family %1").replace("%1", row.family.name[:30])
        contact = str(self.contact.currentData() or "")
        self._give(title, assign_family, ids, contact, row.family.name)

    def give_block(self) -> None:
        """Say that contacts of the block that name no family are of this one."""
        row, block = self._current(), self._selection.block
        if row is not None and block is not None:
            title = self.tr("Give family %1").replace("%1", row.family.name[:30])
            self._give(title, set_block_text, block, "terminal", row.family.name)

    def _give(self, title: str, function: object, *args: object) -> None:
        assert callable(function)
        self.message.say(self._session.carry_out(title, function, *args) or "")

    def commit(self) -> None:
        """Write what is typed in a field and not committed yet."""
        self.form.commit()

    # what Qt calls

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._of = None
        self.refresh()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)
