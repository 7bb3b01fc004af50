"""What a low window does without: two rows of panes, and words under the tools.

It follows the height of the window. Where there is no room for two panes one above the
other they share one place, each with its tab; in a taller window they part again and
stand where they stood.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QDockWidget

from blockmap.window.guard import guarded
from blockmap.window.pane_in_sight import in_sight

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["LAYOUT_VERSION", "LowWindow"]

LAYOUT_VERSION = 5
LOW_LINES, WORDLESS_LINES = 42, 36
"""With fewer lines of text the panes share one place, and the tools have no words."""
LEAST_LETTERS, LEAST_LINES = 72, 20
"""Room that a window with one pane in sight can do with."""
REST_MS = 250


class LowWindow(QObject):
    """Joins the panes of a low window, and parts them; changed tells of both."""

    changed = Signal()

    def __init__(self, window: MainWindow, docks: dict[str, QDockWidget]) -> None:
        super().__init__(window)
        self._window, self._docks = window, docks
        self._apart: QByteArray | None = None
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self.follow)
        self._shares: dict[QDockWidget, float] = {}
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._note_shares)
        for watched in (window, *docks.values()):
            watched.installEventFilter(self)
        self._let_become_low()

    @property
    def joined(self) -> bool:
        """True while the panes share one place."""
        return self._apart is not None

    @property
    def low(self) -> bool:
        """True of a window that is too low for two panes one above the other."""
        return self._lines < LOW_LINES

    @property
    def _lines(self) -> float:
        return self._window.height() / self._window.fontMetrics().height()

    def follow(self) -> None:
        """Join the panes or let them part, as the window has become low or tall."""
        self._window.commands.show_words(self._lines >= WORDLESS_LINES)
        if self.low == self.joined:
            return
        if self.low:
            self._join()
        else:
            self.part()
        self.changed.emit()

    def _let_become_low(self) -> None:
        """Keep panes that stand one above the other from holding the window tall."""
        letters = self._window.fontMetrics()
        wide = LEAST_LETTERS * letters.averageCharWidth()
        self._window.setMinimumSize(wide, LEAST_LINES * letters.height())

    def _join(self) -> None:
        self._apart = self._window.saveState(LAYOUT_VERSION)
        docked = [d for d in self._docks.values() if not d.isFloating()]
        front = self._front(docked)
        for dock in docked[1:]:
            self._window.tabifyDockWidget(docked[0], dock)
        if front is not None:
            front.raise_()

    def part(self) -> None:
        """Put the panes where they stood; those closed meanwhile stay closed."""
        if self._apart is None:
            return
        stood, self._apart = self._apart, None
        hidden = {dock: dock.isHidden() for dock in self._docks.values()}
        front = self._front(list(self._docks.values()))
        self._window.restoreState(stood, LAYOUT_VERSION)
        for dock, away in hidden.items():
            dock.setVisible(not away)
        if front is not None:
            front.raise_()
        QTimer.singleShot(0, self, self._give_shares)

    def _note_shares(self) -> None:
        """Note what each pane has of the height while nothing squeezes it.

        A window that was made low has squeezed its panes before it tells of that.
        """
        if not (self.low or self.joined):
            seen = [dock for dock in self._docks.values() if in_sight(dock)]
            high = self._window.height()
            self._shares = {dock: dock.height() / high for dock in seen}

    def _give_shares(self) -> None:
        high = self._window.height()
        shares = {d: s for d, s in self._shares.items() if not d.isFloating()}
        if not self.joined and shares:
            heights = [round(high * share) for share in shares.values()]
            self._window.resizeDocks(list(shares), heights, Qt.Orientation.Vertical)

    @staticmethod
    def _front(docks: list[QDockWidget]) -> QDockWidget | None:
        """Return the pane that is seen; the one at the keyboard where there are two."""
        seen = [dock for dock in docks if in_sight(dock)]
        seen.sort(key=lambda dock: not _has_focus(dock))
        return seen[0] if seen else None

    @guarded(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.FontChange):
            (self._later if watched is self._window else self._rest).start()
        return bool(super().eventFilter(watched, event))


def _has_focus(dock: QDockWidget) -> bool:
    focus = dock.window().focusWidget()
    return focus is not None and dock.isAncestorOf(focus)
