"""A table that is typed into like a spreadsheet: Enter goes down, Tab across.

A text that is refused stays in its cell with the editor open, and the sentence is told.
What a cell may hold, and what becomes of it, the table that is made of this one says.
"""

from __future__ import annotations

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSignalBlocker,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from blockmap.window.guard import guarded
from blockmap.window.keys_told import tell_keys
from blockmap.window.legend.suggesting_edit import SuggestingEdit
from blockmap.window.legend.suggestions import Suggestion

__all__ = ["CellLine", "TypedTable"]

Index = QModelIndex | QPersistentModelIndex
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_Hint = QAbstractItemDelegate.EndEditHint


class CellLine(SuggestingEdit):
    """The editor of a cell; refused holds why its text was not taken."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.refused = ""
        self.setFrame(False)


class _Cells(QStyledItemDelegate):
    """Opens an editor with suggestions, and hands its text to the table."""

    def __init__(self, table: TypedTable) -> None:
        super().__init__(table)
        self._table = table

    @guarded()
    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        super().paint(painter, option, index)
        hint = self._table.hint(index.row(), index.column())
        if not hint or index.data():
            return
        painter.save()
        ink = QPalette.ColorRole.PlaceholderText
        if option.state & QStyle.StateFlag.State_Selected:
            ink = QPalette.ColorRole.HighlightedText
        painter.setPen(option.palette.color(ink))
        side = index.data(Qt.ItemDataRole.TextAlignmentRole)
        painter.drawText(
            option.rect.adjusted(4, 0, -4, 0),
            Qt.AlignmentFlag(side) if side else Qt.AlignmentFlag.AlignVCenter,
            hint,
        )
        painter.restore()

    @guarded()
    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        super().initStyleOption(option, index)
        table, place = self._table, index.column()
        option.text = table.shown(index.row(), place, option.text)

    @guarded(None)
    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> QWidget:
        del option
        row, place = index.row(), index.column()
        line = CellLine(parent)
        line.setAccessibleName(self._table.cell_name(row, place))
        line.set_provider(lambda typed: self._table.offered(row, place, typed))
        line.textEdited.connect(lambda _t: self._table.typed_on(line))
        line.list_clicked.connect(lambda: self._table.finish(line))
        self._table.editor = line
        return line

    @guarded()
    def setEditorData(self, editor: QWidget, index: Index) -> None:
        assert isinstance(editor, CellLine)
        if not editor.isModified():
            editor.setText(index.data(Qt.ItemDataRole.EditRole) or "")

    @guarded()
    def setModelData(
        self, editor: QWidget, model: QAbstractItemModel, index: Index
    ) -> None:
        del model
        assert isinstance(editor, CellLine)
        editor.refused = self._table.write(index.row(), index.column(), editor.text())

    @guarded(False)
    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and isinstance(editor, CellLine)
            and self._table.key(editor, event)
        ):
            return True
        return super().eventFilter(editor, event)


class TypedTable(QTableWidget):
    """A table of typed cells; refused carries a sentence, empty for none."""

    refused = Signal(str)

    def __init__(self, headings: list[str], parent: QWidget | None = None) -> None:
        super().__init__(0, len(headings), parent)
        self.editor: CellLine | None = None
        self.setHorizontalHeaderLabels(headings)
        tell_keys(self, self.tr("Enter goes down, Tab goes on; Delete clears"))
        self.setItemDelegate(_Cells(self))
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.AnyKeyPressed | triggers.EditKeyPressed | triggers.DoubleClicked
        )
        self.verticalHeader().hide()
        line = round(self.fontMetrics().height() * 1.6)
        self.verticalHeader().setDefaultSectionSize(line)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)

    # what the table that is made of this one says

    def typed_here(self, row: int, place: int) -> bool:
        """Tell whether a cell can be typed into."""
        del row, place
        return True

    def offered(self, row: int, place: int, typed: str) -> tuple[Suggestion, ...]:
        """Return what may be meant by the letters typed into a cell."""
        del row, place, typed
        return ()

    def shown(self, row: int, place: int, text: str) -> str:
        """Return how the text of a cell is read to a person; it is typed as it is."""
        del row, place
        return text

    def hint(self, row: int, place: int) -> str:
        """Return what stands faintly in an empty cell."""
        del row, place
        return ""

    def cell_name(self, row: int, place: int) -> str:
        """Return what a cell is called for those who do not see the table."""
        first, heading = self.item(row, 0), self.horizontalHeaderItem(place)
        names = [first.text() if first and place else "", heading and heading.text()]
        return ", ".join(name for name in names if name)

    def write(self, row: int, place: int, text: str) -> str:
        """Enter a text; return why it is refused, empty when it is not."""
        raise NotImplementedError

    # what is shown

    def put(self, row: int, place: int, text: str, *, right: bool = False) -> None:
        """Show a text in a cell, its item made when it is missing."""
        item = self.item(row, place)
        if item is None:
            item = QTableWidgetItem(text)
            side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            if not self.typed_here(row, place):
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
            with QSignalBlocker(self):
                self.setItem(row, place, item)
        elif item.text() != text:
            item.setText(text)

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
            self.refused.emit(line.refused)
            return False
        self.closeEditor(line, _Hint.NoHint)
        return True

    def commit(self) -> None:
        """Take what is typed and not committed yet."""
        if self.editor is not None:
            self.finish(self.editor)

    def _step(self, step: int, *, across: bool) -> None:
        """Go to the cell below, or to the next that can be typed into."""
        row, place = self.currentRow(), self.currentColumn()
        columns = self.columnCount()
        if not across:
            row += step
        for _ in range(columns if across else 0):
            place += step
            row += place // columns
            place %= columns
            if not 0 <= row < self.rowCount() or self.typed_here(row, place):
                break
        if 0 <= row < self.rowCount():
            self.setCurrentCell(row, place)

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
            if self.typed_here(self.currentRow(), self.currentColumn()):
                self.edit(self.currentIndex())
        elif event.key() == Qt.Key.Key_Delete and self.editor is None:
            self._clear_cells()
        else:
            super().keyPressEvent(event)

    def _clear_cells(self) -> None:
        for index in self.selectedIndexes():
            row, place = index.row(), index.column()
            filled = self.typed_here(row, place) and bool(index.data())
            if filled and (said := self.write(row, place, "")):
                self.refused.emit(said)
                return
