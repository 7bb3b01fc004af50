"""The find box: type 'clock' and its cavity is selected, in every view.

It selects, counts and goes on; it changes nothing in the map.
"""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from blockmap.window.guard import guarded
from blockmap.window.legend.search import Found, contact_meant, find_cavities
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import icon

__all__ = ["FindBar"]

_SHIFT = Qt.KeyboardModifier.ShiftModifier


class _FindEdit(QLineEdit):
    """The line of the find box: Enter and F3 go on, Esc and Down leave."""

    step_wanted = Signal(int)
    left = Signal()

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F3):
            self.step_wanted.emit(-1 if event.modifiers() & _SHIFT else 1)
        elif key in (Qt.Key.Key_Escape, Qt.Key.Key_Down):
            self.left.emit()
        else:
            super().keyPressEvent(event)


class FindBar(QWidget):
    """A line of text, the count of matches, and whether only they are shown.

    left asks for the focus to go to the table; only_wanted carries the ids to show
    alone, or None for all.
    """

    left = Signal()
    only_wanted = Signal(object)

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._found = Found()
        self._at = -1
        self.line = _FindEdit()
        self.line.setPlaceholderText(self.tr("Find a circuit, load, wire or place"))
        self.line.setAccessibleName(self.tr("Find"))
        self.line.setClearButtonEnabled(True)
        self.count = QLabel()
        self.count.setTextFormat(Qt.TextFormat.PlainText)
        self.only = QCheckBox(self.tr("Onl&y these"))
        self.only.setToolTip(self.tr("Show only the rows that match"))
        self._lay_out()
        self.line.textChanged.connect(self._typed)
        self.line.step_wanted.connect(self.step)
        self.line.left.connect(self._leave)
        self.only.toggled.connect(lambda _on: self._show_only())
        session.changed.connect(lambda _change: self._search_again())

    def _lay_out(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.line, 1)
        row.addWidget(self.count)
        for name, text, by in (
            ("chevron-up", self.tr("Previous match (Shift+F3)"), -1),
            ("chevron-down", self.tr("Next match (F3)"), 1),
        ):
            button = QToolButton()
            button.setIcon(icon(name))
            button.setToolTip(text)
            button.setAccessibleName(text)
            button.setAutoRaise(True)
            button.setMinimumSize(24, 24)
            button.clicked.connect(lambda _=False, by=by: self.step(by))
            row.addWidget(button)
        row.addWidget(self.only)
        self.line.setMinimumWidth(self.fontMetrics().averageCharWidth() * 14)
        self.line.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def found(self) -> Found:
        """What is found at the moment."""
        return self._found

    def begin(self) -> None:
        """Take the focus, ready for another text."""
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.line.selectAll()

    def step(self, by: int = 1) -> None:
        """Select the next match, or with -1 the one before."""
        ids = self._found.ids
        if not ids:
            if not self.line.text().strip():
                self.begin()
            return
        current = self._selection.current
        if current in ids and current != ids[self._at]:
            self._at = ids.index(current)
        self._at = (self._at + by) % len(ids)
        self._select()

    def _typed(self) -> None:
        self._search()
        self._at = 0 if self._found.ids else -1
        if self._found.ids:
            self._select()
        self._show_count()
        self._show_only()

    def _search(self) -> None:
        self._found = find_cavities(
            self._session.document, self.line.text(), self._selection.block
        )

    def _search_again(self) -> None:
        if not self.line.text().strip():
            return
        self._search()
        self._at = min(max(self._at, 0), len(self._found.ids) - 1)
        self._show_count()
        self._show_only()

    def _select(self) -> None:
        id_ = self._found.ids[self._at]
        self._selection.select([id_], id_)
        meant = contact_meant(self._session.document, id_, self.line.text())
        self._selection.select_contact(meant)
        self._show_count()

    def _show_count(self) -> None:
        ids = self._found.ids
        if not self.line.text().strip():
            self.count.setText("")
            return
        if not ids:
            self.count.setText(self.tr("None found"))
            return
        text = self.tr("%1 of %2").replace("%1", str(self._at + 1))
        text = text.replace("%2", str(len(ids)))
        if self._found.nearest:
            near = self.tr("Nearest: %1").replace("%1", self._found.nearest)
            text = f"{near}, {text}"
        self.count.setText(text)

    def _show_only(self) -> None:
        wanted = self.only.isChecked() and bool(self.line.text().strip())
        self.only_wanted.emit(self._found.ids if wanted else None)

    def _leave(self) -> None:
        self.only.setChecked(False)
        self.left.emit()
