"""The line that offers to set readings aside once something was mended.

It asks nothing and holds nobody up: it stands there, with one button, while the
readings look as if a repair lay between them, or while nothing but the repair is left
to do. What it does is one step, and is undone like any other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton

from blockmap.model.document import Map
from blockmap.model.edits import reading_text
from blockmap.window.folding_row import FoldingRow
from blockmap.window.isolating.beside import plain_label, tr_job
from blockmap.window.theme import show_sign

if TYPE_CHECKING:
    from blockmap.analysis.isolation.isolate import Isolation

__all__ = ["RepairStrip", "weighed"]

_WORTH_LETTERS = 36
"""Room that the sentence is worth beside its button, else the button goes below."""


def weighed(document: Map) -> tuple[str, ...]:
    """Return the keys of the readings that were taken and are not set aside."""
    return tuple(
        key
        for key, each in document.readings.items()
        if not each.aside and (each.value is not None or each.seen)
    )


def _stage(found: Isolation, document: Map) -> str:
    """Return how far the repair of the suspect is noted, once it is fitted."""
    for cavity, contact in found.suspects[0].places if found.suspects else ():
        condition = document.cavities[cavity].contact(contact).condition
        if condition is not None and condition.stage in ("fitted", "proved"):
            return condition.stage
    return ""


class RepairStrip(QFrame):
    """A sentence and a button; aside_wanted carries the keys to set aside."""

    aside_wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._keys: tuple[str, ...] = ()
        self.sign = QLabel()
        self.words = plain_label()
        self.button = QPushButton()
        self.button.clicked.connect(lambda: self.aside_wanted.emit(self._keys))
        self.button.setToolTip(
            tr_job(
                "They stay in the notebook as taken before the repair and are no "
                "longer weighed; undo, or Weigh again, brings them back"
            )
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 2, 8, 2)
        row.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(FoldingRow(self.words, self.button, letters=_WORTH_LETTERS), 1)
        self.setAccessibleName(tr_job("Mended"))
        show_sign(self.sign, "repair")
        self.hide()

    def show_for(self, found: Isolation | None, document: Map) -> None:
        """Offer what an answer of the search gives reason for, or nothing."""
        said, self._keys = self._offer(found, document)
        count = len(self._keys)
        self.setVisible(bool(count))
        self.words.setText(said)
        text = tr_job("Mended: set %1 readings aside").replace("%1", str(count))
        if count == 1:
            text = tr_job("Mended: set one reading aside")
        self.button.setText(text)

    def _offer(
        self, found: Isolation | None, document: Map
    ) -> tuple[str, tuple[str, ...]]:
        if found is None or found.sound:
            return "", ()
        if found.outlived:
            return self._holds(found, document), found.outlived
        if found.none_fits:
            said = tr_job("If something was mended in between, say so.")
            return said, weighed(document)
        if found.settled or (found.proof is not None and not found.following):
            stage = _stage(found, document)
            if stage:
                said = tr_job(
                    "Its repair is noted as %1. Set aside what was read before it, "
                    "then prove it."
                )
                return said.replace("%1", stage), weighed(document)
            said = tr_job(
                "Once it is mended, what was read so far is history: kept, no longer "
                "weighed."
            )
            return said, weighed(document)
        return "", ()

    def _holds(self, found: Isolation, document: Map) -> str:
        """Return which reading holds now, in words."""
        now = document.readings[found.holds]
        shown = now.seen
        if now.value is not None:
            shown = f"{reading_text(now, 'value')} {now.unit}"
        words_of = found.belief.network.words_of
        where = words_of(now.point, probed=now.value is not None)
        if now.against:
            where = tr_job("%1 to %2").replace("%1", where)
            where = where.replace("%2", words_of(now.against))
        said = tr_job("It holds now: %1, %2. If something was mended before, say so.")
        return said.replace("%1", where).replace("%2", shown)
