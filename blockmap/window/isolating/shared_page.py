"""What works and what is dead, ticked by key, and the parts that the dead share.

A tick is a reading: it stands in the notebook too, and is weighed with the others. The
parts are found by logic alone, off the window's thread; resistance is left to the
suspects. Each load is tried in the least state in which it works, or in one typed.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import Map, Reading
from blockmap.model.edits import (
    note_again,
    remove_reading,
    set_reading_text,
    states_named,
)
from blockmap.model.errors import EditRefused
from blockmap.window.behind.asking import Asker
from blockmap.window.canvas.probed import Ordered, numbers_at
from blockmap.window.isolating.beside import Page, plain_label, tr_job
from blockmap.window.isolating.shared_parts import Parts, parts_shared, strip_of
from blockmap.window.isolating.tick_lists import NEXT_TICK, RowList, TickList
from blockmap.window.this_day import today

if TYPE_CHECKING:
    from blockmap.analysis.isolation.logic import Shared
    from blockmap.analysis.isolation.network import Network
    from blockmap.analysis.isolation.observations import Observation
    from blockmap.window.isolating.jobs import Jobs

__all__ = ["SharedPage"]


def _shown(word: str) -> str:
    """Return a tick as it is shown: a sign and its word."""
    words = {
        "works": tr_job("✓ works"),
        "dead": tr_job("✗ dead"),
        "dim": tr_job("~ dim"),
    }
    return words.get(word, tr_job("– not looked at"))


class SharedPage(Page):
    """The ticks above, the parts they leave below, lit in order on the figure."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self._jobs = jobs
        self._loads: tuple[str, ...] = ()
        self._found: tuple[tuple[str, ...], tuple[str, ...]] = (), ()
        self._seen: dict[str, Observation] = {}
        self._usual: dict[str, tuple[str, ...]] = {}
        self._chosen_states: dict[str, tuple[str, ...]] = {}
        self._network: Network | None = None
        self.shared: tuple[Shared, ...] = ()
        self.current = False
        """True when the parts that are shown are those of the ticks as they are."""
        self._asker = Asker(jobs.session, self)
        self._asker.answered.connect(self._show_parts)
        self.intro = plain_label(
            tr_job(
                "Try what is on the panel and tick it: W works, D dead, M dim, Space "
                "the next of them, Delete not looked at; F2 sets the state it is "
                "tried in. Two that are dead together point to what they share."
            )
        )
        self.finder = QLineEdit()
        self.finder.setPlaceholderText(tr_job("Find a load or a place"))
        self.finder.setAccessibleName(tr_job("Find a load or a place"))
        self.finder.setClearButtonEnabled(True)
        self.finder.textChanged.connect(self._show_found)
        self.finder.returnPressed.connect(self._to_found)
        self.tried = QLineEdit()
        self.tried.setAccessibleName(tr_job("Tried in"))
        self.tried.setPlaceholderText(tr_job("such as RUN, or PARK; Enter sets it"))
        self.tried.returnPressed.connect(self.set_tried)
        self.ticks = TickList(self)
        self.ticks.itemSelectionChanged.connect(self._load_chosen)
        self.result = plain_label(bold=True)
        self.result.setMinimumHeight(2 * self.fontMetrics().height())
        headings = [
            tr_job("No."),
            tr_job("Part"),
            tr_job("Why"),
        ]
        self.parts = RowList(tr_job("Parts that are shared"), headings)
        single = QAbstractItemView.SelectionMode.SingleSelection
        self.parts.setSelectionMode(single)
        self.parts.itemSelectionChanged.connect(self._part_chosen)
        self._arrange()

    def _arrange(self) -> None:
        above, below, line = QWidget(), QWidget(), QWidget()
        tried = QHBoxLayout(line)
        tried.setContentsMargins(0, 0, 0, 0)
        label = QLabel(tr_job("Tried in"))
        label.setBuddy(self.tried)
        tried.addWidget(label)
        tried.addWidget(self.tried, 1)
        for half, widgets in (
            (above, (self.intro, self.finder, self.ticks, line, self.message)),
            (below, (self.result, self.parts)),
        ):
            column = QVBoxLayout(half)
            column.setContentsMargins(0, 0, 0, 0)
            for widget in widgets:
                column.addWidget(widget, 1 if isinstance(widget, RowList) else 0)
        self._halves = QSplitter(Qt.Orientation.Vertical)
        self._halves.setChildrenCollapsible(False)
        self._halves.addWidget(above)
        self._halves.addWidget(below)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._halves)

    def first_field(self) -> QWidget:
        """Return the list of loads."""
        if self.ticks.currentRow() < 0 and self.ticks.rowCount():
            self.ticks.setCurrentCell(0, 1)
        return self.ticks

    # what is shown

    def refresh(self) -> None:
        """Show ticks and shared parts of the map as it is now."""
        from blockmap.analysis.isolation.observations import observations

        network, document = self._jobs.network, self._jobs.session.document
        self._loads = tuple(network.loads)
        if network is not self._network:
            self._network = network
            self._usual = {
                name: tuple(sorted(network.states_of(at.plus, first="")))
                for name, at in network.loads.items()
            }
        places = self._jobs.places
        used = observations(network, document, places).used
        self._seen = {
            each.contacts[0]: each
            for each in used
            if each.kind == "load" and not each.state.out
        }
        self.ticks.fill([self._row(network, document, n) for n in self._loads])
        self._show_found(self.finder.text())
        self._show_tried()
        if not used:
            self._asker.ask(None)
            self._show_parts(Parts())
            return
        self.current = False
        question = partial(parts_shared, network=network, places=places, used=used)
        self._asker.ask(question)

    def stop(self) -> None:
        """Wait for the parts that are being worked out; nothing comes after."""
        self._asker.stop()

    def _row(self, network: Network, document: Map, name: str) -> tuple[str, ...]:
        cavity = document.cavities[network.loads[name].cavity]
        return (
            _shown(self._word(name)),
            name,
            ", ".join(self._states(name)),
            cavity.designation,
        )

    def _word(self, name: str) -> str:
        seen = self._seen.get(name)
        return {"live": "works"}.get(seen.seen, seen.seen) if seen else ""

    def _states(self, name: str) -> tuple[str, ...]:
        """Return the states that a load is tried in: typed, noted, or the least."""
        if name in self._chosen_states:
            return self._chosen_states[name]
        seen = self._seen.get(name)
        if seen is not None:
            noted = self._jobs.session.document.readings[seen.key].states
            return noted or self._usual[name]
        return self._usual[name]

    def _show_parts(self, found: Parts) -> None:
        self.shared, self.current = found.shared, True
        self.parts.fill(list(found.rows))
        ordered = Ordered(numbers_at(found.marks))
        self._jobs.mark(ordered if self.isVisible() else Ordered())
        self.result.setText(self._sentence(found.suspects))
        if bool(found.rows) == self.parts.isHidden():
            self.parts.setVisible(bool(found.rows))
            # With nothing to list below, the loads to be ticked have the room.
            self._halves.setSizes([1, 1] if found.rows else [1000, 1])

    def _show_tried(self) -> None:
        """Show the state that the current load is tried in, unless one is typed."""
        row = self.ticks.currentRow()
        if not self.tried.hasFocus() and 0 <= row < len(self._loads):
            self.tried.setText(", ".join(self._states(self._loads[row])))

    def _sentence(self, suspects: int) -> str:
        words = [self._word(name) for name in self._seen]
        dead, works = len(words) - words.count("works"), words.count("works")
        if not self._loads:
            return tr_job(
                "The map names no load. Type what each place feeds into the legend."
            )
        if not self.shared:
            return tr_job(
                "Tick at least one load that is dead, and what works near it."
            )
        said = tr_job("Dead or dim: %1; working: %2. Parts that all of it shares: %3.")
        for number, count in enumerate((dead, works, suspects), 1):
            said = said.replace(f"%{number}", str(count))
        if not suspects:
            said += " " + tr_job(
                "No single open part explains it: two faults, or a bad reading."
            )
        return said

    def _show_found(self, text: str) -> None:
        wanted = text.casefold().split()
        shown = (tuple(wanted), self._loads)
        if shown == self._found:
            return
        self._found = shown
        document, network = self._jobs.session.document, self._jobs.network
        for row, name in enumerate(self._loads):
            cavity = document.cavities[network.loads[name].cavity]
            said = f"{name} {cavity.designation} {cavity.circuit}".casefold()
            self.ticks.setRowHidden(row, not all(each in said for each in wanted))

    def _to_found(self) -> None:
        """Go to the first load that was found."""
        for row in range(self.ticks.rowCount()):
            if not self.ticks.isRowHidden(row):
                self.ticks.setCurrentCell(row, 1)
                self.ticks.setFocus()
                return

    def put_away(self) -> None:
        """Take the marks off the figure."""
        self._jobs.mark(Ordered())

    # what is done

    def cycle(self, rows: Iterable[int]) -> None:
        """Give loads the next tick, that of the first of them."""
        chosen = list(rows)
        if chosen:
            self.tick(chosen, NEXT_TICK[self._word(self._loads[chosen[0]])])

    def tick(self, rows: Iterable[int], word: str) -> None:
        """Note what was seen of loads, in one step; an empty word forgets it."""
        names = [self._loads[row] for row in rows]
        if not names:
            return
        what = names[0][:30] if len(names) == 1 else tr_job("several loads")
        if not word:
            keys = [self._seen[name].key for name in names if name in self._seen]
            title = tr_job("Forget what was seen of %1").replace("%1", what)
            self._jobs.session.edit(title, remove_reading, *keys)
            return
        readings = [
            Reading(point=name, states=self._states(name), seen=word, date=today())
            for name in names
        ]
        title = tr_job("Note %1: %2").replace("%1", what).replace("%2", word)
        self._jobs.session.edit(title, note_again, *readings)

    def set_tried(self) -> None:
        """Try the selected loads in the states that are typed, and go back to them.

        What was ticked today was seen in them, too; earlier ticks stay as they are.
        """
        session = self._jobs.session
        try:
            states = states_named(session.document, self.tried.text())
        except EditRefused as refusal:
            self.say(str(refusal))
            return
        self.say("")
        keys = []
        for row in self.ticks.rows():
            name = self._loads[row]
            seen = self._seen.get(name)
            noted = session.document.readings[seen.key] if seen else None
            if seen is not None and noted is not None and noted.date == today():
                keys.append(seen.key)
                self._chosen_states.pop(name, None)
            else:
                self._chosen_states[name] = states or self._usual[name]

        def changed(document: Map) -> Map:
            for key in keys:
                document = set_reading_text(document, key, "states", ", ".join(states))
            return document

        title = tr_job("Set the state it was tried in")
        if not (keys and session.edit(title, changed)):
            self.refresh()
        self.ticks.setFocus()

    def _load_chosen(self) -> None:
        self._show_tried()
        row = self.ticks.currentRow()
        if self.ticks.hasFocus() and 0 <= row < len(self._loads):
            place = self._jobs.network.loads[self._loads[row]]
            self._jobs.selection.select([place.cavity])

    def _part_chosen(self) -> None:
        row = self.parts.currentRow()
        if not self.parts.hasFocus() or not 0 <= row < len(self.shared):
            return
        element = self._jobs.network.elements[self.shared[row].element]
        if element.cavity:
            self._jobs.selection.select([element.cavity])
            return
        strip = strip_of(self._jobs.session.document, element)
        if strip is not None:
            self._jobs.selection.select_strip(strip.id)
