"""The part of the start page that offers what an earlier run left unsaved."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.recovery import STALE_DAYS, Kept, kept_maps
from blockmap.window.aside import Aside, quickly
from blockmap.window.headed_part import WAIT_MS, headed_part
from blockmap.window.plain_tip import plain_tip
from blockmap.window.safekeeping import kept_words
from blockmap.window.theme import icon

__all__ = ["KeptPart"]

_Listed = tuple[list[tuple[Kept, str]], list[str]]


def _kept_in(folder: Path, *, look: bool = True) -> _Listed:
    """Return unsaved work with its words, and words on what is damaged."""
    found, damaged = kept_maps(folder, lambda _file: look)
    told = [(kept, kept_words(kept, kept.file_now() if look else "")) for kept in found]
    return told, damaged


class KeptPart(QWidget):
    """Lists unsaved work, to open it or to put it aside; hidden while there is none.

    wanted carries what to open.
    """

    wanted = Signal(object)

    def __init__(self, folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self.work = Aside(self._show, self)
        part, column = headed_part(self.tr("Unsaved work of an earlier run"))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(part)
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Unsaved work of an earlier run"))
        self.list.setMaximumHeight(self.list.fontMetrics().height() * 4)
        self.list.itemActivated.connect(lambda _item: self._open())
        words = QLabel(
            self.tr(
                "The program ended before these maps were saved. Opening one changes "
                "no file until you save it. What is put aside is offered no more; its "
                "file stays in the recovery folder for %1 days."
            ).replace("%1", str(STALE_DAYS))
        )
        words.setWordWrap(True)
        column.addWidget(words)
        column.addWidget(self.list)
        column.addLayout(self._buttons())

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        take = QPushButton(icon("edit-history"), self.tr("Open &unsaved work"))
        take.clicked.connect(self._open)
        drop = QPushButton(self.tr("Put it aside"))
        drop.setToolTip(plain_tip(str(self._folder)))
        drop.clicked.connect(self._put_aside)
        for button in (take, drop):
            button.setAutoDefault(False)
            row.addWidget(button)
        row.addStretch(1)
        return row

    def refresh(self, first: Callable[[], object] | None = None) -> None:
        """List what earlier runs left, when something else is done first.

        When a disk does not answer, it is listed without looking at the maps' files.
        """
        folder = self._folder

        def listed() -> _Listed:
            if first is not None:
                first()
            return _kept_in(folder)

        self.work.start_next(listed)
        if not self.work.wait(WAIT_MS):
            self._show(quickly(lambda: _kept_in(folder, look=False), ([], [])))

    def _show(self, listed: _Listed) -> None:
        found, damaged = listed
        self.list.clear()
        for kept, words in found:
            item = QListWidgetItem(icon("edit-history"), words)
            item.setData(Qt.ItemDataRole.UserRole, kept)
            self.list.addItem(item)
        for words in damaged:
            item = QListWidgetItem(icon("level-warning"), words)
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)
        self.setVisible(self.list.count() > 0)
        if found:
            self.list.setCurrentRow(0)

    def _chosen(self) -> Kept | None:
        item = self.list.currentItem()
        kept = item.data(Qt.ItemDataRole.UserRole) if item else None
        return kept if isinstance(kept, Kept) else None

    def _open(self) -> None:
        kept = self._chosen()
        if kept is not None:
            self.wanted.emit(kept)

    def _put_aside(self) -> None:
        kept = self._chosen()
        if kept is not None:
            self.refresh(kept.put_aside)
