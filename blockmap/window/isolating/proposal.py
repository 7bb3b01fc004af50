"""The next reading in words, and the field in which its answer is typed.

It says which contact, from where it is seen, in which state, what a sound car shows
and what each answer would leave; cautions stand with it. The person may go on to
another proposal, or measure something else in the notebook.
"""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.units import number_text
from blockmap.window.folding_row import FoldingRow, in_row
from blockmap.window.isolating.answers import METERED, read_answer, words_for
from blockmap.window.isolating.beside import Warnings, plain_label
from blockmap.window.isolating.suspect_list import chance_text
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.suggesting_edit import SuggestingEdit
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.rolled import rolled

if TYPE_CHECKING:
    from blockmap.analysis.isolation.isolate import Isolation
    from blockmap.analysis.isolation.telling import Answer, NextReading

__all__ = ["ProposalCard", "few"]

_NAMED = 3
"""Most suspects named in one line."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("isolating", text)


def few(names: tuple[str, ...], *, every: bool = False) -> str:
    """Return suspects in words, those of one fault together, the fault said once.

    A few are named and the others counted; ``every`` joins them with "and".
    """
    from blockmap.analysis.isolation.assumptions import OPEN, RESISTANCE, SHORT
    from blockmap.analysis.isolation.faults import fault_words

    words_of = {fault_words(kind) for kind in (OPEN, RESISTANCE, SHORT)}
    faults: dict[str, list[str]] = {}
    for name in names[:_NAMED]:
        part, comma, fault = name.rpartition(", ")
        known = bool(comma) and fault in words_of
        faults.setdefault(fault if known else "", []).append(part if known else name)
    said = []
    for fault, parts in faults.items():
        words = _joined(parts, every=every)
        said.append(_tr("%1 (%2)").replace("%1", words).replace("%2", fault))
        if not fault:
            said[-1] = words
    others = len(names) - _NAMED
    if others > 0:
        rest = _tr("and %1 others") if every else _tr("or %1 others")
        if others == 1:
            rest = _tr("and one other") if every else _tr("or one other")
        said.append(rest.replace("%1", str(others)))
    return "; ".join(said)


def _joined(parts: list[str], *, every: bool) -> str:
    """Return "a, b or c"; with "and" for every one of them."""
    if len(parts) < 2:
        return "".join(parts)
    said = _tr("%1 and %2") if every else _tr("%1 or %2")
    return said.replace("%1", ", ".join(parts[:-1])).replace("%2", parts[-1])


def _answer_words(answer: Answer) -> str:
    """Return what an answer leaves and rules out, the answer itself in bold."""
    shows = answer.shows[:1].upper() + answer.shows[1:]
    text = _tr("<b>%1</b> (%2) leaves %3.")
    text = text.replace("%1", html.escape(shows))
    text = text.replace("%2", chance_text(answer.chance))
    text = text.replace("%3", html.escape(few(answer.leaves)))
    if answer.rules_out:
        gone = html.escape(few(answer.rules_out, every=True))
        text += " " + _tr("It rules out %1.").replace("%1", gone)
    return text


def _reached(access: str) -> str:
    """Return how a place is reached; the front needs no word."""
    return "" if access == "front" else f", {access}"


class ProposalCard(QWidget):
    """One proposal at a time; show_wanted and answered carry it.

    answered carries the proposal, the volts or None, and what was seen. changed
    tells that another proposal may be shown. behind_wanted carries the places of the
    suspect that is to be mended.
    """

    show_wanted = Signal(object)
    answered = Signal(object, object, str)
    changed = Signal()
    behind_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: Isolation | None = None
        self._number = 0
        self.do = plain_label(bold=True)
        font = self.do.font()
        font.setPointSizeF(font.pointSizeF() * 1.1)
        self.do.setFont(font)
        self.words = plain_label()
        self.answers = plain_label()
        self.answers.setTextFormat(Qt.TextFormat.RichText)
        self.message = InlineMessage()
        self._make_line()
        self._cautions = QVBoxLayout()
        self._cautions.setSpacing(2)
        body = QWidget()
        inside = QVBoxLayout(body)
        inside.setContentsMargins(8, 2, 8, 6)
        inside.setSpacing(4)
        inside.addWidget(self.do)
        inside.addWidget(self._line)
        inside.addWidget(self.message)
        inside.addWidget(self.words)
        inside.addWidget(self.answers)
        inside.addLayout(self._cautions)
        inside.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(rolled(body, sideways=False))
        self.setAccessibleName(_tr("Next reading"))
        self.setFocusProxy(self.field)

    def _make_line(self) -> None:
        self.field = SuggestingEdit()
        self.field.setAccessibleName(_tr("What it shows"))
        self.field.setMinimumWidth(self.fontMetrics().averageCharWidth() * 12)
        self.field.returnPressed.connect(self.take)
        self.field.textEdited.connect(lambda _t: self.message.clear())
        label = QLabel(_tr("It shows"))
        label.setBuddy(self.field)
        self.unit = QComboBox()
        self.unit.addItems(["V", "mV"])
        self.unit.setAccessibleName(_tr("Unit"))
        self.take_button = QPushButton(_tr("Note it"))
        self.take_button.setToolTip(_tr("Add the reading and go on"))
        self.take_button.clicked.connect(self.take)
        self.show_button = QPushButton(_tr("Show it"))
        self.show_button.setToolTip(_tr("Show the place on the figure, as it is seen"))
        self.show_button.clicked.connect(self.show_place)
        self.other_button = QPushButton(_tr("Another"))
        self.other_button.setToolTip(
            _tr("Propose another reading; any other goes into the notebook")
        )
        self.other_button.clicked.connect(self._next)
        self.behind_button = QPushButton(_tr("Behind"))
        self.behind_button.setToolTip(
            _tr("Its condition, how it comes out, and what was done to it")
        )
        self.behind_button.clicked.connect(self._go_behind)
        typed = in_row(label, self.field, self.unit, stretched=self.field)
        buttons = in_row(
            self.take_button, self.show_button, self.other_button, self.behind_button
        )
        self._line = FoldingRow(typed, buttons)

    @property
    def proposed(self) -> NextReading | None:
        """The proposal that is shown."""
        found = self._found
        following = found.following if found else ()
        if found is not None and found.proof is not None and not following:
            following = (found.proof,)
        return following[self._number] if self._number < len(following) else None

    def show_answer(self, found: Isolation | None) -> None:
        """Show the best proposal of an answer; a half typed answer is kept."""
        before = self.proposed
        self._found, self._number = found, 0
        if found is not None and before is not None and self.field.text():
            same = [
                number
                for number, each in enumerate(found.following)
                if each.do == before.do
            ]
            if same:
                self._number = same[0]
            else:
                self.field.clear()
        self._refresh()

    def _refresh(self) -> None:
        self._show_proposed()
        self.changed.emit()

    def _show_proposed(self) -> None:
        proposed = self.proposed
        self._line.setVisible(proposed is not None)
        self.message.clear()
        if proposed is None:
            self.do.setText(self._none_left())
            self.words.setText(self._nothing_more())
            self.answers.clear()
            self._show_cautions(())
            return
        metered = proposed.kind in METERED
        end = "" if proposed.do.endswith("?") else "."
        said = f"{proposed.do}{end}"
        if self._found is not None and proposed is self._found.proof:
            begun = f"{said[:1].lower()}{said[1:]}"
            said = _tr("Mend it, then %1").replace("%1", begun)
        self.do.setText(said)
        self.unit.setVisible(metered)
        small = proposed.kind == "drop" and abs(proposed.expected_v or 0.0) < 1.0
        self.unit.setCurrentText("mV" if small else "V")
        self.field.setPlaceholderText(
            _tr("number") if metered else " / ".join(words_for(proposed.kind))
        )
        words = () if metered else words_for(proposed.kind)
        self.field.set_provider(
            lambda typed: tuple(
                Suggestion(w) for w in words if w.startswith(typed.strip().casefold())
            )
        )
        self.show_button.setEnabled(bool(proposed.place[0]))
        found = self._found
        self.other_button.setEnabled(found is not None and len(found.following) > 1)
        last = found is not None and proposed is found.proof
        self.other_button.setVisible(not last)
        known = found is not None and (last or found.settled)
        self.behind_button.setVisible(known and bool(found and found.suspects))
        self.words.setText("\n".join(self._lines(proposed)))
        answers = [_answer_words(each) for each in proposed.answers[:4]]
        self.answers.setText("".join(f"<p>{each}</p>" for each in answers))
        self._show_cautions(proposed.warnings)

    def _lines(self, proposed: NextReading) -> list[str]:
        minutes = number_text(round(proposed.minutes, 1))
        reached = _reached(proposed.access)
        where = _tr("Where: %1%2; about %3 min of work")
        where = where.replace("%1", proposed.view.words.lower())
        where = where.replace("%2", reached).replace("%3", minutes)
        sound = _tr("A sound car shows: %1").replace("%1", proposed.expected)
        if self._found is not None and self._found.sound:
            why = f"{proposed.why[:1].upper()}{proposed.why[1:]}"
            return [why, where, sound]
        if self._found is not None and self._found.settled:
            sure = _tr("Enough to mend it; this one makes sure first.")
            if proposed is not self._found.proof:
                return [sure, where, sound]
        if self._found is not None and proposed is self._found.proof:
            last = _tr(
                "No reading tells more before it is mended; this one proves the repair."
            )
            return [last, where, sound]
        return [where, sound]

    def _none_left(self) -> str:
        found = self._found
        if found is not None and found.sound:
            return _tr("Nothing speaks for a fault, and nothing is left to prove.")
        if found is not None and found.since:
            return _tr("The last readings fit a sound car.")
        return _tr("No reading on this map would tell more.")

    def _nothing_more(self) -> str:
        found = self._found
        if found is None or not found.belief.network.loads:
            return _tr(
                "Enter what the places feed: loads, strips and where each strip is "
                "fed from. Then the map can tell what to measure."
            )
        if found.since or found.sound:
            return _tr(
                "If something was mended, set its repair to proved under Behind. A "
                "fault that comes and goes looks the same: try it cold, warm and "
                "shaken."
            )
        return _tr(
            "Look at what is left, mend it, and note the same reading again as proof."
        )

    def _show_cautions(self, warnings: tuple[str, ...]) -> None:
        while (item := self._cautions.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        if warnings:
            self._cautions.addWidget(Warnings(*warnings))

    # what is done

    def take(self) -> None:
        """Take what is typed as the answer, or say why it is none."""
        proposed, found = self.proposed, self._found
        if proposed is None or found is None:
            return
        if self.field.marked is not None:
            self.field.take(self.field.marked)
        volts = found.belief.network.volts
        typed = read_answer(proposed, self.field.text(), self.unit.currentText(), volts)
        if typed.refusal:
            self.message.say(typed.refusal)
            self.field.setFocus()
            return
        self.field.clear()
        self.field.close_list()
        self.answered.emit(proposed, typed.value_v, typed.seen)

    def show_place(self) -> None:
        """Ask for the place of the proposal to be shown on the figure."""
        if self.proposed is not None:
            self.show_wanted.emit(self.proposed)

    def _go_behind(self) -> None:
        if self._found is not None and self._found.suspects:
            self.behind_wanted.emit(self._found.suspects[0].places)

    def _next(self) -> None:
        if self._found is not None and self._found.following:
            self._number = (self._number + 1) % len(self._found.following)
            self.field.clear()
            self._refresh()
