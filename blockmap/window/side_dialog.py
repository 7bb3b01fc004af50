"""A window beside the map that stops nobody from working on: lists, tables, forms."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QWidget

from blockmap.window.guard import guarded

__all__ = ["SideDialog"]


class SideDialog(QDialog):
    """Escape closes it; Enter ends a field in it and presses none of its buttons."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModal(False)

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
        else:
            super().keyPressEvent(event)
