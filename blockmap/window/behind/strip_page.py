"""The strips of the block that is shown: a list, the fields of one, what hangs on it.

Every field and button is one edit of the session. A strip that is chosen here or in
the figure is the one selected strip of the window.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.behind.paths import Dies
from blockmap.model.changes import Change
from blockmap.model.document import Strip
from blockmap.model.edits import remove_strip, set_strip
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import StripId
from blockmap.model.schema import property_named
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES
from blockmap.window.behind.links import LinkedLabel
from blockmap.window.behind.strip_edits import (
    join_strip,
    make_strip,
    strip_text,
    strip_title,
    strip_with,
)
from blockmap.window.behind.strip_table import StripTable
from blockmap.window.behind.words import dies_words
from blockmap.window.inspector.fields import ChoiceField, Field, TextField
from blockmap.window.inspector.form import FormGroup, FormPage
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.legend.wording import schema_word
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["StripPage", "StripSubject"]

WAIT_MS = 60

_KEYS = (
    "name",
    "members",
    "jumpers",
    "lands_at",
    "lands",
    "made",
    "live",
    "supply",
    "fed_from",
)
_LISTED = ("name", "members", "landing", "made", "live", "supply")
_WIDE = ("members", "jumpers", "note")


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


class StripSubject:
    """One strip, read and written as text."""

    def __init__(self, session: Session, strip: StripId) -> None:
        self._session, self.strip = session, strip

    def value(self, path: str) -> str | None:
        """Return the text of a property."""
        strip = self._session.document.strips.get(self.strip)
        return strip_text(self._session.document, strip, path) if strip else ""

    def write(self, path: str, text: str, gesture: object | None = None) -> str | None:
        """Write a property in one undo step; return the sentence of a refusal."""
        document = self._session.document
        strip = document.strips.get(self.strip)
        if strip is None:
            return None
        try:
            new = strip_with(document, strip, path, text)
            set_strip(document, new)
        except (BadValue, EditRefused) as problem:
            return str(problem)
        title = _tr("Set strip %1").replace("%1", strip_title(new))
        self._session.edit(title, set_strip, new, gesture=gesture)
        return None


class StripPage(FormPage):
    """List, buttons, fields, and in words what dies with the selected strip."""

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._listed: tuple[StripId, ...] = ()
        self._rows: list[tuple[str, ...]] = []
        self._shown: StripId | None = None
        self._stale = True
        self._make_list()
        self._make_hanging()
        self._make_fields()
        self.finish()
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(WAIT_MS)
        self._wait.timeout.connect(self.refresh)
        session.changed.connect(self._document_changed)
        selection.changed.connect(self._show_buttons)
        selection.block_changed.connect(self.refresh)
        selection.strip_changed.connect(self._strip_changed)

    def _make_list(self) -> None:
        group = FormGroup(_tr("Strips of this block"))
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        self.table = table = StripTable([_heading(key) for key in _LISTED])
        table.itemSelectionChanged.connect(self._chosen)
        table.entered.connect(self._go_to_field)
        self._none = QLabel()
        self._none.setTextFormat(Qt.TextFormat.PlainText)
        self._none.setWordWrap(True)
        self._none.setText(
            _tr(
                "No strip is noted on this block. Select the places whose feed "
                "contacts are one piece of metal, and make a strip of them."
            )
        )
        column.addWidget(self._none)
        column.addWidget(table)
        column.addWidget(self._make_buttons())
        self.message = InlineMessage()
        column.addWidget(self.message)
        group.add(inside)
        self.add_group(group)

    def _make_buttons(self) -> QWidget:
        inside = QWidget()
        row = QHBoxLayout(inside)
        row.setContentsMargins(0, 0, 0, 0)
        self.make_button = QPushButton(_tr("Make strip"))
        self.make_button.setToolTip(
            _tr("Make a strip of the feed contacts of the selected places")
        )
        self.join_button = QPushButton(_tr("Add to strip"))
        self.join_button.setToolTip(
            _tr("Add the feed contacts of the selected places to this strip")
        )
        self.remove_button = QPushButton(_tr("Remove strip"))
        self.remove_button.setToolTip(_tr("Forget the strip; its contacts stay"))
        self.make_button.clicked.connect(self.make_strip)
        self.join_button.clicked.connect(self._join)
        self.remove_button.clicked.connect(self.remove_strip)
        for button in (self.make_button, self.join_button, self.remove_button):
            row.addWidget(button)
        row.addStretch(1)
        return inside

    def _make_fields(self) -> None:
        group = FormGroup(_tr("Strip"))
        for key in (*_KEYS, "note"):
            group.add(self._field(key), wide=key in _WIDE)
        self.add_group(group)
        self.fields_group = group

    def _field(self, key: str) -> Field:
        if key == "supply":
            label = _tr("Supply wire")
            help_text = _tr("colour and gauge of the wire that feeds the strip")
            return TextField(key, label, help_text, hint=_tr("such as red 10 AWG"))
        row = property_named(Strip, key)
        label, help_text = _title(key), schema_word(row.help)
        if key in ("made", "lands"):
            unsaid = _tr("on the contact itself") if key == "lands" else "—"
            words = [("", unsaid), *((w, _trade(w)) for w in row.allowed)]
            return ChoiceField(key, label, help_text, words)
        hint = {
            "members": _tr("such as F1.feed; F2.feed"),
            "jumpers": _tr("such as F13.feed, with the wire after it"),
            "lands_at": _tr("such as F1.feed"),
            "live": _tr("such as RUN; START, or always"),
            "fed_from": _tr("such as battery post"),
        }.get(key, "")
        field = TextField(key, label, help_text, hint=hint)
        if key == "live":
            field.editor.set_provider(_states_offered)
        return field

    def _make_hanging(self) -> None:
        self.hanging = FormGroup(_tr("What hangs on it"))
        self.words = LinkedLabel()
        self.words.setAccessibleName(_tr("What hangs on the strip"))
        self.hanging.add(self.words)
        self.add_group(self.hanging)

    # what is shown

    def refresh(self) -> None:
        """Show the strips of the block and the selected one as they are now."""
        self._wait.stop()
        if not self.isVisible():
            self._stale = True
            return
        self._stale = False
        document, block = self._session.document, self._selection.block
        strips = list(document.strips_of(block)) if block else []
        rows = [tuple(strip_text(document, s, key) for key in _LISTED) for s in strips]
        if rows != self._rows or tuple(s.id for s in strips) != self._listed:
            self._rows, self._listed = rows, tuple(s.id for s in strips)
            self._fill()
        self._follow()
        self._show_fields()

    def _fill(self) -> None:
        self.table.fill(self._rows)
        self.table.setVisible(bool(self._rows))
        self._none.setVisible(not self._rows)

    def _follow(self) -> None:
        """Mark the row of the selected strip."""
        strip = self._selection.strip
        row = self._listed.index(strip) if strip in self._listed else -1
        with QSignalBlocker(self.table):
            self.table.choose(row)
        self._show_buttons()

    def _show_fields(self) -> None:
        strip = self._selection.strip
        strip = strip if strip in self._session.document.strips else None
        fresh = strip != self._shown
        self._shown = strip
        for group in self.groups[1:]:
            group.show_group(strip is not None)
        if strip is None:
            return
        subject = StripSubject(self._session, strip)
        for field in self.fields_group.fields:
            field.show_subject(subject, fresh=fresh)
        if fresh:
            self.words.show_words("")
            self.arrange()

    def show_dies(self, dies: Dies | None) -> None:
        """Say what hangs on the selected strip, once it is worked out."""
        words = dies_words(self._session.document, dies) if dies else ""
        self.words.show_words(words)
        self.words.updateGeometry()
        self.keep_in_sight()

    def _show_buttons(self) -> None:
        some = bool(self._selection.ids)
        chosen = self._selection.strip is not None
        self.make_button.setEnabled(some)
        self.join_button.setEnabled(some and chosen)
        self.remove_button.setEnabled(chosen)

    # edits

    def make_strip(self) -> None:
        """Make a strip of the feed contacts of the selected cavities."""
        ids, block = self._selection.ids, self._selection.block
        if not ids or block is None:
            return
        if self._edit(_tr("Make a strip"), make_strip, ids, block):
            self._selection.select_strip(self._session.last_result)
            self.refresh()
            self.go_to(self.fields_group.fields[0])

    def _join(self) -> None:
        strip = self._session.document.strips.get(self._selection.strip or "")
        if strip is None:
            return
        try:
            new = join_strip(self._session.document, strip, self._selection.ids)
        except EditRefused as problem:
            self.message.say(str(problem))
            return
        title = _tr("Set strip %1").replace("%1", strip_title(new))
        self._edit(title, set_strip, new)

    def remove_strip(self) -> None:
        """Forget the selected strip; its contacts stay."""
        strip = self._session.document.strips.get(self._selection.strip or "")
        if strip is not None:
            title = _tr("Remove strip %1").replace("%1", strip_title(strip))
            self._edit(title, remove_strip, strip.id)

    def _edit(self, title: str, function: object, *args: object) -> bool:
        """Edit, or say beside the buttons why not."""
        assert callable(function)
        before = self._session.document
        self.message.say(self._session.carry_out(title, function, *args) or "")
        return self._session.document is not before

    # following

    def _chosen(self) -> None:
        row = self.table.currentRow()
        if 0 <= row < len(self._listed):
            self._selection.select_strip(self._listed[row])

    def _go_to_field(self, column: int, key: QKeyEvent | None) -> None:
        """Go to the field of a column; a key that begins a text goes on to it."""
        path = _LISTED[column] if 0 <= column < len(_LISTED) else _LISTED[0]
        path = {"landing": "lands_at"}.get(path, path)
        field = next(f for f in self.fields_group.fields if f.path == path)
        self.go_to(field)
        editor = field.focusProxy()
        if key is not None and editor is not None:
            QCoreApplication.sendEvent(editor, key)

    def _strip_changed(self) -> None:
        self.message.clear()
        if self.isVisible():
            for field in self.fields_group.fields:
                if field.pending:
                    field.commit()
        self.refresh()

    def _document_changed(self, change: Change) -> None:
        if change.strips:
            self.refresh()
        elif change.cavities or change.blocks or change.car:
            self._wait.start()

    def come_forward(self) -> None:
        """Show what changed while the page was behind others."""
        if self._stale:
            self.refresh()


def _title(key: str) -> str:
    if key == "supply":
        return _tr("Supply wire")
    return schema_word(property_named(Strip, key).label)


def _heading(key: str) -> str:
    return _tr("Supply lands") if key == "landing" else _title(key)


def _trade(word: str) -> str:
    return QCoreApplication.translate("trade", word)


def _states_offered(text: str) -> tuple[Suggestion, ...]:
    head, semicolon, last = text.rpartition(";")
    start = last.strip().casefold()
    before = f"{head}; " if semicolon else ""
    return tuple(
        Suggestion(before + word)
        for word in ("always", *KEY_STATES, *SWITCH_STATES)
        if start and word.casefold().startswith(start) and word.casefold() != start
    )
