"""One tab a block, above the figure, when the map has several."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabBar, QWidget

from blockmap.model.changes import Change
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["BlockTabs"]


class BlockTabs(QTabBar):
    """Follows the blocks of a map; chosen follows a tab the user took."""

    chosen = Signal()

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self.setAccessibleName(self.tr("Blocks of this map"))
        self.setExpanding(False)
        self.setDrawBase(False)
        session.changed.connect(self._follow)
        selection.block_changed.connect(self.refresh)
        self.currentChanged.connect(self._take)
        self.refresh()

    def refresh(self) -> None:
        """Show the blocks as the map has them now."""
        wanted = [
            (block.id, (block.name or block.id).replace("&", "&&"))
            for block in self._session.document.blocks.values()
        ]
        shown = [(self.tabData(i), self.tabText(i)) for i in range(self.count())]
        self.blockSignals(True)
        if shown != wanted:
            while self.count():
                self.removeTab(0)
            for id_, name in wanted:
                self.setTabData(self.addTab(name), id_)
        for index in range(self.count()):
            if self.tabData(index) == self._selection.block:
                self.setCurrentIndex(index)
        self.blockSignals(False)
        self.setVisible(len(wanted) > 1)

    def _follow(self, change: Change) -> None:
        if change.blocks:
            self.refresh()

    def _take(self, index: int) -> None:
        if index >= 0:
            self._selection.set_block(self.tabData(index))
            self.chosen.emit()
