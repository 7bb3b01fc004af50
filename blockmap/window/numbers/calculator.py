"""A window for questions away from the map: drop, wire, fuse, millivolts and more.

It answers as one types, with the formula shown, under the limits of the open map. It
changes nothing.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from blockmap.analysis.numbers.limits import limits_of
from blockmap.model.errors import BadValue
from blockmap.window.access_key import labelled, with_access_key
from blockmap.window.guard import guarded
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.numbers.derivation import DerivationView
from blockmap.window.numbers.questions import QUESTIONS, Question
from blockmap.window.numbers.wording import tr_number
from blockmap.window.rolled import rolled
from blockmap.window.session import Session
from blockmap.window.side_dialog import SideDialog
from blockmap.window.window_place import fit_on_screen

__all__ = ["Calculator"]

_TAKEN = frozenset("cq")
"""Access keys of the window itself."""
_ANSWER_LINES = 6
"""Lines of the answer that are seen in a low window; the fields come first."""


class _Form(QWidget):
    """The fields of one question."""

    def __init__(self, question: Question) -> None:
        super().__init__()
        self.question = question
        self.fields: dict[str, QLineEdit | QComboBox] = {}
        form = QFormLayout(self)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        help_text = QLabel(tr_number(question.help))
        help_text.setTextFormat(Qt.TextFormat.PlainText)
        help_text.setWordWrap(True)
        form.addRow(help_text)
        taken = set(_TAKEN)
        for ask in question.asks:
            field: QLineEdit | QComboBox
            if ask.choices:
                field = QComboBox()
                field.addItems(list(ask.choices))
                field.setCurrentText(ask.first)
            else:
                field = QLineEdit(ask.first)
            label = tr_number(ask.label)
            field.setAccessibleName(label)
            form.addRow(with_access_key(label, taken), field)
            self.fields[ask.key] = field

    def texts(self) -> dict[str, str]:
        """Return what is typed, by the key of what is asked."""
        return {
            key: field.currentText() if isinstance(field, QComboBox) else field.text()
            for key, field in self.fields.items()
        }


class Calculator(SideDialog):
    """A list of questions, the fields of one, and its answer with the formula."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWindowTitle(self.tr("Calculator"))
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Questions"))
        self.list.addItems([tr_number(question.title) for question in QUESTIONS])
        self._pages = QStackedWidget()
        self.forms: dict[str, _Form] = {}
        for question in QUESTIONS:
            form = _Form(question)
            self.forms[question.key] = form
            self._pages.addWidget(form)
            for field in form.fields.values():
                if isinstance(field, QComboBox):
                    field.currentTextChanged.connect(self.refresh)
                else:
                    field.textChanged.connect(self.refresh)
        self.message = InlineMessage()
        self.headline = QLabel()
        self.headline.setTextFormat(Qt.TextFormat.PlainText)
        self.headline.setWordWrap(True)
        font = self.headline.font()
        font.setPointSizeF(font.pointSizeF() * 1.4)
        font.setBold(True)
        self.headline.setFont(font)
        self.headline.setAccessibleName(self.tr("Answer"))
        self.answer = DerivationView()
        self.answer.left.connect(self.list.setFocus)
        self._arrange()
        self.list.currentRowChanged.connect(self._choose)
        session.changed.connect(self._changed)
        self.list.setCurrentRow(0)

    def _arrange(self) -> None:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(rolled(self._pages, typed=True))
        column.addWidget(self.headline)
        column.addWidget(self.message)
        column.addWidget(self.answer, 1)
        self.answer.setMinimumHeight(_ANSWER_LINES * self.fontMetrics().height())
        parts = QSplitter()
        parts.addWidget(labelled(self.tr("&Questions"), self.list))
        parts.addWidget(right)
        parts.setStretchFactor(1, 1)
        parts.setChildrenCollapsible(False)
        close = QPushButton(self.tr("&Close"))
        close.setAutoDefault(False)
        close.clicked.connect(self.close)
        foot = QHBoxLayout()
        caution = QLabel(
            self.tr("Arithmetic only: the service manual and local rules decide.")
        )
        caution.setWordWrap(True)
        foot.addWidget(caution, 1)
        foot.addWidget(close)
        whole = QVBoxLayout(self)
        whole.addWidget(parts, 1)
        whole.addLayout(foot)
        unit = self.fontMetrics().averageCharWidth()
        fit_on_screen(self, QSize(unit * 100, self.fontMetrics().height() * 38))
        parts.setSizes([unit * 28, unit * 72])

    def choose(self, key: str) -> None:
        """Show a question by its key."""
        keys = [question.key for question in QUESTIONS]
        self.list.setCurrentRow(keys.index(key))

    def _choose(self, row: int) -> None:
        if 0 <= row < len(QUESTIONS):
            self._pages.setCurrentWidget(self.forms[QUESTIONS[row].key])
            self.refresh()

    def _changed(self, change: object) -> None:
        if getattr(change, "limits", True):
            self.refresh()

    def refresh(self, _text: str = "") -> None:
        """Answer what is typed now."""
        form = self._pages.currentWidget()
        if not isinstance(form, _Form):
            return
        limits = limits_of(self._session.document)
        try:
            said = form.question.ask(form.texts(), limits)
        except BadValue as problem:
            self.headline.setText("—")
            self.message.say(str(problem))
            self.answer.clear()
            return
        self.message.clear()
        self.headline.setText(said.headline)
        title = tr_number(form.question.title)
        self.answer.show_figures(title, "; ".join(said.verdicts), said.figures)

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.list.count():
            self.refresh()
