"""The list of findings: level, place and sentence; a row leads to its cavity."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLabel,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.findings import Finding
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import icon

__all__ = ["FindingsPanel"]


class FindingsPanel(QWidget):
    """Shows what the checks found; counted carries errors, advice, information."""

    counted = Signal(int, int, int)

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._found: tuple[Finding, ...] = ()
        self._table = QTableWidget(0, 3, self)
        self._table.setHorizontalHeaderLabels(
            [self.tr("Level"), self.tr("Place"), self.tr("What and what to do")]
        )
        self._table.setAccessibleName(self.tr("Findings"))
        self._table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self._table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self._table.setWordWrap(True)
        self._table.setTabKeyNavigation(False)
        self._table.verticalHeader().hide()
        header = self._table.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        self._table.itemSelectionChanged.connect(self._lead)
        self._clean = QLabel(
            self.tr(
                "Nothing found. Checked: overlaps, places off the outline, double "
                "designations, ratings, what is fitted, forms and damage."
            )
        )
        self._clean.setWordWrap(True)
        self._clean.setTextFormat(Qt.TextFormat.PlainText)
        self._clean.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._clean.setMargin(10)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self._clean)
        self._stack.addWidget(self._table)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)
        self.setFocusProxy(self._table)

    def show_findings(self, found: tuple[Finding, ...]) -> None:
        """Show these findings in place of the earlier ones."""
        if found == self._found and self._table.rowCount() == len(found):
            return
        self._found = found
        table = self._table
        table.blockSignals(True)
        table.setUpdatesEnabled(False)
        table.setRowCount(len(found))
        for row, finding in enumerate(found):
            level = QTableWidgetItem(str(finding.level))
            level.setIcon(icon(f"level-{finding.level}"))
            texts = f"{finding.what}. {finding.todo}".strip()
            cells = (level, QTableWidgetItem(self._places(finding)), _item(texts))
            for place, cell in enumerate(cells):
                cell.setToolTip(finding.why)
                table.setItem(row, place, cell)
        if len(found) <= 100:
            table.resizeRowsToContents()
        table.setUpdatesEnabled(True)
        table.blockSignals(False)
        self._stack.setCurrentWidget(table if found else self._clean)
        counts = [sum(str(f.level) == name for f in found) for name in _LEVELS]
        self.counted.emit(*counts)

    def _places(self, finding: Finding) -> str:
        cavities = self._session.document.cavities
        named = [cavities[i].designation for i in finding.objects if i in cavities]
        return ", ".join(named[:6]) + (" …" if len(named) > 6 else "")

    def _lead(self) -> None:
        rows = {index.row() for index in self._table.selectedIndexes()}
        ids = [i for row in sorted(rows) for i in self._found[row].objects]
        if ids:
            self._selection.select(ids)


_LEVELS = ("error", "advice", "information")


def _item(text: str) -> QTableWidgetItem:
    return QTableWidgetItem(text)
