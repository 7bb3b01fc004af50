"""The list of strips of a block: one row a strip; Enter and typing go on to its fields.

It shows texts and says which row is chosen; it knows no map.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import (
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
)

from blockmap.window.guard import guarded
from blockmap.window.plain_tip import plain_tip
from blockmap.window.row_table import show_rows

__all__ = ["StripTable"]

MOST_ROWS = 5
"""Rows of the list that are seen at once."""

_EDIT = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2)

WIDTHS = (8, 24, 16, 12, 12)
"""Widths of the columns before the last, in letters."""


class StripTable(QTableWidget):
    """Rows of texts.

    entered tells that somebody wants to change a cell, with the number of its column
    and the event of the key that began a text, or None.
    """

    entered = Signal(int, object)

    def __init__(self, headings: list[str]) -> None:
        super().__init__(0, len(headings))
        self.setWordWrap(False)
        name = QCoreApplication.translate("behind", "Strips of this block")
        show_rows(self, name, headings, several=False)
        self.setAlternatingRowColors(True)
        rows = self.verticalHeader()
        rows.setDefaultSectionSize(self.fontMetrics().height() + 6)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        em = self.fontMetrics().averageCharWidth()
        for place, wide in enumerate(WIDTHS):
            self.setColumnWidth(place, wide * em)

    def fill(self, rows: Sequence[tuple[str, ...]]) -> None:
        """Show these rows, leaving alone what is the same."""
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for number, row in enumerate(rows):
                for place, text in enumerate(row):
                    self._write(number, place, text)
        seen = min(max(len(rows), 1), MOST_ROWS)
        high = self.verticalHeader().defaultSectionSize() * seen
        scroll = self.horizontalScrollBar().sizeHint().height()
        head = self.horizontalHeader().sizeHint().height()
        self.setFixedHeight(high + head + scroll + 2 * self.frameWidth())

    def _write(self, number: int, place: int, text: str) -> None:
        item = self.item(number, place)
        if item is None:
            item = QTableWidgetItem(text)
            self.setItem(number, place, item)
        elif item.text() != text:
            item.setText(text)
        item.setToolTip(plain_tip(text))

    def choose(self, row: int) -> None:
        """Mark a row; a number below 0 marks none."""
        if row < 0:
            self.clearSelection()
            self.setCurrentCell(-1, -1)
        elif self.currentRow() != row or not self.selectedItems():
            self.setCurrentCell(row, 0)
            self.selectRow(row)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        chosen, text = self.currentRow() >= 0, event.text()
        if chosen and event.key() in _EDIT:
            self.entered.emit(self.currentColumn(), None)
        elif chosen and text.strip() and text.isprintable():
            self.entered.emit(self.currentColumn(), event)
        else:
            super().keyPressEvent(event)

    @guarded()
    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        super().mouseDoubleClickEvent(event)
        if self.currentRow() >= 0:
            self.entered.emit(self.currentColumn(), None)
