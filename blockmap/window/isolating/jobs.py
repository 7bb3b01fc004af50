"""The jobs of the meter beside the search: each a page in a window of its own.

A page is made when it is first asked for, and follows the map while it is seen. They
share one circuit of the map.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from blockmap.model.changes import Change
from blockmap.window.isolating.beside import BesideWindow, Page, tr_job
from blockmap.window.isolating.searching import KeptCircuit
from blockmap.window.selection import Selection
from blockmap.window.session import Session

if TYPE_CHECKING:
    from blockmap.analysis.isolation.network import Network
    from blockmap.analysis.isolation.places import Places
    from blockmap.window.canvas.probed import Ordered

__all__ = ["JOBS", "Jobs"]

JOBS = ("shared", "draw", "short", "work")


class Jobs(QObject):
    """Makes and brings the windows; main is the window they stand beside."""

    def __init__(self, session: Session, selection: Selection, main: QWidget) -> None:
        super().__init__(main)
        self.session, self.selection = session, selection
        self._main = main
        self._circuit = KeptCircuit()
        self._places: tuple[Network, Places] | None = None
        self.windows: dict[str, BesideWindow] = {}
        session.changed.connect(self._follow)

    @property
    def network(self) -> Network:
        """The circuit of the map as it is now."""
        return self._circuit.of(self.session.document)

    @property
    def places(self) -> Places:
        """The names of that circuit."""
        from blockmap.analysis.isolation.places import Places

        network = self.network
        if self._places is None or self._places[0] is not network:
            self._places = network, Places(network, self.session.document)
        return self._places[1]

    def bring(self, name: str) -> Page:
        """Show the window of a job, made when it is first asked for."""
        if name not in self.windows:
            title, make = _MAKERS[name]
            self.windows[name] = BesideWindow(make(self), tr_job(title), self._main)
        self.windows[name].come()
        return self.windows[name].page

    def mark(self, ordered: Ordered) -> None:
        """Mark parts in order on the figure."""
        figure = getattr(self._main, "figure", None)
        if figure is not None:
            figure.set_ordered(ordered)

    def commit(self) -> None:
        """Write what is typed in any of the windows."""
        for window in self.windows.values():
            window.page.commit()

    def stop(self) -> None:
        """Wait for what is being worked out; nothing comes after."""
        for window in self.windows.values():
            window.page.stop()

    def _follow(self, change: Change) -> None:
        del change
        for window in self.windows.values():
            if window.isVisible():
                window.page.refresh()


def _shared(jobs: Jobs) -> Page:
    from blockmap.window.isolating.shared_page import SharedPage

    return SharedPage(jobs)


def _draw(jobs: Jobs) -> Page:
    from blockmap.window.isolating.draw_page import DrawPage

    return DrawPage(jobs)


def _short(jobs: Jobs) -> Page:
    from blockmap.window.isolating.short_page import ShortPage

    return ShortPage(jobs)


def _work(jobs: Jobs) -> Page:
    from blockmap.window.isolating.work_page import WorkPage

    return WorkPage(jobs)


_MAKERS: dict[str, tuple[str, Callable[[Jobs], Page]]] = {
    "shared": ("What works and what is dead", _shared),
    "draw": ("Draw with the key off", _draw),
    "short": ("Short to ground", _short),
    "work": ("Work and odds of the search", _work),
}
