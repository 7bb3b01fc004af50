"""The readings notebook: one row a reading, typed like a spreadsheet.

The last row is empty; a point typed into it begins a reading. A text that is refused
stays in its cell, and the sentence stands under the table. Each entry is one edit.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QSignalBlocker,
    Qt,
    Signal,
)
from PySide6.QtGui import QIcon, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from blockmap.model.document import Map, Reading
from blockmap.model.edits import (
    add_reading,
    reading_text,
    remove_reading,
    set_reading_text,
)
from blockmap.model.errors import EditRefused
from blockmap.model.schema import property_named
from blockmap.reference.cautions import caution_named
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES
from blockmap.window.guard import guarded
from blockmap.window.isolating.notebook_cells import COLUMNS, CellLine, Cells
from blockmap.window.isolating.points import PointNames
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.session import Session
from blockmap.window.theme import icon

__all__ = ["Notebook"]

_WIDTHS = (20, 13, 12, 16, 8, 6, 10, 8, 14, 10, 14, 20)
_POINTS = ("point", "against")
_SEEN = ("works", "dim", "dead", "live", "bright", "whole", "broken")
_RIGHT = ("value", "amps_a")
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_Hint = QAbstractItemDelegate.EndEditHint


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


class Notebook(QTableWidget):
    """The readings of the session's map; refused carries a sentence, empty for none.

    place_wanted carries the point of the row that was gone to.
    """

    refused = Signal(str)
    place_wanted = Signal(str)

    def __init__(
        self, session: Session, names: PointNames, parent: QWidget | None = None
    ) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self._session, self._names = session, names
        self.keys: tuple[str, ...] = ()
        self.editor: CellLine | None = None
        self._writing = False
        self._notes: Mapping[str, str] = {}
        self.setHorizontalHeaderLabels([self._heading(key) for key in COLUMNS])
        for number, key in enumerate(COLUMNS):
            item = self.horizontalHeaderItem(number)
            if item is not None:
                item.setToolTip(property_named(Reading, key).help)
        self.setAccessibleName(_tr("Readings"))
        self.setItemDelegate(Cells(self))
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.AnyKeyPressed | triggers.EditKeyPressed | triggers.DoubleClicked
        )
        self.verticalHeader().hide()
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        em = self.fontMetrics().averageCharWidth()
        for number, wide in enumerate(_WIDTHS):
            self.setColumnWidth(number, wide * em)
        self.itemSelectionChanged.connect(self._went)
        self.refresh()

    @staticmethod
    def _heading(key: str) -> str:
        own = {"load": _tr("Load on"), "amps_a": _tr("Amps")}
        return own.get(key) or _tr(property_named(Reading, key).label)

    # what is shown

    def refresh(self) -> None:
        """Show the readings of the map as it is now."""
        readings = self._session.document.readings
        if tuple(readings) != self.keys and not self._writing:
            self.abandon()  # its row may be another reading now
        self.keys = tuple(readings)
        with QSignalBlocker(self):
            self.setRowCount(len(self.keys) + 1)
            for row, key in enumerate(self.keys):
                for place, field in enumerate(COLUMNS):
                    self._write(row, place, reading_text(readings[key], field))
                self._mark(row, self._notes.get(key, ""))
            for place in range(len(COLUMNS)):
                self._write(len(self.keys), place, "")
            self._mark(len(self.keys), "")
        self.viewport().update()

    def _write(self, row: int, place: int, text: str) -> None:
        item = self.item(row, place)
        if item is None:
            item = QTableWidgetItem(text)
            side = Qt.AlignmentFlag.AlignLeft
            if COLUMNS[place] in _RIGHT:
                side = Qt.AlignmentFlag.AlignRight
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, place, item)
        elif item.text() != text:
            item.setText(text)

    def _mark(self, row: int, note: str) -> None:
        """Set a sign and italics on a reading that is not weighed or fits nothing."""
        for place in range(len(COLUMNS)):
            item = self.item(row, place)
            if item is None:
                continue
            if place == 0:
                item.setIcon(icon("level-warning") if note else QIcon())
            font = item.font()
            font.setItalic(bool(note))
            item.setFont(font)
            item.setToolTip(note or property_named(Reading, COLUMNS[place]).help)

    def show_notes(self, notes: Mapping[str, str]) -> None:
        """Say of some readings why they are not weighed, or that nothing fits them."""
        if notes != self._notes:
            self._notes = dict(notes)
            with QSignalBlocker(self):
                for row, key in enumerate(self.keys):
                    self._mark(row, self._notes.get(key, ""))
        self._say_note()

    def _say_note(self) -> None:
        if self.editor is None or not self.editor.refused:
            row = self.currentRow()
            key = self.keys[row] if 0 <= row < len(self.keys) else ""
            self.refused.emit(self._notes.get(key, ""))

    def offers(self, field: str, typed: str) -> tuple[Suggestion, ...]:
        """Return what may be meant by the letters typed into a column."""
        if field in (*_POINTS, "load", "out"):
            return self._names.offers(typed)
        if field == "states":
            return self._state_offers(typed)
        words = {
            "seen": _SEEN,
            "unit": property_named(Reading, "unit").allowed,
        }.get(field, ())
        start = typed.strip().casefold()
        return tuple(Suggestion(w) for w in words if start and w.startswith(start))

    def _state_offers(self, typed: str) -> tuple[Suggestion, ...]:
        head, comma, last = typed.rpartition(",")
        begun = f"{head}{comma} " if comma else ""
        known = (*KEY_STATES, *SWITCH_STATES, *self._session.document.car.states)
        start = last.strip().casefold()
        return tuple(
            Suggestion(begun + state)
            for state in known
            if start and state.casefold().startswith(start) and state != last.strip()
        )

    # what is written

    def write(self, row: int, place: int, text: str) -> str:
        """Enter a text into the map; return why it is refused, empty when it is not."""
        field = COLUMNS[place]
        if field in _POINTS:
            text = self._names.full(text)
        self._writing = True
        try:
            if row >= len(self.keys):
                said = self._begin(field, text)
            else:
                said = self._change(self.keys[row], field, text)
        finally:
            self._writing = False
        if not said and field in _POINTS and self._names.barred(text):
            self.refused.emit(caution_named("airbag").text)
        else:
            self.refused.emit(said)
        return said

    def _begin(self, field: str, text: str) -> str:
        if not text.strip():
            return ""
        if field != "point":
            return _tr("Type the point first, such as F11.load")
        try:
            add_reading(self._session.document, Reading(point=text))
        except EditRefused as refusal:
            return str(refusal)
        title = _tr("Note reading at %1").replace("%1", text[:30])
        self._session.edit(title, add_reading, Reading(point=text))
        return ""

    def _change(self, key: str, field: str, text: str) -> str:
        document = self._session.document
        try:
            set_reading_text(document, key, field, text)
        except EditRefused as refusal:
            return str(refusal)
        title = _tr("Set %1 of reading at %2")
        title = title.replace("%1", self._heading(field).lower())
        title = title.replace("%2", document.readings[key].point[:30])
        self._session.edit(title, set_reading_text, key, field, text)
        return ""

    def remove_selected(self) -> None:
        """Forget the readings of the selected rows, as one step."""
        rows = {index.row() for index in self.selectedIndexes()}
        keys = [self.keys[row] for row in sorted(rows) if row < len(self.keys)]
        if not keys:
            return
        title = _tr("Remove reading")
        if len(keys) > 1:
            title = _tr("Remove %1 readings").replace("%1", str(len(keys)))
        self._session.edit(title, _without, keys)

    # typing

    def typed_on(self, line: CellLine) -> None:
        """Take a refusal back as soon as somebody types on."""
        if line.refused:
            line.refused = ""
            self.refused.emit("")

    def key(self, line: CellLine, event: QKeyEvent) -> bool:
        """Act on a key in the editor; tell whether it was used up."""
        back = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if event.key() in (*_ENTER, *_TABS):
            across = event.key() in _TABS
            if line.marked is not None:
                line.take(line.marked)
            if self.finish(line):
                step = -1 if back or event.key() == Qt.Key.Key_Backtab else 1
                self._step(step, across=across)
            return True
        if line.handle_list_key(event):
            return True
        if event.key() == Qt.Key.Key_Escape:
            self.abandon()
            return True
        return False

    def abandon(self) -> None:
        """Close an open editor and leave its cell as it was."""
        line = self.editor
        if line is not None:
            line.refused = ""
            self.refused.emit("")
            self.closeEditor(line, _Hint.RevertModelCache)

    def finish(self, line: CellLine) -> bool:
        """Take what is in the editor and close it; False when it is refused."""
        self.commitData(line)
        if line.refused:
            line.close_list()
            return False
        self.closeEditor(line, _Hint.NoHint)
        return True

    def commit(self) -> None:
        """Take what is typed and not committed yet."""
        if self.editor is not None:
            self.finish(self.editor)

    def _step(self, step: int, *, across: bool) -> None:
        row, place = self.currentRow(), self.currentColumn()
        if across:
            place += step
            row += place // len(COLUMNS)
            place %= len(COLUMNS)
        else:
            row += step
        if 0 <= row < self.rowCount():
            self.setCurrentCell(row, place)

    def _went(self) -> None:
        self._say_note()
        row = self.currentRow()
        if self.hasFocus() and 0 <= row < len(self.keys):
            point = self._session.document.readings[self.keys[row]].point
            self.place_wanted.emit(point)

    # what Qt calls

    @guarded()
    def closeEditor(
        self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint
    ) -> None:
        if isinstance(editor, CellLine):
            if editor.refused:
                return
            editor.close_list()
            if editor is self.editor:
                self.editor = None
        super().closeEditor(editor, hint)

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Take Tab before Qt moves the focus with it; Ctrl with Tab leaves."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _TABS
        ):
            back = event.key() == Qt.Key.Key_Backtab
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self.focusNextPrevChild(not back)
            else:
                self._step(-1 if back else 1, across=True)
            return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ENTER:
            self.edit(self.currentIndex())
        elif event.key() == Qt.Key.Key_Delete and self.editor is None:
            self._clear_cells()
        else:
            super().keyPressEvent(event)

    def _clear_cells(self) -> None:
        for index in self.selectedIndexes():
            if index.row() < len(self.keys) and self.write(
                index.row(), index.column(), ""
            ):
                return

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.rowCount():
            self.refresh()


def _without(document: Map, keys: list[str]) -> Map:
    for key in keys:
        document = remove_reading(document, key)
    return document
