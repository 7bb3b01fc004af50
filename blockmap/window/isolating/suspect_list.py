"""The suspects by chance: a bar with its figure, the fault in words, and why.

A row leads to the places it names in the figure. It ranks; it accuses no part.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QCoreApplication,
    QModelIndex,
    QPersistentModelIndex,
    QRectF,
    QSignalBlocker,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QWidget,
)

from blockmap.model.units import number_text
from blockmap.window.fair_columns import FairColumns
from blockmap.window.guard import guarded
from blockmap.window.row_table import show_rows
from blockmap.window.table_cells import show_cell

if TYPE_CHECKING:
    from blockmap.analysis.isolation.suspects import Suspect

__all__ = ["SuspectList", "chance_text", "ohms_text"]

_CHANCE = Qt.ItemDataRole.UserRole


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


def chance_text(chance: float) -> str:
    """Return a chance as a person reads it: no figure claims to be certain."""
    if chance > 0.99:
        return _tr("over 99 %")
    if chance < 0.01:
        return _tr("under 1 %")
    return _tr("%1 %").replace("%1", str(round(100 * chance)))


def ohms_text(ohms: tuple[float, float] | None) -> str:
    """Return the added resistance in words; empty when none is known."""
    if ohms is None:
        return ""
    low, high = ohms
    texts = []
    for value in (low, high):
        digits = float(f"{value:.2g}")
        texts.append(
            f"{number_text(digits)} Ω"
            if value >= 1
            else f"{number_text(float(f'{1000 * value:.2g}'))} mΩ"
        )
    if texts[0] == texts[1]:
        return _tr("about %1").replace("%1", texts[0])
    return _tr("about %1 to %2").replace("%1", texts[0]).replace("%2", texts[1])


class _ChanceDelegate(QStyledItemDelegate):
    """Draws the figure with a bar under it, in the ink of the row."""

    @guarded()
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        super().paint(painter, option, index)
        chance = index.data(_CHANCE)
        if chance is None:
            return
        line = option.fontMetrics.height()
        room = QRectF(option.rect).adjusted(6, 0, -6, 0)
        bar = QRectF(room.left(), room.top() + line * 1.4, room.width(), line * 0.36)
        ink = option.palette.color(QPalette.ColorRole.Text)
        painter.save()
        painter.setPen(ink)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(bar)
        filled = QRectF(bar)
        filled.setWidth(bar.width() * min(1.0, float(chance)))
        painter.fillRect(filled, ink)
        painter.restore()

    @guarded(QSize)
    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        size = super().sizeHint(option, index)
        line = option.fontMetrics.height()
        return QSize(max(size.width(), line * 4), max(size.height(), round(line * 2.1)))


class SuspectList(QTableWidget):
    """The suspects of one answer; place_wanted carries the cavities of a row."""

    place_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, 3, parent)
        self.suspects: tuple[Suspect, ...] = ()
        show_rows(
            self,
            _tr("Suspects"),
            [_tr("Chance"), _tr("Suspect"), _tr("Why")],
            several=False,
        )
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setItemDelegateForColumn(0, _ChanceDelegate(self))
        air_px = self.fontMetrics().height() // 3
        self._columns = FairColumns(self, letters={0: 12}, air_px=air_px)
        self.itemClicked.connect(lambda item: self._lead(item.row()))

    def show_suspects(self, suspects: tuple[Suspect, ...]) -> None:
        """Show these in place of the ones before."""
        if suspects == self.suspects and self.rowCount() == len(suspects):
            return
        self.suspects = suspects
        model = self.model()
        corner = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
        with QSignalBlocker(self):
            self.setUpdatesEnabled(False)
            self.setRowCount(len(suspects))
            for row, suspect in enumerate(suspects):
                words = suspect.words()
                size = ohms_text(suspect.ohms)
                why = f"{suspect.why[:1].upper()}{suspect.why[1:]}"
                tip = (
                    _tr("Click or press Enter: show the place")
                    if suspect.places
                    else ""
                )
                texts = (
                    chance_text(suspect.probability),
                    f"{words}\n{size}" if size else words,
                    why,
                )
                for place, text in enumerate(texts):
                    show_cell(model, (row, place), text, tip=tip, align=corner)
                model.setData(model.index(row, 0), suspect.probability, _CHANCE)
            self._columns.fit()
            self.setUpdatesEnabled(True)

    def _lead(self, row: int) -> None:
        if 0 <= row < len(self.suspects):
            self.place_wanted.emit(self.suspects[row].places)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._lead(self.currentRow())
        else:
            super().keyPressEvent(event)
