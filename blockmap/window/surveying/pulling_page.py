"""Pulling one fuse at a time: what stopped with it out fills its loads and circuit.

What would be noted stands in words before it is. It teaches no work: the cautions
stand on it, and the service manual decides.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.isolation.sizes import is_off_limits
from blockmap.model.document import Map
from blockmap.model.ids import CavityId
from blockmap.reference.cautions import caution_named
from blockmap.window.behind.links import LinkedLabel, cavity_links, jump, plain
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.suggesting_edit import SuggestingEdit
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.rolled import rolled
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.surveying.cautions import CautionLine
from blockmap.window.surveying.load_list import LoadList
from blockmap.window.surveying.pulling import (
    Outcome,
    loads_to_try,
    outcome_of,
    pullable,
    pulled_noted,
    said_before,
)
from blockmap.window.this_day import today

__all__ = ["PullingPage"]

_OFFERED = 8
_LEAST_ROWS = 5


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


class PullingPage(QWidget):
    """One place at a time, as it is selected."""

    def __init__(self, session: Session, selection: Selection) -> None:
        super().__init__()
        self._session, self._selection = session, selection
        self._cavity: CavityId | None = None
        self._added: list[str] = []
        self._read: Map | None = None
        self.place, self.state = QComboBox(), QComboBox()
        self.loads = LoadList()
        self.other = SuggestingEdit()
        self.words = LinkedLabel()
        self.caution = CautionLine()
        self.message = InlineMessage()
        self.nothing = QLabel()
        self.note_button = QPushButton(_tr("Note it"))
        self.next_button = QPushButton(_tr("Note it, next place"))
        self._arrange()
        self.place.currentIndexChanged.connect(self._chosen)
        self.loads.changed.connect(self._say_outcome)
        self.other.set_provider(self._offered)
        self.other.returnPressed.connect(self._add_typed)
        self.words.jumped.connect(lambda to: jump(session, selection, to))
        self.note_button.clicked.connect(self.note)
        self.next_button.clicked.connect(self.note_and_go_on)
        selection.changed.connect(self._follow)
        self.setFocusProxy(self.loads)

    def _arrange(self) -> None:
        self.setAccessibleName(_tr("Pulled one at a time"))
        head = QGridLayout()
        head.setContentsMargins(0, 0, 0, 0)
        for row, (text, field) in enumerate(
            (
                (_tr("&Out now"), self.place),
                (_tr("&Tried in"), self.state),
                (_tr("&Also stopped"), self.other),
            )
        ):
            label = QLabel(text)
            label.setBuddy(field)
            field.setAccessibleName(text.replace("&", ""))
            field.setMinimumWidth(self.fontMetrics().averageCharWidth() * 10)
            head.addWidget(label, row, 0)
            head.addWidget(field, row, 1)
        head.setColumnStretch(1, 1)
        self.place.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.other.setPlaceholderText(_tr("any load, then Enter"))
        self.nothing.setWordWrap(True)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.note_button.setToolTip(
            _tr("Note what stopped; loads, circuit and evidence follow, in one step")
        )
        self.next_button.setToolTip(_tr("Note it and go to the next place to pull"))
        foot = QHBoxLayout()
        foot.addWidget(self.note_button)
        foot.addWidget(self.next_button)
        foot.addStretch(1)
        self._form = QWidget()
        inside = QVBoxLayout(self._form)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(4)
        inside.addLayout(head)
        inside.addWidget(self.loads, 1)
        inside.addWidget(self.words)
        inside.addWidget(self.message)
        inside.addLayout(foot)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(8, 0, 8, 4)
        column.setSpacing(4)
        column.addWidget(self.caution)
        column.addWidget(self.nothing)
        column.addWidget(self._form, 1)
        row = self.loads.verticalHeader().defaultSectionSize()
        self.loads.setMinimumHeight(row * _LEAST_ROWS)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(rolled(body, sideways=False, typed=True))

    # what is shown

    def show_states(self, states: Sequence[str]) -> None:
        """Offer these states; the chosen one stays, RUN is first."""
        chosen = self.state.currentText() or "RUN"
        with QSignalBlocker(self.state):
            self.state.clear()
            self.state.addItems(list(states))
            if chosen in states:
                self.state.setCurrentText(chosen)

    def refresh(self) -> None:
        """Show the places of the block and the loads of the map as they are now."""
        if not self.isVisible():
            return
        document = self._session.document
        fresh = self._read is not document
        self._read = document
        places = pullable(document, self._selection.block)
        listed = [
            (f"{c.designation}  {c.legend or c.circuit}".strip(), c.id) for c in places
        ]
        held = [
            (self.place.itemText(n), self.place.itemData(n))
            for n in range(self.place.count())
        ]
        if listed != held:
            with QSignalBlocker(self.place):
                self.place.clear()
                for text, id_ in listed:
                    self.place.addItem(text, id_)
        current = self._selection.current
        ids = [c.id for c in places]
        wanted = current if current in ids else self._cavity
        wanted = wanted if wanted in ids else next(iter(ids), None)
        with QSignalBlocker(self.place):
            self.place.setCurrentIndex(ids.index(wanted) if wanted in ids else -1)
        if wanted != self._cavity:
            self._cavity, self._added = wanted, []
            fresh = True
        if fresh:
            self._show_loads()

    def _show_loads(self) -> None:
        document, id_ = self._session.document, self._cavity
        cavity = document.cavities.get(id_ or "")
        self._form.setVisible(cavity is not None)
        self.nothing.setVisible(cavity is None)
        self.nothing.setText(
            _tr(
                "Nothing is pulled from this block yet. Enter its fuses, breakers or "
                "relays first; then pull one at a time and say here what stopped."
            )
        )
        if cavity is None or id_ is None:
            self.caution.show_cautions(())
            return
        barred = is_off_limits(cavity)
        self.caution.show_cautions(
            [caution_named(name).text for name in ("airbag", "who decides")]
            if barred
            else [
                caution_named("circuit off").text,
                caution_named("same fuse").text,
            ]
        )
        self._form.setVisible(not barred)
        rows = loads_to_try(document, id_)
        said, _ = said_before(document, id_)
        seen = {n: "works" if w == "works" else "stopped" for n, w in said.items()}
        known = {row.name for row in rows}
        named = [(row.name, self._where(row.places)) for row in rows]
        more = dict.fromkeys((*seen, *self._added))
        named += [(name, "") for name in more if name not in known]
        kept = {name: self.loads.seen[name] for name in self._added if name in more}
        self.loads.show_loads(named, {**seen, **kept})
        self._say_outcome()

    def _where(self, places: Sequence[CavityId]) -> str:
        cavities = self._session.document.cavities
        return ", ".join(cavities[place].designation for place in places)

    def _outcome(self) -> Outcome | None:
        if self._cavity is None or self._cavity not in self._session.document.cavities:
            return None
        stopped, went_on = self.loads.said("stopped"), self.loads.said("works")
        if not stopped and not went_on:
            return None
        return outcome_of(self._session.document, self._cavity, stopped, went_on)

    def _say_outcome(self) -> None:
        self.message.clear()
        found = self._outcome()
        self.note_button.setEnabled(found is not None)
        self.next_button.setEnabled(found is not None)
        if found is None:
            self.words.show_words(
                _tr(
                    "Try each load with this one out: D it stopped, L it went on. "
                    "Others can be typed above."
                )
            )
        else:
            self.words.show_words(" ".join(self._sentences(found)))

    def _sentences(self, found: Outcome) -> list[str]:
        document, said = self._session.document, []
        if found.fresh:
            text = _tr("New here: %1.").replace("%1", plain(", ".join(found.fresh)))
            said.append(text)
        if "loads" in found.seen:
            said.append(_tr("Circuit and loads count as seen on the car."))
        elif "circuit" in found.seen:
            names = plain(", ".join((*found.not_tried, *found.went_on)))
            text = _tr(
                "The circuit counts as seen; its loads not yet: %1 did not stop."
            )
            said.append(text.replace("%1", names))
        for row in found.elsewhere:
            text = _tr("By the map %1 stands at %2: try that one too.")
            text = text.replace("%1", plain(row.name))
            said.append(text.replace("%2", cavity_links(document, row.places)))
        if found.went_on:
            text = _tr(
                "%1 went on: it does not hang here alone. Take it off here, or look "
                "for a second feed."
            )
            said.append(text.replace("%1", plain(", ".join(found.went_on))))
        return said

    def _offered(self, typed: str) -> tuple[Suggestion, ...]:
        start = typed.strip().casefold()
        return tuple(
            Suggestion(name)
            for name in self.loads.names
            if start
            and any(
                w.startswith(start) for w in (name.casefold(), *name.casefold().split())
            )
        )[:_OFFERED]

    # what is done

    def _chosen(self) -> None:
        id_ = self.place.currentData()
        if isinstance(id_, str):
            self._selection.select([id_])
            self.refresh()

    def _follow(self) -> None:
        if self.isVisible() and self._selection.current != self._cavity:
            self.refresh()

    def _add_typed(self) -> None:
        """Say of a typed load that it stopped; one that the map lacks is added."""
        if self.other.marked is not None:
            self.other.take(self.other.marked)
        name = " ".join(self.other.text().replace(";", ",").split())
        self.other.close_list()
        if not name or self._cavity is None:
            return
        known = {each.casefold(): each for each in self.loads.names}
        name = known.get(name.casefold(), name)
        if name not in self.loads.names:
            self._added.append(name)
            self.loads.seen[name] = "stopped"
            kept = dict(self.loads.seen)
            self._show_loads()
            for each, word in kept.items():
                self.loads.say(each, word)
        self.loads.say(name, "stopped")
        self.loads.setCurrentCell(self.loads.names.index(name), 0)
        self.other.clear()

    def note(self) -> bool:
        """Note what stopped, in one step."""
        id_ = self._cavity
        found = self._outcome()
        if id_ is None or found is None:
            return False
        stopped, went_on = self.loads.said("stopped"), self.loads.said("works")
        state = self.state.currentText()
        name = self._session.document.cavities[id_].designation
        title = _tr("Note what stopped with %1 out").replace("%1", name)
        refusal = self._session.carry_out(
            title, pulled_noted, id_, stopped, went_on, state, today()
        )
        if refusal:
            self.message.say(refusal)
            return False
        self._added = []
        return True

    def note_and_go_on(self) -> None:
        """Note what stopped, and go to the next place."""
        if not self.note():
            return
        row = self.place.currentIndex() + 1
        if row < self.place.count():
            self.place.setCurrentIndex(row)
            self.loads.setCurrentCell(0, 0)
        self.loads.setFocus()
