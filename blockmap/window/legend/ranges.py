"""Keys that go or select further than one cell, as in any table of cells.

Ctrl with an arrow goes to the end of what is filled, Home and End to the ends of a row,
with Ctrl to those of the table; Shift selects up to there. It moves the cursor and the
selection, never a text.
"""

from __future__ import annotations

from itertools import takewhile
from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtGui import QKeyEvent

if TYPE_CHECKING:
    from blockmap.window.legend.grid import LegendTable

__all__ = ["Ranges"]

_Key = Qt.Key
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_CTRL = Qt.KeyboardModifier.ControlModifier
_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_STEPS = {
    _Key.Key_Up: (-1, 0),
    _Key.Key_Down: (1, 0),
    _Key.Key_Left: (0, -1),
    _Key.Key_Right: (0, 1),
}
_Place = tuple[int, int]
"""A row, and how many shown columns lie left of the cell."""


class Ranges:
    """The wider moves of one legend table."""

    def __init__(self, table: LegendTable) -> None:
        self._table = table

    def key(self, event: QKeyEvent) -> bool:
        """Act on a key; tell whether it was used up."""
        held = event.modifiers() & ~_KEYPAD
        if held & ~(_SHIFT | _CTRL) or not self._table.rows.ids:
            return False
        ctrl, extend = bool(held & _CTRL), bool(held & _SHIFT)
        key = Qt.Key(event.key())
        if key == _Key.Key_Space and ctrl is not extend:
            self._table.select_cells(*self._whole(column=ctrl))
            return True
        place = self._target(key, ctrl=ctrl)
        if place is None:
            return False
        if extend:
            self._select_to(place)
        else:
            self._table.go_to(place[0], self._shown[place[1]])
        return True

    def select_all(self) -> None:
        """Select every cell that is shown."""
        if self._table.rows.ids:
            self._table.select_cells(list(range(self._high)), self._shown)

    @property
    def _shown(self) -> list[int]:
        return self._table.layout_of_columns.shown()

    @property
    def _high(self) -> int:
        return len(self._table.rows.ids)

    def _here(self) -> _Place:
        current, shown = self._table.currentIndex(), self._shown
        column = current.column()
        return max(current.row(), 0), shown.index(column) if column in shown else 0

    def _whole(self, *, column: bool) -> tuple[list[int], list[int]]:
        """Return rows and columns that make the selected columns or rows whole."""
        table = self._table
        if column:
            return list(range(self._high)), table.selected_columns()
        return table.selected_rows(), self._shown

    def _target(self, key: Qt.Key, *, ctrl: bool) -> _Place | None:
        row, at = self._here()
        last_row, last = self._high - 1, len(self._shown) - 1
        if key in _STEPS:
            down, right = _STEPS[key]
            if ctrl:
                return self._end_of_filled((row, at), down, right)
            return min(max(row + down, 0), last_row), min(max(at + right, 0), last)
        page = max(1, self._table.viewport().height() // self._table.rowHeight(0) - 1)
        return {
            _Key.Key_Home: (0 if ctrl else row, 0),
            _Key.Key_End: (last_row if ctrl else row, last),
            _Key.Key_PageUp: (max(row - page, 0), at),
            _Key.Key_PageDown: (min(row + page, last_row), at),
        }.get(key)

    def _end_of_filled(self, place: _Place, down: int, right: int) -> _Place:
        """Return the last filled cell that way, or the next after empty ones."""
        shown, high = self._shown, self._high  # asked once, not at every cell

        def filled(cell: _Place) -> bool:
            return bool(self._table.rows.edit_text(cell[0], shown[cell[1]]))

        row, at = place[0] + down, place[1] + right
        way: list[_Place] = []
        while 0 <= row < high and 0 <= at < len(shown):
            way.append((row, at))
            row, at = row + down, at + right
        if not way:
            return place
        if filled(place) and filled(way[0]):
            return list(takewhile(filled, way))[-1]
        return next(filter(filled, way), way[-1])

    def _select_to(self, place: _Place) -> None:
        """Select the rectangle from where selecting began to a cell."""
        table, shown = self._table, self._shown
        rows, columns = self._between(self._anchor(), place)
        index = table.rows.index(place[0], shown[place[1]])
        no_update = QItemSelectionModel.SelectionFlag.NoUpdate
        with table.link.not_telling():
            table.selectionModel().setCurrentIndex(index, no_update)
        table.select_cells(rows, columns)
        table.scrollTo(index)

    def _between(self, one: _Place, other: _Place) -> tuple[list[int], list[int]]:
        top, bottom = sorted((one[0], other[0]))
        left, right = sorted((one[1], other[1]))
        return list(range(top, bottom + 1)), self._shown[left : right + 1]

    def _anchor(self) -> _Place:
        """Return the corner of the selected rectangle that lies across from the cursor.

        Cells that are no rectangle with the cursor in a corner begin at the cursor.
        """
        table, shown, here = self._table, self._shown, self._here()
        rows = table.selected_rows()
        columns = [shown.index(n) for n in table.selected_columns()]
        if not rows or not columns:
            return here
        row = rows[0] if here[0] == rows[-1] else rows[-1]
        at = columns[0] if here[1] == columns[-1] else columns[-1]
        whole = (rows[-1] - rows[0] + 1) * (columns[-1] - columns[0] + 1)
        corner = here[0] in (rows[0], rows[-1]) and here[1] in (columns[0], columns[-1])
        if corner and table.selected_count == whole:
            return row, at
        return here
