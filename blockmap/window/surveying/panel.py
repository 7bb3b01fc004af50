"""The pane of the survey: the grid, what follows from it, and pulling.

It shows the contacts of the block that is shown. Every entry is a reading of the map,
the same that stands in the notebook.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.isolation.survey import Survey, states_known
from blockmap.model.changes import Change
from blockmap.model.document import Map
from blockmap.model.edits import set_car_text
from blockmap.model.ids import CavityId
from blockmap.reference.cautions import caution_named
from blockmap.window.behind.asking import Asker
from blockmap.window.behind.links import plain
from blockmap.window.choice_row import ChoiceRow
from blockmap.window.elided_label import ElidedLabel
from blockmap.window.guard import guarded
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.pane_in_sight import PaneInSight
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.surveying.cautions import CautionLine
from blockmap.window.surveying.columns_menu import SetUp
from blockmap.window.surveying.grid import SurveyGrid
from blockmap.window.surveying.pulling_page import PullingPage
from blockmap.window.surveying.question import Question
from blockmap.window.surveying.results import ResultsPage, gathered
from blockmap.window.surveying.walking import Row, Walk, states_offered
from blockmap.window.theme import icon

__all__ = ["SurveyPanel"]

_LEAST_LINES = 6
WORK_OUT_MS = 400
"""So long after the last key the results are worked out anew."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


class SurveyPanel(PaneInSight):
    """One survey; went tells that another contact is lit.

    room_wanted asks for the whole height beside the figure, or gives it back.
    """

    went = Signal()
    room_wanted = Signal(bool)

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._chosen: tuple[str, ...] | None = None
        self.found: Survey | None = None
        self.grid = SurveyGrid(session)
        self.results = ResultsPage(session, selection)
        self.pulling = PullingPage(session, selection)
        self.set_up = SetUp()
        self._question = Question()
        self._walk = Walk()
        self.asker = Asker(session, self)
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(WORK_OUT_MS)
        self._wait.timeout.connect(lambda: self.asker.ask(self._question))
        self._make_head()
        self._arrange()
        self.setAccessibleName(_tr("Survey"))
        self.setFocusProxy(self.grid)
        self._connect()

    def _make_head(self) -> None:
        texts = {
            "grid": _tr("Grid"),
            "results": _tr("Results"),
            "pulling": _tr("Pulling"),
        }
        self.choice = ChoiceRow(texts, self)
        self.choice.chosen.connect(self.show_page)
        self._head = QHBoxLayout()
        self._head.setContentsMargins(8, 0, 8, 0)
        self._head.addLayout(self.choice)
        self._head.addStretch(1)
        self.room = QToolButton()
        self.room.setIcon(icon("zoom-fit"))
        self.room.setText(_tr("Whole height"))
        self.room.setToolTip(_tr("Give the survey the whole height beside the figure"))
        self.room.setCheckable(True)
        self.room.clicked.connect(self.room_wanted)
        self._head.addWidget(self.room)
        self._head.addWidget(self.set_up)

    def _arrange(self) -> None:
        self.now = ElidedLabel()
        font = self.now.font()
        font.setPointSizeF(font.pointSizeF() * 1.2)
        font.setBold(True)
        self.now.setFont(font)
        self.count = QLabel()
        self.count.setTextFormat(Qt.TextFormat.PlainText)
        self.count.setWordWrap(True)
        self.caution = CautionLine()
        self.message = InlineMessage()
        self.hint = QLabel(
            _tr(
                "L live (+)   D dead (/)   M dim (*)   or volts and Enter   "
                "Backspace goes back   Tab: next untested"
            )
        )
        self.hint.setWordWrap(True)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        said = QVBoxLayout()
        said.setContentsMargins(8, 0, 8, 0)
        said.setSpacing(0)
        for label in (self.now, self.count, self.caution):
            said.addWidget(label)
        column.addLayout(said)
        column.addWidget(self.grid, 1)
        foot = QVBoxLayout()
        foot.setContentsMargins(8, 0, 8, 2)
        foot.addWidget(self.message)
        foot.addWidget(self.hint)
        column.addLayout(foot)
        self._pages = QStackedWidget()
        self.pages: dict[str, QWidget] = {
            "grid": page,
            "results": self.results,
            "pulling": self.pulling,
        }
        for widget in self.pages.values():
            self._pages.addWidget(widget)
        self._pages.setMinimumHeight(_LEAST_LINES * self.fontMetrics().height())
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(2)
        whole.addLayout(self._head)
        whole.addWidget(self._pages, 1)

    def _connect(self) -> None:
        session = self._session
        session.changed.connect(self._document_changed)
        session.path_changed.connect(self._other_map)
        self._selection.block_changed.connect(self.refresh)
        self.grid.went.connect(self._went)
        self.grid.refused.connect(self.message.say)
        self.set_up.changed.connect(self._set_up_changed)
        self.set_up.state_wanted.connect(self._add_state)
        self.asker.answered.connect(self._take)

    # what is shown

    def show_page(self, name: str) -> None:
        """Bring a page forward: grid, results or pulling; the keyboard goes there."""
        self.choice.show_chosen(name)
        self._pages.setCurrentWidget(self.pages[name])
        if name == "results":
            self.results.come_forward()
        elif name == "pulling":
            self.pulling.show_states(self.grid.cells.states)
            self.pulling.refresh()
        self.window().activateWindow()  # it may float beside the window
        self.pages[name].setFocus()
        if name == "grid":
            self.grid.setFocus()
        self.went.emit()

    @property
    def page(self) -> str:
        """The page in front."""
        front = self._pages.currentWidget()
        return next(name for name, page in self.pages.items() if page is front)

    def lit(self) -> tuple[CavityId, str]:
        """Return cavity and contact of the next key; '' where there is none."""
        contact = self.grid.contact
        return contact if contact and self.page == "grid" else ("", "")

    def fill(self) -> None:
        """Lay the rows and columns out anew for the block that is shown."""
        document, block = self._session.document, self._selection.block
        grid, set_up = self.grid, self.set_up
        contact, state = grid.contact, grid.key_state
        grid.cells.forget()
        known = states_known(document)
        shown = self._states(document, known)
        more = tuple(s for s in shown if s not in known)
        set_up.offer_states((*known, *more), shown)
        rows: tuple[Row, ...] = ()
        if block:
            rows = self._walk.rows(document, block, set_up.order, every=set_up.every)
        grid.at_fuse = set_up.at_fuse
        grid.nothing_here = self._nothing(bool(rows))
        if (rows, shown) == (grid.cells.rows, grid.cells.states):
            grid.show_anew()
        else:
            grid.cells.lay_out(rows, shown)
            grid.fit(self.width())
            if contact is None or not grid.go_to(contact, state):
                grid.go(0, 0)
        self.pulling.show_states(shown)
        self.pulling.refresh()
        self._went()
        self._wait.start()

    def _states(self, document: Map, known: tuple[str, ...]) -> tuple[str, ...]:
        """Return the columns: those chosen, else what the map and its readings need."""
        if self._chosen is not None:
            wanted = set(self._chosen)
        else:
            wanted = set(states_offered(document, known))
            for row in self.grid.cells.filled.grid.values():
                wanted |= row.keys()
        order = {state: number for number, state in enumerate(known)}
        last = len(order)
        return tuple(sorted(wanted, key=lambda s: (order.get(s, last), s)))

    def _nothing(self, rows: bool) -> str:
        if self._selection.block is None:
            return _tr("No block yet. Add a block, then its places")
        if rows:
            return _tr("No state is chosen. Tick one under Set up, States")
        return _tr(
            "This block has no contacts yet. Draw its places in the figure or paste "
            "them into the legend; each contact becomes a row here"
        )

    def _went(self) -> None:
        grid = self.grid
        row, column = grid.at
        state = grid.key_state
        if row < 0 or column < 0:
            self.now.clear()
            self.count.clear()
            self.caution.show_cautions(())
        else:
            line = grid.cells.rows[row]
            self.now.setText(f"{state}: {line.name}  {line.legend}".rstrip())
            self.count.setText(self._count_words(state))
            if line.barred:
                self.caution.show_cautions([caution_named("airbag").text])
            elif "START" in state:
                self.caution.show_cautions([caution_named("cranking").text])
            else:
                self.caution.show_cautions(())
        self.went.emit()

    def _count_words(self, state: str) -> str:
        cells = self.grid.cells
        said = _tr("%1 of %2 contacts tested in %3")
        said = said.replace("%1", str(cells.tested(state)))
        said = said.replace("%2", str(cells.walked())).replace("%3", state)
        if not any(cells.tested(each) for each in cells.states):
            said += ". " + _tr(
                "Meter minus on clean ground; the ring on the figure shows where the "
                "probe goes"
            )
        return said

    def _take(self, found: Survey) -> None:
        self.found = found
        wrong = len(gathered(found))
        title = _tr("Results")
        button = self.choice.buttons["results"]
        button.setText(f"{title} ({wrong})" if wrong else title)
        tip = _tr("%1 against the map").replace("%1", str(wrong)) if wrong else ""
        button.setToolTip(tip)
        cells = self.grid.cells
        said = _tr("%1: %2 of %3")
        parts = [
            said.replace("%1", state)
            .replace("%2", str(cells.tested(state)))
            .replace("%3", str(cells.walked()))
            for state in cells.states
        ]
        counts = _tr("Contacts tested in %1.").replace("%1", "; ".join(parts))
        self.results.show_survey(found, plain(counts) if parts else "")

    # following

    def _document_changed(self, change: Change) -> None:
        if change.cavities or change.blocks or change.car or change.strips:
            self.refresh()
        elif change.readings:
            if self._stale or not self.in_sight:
                self._stale = True
                return
            self.grid.followed(change)
            self.count.setText(self._count_words(self.grid.key_state))
            self.pulling.refresh()
            self._wait.start()

    def _other_map(self) -> None:
        self._chosen = None
        self.refresh()

    def _set_up_changed(self) -> None:
        self._chosen = self.set_up.states
        self.refresh()

    def _add_state(self, text: str) -> None:
        """Show a typed column; a word that the map lacks becomes a state of its own."""
        words = [word.strip() for word in text.split("+") if word.strip()]
        document = self._session.document
        folded = {state.casefold() for state in states_known(document)}
        new = [word.upper() for word in words if word.casefold() not in folded]
        shown = self.grid.cells.states
        if new:
            title = _tr("Add state %1").replace("%1", ", ".join(new))
            own = "; ".join((*document.car.states, *new))
            if not self._session.edit(title, set_car_text, "states", own):
                return
        self.grid.cells.forget()
        state = self.grid.cells.filled.state_named(words)
        if state:
            self._chosen = tuple(dict.fromkeys((*shown, state)))
            self.refresh()
            self.grid.go(0, self.grid.cells.states.index(state))
            self.grid.setFocus()

    def commit(self) -> None:
        """Enter volts that are typed and not entered yet."""
        self.grid.take_typed(on=False)

    def stop(self) -> None:
        """Wait for the worker; nothing comes after."""
        self._wait.stop()
        self.asker.stop()

    # what Qt calls

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.grid.fit(self.width())

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.grid.fit(self.width())
