"""The parts list beside the map: what the damage asks for, prices, orders, spares.

It follows the map as it changes. Price, source and dates are typed into the list and
kept in the repairs; nothing is ordered from here.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.behind.part import Part, sum_words
from blockmap.analysis.behind.parts import parts_needed
from blockmap.analysis.behind.stock import FuseStock, fuse_stock
from blockmap.model.document import Map
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.window import dialogs
from blockmap.window.behind.asking import Asker
from blockmap.window.behind.part_edits import FILLED, fill_part, part_text
from blockmap.window.guard import guarded
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.side_dialog import SideDialog
from blockmap.window.window_place import fit_on_screen

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["PartsWindow"]

_Lists = tuple[tuple[Part, ...], tuple[FuseStock, ...]]


def _lists(document: Map) -> _Lists:
    return parts_needed(document), fuse_stock(document)


class _Table(QTableWidget):
    """A list whose filled-in cells are typed into; Tab leaves it."""

    def __init__(self, headings: list[str], name: str) -> None:
        super().__init__(0, len(headings))
        self.setHorizontalHeaderLabels(headings)
        self.setAccessibleName(name)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.setAlternatingRowColors(True)
        self.verticalHeader().hide()
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)

    def write(self, row: int, texts: list[str], editable: range) -> None:
        """Show a row of texts, leaving alone what is the same."""
        for place, text in enumerate(texts):
            item = self.item(row, place)
            if item is None:
                item = QTableWidgetItem(text)
                if place not in editable:
                    item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                self.setItem(row, place, item)
            elif item.text() != text:
                item.setText(text)


class PartsWindow(SideDialog):
    """Parts above, fuses to stock below, and what can be done with the list."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.parts: tuple[Part, ...] = ()
        self.setWindowTitle(self.tr("Parts list"))
        self._make_tables()
        self._arrange()
        self.asker = Asker(window.session, self)
        self.asker.answered.connect(self._show)
        window.session.changed.connect(self._later)
        self.table.itemChanged.connect(self._filled)
        self.table.cellDoubleClicked.connect(self._opened)
        self.table.currentCellChanged.connect(lambda *_c: self._show_button())

    def _make_tables(self) -> None:
        self._headings = [
            self.tr("Need"),
            self.tr("Perhaps"),
            self.tr("Part"),
            self.tr("Gauge"),
            self.tr("Seal"),
            self.tr("Side"),
            self.tr("For"),
            self.tr("Why"),
            self.tr("Stage"),
            self.tr("Price each"),
            self.tr("Source"),
            self.tr("Ordered"),
            self.tr("Received"),
        ]
        self.first_filled = len(self._headings) - len(FILLED)
        self.table = _Table(self._headings, self.tr("Parts to buy"))
        tips = self.tr("year-month-day")
        for place in (self.first_filled + 2, self.first_filled + 3):
            item = self.table.horizontalHeaderItem(place)
            if item is not None:
                item.setToolTip(tips)
        self.stock = _Table(
            [self.tr("Fuse"), self.tr("In use"), self.tr("Spares to carry")],
            self.tr("Fuses to stock"),
        )
        self.stock.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        em = self.fontMetrics().averageCharWidth()
        widths = (6, 10, 40, 10, 10, 7, 16, 16, 13, 14, 14, 15, 15)
        for place, wide in enumerate(widths):
            self.table.setColumnWidth(place, wide * em)
        header = self.stock.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    def _arrange(self) -> None:
        self.message = InlineMessage()
        self._count = QLabel()
        self._count.setTextFormat(Qt.TextFormat.PlainText)
        self._count.setWordWrap(True)
        upper, lower = QWidget(), QWidget()
        over = QVBoxLayout(upper)
        over.setContentsMargins(0, 0, 0, 0)
        over.addWidget(self._count)
        over.addWidget(self.table, 1)
        over.addWidget(self.message)
        under = QVBoxLayout(lower)
        under.setContentsMargins(0, 0, 0, 0)
        heading = QLabel(self.tr("Fuses to stock"))
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        under.addWidget(heading)
        under.addWidget(self.stock, 1)
        parts = QSplitter(Qt.Orientation.Vertical)
        parts.addWidget(upper)
        parts.addWidget(lower)
        parts.setChildrenCollapsible(False)
        parts.setStretchFactor(0, 2)
        parts.setStretchFactor(1, 1)
        self.show_button = QPushButton(self.tr("&Show place"))
        self.csv_button = QPushButton(self.tr("&Write CSV"))
        close = QPushButton(self.tr("&Close"))
        self.show_button.clicked.connect(self.show_places)
        self.csv_button.clicked.connect(self.write_csv)
        close.clicked.connect(self.close)
        foot = QHBoxLayout()
        for button in (self.show_button, self.csv_button, close):
            button.setAutoDefault(False)
        foot.addWidget(self.show_button)
        foot.addWidget(self.csv_button)
        foot.addStretch(1)
        foot.addWidget(close)
        whole = QVBoxLayout(self)
        whole.addWidget(parts, 1)
        whole.addLayout(foot)
        em = self.fontMetrics().averageCharWidth()
        fit_on_screen(self, QSize(em * 190, self.fontMetrics().height() * 32))

    # what is shown

    def _later(self, _change: object = None) -> None:
        if self.isVisible():
            self.asker.ask(_lists)

    def _show(self, lists: _Lists) -> None:
        self.parts, stock = lists
        table = self.table
        editable = range(self.first_filled, len(self._headings))
        with QSignalBlocker(table):
            table.setUpdatesEnabled(False)
            table.setRowCount(len(self.parts))
            for row, part in enumerate(self.parts):
                table.write(row, _texts(part), editable)
            table.setUpdatesEnabled(True)
        table.resizeRowsToContents()
        with QSignalBlocker(self.stock):
            self.stock.setRowCount(len(stock))
            for row, fuse in enumerate(stock):
                name = f"{fuse.form}, {number_text(fuse.rating_a)} A"
                texts = [name, str(fuse.in_use), str(fuse.spares)]
                self.stock.write(row, texts, range(0))
        self.stock.resizeRowsToContents()
        if self.parts:
            text = self.tr(
                "%n lines; price, source and dates are typed here", "", len(self.parts)
            )
            sums = sum_words(self.parts)
            if sums:
                said = self.tr("Sum of the prices entered: %1")
                text = f"{text}. {said.replace('%1', sums)}"
        else:
            text = self.tr("The damage that is noted asks for no parts.")
        self._count.setText(text)
        self._show_button()

    def _show_button(self) -> None:
        part = self._current()
        self.show_button.setEnabled(part is not None and bool(part.at))

    def _current(self) -> Part | None:
        row = self.table.currentRow()
        return self.parts[row] if 0 <= row < len(self.parts) else None

    # what is done

    def _filled(self, item: QTableWidgetItem) -> None:
        """Keep what was typed into a line."""
        place = item.column() - self.first_filled
        if not (0 <= place < len(FILLED) and item.row() < len(self.parts)):
            return
        part, field = self.parts[item.row()], FILLED[place]
        text = item.text()
        self.message.clear()
        title = self.tr("Set %1 of %2")
        title = title.replace("%1", self._headings[item.column()].lower())
        title = title.replace("%2", part.name[:30])
        refusal = self._window.session.carry_out(title, fill_part, part, field, text)
        if refusal:
            self.message.say(refusal)
            with QSignalBlocker(self.table):
                item.setText(part_text(part, field))

    def _opened(self, _row: int, place: int) -> None:
        if place < self.first_filled:
            self.show_places()

    def show_places(self) -> None:
        """Select in the figure the places that the current line is for."""
        part = self._current()
        if part is None:
            return
        index = PlaceIndex(self._window.session.document)
        found = [index.place(text) for text in part.at]
        self._window.selection.select(place.cavity for place in found if place)

    def write_csv(self) -> None:
        """Ask where, and write the list with the fuses to stock."""
        from blockmap.sheets.parts_sheet import parts_csv

        window = self._window
        folder = Path(window.settings.last_folder())
        wished = folder / f"{window.map_file.name} parts.csv"
        path = dialogs.ask_save_file(
            self, self.tr("Write parts"), str(wished), self.tr("Tables (*.csv)"), ".csv"
        )
        if path is None:
            return

        def written() -> None:
            window.settings.set_last_folder(path)
            window.say(self.tr("Wrote %1").replace("%1", path.name))

        document = window.session.document
        window.disk.write(
            path,
            lambda: parts_csv(document).encode("utf-8"),
            lambda why: dialogs.tell(window, self.tr("The list was not written"), why),
            written,
        )

    # what Qt calls

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._later()


def _texts(part: Part) -> list[str]:
    texts = [
        str(part.count),
        str(part.perhaps) if part.perhaps else "",
        part.name,
        part.gauge,
        part.seal,
        part.side,
        "; ".join(part.places),
        "; ".join(part.why),
        part.stage,
    ]
    price = part_text(part, "price")
    return [*texts, price, part.source, part.ordered, part.received]
