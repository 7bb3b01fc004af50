"""The pane of numbers: what the map implies for what is selected, and its limits.

A row says name, value and verdict; a click or Enter opens where it comes from. The
figures are those of the last check; the pane computes only what was typed into it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedWidget,
    QTableWidget,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.errors import BadValue
from blockmap.model.units import number_text, read_number
from blockmap.window.checker import Checker
from blockmap.window.choice_row import ChoiceRow
from blockmap.window.fair_columns import FairColumns
from blockmap.window.folding_row import FoldingRow, in_row
from blockmap.window.guard import guarded
from blockmap.window.pane_in_sight import PaneInSight
from blockmap.window.row_table import show_rows
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.table_cells import show_cell
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.window.numbers.derivation import DerivationView
    from blockmap.window.numbers.limits_page import LimitsPage
    from blockmap.window.numbers.rows import NumberRow

__all__ = ["NumbersPanel"]


class _RowTable(QTableWidget):
    """A table of rows that open with Enter or a click."""

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            item = self.currentItem()
            if item is not None:
                self.itemClicked.emit(item)
        else:
            super().keyPressEvent(event)


class NumbersPanel(PaneInSight):
    """Figures of the selection, their derivation, and the limits of the map."""

    def __init__(
        self,
        session: Session,
        selection: Selection,
        checker: Checker,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._checker = checker
        self._limits: LimitsPage | None = None
        self._derivation: DerivationView | None = None
        self._from_limits = False
        self.rows: tuple[NumberRow, ...] = ()
        self._make_head()
        self._make_pages()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(2)
        whole.addLayout(self._head)
        whole.addWidget(self._pages, 1)
        self.setAccessibleName(self.tr("Numbers"))
        self.setFocusProxy(self.table)
        selection.changed.connect(self._selection_changed)
        selection.block_changed.connect(self._selection_changed)
        checker.checked.connect(self.refresh)

    def _make_head(self) -> None:
        self.heading = QLabel()
        self.heading.setTextFormat(Qt.TextFormat.PlainText)
        self.heading.setWordWrap(True)
        font = self.heading.font()
        font.setPointSizeF(font.pointSizeF() * 1.2)
        self.heading.setFont(font)
        self.overload = QLineEdit()
        self.overload.setMaximumWidth(self.fontMetrics().averageCharWidth() * 12)
        self.overload.setAccessibleName(self.tr("Overload in amps"))
        self.overload.setToolTip(
            self.tr("The current for which the opening time of the fuse is shown")
        )
        self.overload.textChanged.connect(self.refresh)
        self._overload_label = QLabel(self.tr("&Overload (A)"))
        self._overload_label.setBuddy(self.overload)
        self.back = QPushButton(icon("chevron-left"), self.tr("Back"))
        texts = {"figures": self.tr("Values"), "limits": self.tr("Limits")}
        self._choice = ChoiceRow(texts, self)
        self._choice.chosen.connect(self._choose)
        self.back.clicked.connect(self._go_back)
        for later in (self.back, self.overload, self._overload_label):
            later.hide()
        pages = QWidget()
        self._choice.setContentsMargins(0, 0, 0, 0)
        pages.setLayout(self._choice)
        asked = in_row(self._overload_label, self.overload, pages)
        named = in_row(self.back, self.heading, stretched=self.heading)
        self._head = QHBoxLayout()
        self._head.setContentsMargins(8, 0, 8, 0)
        self._head.addWidget(FoldingRow(named, asked))

    def _choose(self, page: str) -> None:
        if page == "limits":
            self.show_limits()
        else:
            self.show_figures()

    def _make_pages(self) -> None:
        self.table = table = _RowTable(0, 3)
        headings = [self.tr("Number"), self.tr("Value"), self.tr("Verdict")]
        show_rows(
            table, self.tr("Numbers of what is selected"), headings, several=False
        )
        table.setShowGrid(False)
        table.setAlternatingRowColors(True)
        self._columns = FairColumns(table)
        table.itemClicked.connect(lambda item: self.open_row(item.row()))
        self._nothing = QLabel()
        self._nothing.setTextFormat(Qt.TextFormat.PlainText)
        self._nothing.setWordWrap(True)
        self._nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._nothing.setMargin(10)
        self._pages = QStackedWidget()
        self._pages.addWidget(self._nothing)
        self._pages.addWidget(table)

    @property
    def derivation(self) -> DerivationView:
        """Where numbers come from, made when first asked for."""
        if self._derivation is None:
            from blockmap.window.numbers.derivation import DerivationView

            self._derivation = DerivationView()
            self._derivation.left.connect(self._leave)
            self._pages.addWidget(self._derivation)
        return self._derivation

    # What is shown

    def show_figures(self) -> None:
        """Show the figures of what is selected."""
        self._choice.show_chosen("figures")
        self._from_limits = False
        self._show_page(self.table if self.rows else self._nothing)
        self.table.setFocus()

    def show_limits(self) -> None:
        """Show the limits of this map, ready to be typed."""
        self._choice.show_chosen("limits")
        if self._limits is None:
            from blockmap.window.numbers.limits_page import LimitsPage

            self._limits = LimitsPage(self._session)
            self._limits.origin_wanted.connect(self._open_limit)
            self._pages.addWidget(self._limits)
        self._show_page(self._limits)
        self._limits.fields[0].setFocus()

    @property
    def limits_page(self) -> LimitsPage:
        """The page of limits, made when first needed."""
        if self._limits is None:
            self.show_limits()
        assert self._limits is not None
        return self._limits

    def open_row(self, row: int) -> None:
        """Show where a row's figures come from."""
        if 0 <= row < len(self.rows):
            found = self.rows[row]
            self.show_origin(found.name, found.verdict, found.figures)

    def show_origin(self, title: str, verdict: str, figures: object) -> None:
        """Show where figures come from, whoever asks."""
        assert isinstance(figures, tuple)
        self._from_limits = self._pages.currentWidget() is self._limits
        self.derivation.show_figures(title, verdict, figures)
        self._show_page(self.derivation)
        self.derivation.setFocus()

    def _open_limit(self, key: str) -> None:
        from blockmap.analysis.numbers.limits import limits_of
        from blockmap.window.numbers.wording import figure_word

        figure = limits_of(self._session.document).figure(key)
        self.show_origin(figure_word(figure.name), "", (figure,))

    def _go_back(self) -> None:
        self.derivation.back()

    def _leave(self) -> None:
        if self._from_limits:
            self.show_limits()
        else:
            self.show_figures()

    def _show_page(self, page: QWidget) -> None:
        self._pages.setCurrentWidget(page)
        self.back.setVisible(page is self._derivation)
        self._show_heading()
        self._show_overload()

    def _show_overload(self) -> None:
        ids, cavities = self._selection.ids, self._session.document.cavities
        cavity = cavities.get(ids[0]) if len(ids) == 1 else None
        rating_a = (cavity.fitted_a or cavity.rating_a) if cavity else None
        usual_a = 2 * rating_a if rating_a else None
        figures = self._pages.currentWidget() is self.table
        wanted = usual_a is not None and figures
        self.overload.setVisible(wanted)
        self._overload_label.setVisible(wanted)
        if usual_a is not None:
            self.overload.setPlaceholderText(number_text(usual_a))

    def _overload_a(self) -> float | None:
        try:
            amps_a = read_number(self.overload.text(), typed=True)
        except BadValue:
            return None
        return amps_a if 0 < amps_a <= 100_000 else None

    def _selection_changed(self) -> None:
        self.overload.clear()
        if self._pages.currentWidget() is self._derivation:
            self._show_page(self.table)
        self.refresh()

    def fill(self) -> None:
        """Show the figures of what is selected as the last check left them."""
        figures, document = self._checker.figures, self._session.document
        rows: tuple[NumberRow, ...] = ()
        if figures is not None:
            from blockmap.window.numbers.rows import number_rows

            rows = number_rows(
                document,
                figures,
                self._selection.ids,
                self._selection.block,
                self._overload_a(),
            )
        self._show_heading()
        self._fill(rows)
        page = self._pages.currentWidget()
        if page in (self.table, self._nothing):
            self._show_page(self.table if rows else self._nothing)

    def _fill(self, rows: tuple[NumberRow, ...]) -> None:
        self._nothing.setText(self._why_nothing())
        if rows == self.rows and self.table.rowCount() == len(rows):
            return
        self.rows = rows
        table = self.table
        model = table.model()
        table.setUpdatesEnabled(False)
        table.setRowCount(len(rows))
        # Told of each cell, the columns would measure all of them each time.
        model.blockSignals(True)
        tip = self.tr("Click or press Enter: where it comes from")
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for number, row in enumerate(rows):
            sign = icon(f"level-{row.sign}") if row.sign else None
            show_cell(model, (number, 0), row.name, tip=tip)
            show_cell(model, (number, 1), row.value, tip=tip, align=right)
            show_cell(model, (number, 2), row.verdict, tip=tip, sign=sign)
        model.blockSignals(False)
        model.layoutChanged.emit()
        self._columns.fit()
        table.setUpdatesEnabled(True)

    def _why_nothing(self) -> str:
        if self._checker.figures is None:
            return self.tr("The numbers are not computed yet.")
        if self._selection.ids:
            return self.tr(
                "No number follows from what is noted here. Enter loads with amps or "
                "watts, the gauge of the wire, its length and the rating."
            )
        return self.tr(
            "Select a place to see its numbers. With nothing selected the strips and "
            "supplies stand here, once loads are entered."
        )

    def _show_heading(self) -> None:
        ids, document = self._selection.ids, self._session.document
        if self._limits is not None and self._pages.currentWidget() is self._limits:
            text = ""
        elif len(ids) == 1 and ids[0] in document.cavities:
            text = document.cavities[ids[0]].designation
        elif ids:
            text = self.tr("%1 cavities").replace("%1", str(len(ids)))
        else:
            text = self.tr("Strips and supplies")
        self.heading.setText(text)

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.rows:
            rows, self.rows = self.rows, ()
            self._fill(rows)
