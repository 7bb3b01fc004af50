"""A lamp in the place of a fuse, branch by branch, until the touch of ground is found.

Each answer is a reading, so that the search can be left and taken up again; the last
one can be taken back. The lamp limits the current: no larger fuse is ever tried.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.isolation.short_finding import Hunt, Shown, Step, hunt
from blockmap.analysis.isolation.spoken import key_said
from blockmap.model.document import Reading
from blockmap.model.edits import add_reading, remove_reading
from blockmap.model.units import number_text
from blockmap.window.canvas.probed import Ordered
from blockmap.window.fair_columns import FairColumns
from blockmap.window.guard import guarded
from blockmap.window.isolating.beside import Page, Warnings, plain_label, tr_job
from blockmap.window.isolating.lamp_field import LampField
from blockmap.window.rolled import rolled
from blockmap.window.this_day import today

if TYPE_CHECKING:
    from blockmap.analysis.isolation.network import Network
    from blockmap.window.isolating.jobs import Jobs

__all__ = ["ShortPage"]

_ANSWERS = (
    ("bright", "B&right", (Qt.Key.Key_R, Qt.Key.Key_B)),
    ("dim", "Di&m", (Qt.Key.Key_M, Qt.Key.Key_I)),
    ("dark", "Dar&k", (Qt.Key.Key_K,)),
)
_IN_PLACE = "lamp in place"
_CAUTIONS = ("test lamp", "airbag", "circuit off", "same fuse", "find the cause")


class ShortPage(Page):
    """Choose the fuse, do the step, say what the lamp shows."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self._jobs = jobs
        self.fuses: tuple[int, ...] = ()
        self.hunt: Hunt | None = None
        self._network: Network | None = None
        self._shown: dict[int, list[Shown]] = {}
        self.choice = QComboBox()
        self.choice.setAccessibleName(tr_job("Fuse that blows"))
        narrow = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        self.choice.setSizeAdjustPolicy(narrow)
        self.choice.activated.connect(self._chosen)
        self.lamp = LampField(jobs.session)
        self.lamp.refused.connect(self.say)
        self.do = plain_label(bold=True)
        font = self.do.font()
        font.setPointSizeF(font.pointSizeF() * 1.2)
        self.do.setFont(font)
        self.means = plain_label()
        self.means.setTextFormat(Qt.TextFormat.PlainText)
        self.buttons: dict[str, QPushButton] = {}
        self.back = QPushButton(tr_job("Take ba&ck"))
        self.back.setToolTip(tr_job("Forget the last answer (Backspace)"))
        self.back.clicked.connect(self.take_back)
        self.again = QPushButton(tr_job("Be&gin again"))
        self.again.setToolTip(tr_job("Forget all answers at this fuse"))
        self.again.clicked.connect(self.begin_again)
        self.steps = QTableWidget(0, 2)
        self._make_steps()
        self._arrange()

    def _make_steps(self) -> None:
        self.steps.setHorizontalHeaderLabels([tr_job("Step"), tr_job("Lamp")])
        self.steps.setAccessibleName(tr_job("Steps done and to come"))
        self.steps.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.steps.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.steps.setTabKeyNavigation(False)
        self.steps.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.steps.verticalHeader().hide()
        header = self.steps.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        self._columns = FairColumns(self.steps, letters={1: 8}, last=0)

    def _arrange(self) -> None:
        label = QLabel(tr_job("Fu&se that blows"))
        label.setBuddy(self.choice)
        top = QHBoxLayout()
        top.addWidget(label)
        top.addWidget(self.choice, 1)
        top.addWidget(self.lamp)
        answers = QHBoxLayout()
        for word, text, keys in _ANSWERS:
            button = QPushButton(tr_job(text))
            name = keys[0].name.removeprefix("Key_")
            tip = tr_job("The lamp is %1 (key %2)").replace("%1", word)
            button.setToolTip(tip.replace("%2", name))
            button.clicked.connect(lambda _on=False, w=word: self.answer(w))
            self.buttons[word] = button
            answers.addWidget(button)
        answers.addStretch(1)
        answers.addWidget(self.back)
        answers.addWidget(self.again)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.means)
        column.addWidget(Warnings(*_CAUTIONS))
        column.addStretch(1)
        words = rolled(inside)
        words.setAccessibleName(tr_job("What each answer means, and cautions"))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(top)
        whole.addWidget(self.do)
        whole.addLayout(answers)
        whole.addWidget(self.message)
        whole.addWidget(words, 1)
        whole.addWidget(self.steps, 1)

    def first_field(self) -> QWidget:
        """Return the page when a search is under way, else the choice of the fuse."""
        wanted = self._jobs.selection.current
        network = self._jobs.network
        for row, index in enumerate(self.fuses):
            if network.elements[index].cavity == wanted and not self._answers():
                self.choice.setCurrentIndex(row)
                self._show()
        return self.buttons["bright"] if self.fuses else self.choice

    def commit(self) -> None:
        """Keep the watts that are typed."""
        self.lamp.commit()

    # what is shown

    @property
    def fuse(self) -> int:
        """The element of the chosen fuse, -1 without one."""
        row = self.choice.currentIndex()
        return self.fuses[row] if 0 <= row < len(self.fuses) else -1

    def refresh(self) -> None:
        """Show the search as the readings of the map have it now."""
        self._read()
        self.lamp.refresh()
        network = self._jobs.network
        if network is self._network:
            self._show()
            return
        self._network = network
        barred = {p.cavity for p in network.points.values() if p.off_limits}
        before = self.choice.currentText()
        self.fuses = tuple(
            index
            for index, element in enumerate(network.elements)
            if element.kind in ("fuse", "breaker")
            and element.cavity not in barred
            and network.loads_below(index)
        )
        names = [self._fuse_name(index) for index in self.fuses]
        with QSignalBlocker(self.choice):
            self.choice.clear()
            self.choice.addItems(names)
            if before in names:
                self.choice.setCurrentText(before)
            elif names:
                self.choice.setCurrentIndex(self._begun_row())
        self._show()

    def _begun_row(self) -> int:
        """Return the fuse at which a search was begun, else the first."""
        rows = [n for n, fuse in enumerate(self.fuses) if self._answers(fuse)]
        return rows[0] if rows else 0

    def _fuse_name(self, index: int) -> str:
        element = self._jobs.network.elements[index]
        cavity = self._jobs.session.document.cavities[element.cavity]
        said = element.words
        return f"{said}, {cavity.circuit}" if cavity.circuit else said

    def _answers(self, fuse: int | None = None) -> list[Shown]:
        """Return what a lamp has shown in the place of a fuse, in order."""
        return self._shown.get(self.fuse if fuse is None else fuse, [])

    def _read(self) -> None:
        """Read what lamps have shown from the readings of the map."""
        from blockmap.analysis.isolation.observations import observations

        jobs = self._jobs
        used = observations(jobs.network, jobs.session.document, jobs.places).used
        self._shown = {}
        for each in used:
            if each.kind == "in place":
                shown = Shown(each.state, each.seen, each.key)
                self._shown.setdefault(each.element, []).append(shown)

    def _show(self) -> None:
        fuse = self.fuse
        self.hunt = None
        if fuse < 0:
            self._show_nothing()
            return
        found = hunt(self._jobs.network, fuse, self._answers())
        self.hunt = found
        step = found.to_come[0] if found.to_come else None
        name = self._jobs.network.elements[fuse].words
        if step is None:
            self.do.setText(found.verdict)
            self.means.setText(self._after(found))
        elif not found.done:
            said = tr_job("Pull %1, put a %2 W lamp in its place. %3.")
            said = said.replace("%1", name).replace("%2", self._watts())
            self.do.setText(said.replace("%3", self._state_words(step)))
            self.means.setText(self._means(step))
        else:
            self.do.setText(f"{step.do}.")
            self.means.setText(self._means(step))
        for button in self.buttons.values():
            button.setEnabled(step is not None)
        self.back.setEnabled(bool(found.done))
        self.again.setEnabled(bool(found.done))
        self._show_steps(found)
        self._mark(found)

    def _show_nothing(self) -> None:
        self.do.setText(tr_job("No fuse on this map feeds a load."))
        self.means.setText(
            tr_job("Type what the places feed into the legend; then come back.")
        )
        for button in (*self.buttons.values(), self.back, self.again):
            button.setEnabled(False)
        self.steps.setRowCount(0)
        self._jobs.mark(Ordered())

    def _state_words(self, step: Step) -> str:
        words = ", ".join(map(key_said, sorted(step.state.words)))
        return f"{step.do}, {words}" if words else step.do

    def _means(self, step: Step) -> str:
        lines = [
            tr_job("Bright: %1.").replace("%1", step.bright),
            tr_job("Dim: %1.").replace("%1", step.dim),
            tr_job("Dark: %1.").replace("%1", step.dark),
        ]
        said = tr_job(
            "With nothing on ground a %2 W lamp would be %1. Bright is as bright as "
            "across the battery; loads light a smaller lamp brighter."
        )
        word = {"dim": tr_job("dim"), "dark": tr_job("dark")}
        said = said.replace("%1", word.get(step.sound, tr_job("bright")))
        return "\n".join([*lines, said.replace("%2", self._watts())])

    def _watts(self) -> str:
        """Return the watts of the lamp as a person reads them."""
        return number_text(self._jobs.network.assumed.lamp_w)

    def _after(self, found: Hunt) -> str:
        if not found.left:
            return ""
        return tr_job(
            "Look along it for a chafed or pinched wire, water in a plug, a screw "
            "through the loom. Mend it, leave the lamp in once more as proof, and fit "
            "the fuse that is specified, no other."
        )

    def _show_steps(self, found: Hunt) -> None:
        words = {"bright": tr_job("bright"), "dim": tr_job("dim")}
        rows = [(did, words.get(s.seen, tr_job("dark"))) for did, s in found.done]
        rows += [
            (step.do, tr_job("now") if number == 0 else "")
            for number, step in enumerate(found.to_come)
        ]
        self.steps.setRowCount(len(rows))
        for number, (did, word) in enumerate(rows):
            for place, text in enumerate((f"{number + 1}. {did}", word)):
                item = QTableWidgetItem(text)
                font = item.font()
                font.setBold(number == len(found.done))
                item.setFont(font)
                self.steps.setItem(number, place, item)
        self._columns.fit()
        if found.done and rows:
            last = min(len(found.done), len(rows) - 1)
            self.steps.scrollTo(self.steps.model().index(last, 0))

    def _mark(self, found: Hunt) -> None:
        """Ring the places that are left, while the page is seen."""
        network = self._jobs.network
        parts = {
            (network.elements[k].cavity, network.elements[k].contact, "")
            for k in found.left
            if network.elements[k].cavity
        }
        shown = found.done and self.isVisible()
        self._jobs.mark(Ordered(tuple(sorted(parts))) if shown else Ordered())

    def put_away(self) -> None:
        """Take the marks off the figure."""
        self._jobs.mark(Ordered())

    # what is done

    def _chosen(self) -> None:
        self._show()
        if self.fuse >= 0:
            cavity = self._jobs.network.elements[self.fuse].cavity
            self._jobs.selection.select([cavity])

    def answer(self, word: str) -> None:
        """Note what the lamp shows at the step that is asked."""
        if self.hunt is None or not self.hunt.to_come:
            return
        network = self._jobs.network
        state = self.hunt.to_come[0].state
        lamps = {name for name, at in network.loads.items() if at.with_feed}
        name = network.elements[self.fuse].name
        reading = Reading(
            point=name,
            states=tuple(sorted(state.words)),
            load="; ".join(sorted(state.on - lamps)),
            out=tuple(sorted(network.elements[k].name for k in state.out)),
            seen=word,
            meter=_IN_PLACE,
            date=today(),
        )
        said = network.elements[self.fuse].words
        title = tr_job("Note lamp at %1: %2").replace("%1", said).replace("%2", word)
        self._jobs.session.edit(title, add_reading, reading)

    def take_back(self) -> None:
        """Forget the last answer."""
        if self.hunt is not None and self.hunt.done:
            key = self.hunt.done[-1][1].key
            self._jobs.session.edit(tr_job("Take lamp back"), remove_reading, key)

    def begin_again(self) -> None:
        """Forget every answer at this fuse, in one step."""
        if self.hunt is not None and self.hunt.done:
            keys = [shown.key for _, shown in self.hunt.done]
            self._jobs.session.edit(
                tr_job("Begin lamp search again"), remove_reading, *keys
            )

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Keep the answering letters from other shortcuts."""
        is_key = event.type() == QEvent.Type.ShortcutOverride
        if is_key and isinstance(event, QKeyEvent) and self._answer_of(event):
            event.accept()
            return True
        return super().event(event)

    def _answer_of(self, event: QKeyEvent) -> str:
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            return ""
        return next((word for word, _, keys in _ANSWERS if event.key() in keys), "")

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        word = self._answer_of(event)
        if word:
            self.answer(word)
        elif event.key() == Qt.Key.Key_Backspace:
            self.take_back()
        else:
            super().keyPressEvent(event)
