"""The tables of what works and what is dead: loads that a key ticks, and parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QTableWidget,
    QTableWidgetItem,
)

from blockmap.window.fair_columns import FairColumns
from blockmap.window.guard import guarded
from blockmap.window.isolating.beside import tr_job
from blockmap.window.row_table import show_rows

if TYPE_CHECKING:
    from blockmap.window.isolating.shared_page import SharedPage

__all__ = ["NEXT_TICK", "RowList", "TickList"]

_KEYS = {Qt.Key.Key_W: "works", Qt.Key.Key_D: "dead", Qt.Key.Key_M: "dim"}
NEXT_TICK = {"": "works", "works": "dead", "dead": "dim", "dim": ""}


class RowList(QTableWidget):
    """A table of whole rows that is not typed into."""

    def __init__(self, name: str, headings: list[str]) -> None:
        super().__init__(0, len(headings))
        self._rows: list[tuple[str, ...]] = []
        show_rows(self, name, headings, several=True)
        self.setAlternatingRowColors(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        line = round(self.fontMetrics().height() * 1.5)
        self.verticalHeader().setDefaultSectionSize(line)
        self.verticalHeader().setMinimumSectionSize(line)
        self._columns = FairColumns(self)

    def fill(self, rows: list[tuple[str, ...]]) -> None:
        """Show these texts; what is selected stays so by its place."""
        before, self._rows = self._rows, rows
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for number, row in enumerate(rows):
                if number < len(before) and before[number] == row:
                    continue
                for place, text in enumerate(row):
                    item = self.item(number, place)
                    if item is None:
                        self.setItem(number, place, QTableWidgetItem(text))
                    elif item.text() != text:
                        item.setText(text)
        self._columns.fit()


class TickList(RowList):
    """The loads; a key ticks those that are selected."""

    def __init__(self, page: SharedPage) -> None:
        headings = [tr_job("Seen"), tr_job("Load"), tr_job("Tried in"), tr_job("Place")]
        super().__init__(tr_job("Loads"), headings)
        self._page = page
        self.cellClicked.connect(self._clicked)

    def _clicked(self, row: int, place: int) -> None:
        if place == 0:
            self._page.cycle([row])
        elif place == 2:
            self._page.tried.setFocus()

    def rows(self) -> list[int]:
        """Return the selected rows, or the current one."""
        chosen = sorted({index.row() for index in self.selectedIndexes()})
        return chosen or ([self.currentRow()] if self.currentRow() >= 0 else [])

    def _ticking(self, event: QKeyEvent) -> bool:
        """Tell whether a key ticks: alone, not with Ctrl or Alt."""
        alone = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        more = (Qt.Key.Key_Space, Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
        return alone and event.key() in (*_KEYS, *more)

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Keep the letters for the ticks, whatever else they are a shortcut for."""
        is_key = event.type() == QEvent.Type.ShortcutOverride
        if is_key and isinstance(event, QKeyEvent) and self._ticking(event):
            event.accept()
            return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        rows = self.rows()
        plain = self._ticking(event)
        if plain and key in _KEYS:
            self._page.tick(rows, _KEYS[key])
            if len(rows) == 1 and rows[0] + 1 < self.rowCount():
                self.setCurrentCell(rows[0] + 1, 1)
        elif key == Qt.Key.Key_F2:
            self._page.tried.setFocus()
        elif plain and key == Qt.Key.Key_Space:
            self._page.cycle(rows)
        elif plain and key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._page.tick(rows, "")
        elif key == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)
