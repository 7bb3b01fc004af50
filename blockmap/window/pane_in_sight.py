"""A pane that is filled only while something of it can be seen."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QHideEvent, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from blockmap.window.guard import guarded

__all__ = ["PaneInSight", "in_sight"]


def in_sight(part: QWidget) -> bool:
    """Tell whether something of a part can be seen, of a pane not only its tab."""
    return part.isVisible() and not part.visibleRegion().isEmpty()


class PaneInSight(QWidget):
    """Calls fill() when asked to refresh and in sight, else once it comes into sight.

    shown tells whether it is shown: true of a pane behind another tab, too.
    """

    shown = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stale = True

    @property
    def in_sight(self) -> bool:
        """True while something of the pane can be seen, not only its tab."""
        return in_sight(self)

    def refresh(self, _what: object = None) -> None:
        """Show the map as it is; where nothing can be seen, once it can."""
        self._stale = not self.in_sight
        if not self._stale:
            self.fill()

    def fill(self) -> None:
        """Show the map as it is; the pane is in sight."""
        raise NotImplementedError

    # what Qt calls

    @guarded()
    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self.refresh()
        self.shown.emit(True)

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._stale:  # it was behind another tab
            QTimer.singleShot(0, self, self.refresh)

    @guarded()
    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.shown.emit(False)
