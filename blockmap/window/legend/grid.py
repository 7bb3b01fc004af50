"""The legend table itself: a table view that is as quick as a spreadsheet.

Typing replaces, F2 edits in place, Enter goes down, Tab goes right; fill, clear, copy
and paste are one undo step each. A text that is refused keeps its editor open. Ctrl
with Tab leaves the table.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QItemSelectionRange,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
)
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QTableView,
    QWidget,
)

from blockmap.model.ids import CavityId
from blockmap.window.guard import guarded
from blockmap.window.keys_told import tell_keys
from blockmap.window.legend.cells import CellDelegate, CellEditor
from blockmap.window.legend.columns_shown import ColumnLayout, Store
from blockmap.window.legend.ranges import Ranges
from blockmap.window.legend.rows import TABLE_COLUMNS, LegendModel
from blockmap.window.legend.selection_link import SelectionLink
from blockmap.window.legend.table_edits import TableEdits
from blockmap.window.legend.typing_in import Typing
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["LegendTable"]

Index = QModelIndex | QPersistentModelIndex
_CUT_PX = 8
"""A column scrolled away by more has its names cut off."""
_NONE = Qt.KeyboardModifier.NoModifier
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_CTRL = Qt.KeyboardModifier.ControlModifier
_ALT = Qt.KeyboardModifier.AltModifier
_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_RATHER_THAN_MENUS = (Qt.Key.Key_A, Qt.Key.Key_R)
_Flag = QItemSelectionModel.SelectionFlag


class LegendTable(QTableView):
    """The cells of the cavities of one block.

    message says what a command did; refused says what was not taken and why, with
    the count of cavities that are missing for a paste, else 0; accepted takes that
    back. find_wanted asks for the find box (0) or the next (1) or last (-1) match.
    """

    message = Signal(str)
    refused = Signal(str, int)
    accepted = Signal()
    find_wanted = Signal(int)

    def __init__(
        self,
        session: Session,
        selection: Selection,
        store: Store | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self.typing = Typing(self)
        self._tab_from: int | None = None
        self._kept: tuple[CavityId, int] | None = None
        self.rows = LegendModel(session, selection, self)
        self.link = SelectionLink(self, selection)
        self.setModel(self.rows)
        self.cells = CellDelegate(session, self.rows, self)
        self.setItemDelegate(self.cells)
        self._set_up()
        self.layout_of_columns = ColumnLayout(self, self.cells, store)
        self.edits = TableEdits(session, selection, self)
        self.ranges = Ranges(self)
        self.setSortingEnabled(True)
        self.horizontalScrollBar().valueChanged.connect(self._show_names)
        self.rows.refused.connect(lambda _index, say: self.refused.emit(say, 0))
        self.rows.modelAboutToBeReset.connect(self._keep_place)
        self.rows.modelReset.connect(self._after_reset)
        self.rows.rowsInserted.connect(self.layout_of_columns.fit)
        self.link.start()

    def _set_up(self) -> None:
        self.setAccessibleName(self.tr("Legend table"))
        tell_keys(self, self.tr("Enter goes down, Tab right; F2 changes; Ctrl+D fills"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.setAlternatingRowColors(True)
        self.horizontalHeader().setStretchLastSection(True)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        self._size_rows()

    def _size_rows(self) -> None:
        height = max(24, self.fontMetrics().height() + 8)
        header = self.verticalHeader()
        header.setMinimumSectionSize(height)
        header.setDefaultSectionSize(height)

    def _show_names(self) -> None:
        """Name the rows at the left while the column of places is out of sight."""
        header, place = self.horizontalHeader(), self._number_of("designation")
        left = header.sectionViewportPosition(place)
        away = header.isSectionHidden(place) or left < -_CUT_PX
        if away is self.verticalHeader().isHidden():
            self.verticalHeader().setVisible(away)

    @staticmethod
    def _number_of(key: str) -> int:
        return next(n for n, c in enumerate(TABLE_COLUMNS) if c.key == key)

    # Where the cursor and the selection are

    def is_current(self, index: Index) -> bool:
        """Tell whether this cell has the cursor."""
        current = self.currentIndex()
        return current.row() == index.row() and current.column() == index.column()

    @property
    def selected_count(self) -> int:
        """The number of selected cells, those of hidden columns too."""
        return sum(r.width() * r.height() for r in self._chosen_ranges())

    def _chosen_ranges(self) -> list[QItemSelectionRange]:
        # Asking for all cells one by one takes longer than a frame at 500 rows.
        chosen = self.selectionModel().selection()
        return [chosen.at(n) for n in range(chosen.count())]

    def selected_rows(self) -> list[int]:
        """Return the rows with a selected cell, the cursor's when there is none."""
        chosen = self._chosen_ranges()
        rows = {n for r in chosen for n in range(r.top(), r.bottom() + 1)}
        if not rows and self.currentIndex().isValid():
            rows = {self.currentIndex().row()}
        return sorted(rows)

    def selected_columns(self) -> list[int]:
        """Return the columns with a selected cell, from left to right."""
        chosen = self._chosen_ranges()
        columns = {n for r in chosen for n in range(r.left(), r.right() + 1)}
        if not columns and self.currentIndex().isValid():
            columns = {self.currentIndex().column()}
        return [n for n in self.layout_of_columns.shown() if n in columns]

    def go_to(self, row: int, column: int) -> None:
        """Put the cursor on a cell and select it alone."""
        index = self.rows.index(row, column)
        if index.isValid():
            selecting = self.selectionModel()
            selecting.setCurrentIndex(index, _Flag.ClearAndSelect)
            self.scrollTo(index)

    def column_for_legend(self) -> int:
        """Return the column of the legend, the first shown when it is hidden."""
        shown = self.layout_of_columns.shown()
        legend = self._number_of("legend")
        return legend if legend in shown else shown[0]

    def select_cells(self, rows: list[int], columns: list[int]) -> None:
        """Select a rectangle of cells, leaving the cursor where it is."""
        area = QItemSelection()
        for column in columns:
            area.select(
                self.rows.index(rows[0], column), self.rows.index(rows[-1], column)
            )
        self.selectionModel().select(area, _Flag.ClearAndSelect)

    @guarded()
    def selectionChanged(self, now: QItemSelection, before: QItemSelection) -> None:
        super().selectionChanged(now, before)
        self.link.tell()

    @guarded()
    def currentChanged(self, now: Index, before: Index) -> None:
        super().currentChanged(now, before)
        for index in (before, now):
            if index.isValid():
                self.update(index)
        self.link.tell()

    def _keep_place(self) -> None:
        self.typing.abandon()
        current = self.currentIndex()
        ids = self.rows.ids
        on = current.isValid() and current.row() < len(ids)
        self._kept = (ids[current.row()], current.column()) if on else None

    def _after_reset(self) -> None:
        column = self._kept[1] if self._kept else self.layout_of_columns.shown()[0]
        self.layout_of_columns.fit()
        self.link.follow()
        if not self.currentIndex().isValid() and self.rows.ids:
            place = self.rows.index(0, column)
            with self.link.not_telling():
                self.selectionModel().setCurrentIndex(place, _Flag.NoUpdate)

    # Keys

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        """Take Tab before Qt moves the focus with it; Ctrl with Tab leaves.

        Ctrl with A and R mean cells here, not the cavities of the figure.
        """
        if isinstance(event, QKeyEvent):
            if event.type() == QEvent.Type.KeyPress and event.key() in _TABS:
                self.keyPressEvent(event)
                return True
            own = event.modifiers() == _CTRL and event.key() in _RATHER_THAN_MENUS
            if event.type() == QEvent.Type.ShortcutOverride and own:
                event.accept()
                return True
        return super().event(event)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _TABS:
            self._tab(event)
            return
        keys = event.modifiers() & ~_KEYPAD
        action = _KEYS.get((int(event.key()), keys.value))
        if action is not None:
            action(self)
            event.accept()
            return
        if self.ranges.key(event):
            self._tab_from = None
            event.accept()
            return
        super().keyPressEvent(event)

    def _tab(self, event: QKeyEvent) -> None:
        back = event.key() == Qt.Key.Key_Backtab or bool(event.modifiers() & _SHIFT)
        if event.modifiers() & _CTRL:
            self.leave(back=back)
        else:
            self.step_across(-1 if back else 1)
        event.accept()

    def leave(self, *, back: bool = False) -> None:
        """Give the focus to the next widget, or to the one before."""
        self.focusNextPrevChild(not back)

    def step_across(self, by: int) -> None:
        """Go to the next cell to the right or left, at the end to the next row."""
        current, shown = self.currentIndex(), self.layout_of_columns.shown()
        if not current.isValid() or current.column() not in shown:
            self.go_to(0, shown[0])
            return
        if self._tab_from is None:
            self._tab_from = current.column()
        at = shown.index(current.column()) + by
        row = current.row()
        if at < 0 or at >= len(shown):
            row += by
            at %= len(shown)
            if not 0 <= row < len(self.rows.ids):
                return
        self.go_to(row, shown[at])

    def step_down(self, by: int) -> None:
        """Go a row down or up, after Tab to the column where it began."""
        current = self.currentIndex()
        row = current.row() + by
        column = current.column() if self._tab_from is None else self._tab_from
        self._tab_from = None
        if 0 <= row < len(self.rows.ids):
            self.go_to(row, column)

    @guarded()
    def closeEditor(
        self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint
    ) -> None:
        """Keep an editor whose text was refused; its text is not lost."""
        if not isinstance(editor, CellEditor) or self.typing.may_close(editor):
            super().closeEditor(editor, hint)

    @guarded()
    def mousePressEvent(self, event: QMouseEvent) -> None:
        if not self.typing.finish():
            event.accept()
            return
        self._tab_from = None
        super().mousePressEvent(event)

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.rows.ids:
            first = self.rows.index(0, self.layout_of_columns.shown()[0])
            self.selectionModel().setCurrentIndex(first, _Flag.NoUpdate)

    # Menu, look

    @guarded()
    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        place = event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Keyboard:
            box = self.visualRect(self.currentIndex())
            place = self.viewport().mapToGlobal(box.bottomLeft() + QPoint(8, 0))
        menu = self.edits.menu()
        columns = menu.addMenu(self.tr("C&olumns"))
        self.layout_of_columns.fill_menu(columns, self.currentIndex().column())
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(place)

    @guarded()
    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._size_rows()

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.rows.ids:
            return
        painter = QPainter(self.viewport())
        painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
        box = self.viewport().rect().adjusted(16, 16, -16, -16)
        where = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(box, int(where), self.nothing_here())

    def nothing_here(self) -> str:
        """Return what an empty table says in place of rows."""
        if self.rows.filtered:
            return self.tr("No cavity of this block matches the search")
        if self._selection.block is None:
            return self.tr("No block yet. Add a block, then its cavities")
        return self.tr(
            "No cavities in this block yet. Draw a row of them in the figure, or paste "
            "rows from a spreadsheet; each becomes a row here"
        )


def _key(
    key: Qt.Key, keys: Qt.KeyboardModifier, action: Callable[[LegendTable], Any]
) -> tuple[tuple[int, int], Callable[[LegendTable], Any]]:
    return (int(key), keys.value), action


_KEYS: dict[tuple[int, int], Callable[[LegendTable], Any]] = dict(
    (
        _key(Qt.Key.Key_Return, _NONE, lambda table: table.step_down(1)),
        _key(Qt.Key.Key_Enter, _NONE, lambda table: table.step_down(1)),
        _key(Qt.Key.Key_Return, _SHIFT, lambda table: table.step_down(-1)),
        _key(Qt.Key.Key_Enter, _SHIFT, lambda table: table.step_down(-1)),
        _key(Qt.Key.Key_F2, _NONE, lambda table: table.typing.edit_in_place()),
        _key(Qt.Key.Key_Down, _ALT, lambda table: table.typing.offer_list()),
        _key(Qt.Key.Key_D, _CTRL, lambda table: table.edits.fill_down()),
        _key(Qt.Key.Key_R, _CTRL, lambda table: table.edits.fill_right()),
        _key(Qt.Key.Key_A, _CTRL, lambda table: table.ranges.select_all()),
        _key(Qt.Key.Key_Delete, _NONE, lambda table: table.edits.clear()),
        _key(Qt.Key.Key_Backspace, _NONE, lambda table: table.edits.clear()),
        _key(Qt.Key.Key_C, _CTRL, lambda table: table.edits.copy()),
        _key(Qt.Key.Key_X, _CTRL, lambda table: table.edits.cut()),
        _key(Qt.Key.Key_V, _CTRL, lambda table: table.edits.paste()),
        _key(Qt.Key.Key_F, _CTRL, lambda table: table.find_wanted.emit(0)),
        _key(Qt.Key.Key_F3, _NONE, lambda table: table.find_wanted.emit(1)),
        _key(Qt.Key.Key_F3, _SHIFT, lambda table: table.find_wanted.emit(-1)),
    )
)
