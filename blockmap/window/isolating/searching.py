"""Works out suspects and next reading off the window's thread, the latest map winning.

A search whose map is no longer current is stopped where it is. It changes nothing.
"""

from __future__ import annotations

import contextlib
from operator import is_
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from blockmap.model.document import Map
from blockmap.window.guard import guarded, report_exception
from blockmap.window.session import Session
from blockmap.window.worker import Worker

if TYPE_CHECKING:
    from blockmap.analysis.isolation.isolate import Isolation
    from blockmap.analysis.isolation.network import Network
    from blockmap.analysis.isolation.tables import Circuits

__all__ = ["KeptCircuit", "Searcher"]

WAIT_MS = 40
"""Edits within so long are answered once."""
SLOW_MS = 500
"""A search that takes longer is said to be going on."""
MOST_SOLVED = 500
"""So many solutions of one circuit are kept at most, some 20 kB each."""


class KeptCircuit:
    """The circuit of the last map, kept while only readings change; for one thread."""

    def __init__(self) -> None:
        self._parts: tuple[object, ...] = ()
        self._network: Network | None = None

    def of(self, document: Map) -> Network:
        """Return the circuit of a map."""
        from blockmap.analysis.isolation.build import network_of

        parts = (
            document.car,
            document.blocks,
            document.cavities,
            document.strips,
            document.work,
            document.odds,
        )
        same = len(self._parts) == len(parts) and all(map(is_, self._parts, parts))
        if self._network is None or not same:
            self._network = network_of(document)
            self._parts = parts
        return self._network


class _Search:
    def __init__(self, searcher: Searcher, ticket: int, document: Map) -> None:
        self._searcher, self._ticket, self._document = searcher, ticket, document

    @guarded()
    def run(self) -> None:
        # Imported here, by the worker, so that the first frame need not wait.
        from blockmap.analysis.isolation.isolate import isolate
        from blockmap.analysis.isolation.weighing import Stopped

        searcher, ticket = self._searcher, self._ticket
        answer: Isolation | None = None

        def stale() -> bool:
            return searcher.ticket != ticket

        try:
            circuits = searcher.circuits_for(self._document)
            answer = isolate(self._document, circuits=circuits, stop=stale)
        except Stopped:
            return
        except Exception as problem:
            report_exception("fault isolation", problem)
        with contextlib.suppress(RuntimeError):  # the window is gone meanwhile
            searcher.worked_out.emit(ticket, answer)


class Searcher(QObject):
    """Keeps suspects and next reading up to date with the map.

    found carries an Isolation, or None when the search failed inside the program.
    working_long tells whether a search has been going on for half a second.
    """

    worked_out = Signal(int, object)
    found = Signal(object)
    working_long = Signal(bool)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.ticket = 0
        self.latest: Isolation | None = None
        self._circuit = KeptCircuit()
        self._circuits: Circuits | None = None
        self._worker = Worker(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self._start)
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(SLOW_MS)
        self._slow.timeout.connect(lambda: self.working_long.emit(True))
        self.worked_out.connect(self._take)

    def request(self) -> None:
        """Search again soon; a search under way is given up."""
        self.ticket += 1
        self._timer.start()
        if not self._slow.isActive():
            self._slow.start()

    def stop(self) -> None:
        """Give up and wait for the worker; nothing comes after."""
        self.ticket += 1
        self._timer.stop()
        self._slow.stop()
        self._worker.clear()
        self._worker.wait(5000)

    def circuits_for(self, document: Map) -> Circuits:
        """Return the circuit of a map, with what of it is solved already.

        Called by the one worker.
        """
        from blockmap.analysis.isolation.tables import Circuits

        network, known = self._circuit.of(document), self._circuits
        if known is None or known.network is not network or known.kept > MOST_SOLVED:
            known = self._circuits = Circuits(network)
        return known

    def _start(self) -> None:
        self._worker.clear()
        self._worker.start(_Search(self, self.ticket, self._session.document).run)

    def _take(self, ticket: int, answer: Isolation | None) -> None:
        if ticket != self.ticket:
            return
        self._slow.stop()
        self.working_long.emit(False)
        self.latest = answer
        self.found.emit(answer)
