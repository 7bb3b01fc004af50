"""Two parts side by side, or one below the other where there is no room for both."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from blockmap.window.guard import guarded

__all__ = ["FoldingRow", "in_row"]

_BESIDE, _BELOW = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom


def in_row(*parts: QWidget, stretched: QWidget | None = None) -> QWidget:
    """Return parts side by side without margins; one of them takes the room left."""
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        row.addWidget(part, 1 if part is stretched else 0)
    return holder


class FoldingRow(QWidget):
    """The first part takes the room; the second goes below it where that is little.

    letters is the width, in letters, that the first part is worth keeping beside the
    second; with 0 it is the least it can do with.
    """

    def __init__(self, first: QWidget, second: QWidget, *, letters: int = 0) -> None:
        super().__init__()
        self.first, self.second = first, second
        self._letters = letters
        self._box = QBoxLayout(_BESIDE, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.addWidget(first, 1)
        self._box.addWidget(second, 0, Qt.AlignmentFlag.AlignLeft)

    @property
    def folded(self) -> bool:
        """True while one part stands below the other."""
        return self._box.direction() == _BELOW

    def _fold(self) -> None:
        parts = [part for part in (self.first, self.second) if not part.isHidden()]
        wide = sum(part.minimumSizeHint().width() for part in parts)
        worth = self._letters * self.fontMetrics().averageCharWidth()
        wide += max(0, worth - self.first.minimumSizeHint().width())
        wide += self._box.spacing() * (len(parts) - 1)
        self._box.setDirection(_BESIDE if wide <= self.width() else _BELOW)

    # what Qt calls

    @guarded(QSize)
    def minimumSizeHint(self) -> QSize:
        parts = (self.first, self.second)
        wide = max(part.minimumSizeHint().width() for part in parts)
        return QSize(wide, self._box.minimumSize().height())

    @guarded(False)
    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._fold()
        return bool(super().event(event))

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()
