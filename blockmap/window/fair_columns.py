"""Shares the width of a list out among its columns so that no word is broken.

Each column gets what its texts take on one line while there is room; where there is
not, all get their longest word and the wordy ones share the rest. Only where even the
words have no room does the list roll sideways.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QAbstractItemModel, QEvent, QObject, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QHeaderView, QStyle, QTableView

from blockmap.window.guard import guarded

__all__ = ["FairColumns", "shared_out"]

MOST_ROWS = 200
"""Rows that are measured; a longer list is measured by these."""
MARGIN_PX = 10


def shared_out(
    least: Sequence[int], wanted: Sequence[int], room: int, last: int
) -> list[int]:
    """Return the widths of columns in a room, all in pixels.

    Those with the largest wishes give way; what is left over goes to the column last.
    They are wider than the room together where not even the words fit into it.
    """
    widths = [max(pair) for pair in zip(least, wanted, strict=True)]
    over = sum(widths) - room
    if over <= 0:
        widths[last] -= over
        return widths
    spare = room - sum(least)
    if spare <= 0:  # it rolls anyway, so that lines need no breaking
        return [
            min(wide, max(few, room // 2))
            for wide, few in zip(widths, least, strict=True)
        ]
    wishes = [wide - few for wide, few in zip(widths, least, strict=True)]
    level, left = 0, spare
    # Small wishes are met in full; what they leave is shared among the larger ones.
    for count, wish in zip(range(len(wishes), 0, -1), sorted(wishes), strict=True):
        level = left // count
        if wish > level:
            break
        left -= wish
    given = [min(wish, level) for wish in wishes]
    found = [few + more for few, more in zip(least, given, strict=True)]
    found[wishes.index(max(wishes))] += room - sum(found)
    return found


class FairColumns(QObject):
    """Sizes the columns of a table when it is resized, and when fit() is called.

    letters gives columns that are typed into, or drawn in, a least width; last is the
    column that takes room left over; air_px stands below the words of a row.
    """

    def __init__(
        self,
        table: QTableView,
        *,
        letters: Mapping[int, int] | None = None,
        last: int = -1,
        air_px: int = 0,
    ) -> None:
        super().__init__(table)
        self._table = table
        self._letters = dict(letters or {})
        self._last, self._air_px = last, air_px
        self._sized: dict[tuple[str, bool], tuple[int, int]] = {}
        table.setWordWrap(True)
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(False)
        table.viewport().installEventFilter(self)
        table.installEventFilter(self)

    def fit(self) -> None:
        """Size columns and rows by the texts that stand in them now."""
        table = self._table
        model = table.model()
        columns = [c for c in range(model.columnCount()) if not table.isColumnHidden(c)]
        if not columns:
            return
        sizes = [self._needs(model, column) for column in columns]
        least, wanted = [s[0] for s in sizes], [s[1] for s in sizes]
        room = table.viewport().width()
        for column, width in zip(
            columns, shared_out(least, wanted, room, self._last), strict=True
        ):
            if table.columnWidth(column) != width:
                table.setColumnWidth(column, width)
        table.resizeRowsToContents()
        for row in range(model.rowCount() if self._air_px else 0):
            table.setRowHeight(row, table.rowHeight(row) + self._air_px)

    def _needs(self, model: QAbstractItemModel, column: int) -> tuple[int, int]:
        """Return the longest word and the longest line of a column, in pixels."""
        head = str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        mark = self._table.style().pixelMetric(QStyle.PixelMetric.PM_HeaderMargin)
        _, least = self._measure(head, bold=True)  # bold while its cell is current
        least += 2 * mark
        letters = self._letters.get(column, 0)
        least = max(least, letters * self._table.fontMetrics().averageCharWidth())
        wanted = least
        for row in range(min(model.rowCount(), MOST_ROWS)):
            if self._table.isRowHidden(row):
                continue
            index = model.index(row, column)
            text = index.data()
            sign = index.data(Qt.ItemDataRole.DecorationRole)
            if not text and sign is None:
                continue
            font = index.data(Qt.ItemDataRole.FontRole)
            bold = isinstance(font, QFont) and font.bold()
            word, line = self._measure(str(text or ""), bold=bold)
            beside = self._sign_size().width() + MARGIN_PX // 2 if sign else 0
            least, wanted = max(least, word + beside), max(wanted, line + beside)
        return least, wanted

    def _sign_size(self) -> QSize:
        size = self._table.iconSize()
        if size.isValid():
            return size
        side = self._table.style().pixelMetric(QStyle.PixelMetric.PM_SmallIconSize)
        return QSize(side, side)

    def _measure(self, text: str, *, bold: bool) -> tuple[int, int]:
        """Return the longest word and the longest line of a text with its margins."""
        known = self._sized.get((text, bold))
        if known is None:
            font = QFont(self._table.font())
            font.setBold(bold)
            metrics = QFontMetrics(font)
            wide = metrics.horizontalAdvance
            known = (
                max(map(wide, text.split()), default=0) + MARGIN_PX,
                max(map(wide, text.splitlines()), default=0) + MARGIN_PX,
            )
            if len(self._sized) > 20 * MOST_ROWS:
                self._sized.clear()
            self._sized[text, bold] = known
        return known

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and watched is self._table.viewport():
            self.fit()
        elif event.type() == QEvent.Type.FontChange and watched is self._table:
            self._sized.clear()
            self.fit()
        return bool(super().eventFilter(watched, event))
