"""The legend panel: find box, table of the cavities, and what was refused."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QMetaMethod, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.window.guard import guarded
from blockmap.window.legend.columns_shown import Store
from blockmap.window.legend.find_bar import FindBar
from blockmap.window.legend.grid import LegendTable
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.legend.whole_rows import WholeRows
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import icon

__all__ = ["LegendPanel"]

_WORDED_LETTERS = 64
"""Where the pane is narrower, the words of a button give their room to the find box."""


class LegendPanel(QWidget):
    """The legend of the shown block.

    message carries what a command did, for the status line; add_row_wanted carries
    how many cavities a paste lacks. store keeps the columns (a QSettings, or None).
    """

    message = Signal(str)
    add_row_wanted = Signal(int)

    def __init__(
        self,
        session: Session,
        selection: Selection,
        parent: QWidget | None = None,
        *,
        store: Store | None = None,
    ) -> None:
        super().__init__(parent)
        self._missing = 0
        self.find_bar = FindBar(session, selection)
        self.table = LegendTable(session, selection, store)
        self.whole_rows = WholeRows(session, selection, self)
        self.refusal = InlineMessage()
        self._columns = self._columns_button()
        top = QHBoxLayout()
        top.setSpacing(4)
        top.addWidget(self.find_bar, 1)
        top.addWidget(self._columns)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(6, 6, 6, 6)
        whole.setSpacing(4)
        whole.addLayout(top)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.refusal)
        self.setFocusProxy(self.table)
        self._connect()

    def _columns_button(self) -> QToolButton:
        button = QToolButton()
        button.setText(self.tr("Columns"))
        button.setIcon(icon("view-table"))
        button.setToolTip(self.tr("Show, hide and move the columns"))
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(button)
        menu.aboutToShow.connect(lambda: self._fill_columns(menu))
        button.setMenu(menu)
        return button

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        style = Qt.ToolButtonStyle
        room = self.width() / self.fontMetrics().averageCharWidth()
        worded = room >= _WORDED_LETTERS
        self._columns.setToolButtonStyle(
            style.ToolButtonTextBesideIcon if worded else style.ToolButtonIconOnly
        )

    def _fill_columns(self, menu: QMenu) -> None:
        menu.clear()
        current = self.table.currentIndex().column()
        self.table.layout_of_columns.fill_menu(menu, current)

    def _connect(self) -> None:
        self.table.message.connect(self.message)
        self.table.refused.connect(self._refused)
        self.whole_rows.message.connect(self.message)
        self.whole_rows.message.connect(self.refusal.clear)
        self.whole_rows.refused.connect(self._refused)
        self.table.accepted.connect(self.refusal.clear)
        self.table.find_wanted.connect(self._find_or_step)
        self.find_bar.left.connect(self._to_table)
        self.find_bar.only_wanted.connect(self._show_only)
        self.refusal.action_wanted.connect(self._add_row)

    def _refused(self, sentence: str, missing: int) -> None:
        self._missing = missing
        offered = missing > 0 and self.isSignalConnected(
            QMetaMethod.fromSignal(self.add_row_wanted)
        )
        self.refusal.say(
            sentence, action=self.tr("Add row of cavities") if offered else ""
        )

    def _add_row(self) -> None:
        self.refusal.clear()
        self.add_row_wanted.emit(self._missing)

    def _find_or_step(self, by: int) -> None:
        if by:
            self.find_bar.step(by)
        else:
            self.begin_find()

    def _to_table(self) -> None:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_only(self, ids: Collection[str] | None) -> None:
        self.table.rows.show_only(ids)
        self.table.link.follow()

    # What menus and other views ask for

    def begin_find(self) -> None:
        """Go to the find box."""
        if self.table.typing.finish():
            self.find_bar.begin()

    def find_next(self) -> None:
        """Select the next match."""
        self.find_bar.step(1)

    def find_previous(self) -> None:
        """Select the match before."""
        self.find_bar.step(-1)

    def commit(self) -> None:
        """Enter what stands in an open cell; a refused text stays there."""
        self.table.typing.finish()

    def edit_current(self) -> None:
        """Go to the legend of the selected cavity and begin to type it."""
        if not self.table.typing.finish():
            return  # a refused text stays in its open editor
        self._to_table()
        row = self.table.currentIndex().row()
        if row >= 0:
            self.table.go_to(row, self.table.column_for_legend())
            self.table.edit(self.table.currentIndex())

    def copy(self) -> None:
        """Copy the selected cells."""
        self.table.edits.copy()

    def cut(self) -> None:
        """Cut the selected cells."""
        self.table.edits.cut()

    def paste(self) -> None:
        """Paste over the cells from the current one on."""
        self.table.edits.paste()

    def paste_rows(self) -> None:
        """Paste whole rows by their place, cells from the current one on."""
        if not self.whole_rows.paste():
            self.table.edits.paste()

    def fill_down(self) -> None:
        """Fill the top selected cells down."""
        self.table.edits.fill_down()
