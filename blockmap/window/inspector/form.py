"""How fields stand in a page: groups with headings, one or two fields in a row.

Where there is little room, as at 200 %, labels go above their fields, so that no text
is cut off.
"""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from blockmap.window.access_key import with_access_key
from blockmap.window.guard import guarded
from blockmap.window.inspector.fields import Field
from blockmap.window.inspector.subjects import Subject

__all__ = ["FormGroup", "FormPage", "empty"]

_ARRANGEMENTS = ((78, 2, True), (60, 1, True), (0, 1, False))
"""Least width in widths of a letter, columns of fields, labels beside their fields."""
_TAB = Qt.FocusPolicy.TabFocus
RESERVED = frozenset("fevdahyinb")
"""Access keys that menus, the legend and the button of the row tools use."""


def empty(layout: QLayout) -> None:
    """Take every widget out of a layout.

    Qt frees the item of a widget that is removed. An item that takeAt gives is ours to
    free, and PySide never does: a kilobyte at each change of the selection.
    """
    while (item := layout.itemAt(0)) is not None:
        widget = item.widget()
        assert widget is not None, "the layouts of forms hold widgets alone"
        layout.removeWidget(widget)


class FormGroup(QWidget):
    """A heading and the fields under it."""

    def __init__(self, heading: str) -> None:
        super().__init__()
        self.heading = QLabel(heading)
        self.heading.setTextFormat(Qt.TextFormat.PlainText)
        self.heading.setWordWrap(True)
        font = self.heading.font()
        font.setBold(True)
        self.heading.setFont(font)
        self._fields: list[tuple[Field | QWidget, bool]] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 6)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(4)
        self._left_out: set[QWidget] = set()
        self._arranged: tuple[object, ...] = ()
        self.wanted = True

    def add(self, field: Field | QWidget, *, wide: bool = False) -> None:
        """Add a field, or something that spans the group like one without a label."""
        field.setParent(self)
        if isinstance(field, Field):
            field.label.setParent(self)
        self._fields.append((field, wide or not isinstance(field, Field)))

    @property
    def fields(self) -> list[Field]:
        """The fields in order."""
        return [field for field, _ in self._fields if isinstance(field, Field)]

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab stops on its way through the group, from the first to the last."""
        found: list[QWidget] = []
        for item, _ in self._fields:
            proxy = item.focusProxy()
            inside = [proxy] if proxy else [item, *item.findChildren(QWidget)]
            found += (w for w in inside if _is_stop(w, self.window()))
        return found

    @property
    def shown_fields(self) -> list[Field]:
        """The fields that are to be seen."""
        return [field for field in self.fields if field not in self._left_out]

    def show_group(self, wanted: bool) -> None:
        """Show or hide the whole group."""
        self.wanted = wanted
        self.setVisible(wanted)

    def arrange(self, columns: int, beside: bool, label_width: int) -> None:
        """Place the fields that are to be seen in one or two columns."""
        seen = [(f, wide) for f, wide in self._fields if f not in self._left_out]
        mark = (columns, beside, label_width, tuple(f for f, _ in seen))
        if mark == self._arranged:
            return
        self._arranged = mark
        empty(self._grid)
        across = 2 if beside else 1
        for one in self.fields:
            one.set_narrow(not beside)
        self._grid.addWidget(self.heading, 0, 0, 1, across * columns)
        row, column = 1, 0
        for field, wide in seen:
            if wide and column:
                row, column = row + (1 if beside else 2), 0
            self._place(field, row, column, columns if wide else 1, beside)
            column += columns if wide else 1
            if column >= columns:
                row, column = row + (1 if beside else 2), 0
        for number in range(4):
            stretch = number % across == across - 1 and number < across * columns
            self._grid.setColumnStretch(number, 1 if stretch else 0)
            least = label_width if beside and number in (0, 2)[:columns] else 0
            self._grid.setColumnMinimumWidth(number, least)

    def _place(
        self, field: Field | QWidget, row: int, column: int, span: int, beside: bool
    ) -> None:
        if not isinstance(field, Field):
            self._grid.addWidget(field, row, 0, 1, 2 * span)
            return
        if beside:
            top = Qt.AlignmentFlag.AlignTop
            self._grid.addWidget(field.label, row, 2 * column, top)
            self._grid.addWidget(field, row, 2 * column + 1, 1, 2 * span - 1, top)
            field.label.setContentsMargins(0, 4, 0, 0)
        else:
            self._grid.addWidget(field.label, row, column, 1, span)
            self._grid.addWidget(field, row + 1, column, 1, span)
            field.label.setContentsMargins(0, 2, 0, 0)

    def show_field(self, field: QWidget, shown: bool) -> None:
        """Show or hide one field with its label."""
        if shown == (field not in self._left_out):
            return
        (self._left_out.discard if shown else self._left_out.add)(field)
        field.setVisible(shown)
        if isinstance(field, Field):
            field.label.setVisible(shown)


class FormPage(QScrollArea):
    """A page of groups that scrolls; it keeps the field with the focus in sight."""

    def __init__(self) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # Tab goes to its fields
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.groups: list[FormGroup] = []
        self._inside = QWidget()
        self._column = QVBoxLayout(self._inside)
        self._column.setContentsMargins(8, 6, 8, 8)
        self._column.setSpacing(4)
        self._column.addStretch(1)
        self.setWidget(self._inside)
        self._label_width = 0
        self._needs: dict[tuple[int, bool], int] = {}

    def add_group(self, group: FormGroup) -> None:
        """Add a group at the end of the page."""
        self.groups.append(group)
        self._column.insertWidget(self._column.count() - 1, group)

    def insert_group(self, place: int, group: FormGroup) -> None:
        """Add a group before the one at this place."""
        self.groups.insert(place, group)
        self._column.insertWidget(place, group)

    @property
    def fields(self) -> list[Field]:
        """Every field of the page, in the order of the groups."""
        return [field for group in self.groups for field in group.fields]

    def show_subject(self, subject: Subject, *, fresh: bool) -> None:
        """Fill every field that is to be seen."""
        for group in self.groups:
            if group.wanted:
                for field in group.shown_fields:
                    field.show_subject(subject, fresh=fresh)

    def commit(self) -> None:
        """Write what is typed and not committed yet."""
        for field in self.fields:
            if field.pending:
                field.commit()

    def go_to(self, field: Field) -> None:
        """Give a field the focus, its text selected, and bring it into sight."""
        field.setFocus(Qt.FocusReason.TabFocusReason)
        self.keep_in_sight()

    def keep_in_sight(self) -> None:
        """Bring what has the focus back into sight, once the page is laid out anew."""
        QTimer.singleShot(0, self, self._show_focused)

    def _show_focused(self) -> None:
        focused = self.focusWidget()
        if focused is not None and focused.hasFocus():
            self.ensureWidgetVisible(focused)

    def finish(self) -> None:
        """Give labels their access keys and fields their order; call once, at last."""
        taken = set(RESERVED)
        for field in self.fields:
            field.label.setText(with_access_key(field.title, taken))
        stops = [stop for group in self.groups for stop in group.stops]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)
        self.arrange()

    def arrange(self) -> None:
        """Place the fields for the width there is, so that none is out of sight.

        An arrangement that once needed more room is not tried again until there is
        as much.
        """
        em = max(1, self.fontMetrics().averageCharWidth())
        room = self.viewport().width()
        if not self._label_width:
            widths = [f.label.sizeHint().width() for f in self.fields]
            self._label_width = min(max(widths, default=0), 24 * em)
        for least_em, columns, beside in _ARRANGEMENTS:
            if room < max(least_em * em, self._needs.get((columns, beside), 0)):
                continue
            self._arrange_groups(columns, beside)
            need = self._inside.minimumSizeHint().width()
            if need <= room or not least_em:
                return
            self._needs[columns, beside] = need

    def _arrange_groups(self, columns: int, beside: bool) -> None:
        for group in self.groups:
            if group.wanted:
                group.arrange(columns, beside, self._label_width)
                group.updateGeometry()
        self._column.activate()

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.arrange()

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._label_width = 0
            self._needs.clear()
            self.arrange()

    @guarded(QSize)
    def sizeHint(self) -> QSize:
        em = self.fontMetrics().averageCharWidth()
        return QSize(60 * em, 24 * self.fontMetrics().height())


def _is_stop(widget: QWidget, window: QWidget) -> bool:
    """Tell whether Tab stops at a widget of this window, and not at another for it."""
    here = widget.window() is window and widget.focusProxy() is None
    return here and bool(widget.focusPolicy() & _TAB)
