"""The loads of the map, each with what it did while one fuse was out.

The keys are those of the grid: D it stopped, L it went on; a click or Space turns
from one to the next. It writes nothing into the map.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QCoreApplication, QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from blockmap.window.fair_columns import FairColumns
from blockmap.window.guard import guarded
from blockmap.window.keys_told import tell_keys
from blockmap.window.row_table import show_rows

__all__ = ["LoadList"]

_KEYS = {"d": "stopped", "/": "stopped", "l": "works", "+": "works"}
_NEXT = {"": "stopped", "stopped": "works", "works": ""}
_PLAIN = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


def _shown(word: str) -> str:
    return {"": "", "stopped": _tr("○ D stopped"), "works": _tr("● L went on")}[word]


class LoadList(QTableWidget):
    """Loads with what was seen of each; changed tells that one was said otherwise."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, 3, parent)
        self.names: list[str] = []
        self.seen: dict[str, str] = {}
        heads = (_tr("With it out"), _tr("Load"), _tr("By the map at"))
        show_rows(self, _tr("What stopped"), list(heads), several=False)
        self.setAlternatingRowColors(True)
        tell_keys(self, _tr("D it stopped, L it went on; Space the next; Enter down"))
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 8)
        self.verticalHeader().setMinimumSectionSize(self.fontMetrics().height() + 8)
        self._columns = FairColumns(self, letters={0: 14}, last=1)
        self.cellClicked.connect(self._clicked)

    def show_loads(
        self, loads: Sequence[tuple[str, str]], seen: Mapping[str, str]
    ) -> None:
        """Show loads with where they stand, and what was seen of them before."""
        self.names = [name for name, _ in loads]
        self.seen = {name: word for name, word in seen.items() if word}
        self.setRowCount(len(loads))
        for row, (name, places) in enumerate(loads):
            for column, text in enumerate(
                (_shown(self.seen.get(name, "")), name, places)
            ):
                item = self.item(row, column)
                if item is None:
                    self.setItem(row, column, QTableWidgetItem(text))
                else:
                    item.setText(text)
        self._columns.fit()
        if loads and self.currentRow() < 0:
            self.setCurrentCell(0, 0)

    def say(self, name: str, word: str) -> None:
        """Say of a load that it stopped, that it went on, or nothing."""
        row = self.names.index(name)
        if self.seen.get(name, "") == word:
            return
        self.seen.pop(name, None)
        if word:
            self.seen[name] = word
        item = self.item(row, 0)
        if item is not None:
            item.setText(_shown(word))
        self.changed.emit()

    def said(self, word: str) -> tuple[str, ...]:
        """Return the loads of which this was said, in the order of the list."""
        return tuple(name for name in self.names if self.seen.get(name) == word)

    def _clicked(self, row: int, column: int) -> None:
        if column == 0:
            name = self.names[row]
            self.say(name, _NEXT[self.seen.get(name, "")])

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Keep the letters from the shortcuts."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and not event.modifiers() & ~_PLAIN
            and event.text().lower() in _KEYS
        ):
            event.accept()
            return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        row, key = self.currentRow(), event.key()
        if event.modifiers() & ~_PLAIN or not 0 <= row < len(self.names):
            super().keyPressEvent(event)
            return
        name = self.names[row]
        word = _KEYS.get(event.text().lower())
        if word is not None:
            self.say(name, word)
            self._step(1)
        elif key == Qt.Key.Key_Space:
            self.say(name, _NEXT[self.seen.get(name, "")])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._step(1)
        elif key == Qt.Key.Key_Backspace:
            self._step(-1)
            self.say(self.names[self.currentRow()], "")
        elif key == Qt.Key.Key_Delete:
            self.say(name, "")
        elif not event.text():
            super().keyPressEvent(event)

    def _step(self, by: int) -> None:
        row = self.currentRow() + by
        if 0 <= row < len(self.names):
            self.setCurrentCell(row, 0)
