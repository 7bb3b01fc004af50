"""The fields of the inspector: each shows one property and checks what is typed.

A text that is refused stays in its field with the sentence beneath. Enter or leaving
the field commits, Esc restores. Fields write through their subject only.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from blockmap.window.guard import guarded
from blockmap.window.inspector.subjects import Subject
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.suggesting_edit import SuggestingEdit

__all__ = [
    "ChoiceField",
    "Field",
    "FlagField",
    "LongTextField",
    "TextField",
]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class Field(QWidget):
    """One property: a label for the form, an editor, and a line for refusals.

    failed tells that a text was refused, for those who show it elsewhere too.
    """

    failed = Signal(str)

    def __init__(self, path: str, label: str, help_text: str) -> None:
        super().__init__()
        self.path, self.title = path, label
        self.label = QLabel(label)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setToolTip(help_text)
        self.message = InlineMessage()
        self._help = help_text
        self._subject: Subject | None = None
        self._gesture: object | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)

    def _hold(self, editor: QWidget, *before: QWidget) -> None:
        """Put the editor in the field, with small things before it."""
        editor.setAccessibleName(self.title)
        editor.setAccessibleDescription(self._help)
        editor.setToolTip(self._help)
        self.label.setBuddy(editor)
        self.setFocusProxy(editor)
        row = QHBoxLayout()
        row.setSpacing(6)
        for widget in before:
            row.addWidget(widget)
        row.addWidget(editor, 1)
        self._column.addLayout(row)
        self._column.addWidget(self.message)

    def set_accessible_prefix(self, prefix: str) -> None:
        """Say in whose group the field is, for those who do not see the heading."""
        proxy = self.focusProxy()
        if proxy is not None:
            proxy.setAccessibleName(f"{prefix}: {self.title}")

    def set_narrow(self, narrow: bool) -> None:
        """Make do with little room."""

    def show_subject(self, subject: Subject, *, fresh: bool) -> None:
        """Show the property of a subject; fresh drops a text not yet committed."""
        self._subject = subject
        if fresh:
            self.message.clear()
        elif self.pending:
            return
        self._show(subject.value(self.path))

    @property
    def pending(self) -> bool:
        """True while the field holds a text that is not committed."""
        return False

    def commit(self) -> None:
        """Write a text that is not committed yet."""

    def _write(self, text: str) -> bool:
        """Write through the subject; tell whether it was taken."""
        if self._subject is None:
            return False
        sentence = self._subject.write(self.path, text, self._gesture)
        if sentence:
            self.message.say(sentence)
            self.failed.emit(sentence)
            return False
        self.message.clear()
        self._show(self._subject.value(self.path))
        return True

    def _show(self, text: str | None) -> None:
        raise NotImplementedError

    def _mixed_words(self) -> str:
        return self.tr("mixed")


class FieldEdit(SuggestingEdit):
    """A line of text that says when it is done with or given up."""

    done = Signal()
    given_up = Signal()

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Take the marked suggestion when Tab leaves the line."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Tab
            and self.marked is not None
        ):
            self._choose()
        return super().event(event)

    def _choose(self) -> None:
        if self.marked is not None:
            self.take(self.marked)
            self.setModified(True)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ENTER:
            self._choose()
            self.close_list()
            self.done.emit()
        elif event.key() == Qt.Key.Key_Escape and not self.list_open:
            if self.isModified():
                self.given_up.emit()
            else:
                event.ignore()
        else:
            super().keyPressEvent(event)

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.done.emit()


class TextField(Field):
    """A property on one line, with suggestions where there are any."""

    def __init__(
        self,
        path: str,
        label: str,
        help_text: str,
        *,
        hint: str = "",
        numeric: bool = False,
        before: Sequence[QWidget] = (),
    ) -> None:
        super().__init__(path, label, help_text)
        self.editor = FieldEdit()
        self._hint = hint
        self._shown: str | None = ""
        self.editor.setPlaceholderText(hint)
        if numeric:
            self.editor.setMinimumWidth(self.fontMetrics().averageCharWidth() * 8)
        self._hold(self.editor, *before)
        self.editor.done.connect(self.commit)
        self.editor.given_up.connect(self._restore)
        self.editor.textEdited.connect(self.message.clear)
        self.editor.list_clicked.connect(self._clicked)

    def set_hint(self, hint: str) -> None:
        """Say what is to be typed while nothing is."""
        self._hint = hint
        if self._shown is not None:
            self.editor.setPlaceholderText(hint)

    @property
    def pending(self) -> bool:
        """True while the field holds a text that is not committed."""
        return self.editor.isModified()

    def commit(self) -> None:
        """Write the text when it was changed."""
        if not self.editor.isModified() or self._subject is None:
            return
        text = self.editor.text()
        if text == self._shown:
            self._restore()
        elif not self._write(text):
            self.editor.setModified(True)

    def _clicked(self) -> None:
        self.editor.setModified(True)
        self.commit()

    def _restore(self) -> None:
        self.message.clear()
        self._show(self._shown)

    def _show(self, text: str | None) -> None:
        self._shown = text
        mixed = text is None
        if self.editor.text() != (text or "") or self.editor.isModified():
            self.editor.setText(text or "")
            self.editor.setCursorPosition(0)
        self.editor.setModified(False)
        hint = self._mixed_words() if mixed else self._hint
        if self.editor.placeholderText() != hint:
            self.editor.setPlaceholderText(hint)


class _QuietCombo(QComboBox):
    """A list of choices that the wheel changes only while it has the focus."""

    entered = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setMinimumContentsLength(8)

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.entered.emit()

    @guarded()
    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class ChoiceField(Field):
    """A property that takes one of a few words.

    choices are pairs of the text in the map and the words shown; a function gives
    them when they depend on what is selected.
    """

    def __init__(
        self,
        path: str,
        label: str,
        help_text: str,
        choices: Sequence[tuple[str, str]] | Callable[[], Sequence[tuple[str, str]]],
    ) -> None:
        super().__init__(path, label, help_text)
        self.editor = _QuietCombo()
        self._choices = choices
        self._filled: list[tuple[str, str]] = []
        self.editor.setPlaceholderText(self._mixed_words())
        self._hold(self.editor)
        self._fill()
        self.editor.activated.connect(self._chosen)
        self.editor.entered.connect(self._begin_choosing)

    def _fill(self) -> None:
        choices = self._choices() if callable(self._choices) else self._choices
        if list(choices) == self._filled:
            return
        self._filled = list(choices)
        with QSignalBlocker(self.editor):
            self.editor.clear()
            for word, shown in self._filled:
                self.editor.addItem(shown, word)

    def _begin_choosing(self) -> None:
        """Count what the arrow keys pass on the way to a choice as one step."""
        self._gesture = object()

    def _chosen(self, index: int) -> None:
        before = self._subject.value(self.path) if self._subject else None
        word = str(self.editor.itemData(index))
        if word != before and not self._write(word):
            self._show(before)

    def _show(self, text: str | None) -> None:
        self._fill()
        words = [word for word, _ in self._filled]
        index = words.index(text) if text in words else -1
        if self.editor.currentIndex() != index:
            with QSignalBlocker(self.editor):
                self.editor.setCurrentIndex(index)


class FlagField(Field):
    """A yes or no; half ticked where the selected ones differ."""

    def __init__(self, path: str, label: str, help_text: str) -> None:
        super().__init__(path, label, help_text)
        self.editor = QCheckBox()
        self._hold(self.editor)
        self.editor.clicked.connect(self._clicked)

    def _clicked(self) -> None:
        self.editor.setTristate(False)
        self._write("yes" if self.editor.isChecked() else "no")

    def _show(self, text: str | None) -> None:
        self.editor.setTristate(text is None)
        if text is None:
            self.editor.setCheckState(Qt.CheckState.PartiallyChecked)
        else:
            self.editor.setChecked(text == "yes")


class _Notes(QPlainTextEdit):
    """A few lines of text; Tab leaves them, Ctrl with Enter commits."""

    done = Signal()
    given_up = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setTabChangesFocus(True)
        lines = self.fontMetrics().lineSpacing() * 3
        self.setFixedHeight(lines + 2 * self.frameWidth() + 10)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if event.key() in _ENTER and ctrl:
            self.done.emit()
        elif event.key() == Qt.Key.Key_Escape:
            if self.document().isModified():
                self.given_up.emit()
            else:
                event.ignore()
        else:
            super().keyPressEvent(event)

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self.done.emit()


class LongTextField(Field):
    """A property of several lines."""

    def __init__(self, path: str, label: str, help_text: str) -> None:
        super().__init__(path, label, help_text)
        self.editor = _Notes()
        self._shown: str | None = ""
        self._hold(self.editor)
        self.editor.done.connect(self.commit)
        self.editor.given_up.connect(self._restore)

    @property
    def pending(self) -> bool:
        """True while the field holds a text that is not committed."""
        return self.editor.document().isModified()

    def commit(self) -> None:
        """Write the text when it was changed."""
        if self.pending and not self._write(self.editor.toPlainText()):
            self.editor.document().setModified(True)

    def _restore(self) -> None:
        self.message.clear()
        self._show(self._shown)

    def _show(self, text: str | None) -> None:
        self._shown = text
        if self.editor.toPlainText() != (text or ""):
            self.editor.setPlainText(text or "")
        self.editor.document().setModified(False)
        self.editor.setPlaceholderText(self._mixed_words() if text is None else "")
