"""The pane that looks for the fault: notebook, suspects, and the next reading.

Where there is room they stand below one another, else one at a time. Nothing is
worked out while the pane is hidden. It proposes; the person and the service manual
decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSplitter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.edits import add_reading, set_aside
from blockmap.model.places import find_place
from blockmap.window.guard import guarded
from blockmap.window.isolating.beside import plain_label
from blockmap.window.isolating.jobs import Jobs
from blockmap.window.isolating.notebook import Notebook
from blockmap.window.isolating.points import PointNames
from blockmap.window.isolating.proposal import ProposalCard
from blockmap.window.isolating.repair_strip import RepairStrip, weighed
from blockmap.window.isolating.searching import Searcher
from blockmap.window.isolating.suspect_list import SuspectList
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.pane_in_sight import PaneInSight
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import icon
from blockmap.window.this_day import today

if TYPE_CHECKING:
    from blockmap.analysis.isolation.isolate import Isolation
    from blockmap.analysis.isolation.telling import NextReading

__all__ = ["FaultPanel"]

_TALL_LINES = 34
"""With so many lines of height the three parts stand below one another."""
_PARTS = ("next", "suspects", "readings")


class FaultPanel(PaneInSight):
    """Readings of the map, what may be at fault, and what to measure next.

    shown tells whether it can be seen.
    """

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._part = "next"
        self.names = PointNames()
        self.searcher = Searcher(session, self)
        self.jobs = Jobs(session, selection, parent or self)
        self.notebook = Notebook(session, self.names)
        self.suspects = SuspectList()
        self.proposal = ProposalCard()
        self.repair = RepairStrip()
        self._make_head()
        self._arrange()
        self.setAccessibleName(self.tr("Fault"))
        self.setFocusProxy(self.proposal.field)
        self.searcher.found.connect(self._show)
        self.searcher.working_long.connect(self._say_working)
        session.changed.connect(self.refresh)
        self.notebook.refused.connect(self._say)
        self.notebook.told.connect(self.follows.setText)
        self.notebook.place_wanted.connect(self._show_point)
        self.suspects.place_wanted.connect(self._show_places)
        self.proposal.show_wanted.connect(self._show_proposal)
        self.proposal.answered.connect(self._take_answer)
        self.repair.aside_wanted.connect(self._set_aside)
        self.notebook.itemSelectionChanged.connect(self._name_aside)
        self.notebook.currentCellChanged.connect(lambda *_at: self._name_aside())

    def _make_head(self) -> None:
        self.heading = QLabel()
        self.heading.setTextFormat(Qt.TextFormat.PlainText)
        self.heading.setWordWrap(True)
        self.heading.setContentsMargins(8, 0, 8, 0)
        font = self.heading.font()
        font.setPointSizeF(font.pointSizeF() * 1.1)
        self.heading.setFont(font)
        self.working = QLabel(self.tr("Working it out…"))
        self.working.setContentsMargins(0, 0, 8, 0)
        self.working.hide()
        self._buttons = {
            "next": QPushButton(self.tr("Next reading")),
            "suspects": QPushButton(self.tr("Suspects")),
            "readings": QPushButton(self.tr("Readings")),
        }
        choice = QButtonGroup(self)
        self._head = QHBoxLayout()
        self._head.setContentsMargins(8, 0, 8, 0)
        self._head.addStretch(1)
        for name, button in self._buttons.items():
            button.setCheckable(True)
            button.toggled.connect(self._embolden)
            button.clicked.connect(lambda _on=False, n=name: self.show_part(n))
            choice.addButton(button)
            self._head.addWidget(button)
        self._buttons["next"].setChecked(True)
        self.more = QToolButton()
        self.more.setText(self.tr("More"))
        self.more.setToolTip(self.tr("Ticks, key-off draw, short to ground, odds"))
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self.more)
        for name, text in (
            ("shared", self.tr("What &works and what is dead")),
            ("draw", self.tr("&Draw with the key off")),
            ("short", self.tr("&Short to ground")),
            ("work", self.tr("Work and &odds of the search")),
        ):
            action = menu.addAction(text)
            action.triggered.connect(lambda _on=False, n=name: self.jobs.bring(n))
        self.more.setMenu(menu)
        self._head.addWidget(self.more)

    def _embolden(self) -> None:
        """Write the chosen part's name bold: a shade alone is hard to see."""
        for button in self._buttons.values():
            font = button.font()
            font.setBold(button.isChecked())
            button.setFont(font)

    def _arrange(self) -> None:
        self.message = InlineMessage()
        self.follows = plain_label()
        self.remove_button = QPushButton(icon("edit-delete"), self.tr("Remove reading"))
        self.remove_button.setToolTip(self.tr("Forget the selected readings"))
        self.remove_button.clicked.connect(self.notebook.remove_selected)
        self.aside_button = QPushButton(icon("edit-history"), self.tr("Set aside"))
        self.aside_button.setToolTip(
            self.tr("Keep the selected readings as before a repair; weigh them again")
        )
        self.aside_button.clicked.connect(self.notebook.turn_aside)
        readings = QWidget()
        column = QVBoxLayout(readings)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.notebook, 1)
        foot = QHBoxLayout()
        foot.setContentsMargins(8, 0, 8, 2)
        words = QVBoxLayout()
        words.addWidget(self.message)
        words.addWidget(self.follows)
        foot.addLayout(words, 1)
        foot.addWidget(self.aside_button, 0, Qt.AlignmentFlag.AlignTop)
        foot.addWidget(self.remove_button, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(foot)
        self._parts: dict[str, QWidget] = {
            "readings": readings,
            "suspects": self.suspects,
            "next": self.proposal,
        }
        self._splitter = QSplitter(Qt.Orientation.Vertical)
        self._splitter.setChildrenCollapsible(False)
        for part in self._parts.values():
            self._splitter.addWidget(part)
        self._splitter.setSizes([200, 200, 260])
        for number in range(len(_PARTS)):
            self._splitter.setStretchFactor(number, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(2)
        whole.addLayout(self._head)
        said = QHBoxLayout()
        said.addWidget(self.heading, 1)
        said.addWidget(self.working, 0, Qt.AlignmentFlag.AlignTop)
        whole.addLayout(said)
        whole.addWidget(self.repair)
        whole.addWidget(self._splitter, 1)
        self._show_parts()

    # what is shown

    @property
    def tall(self) -> bool:
        """True where the three parts stand below one another."""
        return self.height() >= _TALL_LINES * self.fontMetrics().height()

    def show_part(self, name: str) -> None:
        """Bring a part forward: next, suspects or readings; the keyboard goes there."""
        self._part = name
        self._buttons[name].setChecked(True)
        self._show_parts()
        focus: dict[str, QWidget] = {
            "next": self.proposal.field,
            "suspects": self.suspects,
            "readings": self.notebook,
        }
        focus[name].setFocus()

    def _show_parts(self) -> None:
        for name, part in self._parts.items():
            part.setVisible(self.tall or name == self._part)

    def fill(self) -> None:
        """Show the readings now, and search again."""
        self.notebook.refresh()
        self._name_aside()
        self.searcher.request()

    def _show(self, found: Isolation | None) -> None:
        self.proposal.show_answer(found)
        self.suspects.show_suspects(found.suspects if found else ())
        self.repair.show_for(found, self._session.document)
        notes: dict[str, str] = {}
        if found is None:
            self.heading.setText(
                self.tr("The search failed inside the program; the readings are safe.")
            )
        else:
            self.names.take(found.belief.network, self._session.document)
            self.notebook.viewport().update()
            self.heading.setText(self._summary(found))
            for key, why in found.unused:
                said = self.tr("This reading is not weighed: %1")
                notes[key] = said.replace("%1", why)
                reading = self._session.document.readings.get(key)
                if reading and reading.value is None and not reading.seen:
                    notes[key] = self.tr(
                        "Type what the meter showed under Value, or what was seen "
                        "under Seen"
                    )
            for key, _text in found.contradicted:
                notes[key] = self.tr("No suspect explains this reading")
        self.notebook.show_notes(notes)

    def _summary(self, found: Isolation) -> str:
        if found.none_fits:
            said = "; ".join(text for _, text in found.contradicted)
            return self.tr(
                "Nothing on the map fits every reading. In doubt: %1. Read these "
                "again, and check that the map is right there."
            ).replace("%1", said)
        if not self._session.document.readings:
            return self.tr(
                "No reading is noted yet. Note what is dead or dim under Readings, or "
                "take the next reading."
            )
        return found.sentence()

    def _say_working(self, working: bool) -> None:
        self.working.setVisible(working)

    def _say(self, sentence: str) -> None:
        if sentence:
            self.message.say(sentence)
        else:
            self.message.clear()

    # what is done

    def _show_point(self, point: str) -> None:
        place = find_place(self._session.document, point)
        if place is not None:
            self._selection.select([place.cavity])

    def _show_places(self, places: tuple[tuple[str, str], ...]) -> None:
        self._selection.select([cavity for cavity, _ in places])

    def _show_proposal(self, proposed: NextReading) -> None:
        self._selection.select([proposed.place[0]])
        self._selection.set_view(proposed.view)

    def _take_answer(
        self, proposed: NextReading, value_v: float | None, seen: str
    ) -> None:
        from blockmap.analysis.isolation.answering import reading_for

        reading = reading_for(proposed, value_v=value_v, seen=seen, date=today())
        title = self.tr("Note reading at %1").replace("%1", reading.point[:30])
        self._session.edit(title, add_reading, reading)
        self.proposal.field.setFocus()

    def set_all_aside(self) -> None:
        """Keep every reading so far as taken before a repair."""
        self._set_aside(weighed(self._session.document))

    def _set_aside(self, keys: Sequence[str]) -> None:
        title = self.tr("Mended: set %1 readings aside").replace("%1", str(len(keys)))
        self._session.edit(title, set_aside, *keys)
        self.proposal.field.setFocus()

    def _name_aside(self) -> None:
        """Say what the button beside the notebook does to the selected readings."""
        back = self.notebook.selected_aside
        self.aside_button.setText(
            self.tr("Weigh again") if back else self.tr("Set aside")
        )

    def commit(self) -> None:
        """Write what is typed in a cell and not committed yet."""
        self.notebook.commit()
        self.jobs.commit()

    def stop(self) -> None:
        """Wait for the search; nothing comes after."""
        self.searcher.stop()
        self.jobs.stop()

    # what Qt calls

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        self._show_parts()
        super().showEvent(event)

    @guarded()
    def hideEvent(self, event: QHideEvent) -> None:
        self.notebook.commit()
        super().hideEvent(event)

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show_parts()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.searcher.latest:
            with QSignalBlocker(self.suspects):
                self.proposal.show_answer(self.searcher.latest)
