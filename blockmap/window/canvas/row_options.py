"""The options of the drawing tools: what the next places are, typed in plain fields.

The same fields serve a drag, a click and the keyboard alone: the add button puts the
places where the first one is typed. It decides nothing about the map; the tool adds.
"""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QPalette, QResizeEvent, QValidator
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDoubleSpinBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from blockmap.model.document import MM_LIMIT
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Point, Size
from blockmap.model.numbering import CountingOrder
from blockmap.model.units import read_length_mm, read_number
from blockmap.reference.forms import FORMS
from blockmap.window.canvas.row_plan import MOST_SIDE, RowPlan, usual_pitch
from blockmap.window.guard import guarded

__all__ = ["LengthBox", "RowOptions"]

MARGIN, GAP = 8, 6
_PAIRS = ("pitch_x", "length", "x")
"""Fields that stand beside the next one, so that two lengths are read together."""


class LengthBox(QDoubleSpinBox):
    """A number of millimetres that also takes 3/8 in, 1.2 cm or a decimal comma."""

    def __init__(self, low: float, high: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setRange(low, high)
        self.setDecimals(2)
        self.setSingleStep(0.5)
        self.setSuffix(" mm")
        self.setKeyboardTracking(False)

    @guarded(0.0)
    def valueFromText(self, text: str) -> float:
        try:
            return read_length_mm(self._bare(text))
        except BadValue:
            return self.value()

    def _bare(self, text: str) -> str:
        """Return what was typed, without the unit that stands after it by itself."""
        return text.removesuffix(self.suffix()) or text

    @guarded("")
    def textFromValue(self, value: float) -> str:
        text = self.locale().toString(value, "f", 2)
        point = self.locale().decimalPoint()
        return text.rstrip("0").removesuffix(point) if point in text else text

    @guarded((QValidator.State.Intermediate, "", 0))
    def validate(self, text: str, pos: int) -> tuple[QValidator.State, str, int]:
        try:
            value = read_length_mm(self._bare(text))
        except BadValue:
            return QValidator.State.Intermediate, text, pos
        inside = self.minimum() <= value <= self.maximum()
        state = QValidator.State.Acceptable if inside else QValidator.State.Intermediate
        return state, text, pos


def _plain(first: str) -> str:
    return first.removesuffix(":")


class RowOptions(QScrollArea):
    """Form, size, count, pitch, first designation and order of the next places.

    It rolls where the figure leaves it less than its fields take.
    """

    changed = Signal()
    add_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(self.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._body = QWidget()
        self._body.setAutoFillBackground(True)
        self._body.setBackgroundRole(QPalette.ColorRole.Window)
        self.setWidget(self._body)
        self.setAccessibleName(self.tr("Places to add"))
        self._automatic_first = True
        self._counted: list[tuple[str, str]] = []
        self._make_fields()
        self._single = False
        self._wrap_fields()
        self._form_chosen()
        self._connect()

    def _make_fields(self) -> None:
        self.form = QComboBox()
        self.form.addItems(list(FORMS))
        self.form.setMinimumContentsLength(14)
        self.rating = QLineEdit()
        self.rating.setPlaceholderText(self.tr("not known"))
        self._narrow(self.rating, 10)
        self.contacts = QComboBox()
        self.contacts.addItem(self.tr("top and bottom"), 90.0)
        self.contacts.addItem(self.tr("left and right"), 0.0)
        self.columns = self._counter(6)
        self.rows = self._counter(1)
        self.pitch_x, self.pitch_y = LengthBox(0.5, 500), LengthBox(0.5, 500)
        self.length, self.breadth = LengthBox(1, 500), LengthBox(1, 500)
        self.first = QLineEdit("F1")
        self._narrow(self.first, 12)
        self.order = QComboBox()
        self.order.setMinimumContentsLength(9)
        policy = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        self.order.setSizeAdjustPolicy(policy)
        self.order.addItem(self.tr("as it is drawn"), None)
        for order in CountingOrder:
            words = QCoreApplication.translate("CountingOrder", order.value)
            self.order.addItem(words, order)
        self.first_x, self.first_y = (
            LengthBox(-MM_LIMIT, MM_LIMIT),
            LengthBox(-MM_LIMIT, MM_LIMIT),
        )
        for place in (self.first_x, self.first_y):
            # Wide enough for any panel; the limit alone would ask for more.
            place.setMaximumWidth(self.pitch_x.sizeHint().width())
        self.first_x.setValue(15.0)
        self.first_y.setValue(15.0)
        self.add = QPushButton(self.tr("Add row of cavities"))

    def _narrow(self, field: QLineEdit, letters: int) -> None:
        field.setFixedWidth(self.fontMetrics().averageCharWidth() * letters + 16)

    def _counter(self, value: int) -> QSpinBox:
        box = QSpinBox()
        box.setRange(1, MOST_SIDE)
        box.setValue(value)
        return box

    def _wrap_fields(self) -> None:
        """Put a label over each field and keep which ones belong to counting."""
        self._fields: dict[str, QWidget] = {}
        self._labels: dict[str, QLabel] = {}
        for name, text, field in (
            ("form", self.tr("Fo&rm"), self.form),
            ("rating", self.tr("Ratin&g, A"), self.rating),
            ("contacts", self.tr("C&ontacts"), self.contacts),
            ("columns", self.tr("Colu&mns"), self.columns),
            ("rows", self.tr("Ro&ws"), self.rows),
            ("pitch_x", self.tr("Pitch a&cross"), self.pitch_x),
            ("pitch_y", self.tr("Pitch dow&n"), self.pitch_y),
            ("first", self.tr("Fir&st designation"), self.first),
            ("order", self.tr("Coun&ting order"), self.order),
            ("length", self.tr("&Length"), self.length),
            ("breadth", self.tr("&Breadth"), self.breadth),
            ("x", self.tr("First &x"), self.first_x),
            ("y", self.tr("First &y"), self.first_y),
        ):
            cell = QWidget(self._body)
            column = QVBoxLayout(cell)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(1)
            label = QLabel(text)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setBuddy(field)
            field.setAccessibleName(text.replace("&", ""))
            self._labels[name] = label
            column.addWidget(label)
            column.addWidget(field)
            field.installEventFilter(self)
            self._fields[name] = cell
        self.first.setToolTip(
            self.tr("F1 counts F2, F3; A counts B, C; 5-6 counts 7-8; A1: counts rows")
        )
        cell = QWidget(self._body)
        column = QVBoxLayout(cell)
        column.setContentsMargins(0, 0, 0, 0)
        column.addStretch(1)
        column.addWidget(self.add)
        self.add.installEventFilter(self)
        self._fields["add"] = cell

    def _connect(self) -> None:
        self.form.currentIndexChanged.connect(self._form_chosen)
        self.contacts.currentIndexChanged.connect(self._usual_pitches)
        for combo in (self.form, self.contacts, self.order):
            combo.currentIndexChanged.connect(self._tell)
        for counter in (self.columns, self.rows):
            counter.valueChanged.connect(self._tell)
        for length in (
            self.pitch_x,
            self.pitch_y,
            self.length,
            self.breadth,
            self.first_x,
            self.first_y,
        ):
            length.valueChanged.connect(self._tell)
        self.rating.textChanged.connect(self._tell)
        self.first.textChanged.connect(self._tell)
        self.first.textEdited.connect(self._first_typed)
        self.first.returnPressed.connect(self.add_wanted)
        self.rating.returnPressed.connect(self.add_wanted)
        self.add.clicked.connect(self.add_wanted)

    def _tell(self, *_value: object) -> None:
        self.changed.emit()

    def _first_typed(self, text: str) -> None:
        self._automatic_first = not text.strip()
        self._counted = []

    def _form_chosen(self, *_index: object) -> None:
        form = FORMS[self.form.currentText()]
        with QSignalBlocker(self.length), QSignalBlocker(self.breadth):
            self.length.setValue(form.length_mm)
            self.breadth.setValue(form.width_mm)
        self._usual_pitches()

    def _usual_pitches(self, *_index: object) -> None:
        across, down = usual_pitch(self._size(), self.contacts.currentData())
        with QSignalBlocker(self.pitch_x), QSignalBlocker(self.pitch_y):
            self.pitch_x.setValue(across)
            self.pitch_y.setValue(down)

    def _size(self) -> Size:
        return Size(self.length.value(), self.breadth.value())

    # what the tools read

    def plan(self) -> RowPlan:
        """Return what the fields say."""
        return RowPlan(
            form=self.form.currentText(),
            size=self._size(),
            turn_deg=float(self.contacts.currentData()),
            columns=1 if self._single else self.columns.value(),
            rows=1 if self._single else self.rows.value(),
            pitch_x_mm=self.pitch_x.value(),
            pitch_y_mm=self.pitch_y.value(),
            first_designation=self.first.text().strip(),
            order=self._order(),
            rating_a=self._rating(),
        )

    def _order(self) -> CountingOrder | None:
        """Return the chosen order, None as it is drawn; Qt gives back its bare text."""
        chosen = self.order.currentData()
        return CountingOrder(chosen) if chosen is not None else None

    def _rating(self) -> float | None:
        text = self.rating.text().strip().removesuffix("A").strip()
        try:
            value = read_number(text, typed=True) if text else None
        except BadValue:
            return None
        return value if value is not None and 0.05 <= value <= 500 else None

    def problem(self) -> str:
        """Return what is wrong with a field, '' when nothing is."""
        if self.rating.text().strip() and self._rating() is None:
            return self.tr("The rating is a number of amps from 0.05 to 500")
        return ""

    def typing(self) -> bool:
        """Tell whether one of the fields has the keys."""
        focus = QApplication.focusWidget()
        return self.isVisible() and focus is not None and self.isAncestorOf(focus)

    def first_place(self) -> Point:
        """Return where the first place is typed, in the front view."""
        return Point(self.first_x.value(), self.first_y.value())

    # what the tools say

    def show_for(self, tool: str) -> None:
        """Show the fields that a tool needs."""
        self._single = tool == "cavity"
        texts = {
            "cavity": self.tr("Add cav&ity"),
            "row": self.tr("Add row of cav&ities"),
            "grid": self.tr("Add grid of cav&ities"),
        }
        self.add.setText(texts.get(tool, texts["row"]))
        self._name_the_first()
        shown = self._shown()
        for cell in self._fields.values():
            cell.setVisible(cell in shown)
        self.flow(self.viewport().width())

    def _name_the_first(self) -> None:
        """Call a single place by itself: it is the first of none."""
        for name, single, first in (
            ("first", self.tr("De&signation"), self.tr("Fir&st designation")),
            ("x", self.tr("&x"), self.tr("First &x")),
            ("y", self.tr("&y"), self.tr("First &y")),
        ):
            label = self._labels[name]
            label.setText(single if self._single else first)
            label.buddy().setAccessibleName(label.text().replace("&", ""))

    def show_counts(self, columns: int, rows: int) -> None:
        """Show the counts of a drag in the fields."""
        with QSignalBlocker(self.columns), QSignalBlocker(self.rows):
            self.columns.setValue(columns)
            self.rows.setValue(rows)

    def count_on(self, text: str) -> None:
        """Show the designation that comes after those just added."""
        self._counted.append((self.first.text().strip(), text))
        self._show_first(text)

    def _show_first(self, text: str) -> None:
        with QSignalBlocker(self.first):
            self.first.setText(text)

    def suggest_first(self, text: str, taken: Collection[str]) -> None:
        """Show a free first designation, unless the user has typed one.

        What counted on from a typed one goes back when the places are undone, and
        forth again with redo. taken are the designations of the block.
        """
        if self._automatic_first:
            if text != self.first.text():
                self._show_first(text)
        elif self._counted:
            left = (first for first, _ in self._counted if _plain(first) not in taken)
            self._show_first(next(left, self._counted[-1][1]))

    def move_first(self, place: Point) -> None:
        """Show where the first place is."""
        with QSignalBlocker(self.first_x), QSignalBlocker(self.first_y):
            self.first_x.setValue(place.x_mm)
            self.first_y.setValue(place.y_mm)

    # layout: as many fields on a line as there is room for

    def _shown(self) -> list[QWidget]:
        counting = {"columns", "rows", "pitch_x", "pitch_y", "order"}
        return [
            cell
            for name, cell in self._fields.items()
            if not (self._single and name in counting)
        ]

    def _begins_pair(self, cell: QWidget) -> bool:
        """Tell whether a field is read together with the one after it."""
        return any(self._fields.get(name) is cell for name in _PAIRS)

    def flow(self, width: int) -> int:
        """Put the fields in lines of this width; return the height they take."""
        shown = self._shown()
        high = max(cell.sizeHint().height() for cell in shown)
        x, y = 0, GAP // 2
        for number, cell in enumerate(shown):
            wide = needed = cell.sizeHint().width()
            if self._begins_pair(cell) and number + 1 < len(shown):
                needed += GAP + shown[number + 1].sizeHint().width()
            if x and x + needed > width - 2 * MARGIN:
                x, y = 0, y + high + GAP // 2
            cell.setGeometry(MARGIN + x, y, wide, high)
            x += wide + GAP
        self._body.resize(width, y + high + GAP // 2)
        return y + high + GAP // 2

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.flow(self.viewport().width())

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Bring a field with its label into sight when its key leads to it."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            cell = watched.parentWidget()
            if cell is not None:
                self.ensureWidgetVisible(cell, 0, 0)
        return bool(super().eventFilter(watched, event))
