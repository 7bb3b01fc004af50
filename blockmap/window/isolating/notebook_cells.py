"""The cells of the readings notebook: their columns, their editor, the empty row.

An editor offers what may be meant; what is typed is taken or refused by the notebook.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractItemModel,
    QCoreApplication,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtGui import QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QWidget

from blockmap.window.guard import guarded
from blockmap.window.legend.suggesting_edit import SuggestingEdit

if TYPE_CHECKING:
    from blockmap.window.isolating.notebook import Notebook

__all__ = ["COLUMNS", "CellLine", "Cells"]

COLUMNS = (
    "point", "against", "states", "load", "value", "unit", "seen", "amps_a", "date",
    "out", "meter", "note",
)  # fmt: skip
Index = QModelIndex | QPersistentModelIndex


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


class CellLine(SuggestingEdit):
    """The editor of a cell; refused holds why its text was not taken."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.refused = ""
        self.setFrame(False)


class Cells(QStyledItemDelegate):
    """Opens an editor with suggestions, and hands its text to the notebook."""

    def __init__(self, table: Notebook) -> None:
        super().__init__(table)
        self._table = table

    @guarded()
    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        super().paint(painter, option, index)
        if index.row() < len(self._table.keys) or index.column() > 0:
            return
        painter.save()
        painter.setPen(option.palette.color(QPalette.ColorRole.PlaceholderText))
        painter.drawText(
            option.rect.adjusted(4, 0, -4, 0),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            _tr("such as F11.load"),
        )
        painter.restore()

    @guarded(None)
    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> QWidget:
        del option
        line = CellLine(parent)
        field = COLUMNS[index.column()]
        line.set_provider(lambda typed: self._table.offers(field, typed))
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
