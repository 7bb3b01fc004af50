"""The grid of the survey: one key notes what a contact shows and goes on to the next.

L live, D dead, M dim, or a number of volts and Enter. The probe walks down a column,
then comes the next state. Backspace goes back and clears. Every entry is one edit.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QItemSelectionModel, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from blockmap.model.changes import Change
from blockmap.model.errors import EditRefused
from blockmap.model.ids import ContactRef
from blockmap.reference.cautions import caution_named
from blockmap.window.guard import guarded
from blockmap.window.session import Session
from blockmap.window.surveying.cells import (
    CellPainter,
    SurveyCells,
    said_word,
    state_lines,
)
from blockmap.window.surveying.noting import begins_volts, cleared, noted, typed_volts
from blockmap.window.this_day import today

__all__ = ["SurveyGrid"]

_WORDS = {"l": "live", "+": "live", "d": "dead", "/": "dead", "m": "dim", "*": "dim"}
"""The second sign of each lies on the number pad, for a hand that holds the meter."""
_AHEAD = 2
"""So many rows below the next key stay in sight."""
_FORWARD = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_PLAIN = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


class SurveyGrid(QTableView):
    """Contacts by states.

    refused carries a sentence, empty for none; went tells that the next key is for
    another cell.
    """

    refused = Signal(str)
    went = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.at_fuse = True
        self.nothing_here = ""
        self._own = False
        self._measured, self._widths = "", dict[str, int]()
        self.cells = SurveyCells(session, self)
        self.setModel(self.cells)
        self.setItemDelegate(CellPainter(self.cells, self))
        self.setAccessibleName(_tr("Survey"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        across, down = self.horizontalHeader(), self.verticalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setHighlightSections(True)
        across.setSectionsClickable(False)
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setHighlightSections(True)
        down.setSectionsClickable(False)
        down.setDefaultAlignment(
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        )
        down.setTextElideMode(Qt.TextElideMode.ElideMiddle)

    def fit(self, room: int) -> None:
        """Make the columns as wide as they need, the heads of the rows as they may."""
        metrics = self.fontMetrics()
        least = metrics.horizontalAdvance("● 12.45") + 12
        whole = 0
        for number, state in enumerate(self.cells.states):
            lines = state_lines(state).split("\n")
            wide = max(metrics.horizontalAdvance(line) for line in lines) + 14
            whole += max(wide, least)
            self.setColumnWidth(number, max(wide, least))
        down = self.verticalHeader()
        down.setDefaultSectionSize(max(24, metrics.height() + 8))
        for named in (True, False):
            self.cells.long_names = named
            head = round(self._widest_name() * 1.08) + 14
            if head + whole + self.verticalScrollBar().width() <= room:
                break
        down.setFixedWidth(min(head, room // 2))

    def _widest_name(self) -> int:
        """Return the width of the widest head of a row; each is measured once."""
        metrics, font = self.fontMetrics(), self.font().key()
        names = {self.cells.row_name(n) for n in range(len(self.cells.rows))}
        kept = self._widths if self._measured == font else {}
        if len(kept) > 4 * len(names) + 1000:
            kept = {}
        for name in names - kept.keys():
            kept[name] = metrics.horizontalAdvance(name)
        self._measured, self._widths = font, kept
        return max((kept[name] for name in names), default=0)

    # where the next key goes

    @property
    def at(self) -> tuple[int, int]:
        """Row and column of the next key; -1 where there is none."""
        index = self.currentIndex()
        return index.row(), index.column()

    @property
    def contact(self) -> ContactRef | None:
        """The contact that the next key is for."""
        row, column = self.at
        return self.cells.rows[row].contact if row >= 0 <= column else None

    @property
    def key_state(self) -> str:
        """The state that the next key is for; empty when there is none."""
        row, column = self.at
        return self.cells.states[column] if row >= 0 <= column else ""

    def go(self, row: int, column: int) -> None:
        """Put the next key on a cell."""
        index, last = self.cells.index(row, column), len(self.cells.rows) - 1
        if index.isValid() and self.take_typed(on=False):
            selecting = self.selectionModel()
            selecting.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
            # What comes next is seen as well.
            self.scrollTo(self.cells.index(min(row + _AHEAD, last), column))
            self.scrollTo(index)

    def go_to(self, contact: ContactRef, state: str = "") -> bool:
        """Go to the row of a contact; False when it is not walked over."""
        row = self.cells.row_of(contact)
        if row is None:
            return False
        states = self.cells.states
        column = states.index(state) if state in states else max(self.at[1], 0)
        self.go(row, column)
        return True

    def step(self, by: int) -> bool:
        """Go on in walking order, past the end to the next state; False at the end."""
        rows, columns = len(self.cells.rows), len(self.cells.states)
        row, column = self.at
        if row < 0 or not rows:
            return False
        place = column * rows + row + by
        while 0 <= place < rows * columns and self.cells.rows[place % rows].barred:
            place += by
        if not 0 <= place < rows * columns:
            return False
        self.go(place % rows, place // rows)
        return True

    def step_untested(self, by: int) -> None:
        """Go to the next cell that holds nothing, or to the one before."""
        start = self.at
        while self.step(by):
            if self.cells.found(*self.at) is None:
                return
        self.go(*start)
        self.refused.emit(_tr("No contact is left to test from here on"))

    # entries

    def note(
        self, *, seen: str = "", value_v: float | None = None, on: bool = True
    ) -> bool:
        """Note what the contact showed, and go on to the next."""
        row, column = self.at
        if row < 0 or column < 0:
            return False
        line, state = self.cells.rows[row], self.cells.states[column]
        if line.barred:
            self.refused.emit(caution_named("airbag").text)
            return False
        shown = said_word(seen) if seen else f"{value_v:g} V"
        title = _tr("Survey: %1 %2 in %3").replace("%1", line.name)
        title = title.replace("%2", shown).replace("%3", state)
        words: dict[str, Any] = {
            "seen": seen,
            "value_v": value_v,
            "today": today(),
            "at_fuse": self.at_fuse,
        }
        if not self._edit(title, noted, line.contact, state, **words):
            return False
        if on:
            self.step(1)
        return True

    def clear_entry(self) -> bool:
        """Forget what the cell holds."""
        row, column = self.at
        if row < 0 or column < 0 or self.cells.found(row, column) is None:
            return False
        line, state = self.cells.rows[row], self.cells.states[column]
        title = _tr("Survey: clear %1 in %2").replace("%1", line.name)
        return self._edit(title.replace("%2", state), cleared, line.contact, state)

    def _edit(
        self,
        title: str,
        function: Callable[..., Any],
        contact: ContactRef,
        state: str,
        **words: Any,
    ) -> bool:
        """Edit, or say under the grid why not."""
        filled = self.cells.filled
        self.refused.emit("")
        self._own = True
        try:
            refusal = self._session.carry_out(
                title, function, filled, contact, state, **words
            )
        finally:
            self._own = False
        if refusal:
            self.refused.emit(refusal)
        return not refusal

    def take_typed(self, *, on: bool = True) -> bool:
        """Note the volts that are typed and not entered yet; False when refused."""
        text, at = self.cells.pending, self.cells.pending_at
        if not text:
            return True
        positive = self._session.document.car.polarity == "positive ground"
        try:
            volts = typed_volts(text, positive_ground=positive)
        except EditRefused as refusal:
            self.refused.emit(str(refusal))
            return False
        self.cells.set_pending(*at, "")
        return self.note(value_v=volts, on=on)

    def show_anew(self) -> None:
        """Show what the cells hold now; rows and columns stand as they were."""
        self.viewport().update()
        self.horizontalHeader().viewport().update()

    def followed(self, change: Change) -> None:
        """Show readings that changed; what undo changed is gone to."""
        shown = self.cells.follow(change)
        if shown:  # the counts stand there; a signal would measure every row anew
            self.horizontalHeader().viewport().update()
        if len(shown) == 1 and not self._own and self.hasFocus():
            self.go(*shown[0])

    # what Qt calls

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Keep the letters from the shortcuts, and Tab from moving the focus."""
        if isinstance(event, QKeyEvent):
            plain = not event.modifiers() & ~_PLAIN
            if event.type() == QEvent.Type.ShortcutOverride and plain:
                text = event.text()  # a function key has none: it stays a shortcut
                if text and (text.lower() in _WORDS or begins_volts(text)):
                    event.accept()
                    return True
            elif event.type() == QEvent.Type.KeyPress and event.key() in _TABS:
                shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
                back = event.key() == Qt.Key.Key_Backtab or bool(shift)
                if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                    self.focusNextPrevChild(not back)
                elif self.take_typed():
                    self.step_untested(-1 if back else 1)
                return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.modifiers() & ~_PLAIN:
            super().keyPressEvent(event)
        elif not self._entry_key(event) and not event.text():
            self.refused.emit("")
            down = event.key() == Qt.Key.Key_Down and bool(self.cells.pending)
            if self.take_typed(on=down) and not down:
                super().keyPressEvent(event)

    def _entry_key(self, event: QKeyEvent) -> bool:
        """Act on a key that notes, clears or goes on; tell whether it was one."""
        key, text, typed = event.key(), event.text().lower(), self.cells.pending
        if text in _WORDS and not (text == "+" and typed):
            if self.take_typed():
                self.note(seen=_WORDS[text])
        elif text and begins_volts(typed + text):
            self.refused.emit("")
            if not self.cells.rows or self.cells.rows[self.at[0]].barred:
                self.refused.emit(caution_named("airbag").text)
            else:
                self.cells.set_pending(*self.at, typed + text)
        elif key in _FORWARD:
            if not typed:
                self.step(1)
            else:
                self.take_typed()
        elif key == Qt.Key.Key_Backspace:
            if typed:
                self.cells.set_pending(*self.at, typed[:-1])
            elif self.step(-1):
                self.clear_entry()
        elif key == Qt.Key.Key_Delete:
            self.cells.set_pending(*self.at, "")
            self.clear_entry()
        elif key == Qt.Key.Key_Escape and typed:
            self.cells.set_pending(*self.at, "")
        else:
            return False
        return True

    @guarded()
    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self.take_typed(on=False):
            super().mousePressEvent(event)

    @guarded()
    def currentChanged(self, now: Any, before: Any) -> None:
        super().currentChanged(now, before)
        self.went.emit()

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid():
            self.go(0, 0)
        self.went.emit()

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.take_typed(on=False)
        self.viewport().update()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.cells.rows and self.cells.states:
            return
        painter = QPainter(self.viewport())
        painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
        box = self.viewport().rect().adjusted(16, 16, -16, -16)
        where = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(box, int(where), self.nothing_here)
