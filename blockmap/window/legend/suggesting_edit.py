"""A line of text that offers what may be meant, without ever taking the focus.

Down goes into the list, Enter or Tab takes the marked line, Esc closes it; nothing
is marked at first, so that plain typing is never replaced.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QPainter,
    QPalette,
)
from PySide6.QtWidgets import (
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from blockmap.window.guard import guarded
from blockmap.window.legend.suggestions import Suggestion
from blockmap.window.this_day import today

__all__ = ["SuggestingEdit"]

_NOTE = Qt.ItemDataRole.UserRole
_GAP_PX = 12
Provider = Callable[[str], Sequence[Suggestion]]


class _NoteDelegate(QStyledItemDelegate):
    """Paints the note of a suggestion at the right, fainter than its text."""

    @guarded()
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        super().paint(painter, option, index)
        note = index.data(_NOTE)
        if not note:
            return
        marked = bool(option.state & QStyle.StateFlag.State_Selected)
        role = (
            QPalette.ColorRole.HighlightedText
            if marked
            else QPalette.ColorRole.PlaceholderText
        )
        painter.setPen(option.palette.color(role))
        box = option.rect.adjusted(0, 0, -6, 0)
        where = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(box, where, note)

    @guarded(QSize)
    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        size = super().sizeHint(option, index)
        return QSize(size.width(), max(24, size.height() + 6))


class _SuggestionList(QListWidget):
    """The list under (or above) the line; it belongs to the window, not to a popup."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QFrame.Shape.Box)
        self.setItemDelegate(_NoteDelegate(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setUniformItemSizes(True)
        self.setAccessibleName(self.tr("Suggestions"))
        self.hide()

    def fill(self, offers: Sequence[Suggestion]) -> None:
        """Show these lines, none of them marked."""
        self.clear()
        self.addItems([offer.text for offer in offers])
        lines = self.model()
        for number, offer in enumerate(offers):
            lines.setData(lines.index(number, 0), offer.note, _NOTE)
        self.setCurrentRow(-1)

    def place_at(self, line: QWidget) -> None:
        """Lie right under the line, or above it where there is no room below."""
        window = line.window()
        metrics = self.fontMetrics()
        wide = max(
            metrics.horizontalAdvance(self.item(row).text())
            + metrics.horizontalAdvance(self.item(row).data(_NOTE) or "")
            for row in range(self.count())
        )
        width = min(max(line.width(), wide + 4 * _GAP_PX), window.width() - 8)
        row_height = max(self.sizeHintForRow(0), metrics.height() + 2)
        below = line.mapTo(window, QPoint(0, line.height()))
        above = line.mapTo(window, QPoint(0, 0))
        room_below = window.height() - below.y() - 4
        upwards = room_below < min(self.count(), 4) * row_height and (
            above.y() > room_below
        )
        room = above.y() - 4 if upwards else room_below
        most = max(1, (room - 2 * self.frameWidth()) // row_height)
        height = min(self.count(), most, 12) * row_height + 2 * self.frameWidth()
        top = above.y() - height if upwards else below.y()
        left = max(4, min(below.x(), window.width() - width - 4))
        self.setGeometry(left, top, width, height)
        self.raise_()
        self.show()


class SuggestingEdit(QLineEdit):
    """A line edit with a list of suggestions; chosen is the one taken last.

    list_clicked tells that a line of the list was taken with the pointer.
    """

    list_clicked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chosen: Suggestion | None = None
        self._provider: Provider | None = None
        self._offers: tuple[Suggestion, ...] = ()
        self._list: _SuggestionList | None = None
        self.textEdited.connect(self._typed)

    def set_provider(self, provider: Provider | None) -> None:
        """Say where suggestions come from: a function of the typed text."""
        self._provider = provider

    @property
    def offers(self) -> tuple[Suggestion, ...]:
        """What is offered at the moment."""
        return self._offers if self.list_open else ()

    @property
    def list_open(self) -> bool:
        """True while the list is shown."""
        return self._list is not None and self._list.isVisible()

    @property
    def marked(self) -> Suggestion | None:
        """The marked line of the open list."""
        if not self.list_open or self._list is None:
            return None
        row = self._list.currentRow()
        return self._offers[row] if 0 <= row < len(self._offers) else None

    def offer(self, text: str | None = None) -> None:
        """Show the list for a text, the typed one when left out."""
        asked = self.text() if text is None else text
        found = tuple(self._provider(asked)) if self._provider else ()
        self._offers = found
        if not found or not self.isVisible():
            self.close_list()
            return
        if self._list is None:
            self._list = _SuggestionList(self.window())
            self._list.itemClicked.connect(self._clicked)
            self.destroyed.connect(self._list.deleteLater)
        self._list.fill(found)
        self._list.place_at(self)

    def close_list(self) -> None:
        """Hide the list; the text stays."""
        if self._list is not None:
            self._list.hide()

    def take(self, suggestion: Suggestion) -> None:
        """Put a suggestion into the line."""
        self.setText(suggestion.text)
        self.chosen = suggestion
        self.close_list()

    def handle_list_key(self, event: QKeyEvent) -> bool:
        """Let a key act on the list; tell whether it did."""
        key, alone = event.key(), event.modifiers() == Qt.KeyboardModifier.NoModifier
        if (
            key == Qt.Key.Key_Down
            and event.modifiers() == Qt.KeyboardModifier.AltModifier
        ):
            self.offer()
            if not self.list_open:
                self.offer("")
            self._mark(0)
            return True
        if not self.list_open or not alone or self._list is None:
            return False
        steps = {
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_Up: -1,
            Qt.Key.Key_PageDown: 6,
            Qt.Key.Key_PageUp: -6,
        }
        if key in steps:
            self._mark(self._list.currentRow() + steps[Qt.Key(key)])
            return True
        if key == Qt.Key.Key_Escape:
            self.close_list()
            return True
        return False

    def _mark(self, row: int) -> None:
        if self._list is not None and self._list.count():
            top = self._list.count() - 1
            self._list.setCurrentRow(min(row, top) if row >= 0 else -1)

    def _typed(self) -> None:
        self.chosen = None
        self.offer()

    def _clicked(self, item: QListWidgetItem) -> None:
        if self._list is not None:
            self.take(self._offers[self._list.row(item)])
            self.list_clicked.emit()

    def _write_today(self) -> None:
        """Put this day where the cursor is, as a table of cells does."""
        self.insert(today())
        self.setModified(True)
        self.textEdited.emit(self.text())

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        ctrl = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if ctrl and event.key() == Qt.Key.Key_Semicolon:
            self._write_today()
        elif not self.handle_list_key(event):
            super().keyPressEvent(event)

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.close_list()
        super().focusOutEvent(event)

    @guarded()
    def hideEvent(self, event: QHideEvent) -> None:
        self.close_list()
        super().hideEvent(event)
