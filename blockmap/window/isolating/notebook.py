"""The readings notebook: one row a reading, typed like a spreadsheet.

The last row is empty; a point typed into it begins a reading. A text that is refused
stays in its cell, and the sentence stands under the table. Each entry is one edit.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QAbstractItemView, QWidget

from blockmap.model.document import Reading
from blockmap.model.edits import (
    add_reading,
    reading_text,
    remove_reading,
    set_aside,
    set_reading_text,
    weigh_again,
)
from blockmap.model.schema import property_named
from blockmap.reference.cautions import caution_named
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES
from blockmap.window.guard import guarded
from blockmap.window.isolating.notebook_cells import COLUMNS, FOLLOWS, STANDS
from blockmap.window.isolating.points import PointNames
from blockmap.window.isolating.typed_table import TypedTable
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.plain_tip import plain_tip
from blockmap.window.session import Session
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.analysis.isolation.proved import Followed

__all__ = ["Notebook"]

_WIDTHS = (20, 9, 13, 14, 14, 8, 6, 10, 8, 46, 14, 10, 14, 20)
_POINTS = ("point", "against")
_PLACES = (*_POINTS, "out")
_SEEN = ("works", "dim", "dead", "live", "bright", "whole", "broken")
_RIGHT = ("value", "amps_a")


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


class Notebook(TypedTable):
    """The readings of the session's map; refused carries a sentence, empty for none.

    place_wanted carries the point of the row that was gone to, told what follows
    from its reading.
    """

    place_wanted = Signal(str)
    told = Signal(str)

    def __init__(
        self, session: Session, names: PointNames, parent: QWidget | None = None
    ) -> None:
        super().__init__([self._heading(key) for key in COLUMNS], parent)
        self._session, self._names = session, names
        self.keys: tuple[str, ...] = ()
        self._writing = False
        self._notes: Mapping[str, str] = {}
        self._followed: Mapping[str, Followed] = {}
        for number, key in enumerate(COLUMNS):
            item = self.horizontalHeaderItem(number)
            if item is not None:
                item.setToolTip(_help(key))
        self.setAccessibleName(_tr("Readings"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)  # a place ends the words
        em = self.fontMetrics().averageCharWidth()
        for number, wide in enumerate(_WIDTHS):
            self.setColumnWidth(number, wide * em)
        self.itemSelectionChanged.connect(self._went)
        self.refresh()

    @staticmethod
    def _heading(key: str) -> str:
        own = {
            "load": _tr("Load on"),
            "amps_a": _tr("Amps"),
            FOLLOWS: _tr("Follows"),
            STANDS: _tr("Repair"),
        }
        return own.get(key) or _tr(property_named(Reading, key).label)

    # what is shown

    def refresh(self) -> None:
        """Show the readings of the map as it is now."""
        readings = self._session.document.readings
        if tuple(readings) != self.keys and not self._writing:
            self.abandon()  # its row may be another reading now
        self.keys = tuple(readings)
        self._follow()
        split = any(each.aside for each in readings.values())
        self.setColumnHidden(COLUMNS.index(STANDS), not split)
        with QSignalBlocker(self):
            self.setRowCount(len(self.keys) + 1)
            for row, key in enumerate(self.keys):
                for place, field in enumerate(COLUMNS):
                    right = field in _RIGHT
                    self.put(row, place, self._text(key, field), right=right)
                self._mark(row, self._notes.get(key, ""))
            for place in range(len(COLUMNS)):
                self.put(len(self.keys), place, "")
            self._mark(len(self.keys), "")
        self._tell()
        self.viewport().update()

    def _text(self, key: str, field: str) -> str:
        document = self._session.document
        if field == STANDS:
            aside = document.readings[key].aside
            return _tr("before") if aside else _tr("since")
        if field != FOLLOWS:
            return reading_text(document.readings[key], field)
        from blockmap.analysis.isolation.proved import follow_words

        found = self._followed.get(key)
        return follow_words(document, found) if found else ""

    def typed_here(self, row: int, place: int) -> bool:
        """Tell whether a cell can be typed into: all but what follows."""
        del row
        return COLUMNS[place] not in (FOLLOWS, STANDS)

    def hint(self, row: int, place: int) -> str:
        """Return what stands faintly in the empty row."""
        empty = row == len(self.keys) and place == 0
        return _tr("a load, or F11.load") if empty else ""

    def shown(self, row: int, place: int, text: str) -> str:
        """Return the places of a reading as a person is told they are called."""
        if COLUMNS[place] not in _PLACES or row >= len(self.keys):
            return text
        reading = self._session.document.readings.get(self.keys[row])
        read = reading is not None and reading.value is not None
        return self._names.said(text, probed=read and COLUMNS[place] in _POINTS)

    def _mark(self, row: int, note: str) -> None:
        """Set a sign and italics on a reading that is not weighed or fits nothing."""
        key = self.keys[row] if row < len(self.keys) else ""
        reading = self._session.document.readings.get(key)
        name = "edit-history" if reading and reading.aside else "level-warning"
        for place in range(len(COLUMNS)):
            item = self.item(row, place)
            if item is None:
                continue
            if place == 0:
                item.setIcon(icon(name) if note else QIcon())
            font = item.font()
            font.setItalic(bool(note))
            item.setFont(font)
            item.setToolTip(plain_tip(note or self._tip(row, COLUMNS[place])))

    def _follow(self) -> None:
        """Work out what follows from the readings, where there are any."""
        if not self.keys:
            self._followed = {}
            return
        from blockmap.analysis.isolation.proved import followed

        self._followed = followed(self._session.document)

    def _tip(self, row: int, field: str) -> str:
        """Return what is said of a cell: of what follows, where its limit is from."""
        if field != FOLLOWS:
            return _help(field)
        key = self.keys[row] if row < len(self.keys) else ""
        found = self._followed.get(key)
        if found is None or found.limit is None:
            return _help(field)
        limit = found.limit
        titles = [source.title for source in limit.sources]
        origin = "; ".join(titles) or _tr("common practice, no source")
        said = _tr("Limit of %1: %2. From: %3")
        said = said.replace("%1", limit.name).replace("%2", limit.words())
        return f"{self._text(key, field)}\n{said.replace('%3', origin)}"

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
            reading = self._session.document.readings.get(key)
            aside = reading is not None and reading.aside  # said by its column
            self.refused.emit("" if aside else self._notes.get(key, ""))

    def offered(self, row: int, place: int, typed: str) -> tuple[Suggestion, ...]:
        """Return what may be meant by the letters typed into a cell."""
        del row
        return self.offers(COLUMNS[place], typed)

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
        title = _tr("Note reading at %1").replace("%1", text[:30])
        return self._session.carry_out(title, add_reading, Reading(point=text)) or ""

    def _change(self, key: str, field: str, text: str) -> str:
        point = self._session.document.readings[key].point
        title = _tr("Set %1 of reading at %2")
        title = title.replace("%1", self._heading(field).lower())
        title = title.replace("%2", point[:30])
        return self._session.carry_out(title, set_reading_text, key, field, text) or ""

    def remove_selected(self) -> None:
        """Forget the readings of the selected rows, as one step."""
        keys = self._chosen()
        if not keys:
            return
        title = _tr("Remove reading")
        if len(keys) > 1:
            title = _tr("Remove %1 readings").replace("%1", str(len(keys)))
        self._session.edit(title, remove_reading, *keys)

    @property
    def selected_aside(self) -> bool:
        """True when every selected reading is set aside."""
        readings = self._session.document.readings
        chosen = [readings[key] for key in self._meant() if key in readings]
        return bool(chosen) and all(each.aside for each in chosen)

    def turn_aside(self) -> None:
        """Set the selected readings aside, or weigh them again if all of them are."""
        back, keys = self.selected_aside, self._meant()
        title = _tr("Weigh reading again") if back else _tr("Set reading aside")
        if len(keys) > 1:
            title = _tr("Weigh %1 readings again") if back else _tr("Set %1 aside")
            title = title.replace("%1", str(len(keys)))
        self._session.edit(title, weigh_again if back else set_aside, *keys)

    def _meant(self) -> list[str]:
        """Return the selected readings, else the one the keyboard stands on."""
        row = self.currentRow()
        return self._chosen() or list(self.keys[row : row + 1] if row >= 0 else ())

    def _chosen(self) -> list[str]:
        rows = {index.row() for index in self.selectedIndexes()}
        return [self.keys[row] for row in sorted(rows) if row < len(self.keys)]

    # where it is

    def _tell(self) -> None:
        """Say what follows from the row's reading: its column may be out of sight."""
        row = self.currentRow()
        known = 0 <= row < len(self.keys)
        self.told.emit(self._text(self.keys[row], FOLLOWS) if known else "")

    def _went(self) -> None:
        self._say_note()
        self._tell()
        row = self.currentRow()
        if self.hasFocus() and 0 <= row < len(self.keys):
            point = self._session.document.readings[self.keys[row]].point
            self.place_wanted.emit(point)

    # what Qt calls

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.rowCount():
            self.refresh()


def _help(field: str) -> str:
    if field == STANDS:
        return _tr("Before a repair: kept, no longer weighed; or since")
    if field == FOLLOWS:
        return _tr("What follows: mΩ and W, the limit, and what was read before")
    return property_named(Reading, field).help
