"""Which columns the legend table shows, in what order and how wide; remembered.

The layout is kept under the columns' keys, so that it outlives new columns and a
damaged setting counts as none.
"""

from __future__ import annotations

import json
from typing import Protocol

from PySide6.QtCore import QCoreApplication, QObject, QPoint, Qt, QTimer
from PySide6.QtWidgets import QMenu, QTableView

from blockmap.window.legend.cells import CellDelegate
from blockmap.window.legend.rows import SHOWN_FIRST, TABLE_COLUMNS
from blockmap.window.legend.wording import schema_word

__all__ = ["ColumnLayout", "Store"]

_KEY = "legend/columns"
_LEAST_EM, _MOST_EM = 5.0, 24.0
_LEAST_OF = {"legend": 11.0, "circuit": 12.0, "wires": 13.0, "loads": 16.0}
"""Room for a first entry, in widths of a letter, before anything is typed."""
_LOOKED_AT = 60
"""Rows that are looked at to find the width of a column."""


_MARGIN_PX = 14
_PICTURED = frozenset(
    number
    for number, column in enumerate(TABLE_COLUMNS)
    if column.key.endswith("_a") or column.key.endswith("_condition")
)


class Store(Protocol):
    """Where the layout is kept: QSettings, or anything like it."""

    def value(self, key: str) -> object:
        """Return what was kept under a key, None when nothing was."""

    def setValue(self, key: str, value: object) -> None:
        """Keep something under a key."""


class ColumnLayout(QObject):
    """Shows, hides, moves and sizes the columns of one table and keeps that."""

    def __init__(
        self, table: QTableView, cells: CellDelegate, store: Store | None
    ) -> None:
        super().__init__(table)
        self._table, self._cells, self._store = table, cells, store
        header = table.horizontalHeader()
        self._header = header
        header.setSectionsMovable(True)
        header.setFirstSectionMovable(True)
        header.setSectionsClickable(True)
        header.setHighlightSections(False)
        header.setDefaultAlignment(
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        )
        header.setSortIndicatorClearable(True)
        header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        header.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        header.customContextMenuRequested.connect(self._menu_at)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(300)
        self._later.timeout.connect(self.keep)
        self._sized: set[str] = set()
        self._fitting = False
        self.reset()
        self._restore()
        self._wider = QTimer(self)
        self._wider.setSingleShot(True)
        self._wider.setInterval(400)
        self._wider.timeout.connect(self.fit)
        table.model().dataChanged.connect(self._wider.start)
        header.sectionResized.connect(self._resized)
        header.sectionMoved.connect(self._later.start)

    def reset(self) -> None:
        """Show the usual columns in the usual order and widths."""
        for number, column in enumerate(TABLE_COLUMNS):
            self._header.moveSection(self._header.visualIndex(number), number)
            self._header.setSectionHidden(number, column.key not in SHOWN_FIRST)
        self._sized.clear()
        self.fit()
        self._later.start()

    def fit(self) -> None:
        """Make the columns wide enough, but those that somebody has sized."""
        em = self._table.fontMetrics().averageCharWidth()
        self._fitting = True
        for number in self.shown():
            if TABLE_COLUMNS[number].key not in self._sized:
                width = min(self._needed(number), round(_MOST_EM * em))
                least = _LEAST_OF.get(TABLE_COLUMNS[number].key, _LEAST_EM)
                self._header.resizeSection(number, max(width, round(least * em)))
        self._fitting = False

    def _needed(self, number: int) -> int:
        """Return the width of the widest text, plus room for pictures."""
        model = self._table.model()
        metrics = self._table.fontMetrics()
        title = str(model.headerData(number, Qt.Orientation.Horizontal) or "")
        width = metrics.horizontalAdvance(title) + _MARGIN_PX
        picture = metrics.height() + 8 if number in _PICTURED else 0
        for row in range(min(model.rowCount(), _LOOKED_AT)):
            index = model.index(row, number)
            text = metrics.horizontalAdvance(str(index.data() or ""))
            wires = self._cells.picture_room(metrics, index)
            width = max(width, text + picture + wires + _MARGIN_PX)
        return width

    def _resized(self, number: int, _before: int, width: int) -> None:
        last = self.shown()[-1:] == [number]
        if width and not self._fitting and not last:
            self._sized.add(TABLE_COLUMNS[number].key)
            self._later.start()

    def set_shown(self, number: int, shown: bool) -> None:
        """Show or hide a column; the last one stays."""
        if not shown and len(self.shown()) <= 1:
            return
        self._header.setSectionHidden(number, not shown)
        self.fit()
        self._later.start()

    def shown(self) -> list[int]:
        """Return the shown columns from left to right."""
        order = [self._header.logicalIndex(v) for v in range(self._header.count())]
        return [n for n in order if not self._header.isSectionHidden(n)]

    def move(self, number: int, by: int) -> None:
        """Move a shown column to the left (-1) or right (1)."""
        shown = self.shown()
        target = shown.index(number) + by if number in shown else -1
        if 0 <= target < len(shown):
            self._header.moveSection(
                self._header.visualIndex(number),
                self._header.visualIndex(shown[target]),
            )

    def fill_menu(self, menu: QMenu, current: int = -1) -> None:
        """Add what shows and hides columns, and what moves the current one."""
        moves = ((_tr("Move column &left"), -1), (_tr("Move column &right"), 1))
        for text, by in moves:
            action = menu.addAction(text)
            action.setEnabled(current >= 0)
            action.triggered.connect(lambda _=False, by=by: self.move(current, by))
        menu.addSeparator()
        for number, column in enumerate(TABLE_COLUMNS):
            action = menu.addAction(schema_word(column.label))
            action.setCheckable(True)
            action.setChecked(not self._header.isSectionHidden(number))
            action.setToolTip(schema_word(column.help))
            action.toggled.connect(lambda on, number=number: self.set_shown(number, on))
        menu.addSeparator()
        menu.addAction(_tr("&Usual columns")).triggered.connect(self.reset)

    def _menu_at(self, place: QPoint) -> None:
        menu = QMenu(self._table)
        self.fill_menu(menu, self._header.logicalIndexAt(place))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self._header.mapToGlobal(place))

    def keep(self) -> None:
        """Write the layout to the store."""
        self._later.stop()
        if self._store is None:
            return
        rows = []
        for visual in range(self._header.count()):
            number = self._header.logicalIndex(visual)
            hidden = self._header.isSectionHidden(number)
            key = TABLE_COLUMNS[number].key
            width = self._header.sectionSize(number) if key in self._sized else 0
            rows.append([key, width, hidden])
        self._store.setValue(_KEY, json.dumps(rows))

    def _restore(self) -> None:
        stored = self._store.value(_KEY) if self._store is not None else None
        try:
            rows = [(str(k), int(w), bool(h)) for k, w, h in json.loads(str(stored))]
        except (ValueError, TypeError):
            return
        numbers = {column.key: n for n, column in enumerate(TABLE_COLUMNS)}
        known = [row for row in rows if row[0] in numbers]
        if all(hidden for _, _, hidden in known):
            return
        for visual, (key, width, hidden) in enumerate(known):
            number = numbers[key]
            self._header.moveSection(self._header.visualIndex(number), visual)
            if 10 <= width <= 5000:
                self._header.resizeSection(number, width)
                self._sized.add(key)
            self._header.setSectionHidden(number, hidden)
        self.fit()


def _tr(text: str) -> str:
    return QCoreApplication.translate("columns", text)
