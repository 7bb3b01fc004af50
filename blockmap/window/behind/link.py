"""Joins the selected strip with figure and pane, and shows the parts list when asked.

What hangs on the strip is worked out in another thread; the strip itself is marked at
once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from blockmap.model.changes import Change
from blockmap.window.behind.asking import Asker
from blockmap.window.canvas.lit import Lit

if TYPE_CHECKING:
    from blockmap.analysis.behind.paths import Dies
    from blockmap.model.document import Map
    from blockmap.model.ids import StripId
    from blockmap.window.behind.panel import BehindPanel
    from blockmap.window.behind.parts_window import PartsWindow
    from blockmap.window.main_window import MainWindow

__all__ = ["BehindLink", "lit_of"]


def lit_of(dies: Dies, strip: str) -> Lit:
    """Return the marks of the figure for what hangs on a strip."""
    dead = frozenset(dies.cavities)
    above = {
        feed.source.name.rpartition(".")[0]
        for feed in dies.needs
        if feed.source.kind == "contact"
    }
    return Lit(
        strip=strip,
        dead=dead,
        still=frozenset(dies.still_fed),
        needs=frozenset(above - dead),
        known=True,
    )


def _what_dies(document: Map, strip: StripId) -> Dies:
    """Work it out; called in the other thread, which imports what it takes."""
    from blockmap.analysis.behind.paths import what_dies

    return what_dies(document, strip)


class BehindLink(QObject):
    """Keeps the marks of the selected strip up to date, everywhere it is shown."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._parts: PartsWindow | None = None
        self._dies: Dies | None = None
        self._asker = Asker(window.session, self)
        self._asker.answered.connect(self._answered)
        window.selection.strip_changed.connect(self._ask)
        window.session.changed.connect(self._document_changed)
        if window.selection.strip is not None:
            self._ask()

    def join(self, pane: BehindPanel) -> None:
        """Join the pane with the rest, once it is made."""
        pane.made.connect(self._tell_pane)

    def _ask(self) -> None:
        strip = self._window.selection.strip
        self._dies = None
        if strip is None:
            self._asker.ask(None)
            self._window.figure.set_lit(Lit())
            return
        self._asker.ask(lambda document: _what_dies(document, strip))

    def _document_changed(self, change: Change) -> None:
        if self._window.selection.strip is None:
            return
        if change.strips or change.cavities or change.blocks:
            strip = self._window.selection.strip
            self._asker.ask(lambda document: _what_dies(document, strip))

    def _answered(self, dies: Dies) -> None:
        strip = self._window.selection.strip
        if strip is not None:
            self._dies = dies
            self._window.figure.set_lit(lit_of(dies, strip))
            self._tell_pane()

    def _tell_pane(self) -> None:
        pane = self._window.behind
        if pane.ready:
            pane.strips.show_dies(self._dies)

    def stop(self) -> None:
        """Wait for the workers; nothing comes after."""
        self._asker.stop()
        if self._parts is not None:
            self._parts.asker.stop()

    def show_parts(self) -> PartsWindow:
        """Show the parts list in front, made when it is first asked for."""
        from blockmap.window.behind.parts_window import PartsWindow

        if self._parts is None:
            self._parts = PartsWindow(self._window)
        self._parts.show()
        self._parts.raise_()
        self._parts.activateWindow()
        return self._parts
