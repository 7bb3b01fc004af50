"""The terminal families as a list: those of this map first, and where each is used.

Plain functions of maps, and the table that shows what they give. It edits nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
)

from blockmap.analysis.behind.singly import families_used
from blockmap.model.document import Map, TerminalFamily
from blockmap.model.ids import CavityId
from blockmap.model.terminals import families
from blockmap.window.plain_tip import plain_tip
from blockmap.window.row_table import show_rows

__all__ = ["FamilyRow", "FamilyTable", "family_rows"]


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


@dataclass(frozen=True, slots=True)
class FamilyRow:
    """One family: its key among the map's own, or '', and the cavities that use it."""

    family: TerminalFamily
    key: str
    used: tuple[CavityId, ...] = ()


def family_rows(document: Map) -> tuple[FamilyRow, ...]:
    """Return every family there is: those used in the map first, then its own."""
    used = {family.name: ids for family, ids in families_used(document)}
    keys = {id(family): key for key, family in document.families.items()}
    rows = [
        FamilyRow(family, keys.get(id(family), ""), used.get(family.name, ()))
        for family in families(document)
    ]
    return tuple(sorted(rows, key=lambda row: (not row.used, not row.key)))


class FamilyTable(QTableWidget):
    """One row a family; chosen carries the row that became the current one."""

    chosen = Signal(int)

    def __init__(self) -> None:
        super().__init__(0, 3)
        show_rows(
            self,
            _tr("Terminal families"),
            [_tr("Family"), _tr("Places"), _tr("From")],
            several=False,
        )
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 6)
        header = self.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for place in (1, 2):
            header.setSectionResizeMode(place, QHeaderView.ResizeMode.ResizeToContents)
        self.currentCellChanged.connect(lambda row, *_old: self.chosen.emit(row))

    def fill(self, rows: tuple[FamilyRow, ...], current: int) -> None:
        """Show these families, one of them chosen."""
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for number, row in enumerate(rows):
                count = str(len(row.used)) if row.used else "–"
                where = _tr("this map") if row.key else _tr("shipped")
                for place, text in enumerate((row.family.name, count, where)):
                    item = QTableWidgetItem(text)
                    item.setToolTip(plain_tip(text))
                    font = item.font()
                    font.setBold(bool(row.used))
                    item.setFont(font)
                    self.setItem(number, place, item)
            self.setCurrentCell(current, 0)
