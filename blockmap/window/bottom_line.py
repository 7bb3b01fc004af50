"""The line at the bottom: pointer, hint, zoom, counts, and passing sentences."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QLabel, QStatusBar

from blockmap.window.elided_label import ElidedLabel

__all__ = ["BottomLine"]

PASSING_MS = 12_000


class BottomLine:
    """Says what the pointer is on and what the next key does; counts is for findings.

    It fills the status bar of a window.
    """

    def __init__(self, bar: QStatusBar) -> None:
        self._bar = bar
        self.pointer = QLabel()
        self.hint = ElidedLabel()
        self._zoom = QLabel()
        self.counts = QLabel()
        for label in (self.pointer, self.hint, self._zoom, self.counts):
            label.setTextFormat(Qt.TextFormat.PlainText)
        bar.addWidget(self.pointer)
        bar.addWidget(self.hint, 1)
        bar.addPermanentWidget(self._zoom)
        bar.addPermanentWidget(self.counts)

    def say(self, text: str) -> None:
        """Show a passing sentence."""
        self._bar.showMessage(text, PASSING_MS)

    def show_zoom(self, percent: int, selected: int) -> None:
        """Show the zoom, and how many cavities are selected."""
        words = _tr("%1 selected, ").replace("%1", str(selected)) if selected else ""
        zoom = _tr("zoom %1 %").replace("%1", str(percent))
        self._zoom.setText(words + zoom)

    def show_map(self, shown: bool) -> None:
        """Show what only a map has, or not."""
        self._zoom.setVisible(shown)
        self.counts.setVisible(shown)


def _tr(text: str) -> str:
    return QCoreApplication.translate("BottomLine", text)
