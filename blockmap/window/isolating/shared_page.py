"""What works and what is dead, ticked by key, and the parts that the dead share.

A tick is a reading: it stands in the notebook too, and is weighed with the others. The
parts are found by logic alone; resistance is left to the suspects.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import Map, Reading
from blockmap.model.edits import note_again, remove_reading
from blockmap.model.places import find_contact
from blockmap.window.canvas.probed import Ordered, numbers_at
from blockmap.window.guard import guarded
from blockmap.window.isolating.beside import Page, plain_label, tr_job
from blockmap.window.row_table import show_rows

if TYPE_CHECKING:
    from blockmap.analysis.isolation.logic import Shared
    from blockmap.analysis.isolation.network import Element, Network
    from blockmap.analysis.isolation.observations import Observation
    from blockmap.model.document import Strip
    from blockmap.window.isolating.jobs import Jobs

__all__ = ["SharedPage"]

_KEYS = {Qt.Key.Key_W: "works", Qt.Key.Key_D: "dead", Qt.Key.Key_M: "dim"}
_NEXT = {"": "works", "works": "dead", "dead": "dim", "dim": ""}
_ORDER = {"suspect": 0, "open": 1, "cleared": 2}


def _shown(word: str) -> str:
    """Return a tick as it is shown: a sign and its word."""
    words = {
        "works": tr_job("✓ works"),
        "dead": tr_job("✗ dead"),
        "dim": tr_job("~ dim"),
    }
    return words.get(word, tr_job("– not looked at"))


def _stands(word: str) -> str:
    return {
        "suspect": tr_job("suspect"),
        "open": tr_job("possible"),
        "cleared": tr_job("cleared"),
    }[word]


class _List(QTableWidget):
    """A table of whole rows that is not typed into."""

    def __init__(self, name: str, headings: list[str]) -> None:
        super().__init__(0, len(headings))
        show_rows(self, name, headings, several=True)
        self.setAlternatingRowColors(True)
        self.setWordWrap(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        line = round(self.fontMetrics().height() * 1.5)
        self.verticalHeader().setDefaultSectionSize(line)
        last = len(headings) - 1
        stretch = QHeaderView.ResizeMode.Stretch
        self.horizontalHeader().setSectionResizeMode(last, stretch)

    def fill(self, rows: list[tuple[str, ...]]) -> None:
        """Show these texts; what is selected stays so by its place."""
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for number, row in enumerate(rows):
                for place, text in enumerate(row):
                    item = self.item(number, place)
                    if item is None:
                        self.setItem(number, place, QTableWidgetItem(text))
                    elif item.text() != text:
                        item.setText(text)


class _Ticks(_List):
    """The loads; a key ticks those that are selected."""

    def __init__(self, page: SharedPage) -> None:
        headings = [tr_job("Seen"), tr_job("Load"), tr_job("Tried in"), tr_job("Place")]
        super().__init__(tr_job("Loads"), headings)
        self._page = page
        em = self.fontMetrics().averageCharWidth()
        for place, wide in enumerate((16, 22, 14)):
            self.setColumnWidth(place, wide * em)
        self.cellClicked.connect(self._clicked)

    def _clicked(self, row: int, place: int) -> None:
        if place == 0:
            self._page.cycle([row])

    def rows(self) -> list[int]:
        """Return the selected rows, or the current one."""
        chosen = sorted({index.row() for index in self.selectedIndexes()})
        return chosen or ([self.currentRow()] if self.currentRow() >= 0 else [])

    def _ticking(self, event: QKeyEvent) -> bool:
        """Tell whether a key ticks: alone, not with Ctrl or Alt."""
        alone = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        more = (Qt.Key.Key_Space, Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
        return alone and event.key() in (*_KEYS, *more)

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Keep the letters for the ticks, whatever else they are a shortcut for."""
        is_key = event.type() == QEvent.Type.ShortcutOverride
        if is_key and isinstance(event, QKeyEvent) and self._ticking(event):
            event.accept()
            return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        rows = self.rows()
        plain = self._ticking(event)
        if plain and key in _KEYS:
            self._page.tick(rows, _KEYS[key])
            if len(rows) == 1 and rows[0] + 1 < self.rowCount():
                self.setCurrentCell(rows[0] + 1, 1)
        elif plain and key == Qt.Key.Key_Space:
            self._page.cycle(rows)
        elif plain and key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._page.tick(rows, "")
        elif key == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)


class SharedPage(Page):
    """The ticks above, the parts they leave below, lit in order on the figure."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self._jobs = jobs
        self._loads: tuple[str, ...] = ()
        self._seen: dict[str, Observation] = {}
        self.shared: tuple[Shared, ...] = ()
        self.intro = plain_label(
            tr_job(
                "Try what is on the panel and tick it: W works, D dead, M dim, Space "
                "the next of them, Delete not looked at. Two that are dead together "
                "point to what they share."
            )
        )
        self.finder = QLineEdit()
        self.finder.setPlaceholderText(tr_job("Find a load or a place"))
        self.finder.setAccessibleName(tr_job("Find a load or a place"))
        self.finder.setClearButtonEnabled(True)
        self.finder.textChanged.connect(self._show_found)
        self.finder.returnPressed.connect(self._to_found)
        self.ticks = _Ticks(self)
        self.ticks.itemSelectionChanged.connect(self._load_chosen)
        self.result = plain_label(bold=True)
        headings = [
            tr_job("No."),
            tr_job("Part"),
            tr_job("Why"),
        ]
        self.parts = _List(tr_job("Parts that are shared"), headings)
        single = QAbstractItemView.SelectionMode.SingleSelection
        self.parts.setSelectionMode(single)
        self.parts.itemSelectionChanged.connect(self._part_chosen)
        em = self.fontMetrics().averageCharWidth()
        for place, wide in enumerate((5, 22)):
            self.parts.setColumnWidth(place, wide * em)
        self._arrange()

    def _arrange(self) -> None:
        above, below = QWidget(), QWidget()
        for half, widgets in (
            (above, (self.intro, self.finder, self.ticks, self.message)),
            (below, (self.result, self.parts)),
        ):
            column = QVBoxLayout(half)
            column.setContentsMargins(0, 0, 0, 0)
            for widget in widgets:
                column.addWidget(widget, 1 if isinstance(widget, _List) else 0)
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
        from blockmap.analysis.isolation.logic import shared_elements, ticks
        from blockmap.analysis.isolation.observations import observations

        network, document = self._jobs.network, self._jobs.session.document
        self._loads = tuple(network.loads)
        used = observations(network, document).used
        self._seen = {
            each.contacts[0]: each
            for each in used
            if each.kind == "load" and not each.state.out
        }
        self.ticks.fill([self._row(network, document, n) for n in self._loads])
        found = shared_elements(network, ticks(network, used))
        self.shared = tuple(sorted(found, key=lambda each: _ORDER[each.word]))
        self._show_parts(network)
        self._show_found(self.finder.text())

    def _row(self, network: Network, document: Map, name: str) -> tuple[str, ...]:
        seen = self._seen.get(name)
        cavity = document.cavities[network.loads[name].cavity]
        return (
            _shown(self._word(name)),
            name,
            ", ".join(sorted(seen.state.words if seen else self._states(name))),
            cavity.designation,
        )

    def _word(self, name: str) -> str:
        seen = self._seen.get(name)
        return {"live": "works"}.get(seen.seen, seen.seen) if seen else ""

    def _states(self, name: str) -> tuple[str, ...]:
        """Return the states that a load is tried in, as the notebook has them."""
        seen = self._seen.get(name)
        if seen is not None:
            return self._jobs.session.document.readings[seen.key].states
        network = self._jobs.network
        return tuple(sorted(network.states_of(network.loads[name].plus)))

    def _show_parts(self, network: Network) -> None:
        rows: list[tuple[str, ...]] = []
        marks = []
        suspects = 0
        for each in self.shared:
            element = network.elements[each.element]
            suspects += each.word == "suspect"
            number = str(suspects) if each.word == "suspect" else ""
            why = f"{each.why[:1].upper()}{each.why[1:]}."
            rows.append((number, f"{element.name}\n{_stands(each.word)}", why))
            cavity, contact = self._spot(element)
            if cavity and each.word != "cleared":
                marks.append((cavity, contact, number))
        self.parts.fill(rows)
        self.parts.resizeRowsToContents()
        self._jobs.mark(Ordered(numbers_at(marks)) if self.isVisible() else Ordered())
        self.result.setText(self._sentence(suspects))
        self.parts.setVisible(bool(rows))

    def _strip_of(self, element: Element) -> Strip | None:
        """Return the strip that an element without a place is part of, or leads to."""
        strips = self._jobs.session.document.strips.values()
        found = [s for s in strips if f"strip {s.name or s.id}" in element.name]
        return max(found, key=lambda strip: len(strip.name or strip.id), default=None)

    def _spot(self, element: Element) -> tuple[str, str]:
        """Return where a part is marked: a supply or a strip where it lands."""
        if element.cavity:
            return element.cavity, element.contact
        document = self._jobs.session.document
        strip = self._strip_of(element)
        if strip is None:
            where, block = element.name.rpartition(" of ")[2], None
        else:
            lands = strip.lands_at in strip.members
            where = strip.lands_at if lands else next(iter(strip.members), "")
            block = strip.block
        found = find_contact(document, where, block)
        return (found.cavity, found.contact) if found else ("", "")

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
            self.tick(chosen, _NEXT[self._word(self._loads[chosen[0]])])

    def tick(self, rows: Iterable[int], word: str) -> None:
        """Note what was seen of loads, in one step; an empty word forgets it."""
        from blockmap.window.isolating.jobs import today

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

    def _load_chosen(self) -> None:
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
        strip = self._strip_of(element)
        if strip is not None:
            self._jobs.selection.select_strip(strip.id)
