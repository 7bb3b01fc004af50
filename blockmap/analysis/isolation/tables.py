"""Predicts readings under many faults at once.

A sample is one fault with its size: a resistance in series with one part, or with two
parts together, or everything sound. Open parts are a resistance without end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.graph import Rings
from blockmap.analysis.isolation.network import Network, State
from blockmap.analysis.isolation.solve import Answers, Changes, Solved, solve

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]

__all__ = ["OPEN_OHM", "Circuits", "Probe", "Table"]

OPEN_OHM = 1e7
"""Ohms of an open part: as a meter's own resistance, far above any load."""


@dataclass(frozen=True, slots=True)
class Probe:
    """One reading that may be taken: a state and the two nodes of the meter."""

    state: State
    point: int
    against: int = 0


class Circuits:
    """The solutions of one network, each state solved once."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._solved: dict[tuple[State, object], Solved] = {}
        self._walked: dict[bytes, Rings] = {}

    @property
    def kept(self) -> int:
        """How many solutions are kept."""
        return len(self._solved)

    def at(self, state: State) -> Solved:
        """Return the sound circuit in a state."""
        return self.changed(state, None, Changes())

    def changed(self, state: State, name: object, changes: Changes) -> Solved:
        """Return the circuit in a state with faults laid over it, kept by a name."""
        found = self._solved.get((state, name))
        if found is None:
            found = solve(self.network, state, changes, self._walked)
            self._solved[state, name] = found
        return found


class Table:
    """The answers of some probes to a fault in any of some elements."""

    def __init__(
        self,
        circuits: Circuits,
        probes: Sequence[Probe],
        elements: Sequence[int] | None = None,
    ) -> None:
        import numpy as np

        self.circuits = circuits
        self.probes = tuple(probes)
        count = len(circuits.network.elements)
        self.elements = tuple(range(count)) if elements is None else tuple(elements)
        self.row = np.full(count + 1, -1, dtype=np.int64)
        self.row[list(self.elements)] = np.arange(len(self.elements))
        shape = (len(self.elements), len(self.probes))
        self.sound: Floats = np.zeros(len(self.probes))
        self.change: Floats = np.zeros(shape)
        self.cut = np.zeros(shape, dtype=bool)
        self.state_of: Whole = np.zeros(len(self.probes), dtype=np.int64)
        self.states: list[State] = []
        by_state: dict[State, list[int]] = {}
        for column, probe in enumerate(self.probes):
            by_state.setdefault(probe.state, []).append(column)
        amps, own = [], []
        for state, columns in by_state.items():
            points = np.array([self.probes[c].point for c in columns])
            against = np.array([self.probes[c].against for c in columns])
            solved = circuits.at(state)
            answers: Answers = solved.answers(self.elements, points, against)
            self.sound[columns] = solved.readings(points, against)
            self.change[:, columns] = answers.change
            self.cut[:, columns] = answers.cut
            self.state_of[columns] = len(self.states)
            self.states.append(state)
            amps.append(answers.amps)
            own.append(answers.own)
        none = np.zeros((len(self.elements), 0))
        self.amps: Floats = np.stack(amps, axis=1) if amps else none
        self.own: Floats = np.stack(own, axis=1) if own else none

    def one(self, elements: Whole, ohms: Floats) -> Floats:
        """Return the readings with a resistance in series at one element a row."""
        import numpy as np

        rows = self.row[elements]
        amps, own = self.amps[rows], self.own[rows]
        lost = ohms[:, None] * amps / (1.0 + ohms[:, None] * own)
        shown = self.sound + self.change[rows] * lost[:, self.state_of]
        is_open = (ohms >= OPEN_OHM)[:, None]
        return np.where(is_open & self.cut[rows], 0.0, shown)

    def two(self, first: Whole, ohms1: Floats, second: Whole, ohms2: Floats) -> Floats:
        """Return the readings with resistances at two different elements a row."""
        import numpy as np

        one, other = self.row[first], self.row[second]
        cross = np.stack([self._cross(s, first, second) for s in self.states], axis=1)
        r1, r2 = ohms1[:, None], _under(ohms2)[:, None]
        a1, a2 = self.amps[one], self.amps[other]
        d1, d2 = 1.0 + r1 * self.own[one], 1.0 + r2 * self.own[other]
        det = np.maximum(d1 * d2 - r1 * r2 * cross * cross, 1e-12)
        lost1 = r1 * (d2 * a1 - r2 * cross * a2) / det
        lost2 = r2 * (d1 * a2 - r1 * cross * a1) / det
        at = self.state_of
        shown = self.sound + self.change[one] * lost1[:, at]
        shown = shown + self.change[other] * lost2[:, at]
        dead = (ohms1 >= OPEN_OHM)[:, None] & self.cut[one]
        dead |= (ohms2 >= OPEN_OHM)[:, None] & self.cut[other]
        return np.where(dead, 0.0, shown)

    def _cross(self, state: State, first: Whole, second: Whole) -> Floats:
        import numpy as np

        count = len(self.circuits.network.elements)
        keys, back = np.unique(first * count + second, return_inverse=True)
        return self.circuits.at(state).coupling(keys // count, keys % count)[back]


def _under(ohms: Floats) -> Floats:
    """Keep the second of two opens well under the first, so that it stays exact."""
    import numpy as np

    return np.minimum(ohms, OPEN_OHM / 100)
