"""The list of findings: level, place and sentence; what is accepted stands apart.

A row leads to its cavity in the figure, and a cavity selected there leads to its row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QEvent, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import Acceptance
from blockmap.window.acceptance_line import AcceptanceLine
from blockmap.window.guard import guarded
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.row_table import show_rows
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.table_cells import show_cell
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.analysis.findings import Finding

__all__ = ["FindingsPanel"]

MOST_FITTED = 100
"""With more rows than this a row has one line, so that the list stays quick."""
_LEVELS = ("error", "advice", "information")
_LEVEL_WORDS = {
    "error": QT_TRANSLATE_NOOP("findings", "error"),
    "advice": QT_TRANSLATE_NOOP("findings", "advice"),
    "information": QT_TRANSLATE_NOOP("findings", "information"),
}


@dataclass(frozen=True, slots=True)
class _Row:
    """One row: a finding, a heading, or an acceptance that stands for nothing now."""

    finding: Finding | None = None
    heading: str = ""
    key: str = ""
    lapsed: Acceptance | None = None

    @property
    def objects(self) -> tuple[str, ...]:
        """The ids of what the row is about."""
        if self.finding is not None:
            return self.finding.objects
        return self.lapsed.at if self.lapsed is not None else ()


class FindingsPanel(QWidget):
    """Shows what the checks found; counted carries errors, advice, information.

    Accepted findings are not counted. origin_wanted carries a finding whose numbers
    are asked for.
    """

    counted = Signal(int, int, int)
    origin_wanted = Signal(object)

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._found: tuple[Finding, ...] = ()
        self._rows: tuple[_Row, ...] = ()
        self._leading = False
        self._make_table()
        self._clean = QLabel(
            self.tr(
                "Nothing found. Checked: overlaps, places off the outline, double "
                "designations, ratings, what is fitted, forms, damage, loads against "
                "fuses, fuses against wires, drops, contacts, links, strips and tabs."
            )
        )
        self._clean.setWordWrap(True)
        self._clean.setTextFormat(Qt.TextFormat.PlainText)
        self._clean.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._clean.setMargin(10)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self._clean)
        self._stack.addWidget(self._table)
        self.line = AcceptanceLine(session)
        self.line.origin_wanted.connect(self.origin_wanted)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._stack, 1)
        layout.addWidget(self.line)
        self.setFocusProxy(self._table)
        selection.changed.connect(self._follow)

    def _make_table(self) -> None:
        self._table = table = QTableWidget(0, 3, self)
        headings = [self.tr("Level"), self.tr("Place"), self.tr("What was found")]
        show_rows(table, self.tr("Findings"), headings, several=True)
        table.setWordWrap(True)
        header = table.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        header.sectionResized.connect(self._fit_rows_later)
        table.itemSelectionChanged.connect(self._lead)
        self._fitting = QTimer(self)
        self._fitting.setSingleShot(True)
        self._fitting.setInterval(0)
        self._fitting.timeout.connect(self._fit_rows)

    def _fit_rows_later(self, *_resized: int) -> None:
        """Break the sentences anew when the width for them is another one."""
        self._fitting.start()

    def _fit_rows(self) -> None:
        if len(self._rows) <= MOST_FITTED:
            self._table.resizeRowsToContents()

    # What is shown

    def show_findings(self, found: tuple[Finding, ...]) -> None:
        """Show these findings in place of the earlier ones; keep the place in them."""
        rows = tuple(self._rows_of(found))
        if rows == self._rows and self._table.rowCount() == len(rows):
            return
        here = self._current()
        before = self._rows if self._table.rowCount() == len(self._rows) else ()
        self._found, self._rows = found, rows
        table = self._table
        with QSignalBlocker(table):
            table.setUpdatesEnabled(False)
            table.setRowCount(len(rows))
            for number, row in enumerate(rows):
                old = before[number] if number < len(before) else None
                if old == row:
                    continue  # an edit changes one row of hundreds
                if old is not None and old.heading:
                    table.setSpan(number, 0, 1, 1)
                    table.takeItem(number, 0)
                self._fill(number, row)
            self._fit_rows()
            self._return_to(here)
            table.setUpdatesEnabled(True)
        self._stack.setCurrentWidget(table if rows else self._clean)
        self._show_line()
        counting = [finding for finding in found if finding.accepted is None]
        counts = [sum(str(f.level) == name for f in counting) for name in _LEVELS]
        self.counted.emit(*counts)

    def _rows_of(self, found: tuple[Finding, ...]) -> Iterator[_Row]:
        accepted = [finding for finding in found if finding.accepted is not None]
        yield from (_Row(finding) for finding in found if finding.accepted is None)
        if accepted:
            yield _Row(heading=self.tr("Accepted with a reason"))
            yield from (_Row(finding, key=finding.acceptance) for finding in accepted)
        known = {finding.acceptance for finding in found}
        lapsed = {
            key: held
            for key, held in self._session.document.accepted.items()
            if key not in known
        }
        if lapsed:
            yield _Row(heading=self.tr("Accepted earlier, no longer found"))
            yield from (_Row(key=key, lapsed=held) for key, held in lapsed.items())

    def _fill(self, number: int, row: _Row) -> None:
        table = self._table
        if row.heading:
            item = QTableWidgetItem(row.heading)
            font = item.font()
            font.setBold(True)
            item.setFont(font)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled)
            table.setItem(number, 0, item)
            table.setSpan(number, 0, 1, 3)
            return
        if row.finding is not None:
            name = str(row.finding.level)
            level = QCoreApplication.translate("findings", _LEVEL_WORDS[name])
            sign, why = icon(f"level-{name}"), row.finding.why
            what = f"{row.finding.what}."
            if row.finding.accepted is not None:
                what = f"{what} {self.tr('Accepted:')} {row.finding.accepted.reason}."
                level, sign = self.tr("accepted"), icon("level-sound")
        else:
            assert row.lapsed is not None
            level, sign, why = self.tr("accepted"), icon("level-sound"), ""
            what = f"{row.lapsed.said}. {row.lapsed.reason}."
        model = table.model()
        show_cell(model, (number, 0), level, tip=why, sign=sign)
        show_cell(model, (number, 1), self._places(row), tip=why)
        show_cell(model, (number, 2), what, tip=why)

    def _places(self, row: _Row) -> str:
        document = self._session.document
        named = []
        for identity in row.objects:
            if identity in document.cavities:
                named.append(document.cavities[identity].designation)
            elif identity in document.strips:
                named.append(document.strips[identity].name or identity)
        return ", ".join(named[:6]) + (" …" if len(named) > 6 else "")

    # Where one is

    def _current(self) -> tuple[str, tuple[str, ...]] | None:
        number = self._table.currentRow()
        if not 0 <= number < len(self._rows):
            return None
        return _mark(self._rows[number])

    def _return_to(self, mark: tuple[str, tuple[str, ...]] | None) -> None:
        """Put the current row back on the finding it was on, wherever it is now."""
        self._table.clearSelection()
        places = [n for n, row in enumerate(self._rows) if _mark(row) == mark]
        if mark is not None and places:
            self._table.setCurrentCell(places[0], 0)
        else:
            self._table.setCurrentCell(-1, -1)

    def step(self, step: int) -> None:
        """Go to the next finding, or to the one before; past the end begin anew."""
        places = [n for n, row in enumerate(self._rows) if not row.heading]
        if not places:
            return
        here = self._table.currentRow()
        if step > 0:
            found = next((n for n in places if n > here), places[0])
        else:
            found = next((n for n in reversed(places) if n < here), places[-1])
        self._table.setCurrentCell(found, 0)

    def accept_current(self) -> None:
        """Open the line in which the current finding is accepted."""
        if self._table.currentRow() < 0:
            self.step(1)
        self.line.begin()

    def _show_line(self) -> None:
        number = self._table.currentRow()
        row = self._rows[number] if 0 <= number < len(self._rows) else _Row()
        self.line.show_finding(row.finding, row.key)

    def _lead(self) -> None:
        """Select in the figure what the selected rows are about."""
        rows = {index.row() for index in self._table.selectedIndexes()}
        ids = [i for row in sorted(rows) for i in self._rows[row].objects]
        self._show_line()
        cavities = self._strips_opened(ids)
        if cavities:
            self._leading = True
            try:
                self._selection.select(cavities)
            finally:
                self._leading = False

    def _strips_opened(self, ids: list[str]) -> list[str]:
        """Return cavities; a strip stands for those whose contacts it joins."""
        strips = self._session.document.strips
        found: list[str] = []
        for identity in ids:
            if identity in strips:
                found += [ref.cavity for ref in strips[identity].contact_refs()]
            else:
                found.append(identity)
        return list(dict.fromkeys(found))

    def _follow(self) -> None:
        """Mark the first row about the cavity that was selected elsewhere."""
        if self._leading or self._table.hasFocus():
            return
        current = self._selection.current
        number = next(
            (n for n, row in enumerate(self._rows) if current in row.objects), -1
        )
        with QSignalBlocker(self._table):
            self._table.clearSelection()
            self._table.setCurrentCell(number, 0 if number >= 0 else -1)
        self._show_line()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._rows:
            self._rows = ()
            self.show_findings(self._found)


def _mark(row: _Row) -> tuple[str, tuple[str, ...]]:
    if row.finding is not None:
        return row.finding.code, row.finding.objects
    return f"{row.key}{row.heading}", row.objects
