"""Keeps the cells selected in the table and the shared selection the same thing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QItemSelection,
    QItemSelectionModel,
    QItemSelectionRange,
    QObject,
)

from blockmap.window.selection import Selection

if TYPE_CHECKING:
    from blockmap.window.legend.grid import LegendTable

__all__ = ["SelectionLink"]

_Flag = QItemSelectionModel.SelectionFlag
_FEW = 30
"""Up to so many rows are painted one by one."""


class SelectionLink(QObject):
    """Tells the selection what the table selects, and the table what others do.

    Each side is left alone while the other is telling, so that nothing goes round.
    """

    def __init__(self, table: LegendTable, selection: Selection) -> None:
        super().__init__(table)
        self._table, self._selection = table, selection
        self._telling = True
        selection.changed.connect(self.follow)

    def start(self) -> None:
        """Begin: until now the table has not told what it selects."""
        self._telling = False
        self.follow()

    @contextmanager
    def not_telling(self) -> Iterator[None]:
        """Move the cursor without selecting what it comes to stand on."""
        before, self._telling = self._telling, True
        try:
            yield
        finally:
            self._telling = before

    def tell(self) -> None:
        """Select the cavities of the rows in which cells are selected."""
        if self._telling:
            return
        table, current = self._table, self._table.currentIndex()
        ids = [table.rows.ids[row] for row in table.selected_rows()]
        on = table.rows.ids[current.row()] if current.isValid() else None
        with self.not_telling():
            self._selection.select(ids, on)
        self._tint_rows()

    def follow(self) -> None:
        """Select in the table what is selected elsewhere, in the cursor's column."""
        self._tint_rows()
        if self._telling:
            return
        with self.not_telling():
            self._take()

    def _take(self) -> None:
        table = self._table
        found = (table.rows.row_of(id_) for id_ in self._selection.ids)
        rows = sorted(row for row in found if row >= 0)
        if not rows:
            table.selectionModel().clearSelection()
            return
        column = table.currentIndex().column()
        if column < 0 or table.isColumnHidden(column):
            column = table.layout_of_columns.shown()[0]
        area = QItemSelection()
        for row in rows:
            cell = table.rows.index(row, column)
            area.append(QItemSelectionRange(cell))
        current = table.rows.row_of(self._selection.current or "")
        index = table.rows.index(current if current >= 0 else rows[-1], column)
        table.selectionModel().setCurrentIndex(index, _Flag.NoUpdate)
        table.selectionModel().select(area, _Flag.ClearAndSelect)
        table.scrollTo(index)

    def _tint_rows(self) -> None:
        table, now = self._table, frozenset(self._selection.ids)
        changed = now ^ table.cells.selected
        if not changed:
            return
        table.cells.selected = now
        if len(changed) > _FEW:
            table.viewport().update()
            return
        width = table.viewport().width()
        for id_ in changed:
            row = table.rows.row_of(id_)
            if row >= 0:
                top, height = table.rowViewportPosition(row), table.rowHeight(row)
                table.viewport().update(0, top, width, height)
