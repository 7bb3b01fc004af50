"""Typing into one cell: which keys end it, and what happens to a refused text.

A text that is refused stays in its editor, and the sentence stands under the table.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemDelegate

from blockmap.window.legend.cells import LIST_COLUMNS, CellEditor

if TYPE_CHECKING:
    from blockmap.window.legend.grid import LegendTable

__all__ = ["Typing"]

Index = QModelIndex | QPersistentModelIndex
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_CTRL = Qt.KeyboardModifier.ControlModifier
_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_Hint = QAbstractItemDelegate.EndEditHint
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_ARROWS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}


class Typing:
    """The open editor of a legend table; editor is None while none is open."""

    def __init__(self, table: LegendTable) -> None:
        self._table = table
        self.editor: CellEditor | None = None
        self._at = QPersistentModelIndex()

    def edit_in_place(self) -> None:
        """Edit the text of the current cell instead of replacing it."""
        self._table.edit(self._table.currentIndex())
        if self.editor is not None:
            self.editor.in_place = True
            self.editor.deselect()
            self.editor.end(False)

    def offer_list(self) -> None:
        """Edit the current cell with its list of suggestions open."""
        self._table.edit(self._table.currentIndex())
        if self.editor is not None:
            self.editor.in_place = True
            self.editor.offer("")

    def opened(self, editor: CellEditor) -> None:
        """Hear that an editor was opened."""
        self.editor = editor
        self._at = QPersistentModelIndex(self._table.currentIndex())
        editor.textEdited.connect(lambda: self._edited(editor))
        editor.list_clicked.connect(lambda: self._clicked(editor))

    def key(self, editor: CellEditor, event: QKeyEvent) -> bool:
        """Act on a key in the editor; tell whether it was used up."""
        key, back = event.key(), bool(event.modifiers() & _SHIFT)
        if key in _ENTER and event.modifiers() & _CTRL:
            self._fill_selected(editor)
            return True
        if key in _ENTER:
            if not self._taken_but_not_done(editor):
                self._finish(editor, lambda: self._table.step_down(-1 if back else 1))
            return True
        if key in _TABS:
            self._tab(editor, event)
            return True
        if editor.handle_list_key(event):
            return True
        if key == Qt.Key.Key_Escape:
            self.abandon()
            return True
        if key in _ARROWS and not editor.in_place and not event.modifiers() & ~_KEYPAD:
            by = _ARROWS[Qt.Key(key)]
            self._finish(editor, lambda: self._table.step_down(by))
            return True
        return False

    def _tab(self, editor: CellEditor, event: QKeyEvent) -> None:
        back = event.key() == Qt.Key.Key_Backtab or bool(event.modifiers() & _SHIFT)
        if editor.marked is not None:
            editor.take(editor.marked)
        if event.modifiers() & _CTRL:
            self._finish(editor, lambda: self._table.leave(back=back))
        else:
            self._finish(editor, lambda: self._table.step_across(-1 if back else 1))

    def _fill_selected(self, editor: CellEditor) -> None:
        """Write the text into every selected cell, which stay selected."""
        if editor.marked is not None:
            editor.take(editor.marked)
        editor.refused = self._table.edits.fill_selected(editor.text())
        editor.chosen = None
        if editor.refused:
            editor.close_list()
        else:
            self._table.closeEditor(editor, _Hint.NoHint)

    def _taken_but_not_done(self, editor: CellEditor) -> bool:
        """Take the marked suggestion; a cell that holds a list stays open for more."""
        if editor.marked is None:
            return False
        editor.take(editor.marked)
        return editor.key in LIST_COLUMNS

    def _clicked(self, editor: CellEditor) -> None:
        if editor.key not in LIST_COLUMNS:
            self._finish(editor, lambda: None)

    def _edited(self, editor: CellEditor) -> None:
        """Take a refusal back as soon as somebody types on."""
        if editor.refused:
            editor.refused = ""
            self._table.accepted.emit()

    def _finish(self, editor: CellEditor, then: Callable[[], Any]) -> None:
        if self.commit(editor, self._cell()):
            self._table.closeEditor(editor, _Hint.NoHint)
            then()

    def commit(self, editor: CellEditor, index: Index) -> bool:
        """Write the editor's text; tell whether it was taken."""
        table = self._table
        also = editor.chosen.also if editor.chosen is not None else None
        editor.refused = table.rows.write(index, editor.text(), also) or ""
        editor.chosen = None
        if editor.refused:
            editor.close_list()
            table.refused.emit(editor.refused, 0)
            return False
        table.accepted.emit()
        if also:
            words = ", ".join(also.values())
            table.message.emit(table.tr("Filled in too: %1").replace("%1", words))
        return True

    def finish(self) -> bool:
        """End an open editor; False when its text is refused and it stays open."""
        editor = self._still_open()
        if editor is None:
            return True
        if not self.commit(editor, self._cell()):
            editor.setFocus()
            return False
        self._table.closeEditor(editor, _Hint.NoHint)
        return True

    def abandon(self) -> None:
        """Close an open editor and leave the cell as it was."""
        editor = self._still_open()
        if editor is not None:
            editor.refused = ""
            self._table.accepted.emit()
            self._table.closeEditor(editor, _Hint.RevertModelCache)

    def _still_open(self) -> CellEditor | None:
        """Return the open editor. Qt lets go of one unasked when its row goes."""
        editor = self.editor
        if editor is None:
            return None
        if self._at.isValid() and self._table.indexWidget(self._cell()) is editor:
            return editor
        self.editor = None
        self._table.accepted.emit()
        return None

    def _cell(self) -> QModelIndex:
        """Return the cell that the open editor is for: the current one may be another.

        A refused text stays open while the selection moves on.
        """
        return self._table.rows.index(self._at.row(), self._at.column())

    def may_close(self, editor: CellEditor) -> bool:
        """Tell whether Qt may close an editor: not while its text is refused."""
        if editor.refused:
            return False
        editor.close_list()
        if editor is self.editor:
            self.editor = None
        return True
