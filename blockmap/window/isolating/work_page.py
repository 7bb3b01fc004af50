"""What the search takes for granted: minutes of work, and odds of faults by kind.

Every default is shown with how it is known; an empty cell keeps it. What is set here
stands in the map and is weighed at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.assumed import ODDS_KEYS, OwnOdds, OwnWork
from blockmap.model.document import Map
from blockmap.model.edits import forget_assumed, set_odds, set_work
from blockmap.model.schema import property_named
from blockmap.model.units import number_text
from blockmap.reference.work_rows import ODDS_ROWS, WORK_ROWS
from blockmap.window.fair_columns import FairColumns
from blockmap.window.isolating.beside import Page, plain_label, tr_job
from blockmap.window.isolating.typed_table import TypedTable

if TYPE_CHECKING:
    from collections.abc import Callable

    from blockmap.window.isolating.jobs import Jobs

__all__ = ["WorkPage"]

_FAULTS = ("open", "resistance", "short")


class _Table(TypedTable):
    """A table whose empty cells show the default faintly."""

    def __init__(
        self,
        headings: list[str],
        hint: Callable[[int, int], str],
        write: Callable[[int, int, str], str],
        typed: range,
    ) -> None:
        super().__init__(headings)
        self._hint, self._write, self._typed = hint, write, typed

    def typed_here(self, row: int, place: int) -> bool:
        """Tell whether a cell can be typed into."""
        del row
        return place in self._typed

    def hint(self, row: int, place: int) -> str:
        """Return the default."""
        return self._hint(row, place) if place in self._typed else ""

    def write(self, row: int, place: int, text: str) -> str:
        """Set a figure; return why it is refused."""
        return self._write(row, place, text)


class WorkPage(Page):
    """The work, whether the block is down, and the odds."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self._jobs = jobs
        self.intro = plain_label(
            tr_job(
                "Faint figures are the defaults: common practice, no source. Type "
                "your own, and suspects and next reading follow; Delete goes back."
            )
        )
        self.down = QCheckBox(tr_job("The bl&ock is down: its rear is near"))
        self.down.setToolTip(property_named(OwnWork, "block_is_down").help)
        self.down.clicked.connect(self._set_down)
        self.work = _Table(
            [tr_job("Work"), tr_job("Minutes"), tr_job("What for")],
            self._usual_work,
            self._write_work,
            range(1, 2),
        )
        self.odds = _Table(
            [
                tr_job("Kind of part"),
                tr_job("Open"),
                tr_job("Resistance"),
                tr_job("Short"),
                tr_job("Known"),
            ],
            self._usual_odds,
            self._write_odds,
            range(1, 4),
        )
        self.work.setAccessibleName(tr_job("Minutes of work"))
        self.odds.setAccessibleName(tr_job("Odds of faults by kind of part"))
        for table in (self.work, self.odds):
            table.refused.connect(self.say)
        self._columns = FairColumns(self.work), FairColumns(self.odds)
        self.reset = QPushButton(tr_job("Back to the defau&lts"))
        self.reset.clicked.connect(self._reset)
        self._arrange()

    def _arrange(self) -> None:
        halves = QSplitter(Qt.Orientation.Vertical)
        halves.setChildrenCollapsible(False)
        halves.addWidget(self.work)
        halves.addWidget(self.odds)
        foot = QHBoxLayout()
        foot.addWidget(self.message, 1)
        foot.addStretch(0)
        foot.addWidget(self.reset)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.intro)
        whole.addWidget(self.down)
        whole.addWidget(halves, 1)
        whole.addLayout(foot)

    def first_field(self) -> QWidget:
        """Return the table of the work."""
        if self.work.currentRow() < 0:
            self.work.setCurrentCell(0, 1)
        return self.work

    # what is shown

    def refresh(self) -> None:
        """Show the figures of the map as it is now."""
        document = self._jobs.session.document
        with QSignalBlocker(self.down):
            self.down.setChecked(document.work.block_is_down)
        self.work.setRowCount(len(WORK_ROWS))
        for row, (key, work) in enumerate(WORK_ROWS.items()):
            mine = getattr(document.work, key)
            self.work.put(row, 0, tr_job(work.label))
            self.work.put(row, 1, _text(mine), right=True)
            self.work.put(row, 2, f"{_known(mine is not None)}; {tr_job(work.help)}")
            self._embolden(self.work, row, 1)
        self.odds.setRowCount(len(ODDS_KEYS))
        for row, (key, kind) in enumerate(ODDS_KEYS.items()):
            odds = document.odds.get(key, OwnOdds())
            self.odds.put(row, 0, tr_job(ODDS_ROWS[kind].label))
            for place, fault in enumerate(_FAULTS, 1):
                self.odds.put(row, place, _text(getattr(odds, fault)), right=True)
                self._embolden(self.odds, row, place)
            self.odds.put(row, 4, _known(odds != OwnOdds()))
        for columns in self._columns:
            columns.fit()
        self.reset.setEnabled(bool(document.odds) or document.work != OwnWork())

    def _embolden(self, table: TypedTable, row: int, place: int) -> None:
        item = table.item(row, place)
        if item is not None:
            font = item.font()
            font.setBold(bool(item.text()))
            item.setFont(font)

    def _usual_work(self, row: int, place: int) -> str:
        del place
        return number_text(list(WORK_ROWS.values())[row].default.value)

    def _usual_odds(self, row: int, place: int) -> str:
        kind = list(ODDS_KEYS.values())[row]
        return number_text(getattr(ODDS_ROWS[kind], _FAULTS[place - 1]))

    # what is done

    def _set_down(self, down: bool) -> None:
        title = tr_job("Block is down") if down else tr_job("Block is up")
        text = "yes" if down else "no"
        self._jobs.session.edit(title, set_work, "block_is_down", text)

    def _write_work(self, row: int, place: int, text: str) -> str:
        del place
        key = list(WORK_ROWS)[row]
        title = tr_job("Set work: %1").replace("%1", tr_job(WORK_ROWS[key].label))
        return self._edit(title, set_work, key, text)

    def _write_odds(self, row: int, place: int, text: str) -> str:
        key, kind = list(ODDS_KEYS.items())[row]
        title = tr_job("Set odds: %1").replace("%1", tr_job(ODDS_ROWS[kind].label))
        return self._edit(title, set_odds, key, _FAULTS[place - 1], text)

    def _edit(self, title: str, edit: Callable[..., Map], *args: str) -> str:
        return self._jobs.session.carry_out(title, edit, *args) or ""

    def _reset(self) -> None:
        title = tr_job("Default work and odds")
        self._jobs.session.edit(title, forget_assumed)

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        self.work.commit()
        self.odds.commit()


def _text(value: float | None) -> str:
    return "" if value is None else number_text(value)


def _known(mine: bool) -> str:
    return tr_job("set by you") if mine else tr_job("common practice, no source")
