"""The cells of the survey: what each holds by the readings, and how it is painted.

A round sign, filled, half or hollow, stands beside the letter or the volts, so that
nothing is told by colour alone.
"""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QCoreApplication,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QFont, QPainter, QPalette, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from blockmap.analysis.isolation.survey import Filled, Found
from blockmap.model.changes import Change
from blockmap.model.document import Map
from blockmap.model.ids import ContactRef
from blockmap.model.units import number_text
from blockmap.reference.cautions import caution_named
from blockmap.window.guard import guarded
from blockmap.window.plain_tip import plain_tip
from blockmap.window.session import Session
from blockmap.window.surveying.walking import Row

__all__ = ["LETTERS", "CellPainter", "SurveyCells", "said_word", "state_lines"]

Index = QModelIndex | QPersistentModelIndex
LETTERS = {"live": "L", "dead": "D", "dim": "M"}
_Role = Qt.ItemDataRole
_PAD_PX = 5.0


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


def said_word(word: str) -> str:
    """Return live, dead or dim in the user's language."""
    return {"live": _tr("live"), "dead": _tr("dead"), "dim": _tr("dim")}[word]


def state_lines(state: str) -> str:
    """Return a state as it stands over its column, long ones on several lines."""
    return (
        state
        if len(state) <= 6
        else state.replace(" + ", "+").replace(" ", "\n").replace("+", "\n+ ")
    )


class SurveyCells(QAbstractTableModel):
    """Rows are contacts in walking order, columns states; cells come from the map."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.rows: tuple[Row, ...] = ()
        self.states: tuple[str, ...] = ()
        self.pending = ""
        self.pending_at = (-1, -1)
        self.long_names = True
        self._row_of: dict[ContactRef, int] = {}
        self._filled: Filled | None = None
        self._read: Map | None = None
        self._tested: dict[str, set[ContactRef]] = {}
        self._walked = 0

    @property
    def filled(self) -> Filled:
        """The grid of the whole map as it is now."""
        document = self._session.document
        if self._filled is None:
            self._filled, self._read = Filled(document), document
        return self._filled

    def lay_out(self, rows: tuple[Row, ...], states: tuple[str, ...]) -> None:
        """Show these rows and columns."""
        self.beginResetModel()
        self.rows, self.states = rows, states
        self._row_of = {row.contact: n for n, row in enumerate(rows)}
        self._walked = sum(not row.barred for row in rows)
        self.pending, self.pending_at = "", (-1, -1)
        self._tested.clear()
        self.endResetModel()

    def forget(self) -> None:
        """Read the map anew when it is next asked about."""
        self._filled = None
        self._tested.clear()

    def follow(self, change: Change) -> list[tuple[int, int]]:
        """Read the readings that changed; return the cells of them that are shown."""
        if self._filled is None:
            return []
        document = self._session.document
        touched = self._filled.follow(document, change.readings.touched)
        shown = []
        for contact, state in touched:
            row = self._row_of.get(contact)
            if row is not None and state in self.states:
                column = self.states.index(state)
                shown.append((row, column))
                tested = self._tested_in(state)
                if state in self._filled.grid.get(contact, {}):
                    if not self.rows[row].barred:
                        tested.add(contact)
                else:
                    tested.discard(contact)
                index = self.index(row, column)
                self.dataChanged.emit(index, index)
        return shown

    def found(self, row: int, column: int) -> Found | None:
        """Return what a cell holds."""
        return self.filled.grid.get(self.rows[row].contact, {}).get(self.states[column])

    def row_of(self, contact: ContactRef) -> int | None:
        """Return the row of a contact; None when it is not walked over."""
        return self._row_of.get(contact)

    def walked(self) -> int:
        """Return how many contacts may be probed."""
        return self._walked

    def tested(self, state: str) -> int:
        """Return how many of them were tested in a state."""
        return len(self._tested_in(state))

    def _tested_in(self, state: str) -> set[ContactRef]:
        if state not in self._tested:
            grid = self.filled.grid
            self._tested[state] = {
                row.contact
                for row in self.rows
                if not row.barred and state in grid.get(row.contact, {})
            }
        return self._tested[state]

    def set_pending(self, row: int, column: int, text: str) -> None:
        """Show what is being typed in a cell."""
        before, self.pending = self.pending_at, text
        self.pending_at = (row, column) if text else (-1, -1)
        for at in {before, (row, column)} - {(-1, -1)}:
            index = self.index(*at)
            self.dataChanged.emit(index, index)

    def row_name(self, number: int) -> str:
        """Return the head of a row, with the legend where there is room."""
        row = self.rows[number]
        legend = f" {row.legend}" if row.legend and self.long_names else ""
        return f"{row.place}{legend} · {row.words}"

    def cell_words(self, row: int, column: int) -> str:
        """Return a cell in words, for its tip and for those who hear it."""
        found, line = self.found(row, column), self.rows[row]
        if line.barred:
            return caution_named("airbag").text
        what = _tr("not tested")
        if found is not None:
            what = said_word(found.word)
            if found.value is not None:
                what += f", {number_text(found.value)} V"
        text = f"{line.name}, {self.states[column]}: {what}"
        reading = self._session.document.readings.get(found.key) if found else None
        if reading is not None and reading.load:
            text += _tr(", with %1 on").replace("%1", reading.load)
        if reading is not None and reading.date:
            text += f", {reading.date}"
        return text

    # what Qt calls

    @guarded(0)
    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    @guarded(0)
    def columnCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.states)

    @guarded(None)
    def data(self, index: Index, role: int = _Role.DisplayRole) -> Any:
        row, column = index.row(), index.column()
        if not (0 <= row < len(self.rows) and 0 <= column < len(self.states)):
            return None
        if role == _Role.DisplayRole:
            if (row, column) == self.pending_at:
                return self.pending
            found = self.found(row, column)
            if found is None:
                return ""
            volts = found.value
            return LETTERS[found.word] if volts is None else number_text(volts)
        if role in (_Role.ToolTipRole, _Role.AccessibleTextRole):
            return _heard_or_tip(self.cell_words(row, column), role)
        return None

    @guarded(None)
    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = _Role.DisplayRole,
    ) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return self._row_head(section, role)
        if not 0 <= section < len(self.states):
            return None
        state = self.states[section]
        if role == _Role.DisplayRole:
            return f"{state_lines(state)}\n{self.tested(state)}/{self.walked()}"
        if role in (_Role.ToolTipRole, _Role.AccessibleTextRole):
            said = _tr("%1: %2 of %3 contacts tested").replace("%1", state)
            said = said.replace("%2", str(self.tested(state)))
            return _heard_or_tip(said.replace("%3", str(self.walked())), role)
        return None

    def _row_head(self, section: int, role: int) -> Any:
        if not 0 <= section < len(self.rows):
            return None
        row = self.rows[section]
        if role == _Role.DisplayRole:
            return self.row_name(section)
        if role == _Role.ToolTipRole:
            said = f"{row.name} {row.legend}".strip()
            return plain_tip(caution_named("airbag").text if row.barred else said)
        if role == _Role.FontRole and row.first:
            font = QFont()
            font.setBold(True)
            return font
        return None


def _heard_or_tip(text: str, role: int) -> str:
    return plain_tip(text) if role == _Role.ToolTipRole else text


class CellPainter(QStyledItemDelegate):
    """Paints sign and letter; the cell of the next key has a strong frame."""

    def __init__(self, cells: SurveyCells, view: QAbstractItemView) -> None:
        super().__init__(view)
        self._cells, self._view = cells, view

    @guarded()
    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        cells, row, column = self._cells, index.row(), index.column()
        palette = option.palette
        painter.save()
        if row % 2:
            painter.fillRect(option.rect, palette.alternateBase())
        ink = palette.color(QPalette.ColorRole.Text)
        faint = palette.color(QPalette.ColorRole.PlaceholderText)
        painter.setFont(option.font)
        found = cells.found(row, column)
        if (row, column) == cells.pending_at:
            self._draw_pending(painter, option.rect, option.font, cells.pending)
        elif cells.rows[row].barred:
            painter.setPen(faint)
            painter.drawText(option.rect, Qt.AlignmentFlag.AlignCenter, "—")
        elif found is not None:
            painter.setPen(ink)
            self._draw_found(painter, option.rect, found, option.font)
        else:
            painter.setPen(faint)
            painter.drawText(option.rect, Qt.AlignmentFlag.AlignCenter, "·")
        current = self._view.currentIndex()
        if (row, column) == (current.row(), current.column()):
            wide = 3.0 if self._view.hasFocus() else 1.0
            edge = wide / 2
            painter.setPen(QPen(palette.color(QPalette.ColorRole.Highlight), wide))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(option.rect).adjusted(edge, edge, -edge, -edge))
        painter.restore()

    @staticmethod
    def _draw_pending(painter: QPainter, box: QRect, font: QFont, text: str) -> None:
        bold = QFont(font)
        bold.setBold(True)
        painter.setFont(bold)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, f"{text}|")

    @staticmethod
    def _draw_found(painter: QPainter, box: QRect, found: Found, font: QFont) -> None:
        metrics = painter.fontMetrics()
        side = metrics.ascent() * 0.72
        text = LETTERS[found.word] if found.value is None else number_text(found.value)
        if found.loaded:
            slanted = QFont(font)
            slanted.setItalic(True)
            painter.setFont(slanted)
        wide = side + _PAD_PX + metrics.horizontalAdvance(text)
        left = box.x() + max((box.width() - wide) / 2, 2.0)
        ring = QRectF(left, box.center().y() - side / 2, side, side)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = painter.pen()
        painter.setPen(QPen(pen.color(), 1.4))
        painter.setBrush(pen.color() if found.word == "live" else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(ring)
        if found.word == "dim":
            painter.setBrush(pen.color())
            painter.drawPie(ring, 90 * 16, 180 * 16)
        elif found.word == "dead":
            middle = QPointF(ring.center())
            reach = QPointF(side / 2, -side / 2) * 0.7
            painter.drawLine(middle - reach, middle + reach)
        painter.setPen(pen)
        place = QRectF(ring.right() + _PAD_PX, box.y(), box.right(), box.height())
        at = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(place, at, text)

    @guarded(QSize)
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        del index
        metrics = option.fontMetrics
        return QSize(metrics.horizontalAdvance("● 12.45") + 12, metrics.height() + 8)
