"""The published tables in a window: every row says how it is known and by whom.

For looking up, not for editing: what a map needs is entered in the map.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSignalBlocker, QSize, Qt
from PySide6.QtWidgets import (
    QLabel,
    QLineEdit,
    QListWidget,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.reference.published import PUBLISHED, PublishedRow
from blockmap.reference.sources import Status
from blockmap.window.access_key import labelled
from blockmap.window.fair_columns import FairColumns
from blockmap.window.folding_row import in_row
from blockmap.window.guard import guarded
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.numbers.wording import tr_number
from blockmap.window.row_table import show_rows
from blockmap.window.side_dialog import SideDialog
from blockmap.window.theme import icon
from blockmap.window.window_place import fit_on_screen

__all__ = ["TablesWindow"]

_KNOWN = {
    Status.VERIFIED: QT_TRANSLATE_NOOP("numbers", "verified"),
    Status.DERIVED: QT_TRANSLATE_NOOP("numbers", "derived"),
    Status.COMMON_PRACTICE: QT_TRANSLATE_NOOP("numbers", "common practice"),
    Status.MEMORY: QT_TRANSLATE_NOOP("numbers", "from memory"),
}
_SIGNS = {
    Status.VERIFIED: "level-sound",
    Status.DERIVED: "level-sound",
    Status.COMMON_PRACTICE: "level-information",
    Status.MEMORY: "level-advice",
}


class TablesWindow(SideDialog):
    """A list of tables, a line that narrows, the rows, and the origin of one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Tables with their sources"))
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Tables"))
        self.list.addItems([tr_number(table.title) for table in PUBLISHED])
        self.search = QLineEdit()
        self.search.setPlaceholderText(self.tr("Type to narrow the rows"))
        self.search.setAccessibleName(self.search.placeholderText())
        self.search.setClearButtonEnabled(True)
        self.table = QTableWidget()
        show_rows(self.table, self.tr("Rows"), several=True)
        line = self.fontMetrics().height() + 8
        self.table.verticalHeader().setDefaultSectionSize(line)
        self._columns = FairColumns(self.table)
        self.origin = QLabel()
        self.origin.setTextFormat(Qt.TextFormat.PlainText)
        self.origin.setWordWrap(True)
        self.origin.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
        )
        self.origin.setMinimumHeight(self.fontMetrics().height() * 4)
        self.origin.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._rows: tuple[PublishedRow, ...] = ()
        self._arrange()
        self.list.currentRowChanged.connect(self._choose)
        self.search.textChanged.connect(self._narrow)
        self.table.itemSelectionChanged.connect(self._show_origin)
        self.list.setCurrentRow(0)

    def _arrange(self) -> None:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        narrow = QLabel(self.tr("&Narrow"))
        narrow.setBuddy(self.search)
        column.addWidget(in_row(narrow, self.search, stretched=self.search))
        rows = labelled(self.tr("&Rows"), self.table)
        for widget in (rows, self.origin):
            column.addWidget(widget, 1 if widget is rows else 0)
        parts = QSplitter()
        parts.addWidget(labelled(self.tr("&Tables"), self.list))
        parts.addWidget(right)
        parts.setStretchFactor(1, 1)
        parts.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.addWidget(parts)
        unit = self.fontMetrics().averageCharWidth()
        fit_on_screen(self, QSize(unit * 120, self.fontMetrics().height() * 36))
        parts.setSizes([unit * 34, unit * 86])

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        """The cells of the rows that are to be seen."""
        return [
            row.cells
            for number, row in enumerate(self._rows)
            if not self.table.isRowHidden(number)
        ]

    def _choose(self, number: int) -> None:
        if not 0 <= number < len(PUBLISHED):
            return
        published = PUBLISHED[number]
        self._rows = published.rows()
        table = self.table
        with QSignalBlocker(table):
            table.clear()
            headings = [tr_number(each) for each in published.columns]
            headings.append(self.tr("Known how"))
            table.setColumnCount(len(headings))
            table.setHorizontalHeaderLabels(headings)
            table.setRowCount(len(self._rows))
            sides = [_side(cells) for cells in zip(*self._cells(), strict=True)]
            for column, side in enumerate(sides):
                head = table.horizontalHeaderItem(column)
                if head is not None:
                    head.setTextAlignment(side)
            for place, row in enumerate(self._rows):
                for column, cell in enumerate(row.cells):
                    item = QTableWidgetItem(cell)
                    item.setTextAlignment(sides[column])
                    table.setItem(place, column, item)
                known = QTableWidgetItem(tr_number(_KNOWN[row.status]))
                known.setIcon(icon(_SIGNS[row.status]))
                table.setItem(place, len(row.cells), known)
            self._columns.fit()
        self._narrow(self.search.text())
        if self._rows:
            table.selectRow(0)

    def _cells(self) -> list[tuple[str, ...]]:
        return [row.cells for row in self._rows]

    def _narrow(self, text: str) -> None:
        word = text.casefold().strip()
        for number, row in enumerate(self._rows):
            hit = word in " ".join(row.cells).casefold()
            self.table.setRowHidden(number, not hit)

    def _show_origin(self) -> None:
        number = self.table.currentRow()
        if not 0 <= number < len(self._rows):
            self.origin.clear()
            return
        row = self._rows[number]
        parts = [tr_number(_KNOWN[row.status])]
        parts += [row.note] if row.note else []
        for source in row.sources:
            where = f" ({source.address})" if source.address else ""
            parts.append(self.tr("Source: %1").replace("%1", source.title + where))
        self.origin.setText("\n".join(parts))

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._rows:
            self._choose(self.list.currentRow())


def _side(cells: tuple[str, ...]) -> Qt.AlignmentFlag:
    """Return where the cells of a column stand: figures at the right."""
    figures = all(cell[:1].isdigit() or not cell for cell in cells) and all(
        not any(letter.isalpha() for letter in cell) for cell in cells
    )
    side = Qt.AlignmentFlag.AlignRight if figures else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter
