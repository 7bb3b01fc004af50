"""What is done to many cells at once: copy, cut, paste, fill, clear.

Each is one undo step, and each says what it did.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QMenu

from blockmap.files.tables import USUAL_ORDER
from blockmap.model.edits import CellEdit, add_rows, paste_rows, set_cells
from blockmap.window.legend.clipboard import NothingToPaste, mime_of, read_mime
from blockmap.window.legend.pasting import (
    TooFewRows,
    left_out_words,
    plan_paste,
)
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.legend.wording import count_text, name_of, noun
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.window.legend.grid import LegendTable

__all__ = ["TableEdits"]


class TableEdits:
    """The commands of one legend table."""

    def __init__(
        self, session: Session, selection: Selection, table: LegendTable
    ) -> None:
        self._session, self._selection, self._table = session, selection, table

    def copy(self) -> bool:
        """Copy the selected cells; tell whether there were any."""
        table = self._table
        rows, columns = table.selected_rows(), table.selected_columns()
        if not rows or not columns:
            return False
        texts = [[table.rows.edit_text(row, n) for n in columns] for row in rows]
        keys = [TABLE_COLUMNS[n].key for n in columns]
        QGuiApplication.clipboard().setMimeData(mime_of(keys, texts))
        count = len(rows) * len(columns)
        table.message.emit(
            count_text(_tr("Copied one cell"), _tr("Copied %1 cells"), count)
        )
        return True

    def cut(self) -> None:
        """Copy the selected cells, then clear them."""
        if self.copy():
            self._clear(_tr("Cut one cell"), _tr("Cut %1 cells"))

    def clear(self) -> None:
        """Empty the selected cells."""
        self._clear(_tr("Clear %1 of %2"), _tr("Clear %1 cells"))

    def _clear(self, one: str, several: str) -> None:
        table = self._table
        columns = table.selected_columns()
        cells = [
            CellEdit(table.rows.ids[row], TABLE_COLUMNS[n].key, "")
            for row in table.selected_rows()
            for n in columns
            if table.rows.edit_text(row, n) and TABLE_COLUMNS[n].write is not None
        ]
        if not cells:
            return
        first = cells[0]
        one = one.replace("%1", noun(first.column))
        one = one.replace("%2", name_of(self._session.document, first.cavity))
        self._apply(count_text(one, several, len(cells)), cells)

    def fill_down(self) -> None:
        """Write the top selected cell of each column into those below it.

        With one row selected, the cell above is written into it.
        """
        rows, columns = self._table.selected_rows(), self._table.selected_columns()
        if len(rows) == 1:
            rows = [rows[0] - 1, *rows]
        if not columns or not rows or rows[0] < 0:
            self._table.message.emit(
                _tr("There is no cell above to fill down; select several cells")
            )
            return
        cells = []
        for n in columns:
            text = self._table.rows.edit_text(rows[0], n)
            key = TABLE_COLUMNS[n].key
            ids = (self._table.rows.ids[row] for row in rows[1:])
            cells += [CellEdit(id_, key, text) for id_ in ids]
        self._fill(cells, _tr("Fill down %1 %2"))

    def fill_right(self) -> None:
        """Write the first selected cell of each row into those right of it."""
        rows, columns = self._table.selected_rows(), self._table.selected_columns()
        shown = self._table.layout_of_columns.shown()
        if len(columns) == 1 and shown.index(columns[0]) > 0:
            columns = [shown[shown.index(columns[0]) - 1], *columns]
        if len(columns) < 2:
            self._table.message.emit(
                _tr("There is no cell to the left; select several cells")
            )
            return
        cells = []
        for row in rows:
            text = self._table.rows.edit_text(row, columns[0])
            id_ = self._table.rows.ids[row]
            cells += [CellEdit(id_, TABLE_COLUMNS[n].key, text) for n in columns[1:]]
        self._fill(cells, _tr("Fill right %1 %2"))

    def fill_selected(self, text: str) -> str:
        """Write one text into every selected cell; return why not, if refused."""
        table = self._table
        columns = table.selected_columns()
        cells = [
            CellEdit(table.rows.ids[row], TABLE_COLUMNS[n].key, text)
            for row in table.selected_rows()
            for n in columns
        ]
        return self._fill(cells, _tr("Fill %1 %2"))

    def _fill(self, cells: list[CellEdit], text: str) -> str:
        keys = {cell.column for cell in cells}
        what = noun(cells[0].column, len(cells)) if len(keys) == 1 else _tr("cells")
        text = text.replace("%1", str(len(cells))).replace("%2", what)
        return self._apply(text, cells)

    def _apply(self, text: str, cells: list[CellEdit]) -> str:
        """Carry out an edit of cells, or say in the table and return why not."""
        table, before = self._table, self._session.document
        refusal = self._session.carry_out(text, set_cells, cells)
        if refusal:
            table.refused.emit(refusal, 0)
            return refusal
        table.accepted.emit()
        if self._session.document is not before:
            table.message.emit(text)
        return ""

    def paste(self) -> None:
        """Write the clipboard over the cells from the cursor on."""
        table = self._table
        if not any(self._session.document.cavities_of(self._selection.block or "")):
            self._paste_cavities()
            return
        rows, columns = table.selected_rows(), table.selected_columns()
        if not rows or not columns:
            return
        shown = table.layout_of_columns.shown()
        keys = [TABLE_COLUMNS[n].key for n in shown[shown.index(columns[0]) :]]
        document = self._session.document
        try:
            cells = read_mime(QGuiApplication.clipboard().mimeData())
            plan = plan_paste(document, cells, table.rows.ids, rows, keys, len(columns))
        except TooFewRows as problem:
            table.refused.emit(str(problem), problem.missing)
            return
        except NothingToPaste as problem:
            table.refused.emit(str(problem), 0)
            return
        refusal = self._session.carry_out(
            plan.undo_text, paste_rows, plan.targets, plan.columns, plan.rows
        )
        if refusal:
            table.refused.emit(refusal, 0)
            return
        table.accepted.emit()
        changed = self._session.document is not document
        same = _tr("What was pasted stands there already")
        table.message.emit(plan.message if changed else same)
        self._select_pasted(plan.targets, plan.columns)

    def _paste_cavities(self) -> None:
        """Make a cavity of every pasted row: the block has none yet."""
        table, block = self._table, self._selection.block
        if block is None:
            return
        try:
            cells = read_mime(QGuiApplication.clipboard().mimeData())
            keys = cells.columns if cells.named else USUAL_ORDER[: cells.width]
        except NothingToPaste as problem:
            table.refused.emit(str(problem), 0)
            return
        count, before = str(len(cells.rows)), self._session.document
        text = _tr("Paste %1 cavities").replace("%1", count)
        refusal = self._session.carry_out(text, add_rows, block, keys, cells.rows)
        if refusal:
            table.refused.emit(refusal, 0)
        elif self._session.document is not before:
            table.accepted.emit()
            made = _tr("Made %1 cavities; drag them to where they are")
            table.message.emit(made.replace("%1", count) + left_out_words(cells))

    def _select_pasted(
        self, targets: tuple[str, ...], keys: tuple[str | None, ...]
    ) -> None:
        table = self._table
        rows = [table.rows.row_of(id_) for id_ in targets]
        columns = [n for n, c in enumerate(TABLE_COLUMNS) if c.key in keys]
        if rows == list(range(rows[0], rows[0] + len(rows))) and columns:
            table.select_cells(rows, columns)

    def menu(self) -> QMenu:
        """Return the menu of the table's commands."""
        menu = QMenu(self._table)
        standard = QKeySequence.StandardKey
        for text, name, keys, action in (
            (_tr("Cu&t"), "", standard.Cut, self.cut),
            (_tr("&Copy"), "edit-copy", standard.Copy, self.copy),
            (_tr("&Paste"), "edit-paste", standard.Paste, self.paste),
            (_tr("Fill &down"), "", QKeySequence("Ctrl+D"), self.fill_down),
            (_tr("Fill &right"), "", QKeySequence("Ctrl+R"), self.fill_right),
            (_tr("C&lear cells"), "edit-delete", standard.Delete, self.clear),
        ):
            made = menu.addAction(text)
            if name:
                made.setIcon(icon(name))
            made.setShortcut(QKeySequence(keys))
            made.triggered.connect(lambda _=False, action=action: action())
        return menu


def _tr(text: str) -> str:
    return QCoreApplication.translate("table", text)
