"""Solves the circuit of one state exactly, sound and with one or more faults laid over.

The rings are solved once by nodal analysis. A series resistance R in a part that
carries i then changes every node by U R i / (1 + R y), where U and y are the answer of
nodes and of the part itself to one volt put in series with it: the rank-1 update of
Sherman and Morrison. Two parts together are the closed form of two such updates. An
open part is the limit of R without end. Loads are taken as resistors.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.graph import Rings, closed_with, rings_of
from blockmap.analysis.isolation.network import GROUND, Network, State

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]
    Flags = NDArray[np.bool_]

__all__ = ["Answers", "Changes", "Solved", "solve"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """Faults laid over a network for one solution.

    ``ohms`` replaces resistances, ``closed`` parts that conduct whatever the state,
    ``opened`` parts that do not, ``sources`` volts in series, ``shunts`` ohms from
    a node to ground.
    """

    ohms: Mapping[int, float] = field(default_factory=dict)
    closed: frozenset[int] = frozenset()
    opened: frozenset[int] = frozenset()
    sources: Mapping[int, float] = field(default_factory=dict)
    shunts: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Ring:
    """One ring: its elements, inverse conductances, and where each node hangs on it.

    ``at`` gives the row of each element, ``a``, ``b`` and ``g`` its ends as rows of the
    inverse and its conductance, ``amps`` its current.
    """

    at: dict[int, int]
    a: Whole
    b: Whole
    g: Floats
    amps: Floats
    inverse: Floats
    place: Whole
    """Row of the inverse for each node; the last row and column are nought."""

    def rows(self, elements: Iterable[int]) -> Whole:
        """Return the rows of elements of the ring."""
        import numpy as np

        return np.array([self.at[index] for index in elements], dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Answers:
    """How some readings answer to one volt in series with each of some elements.

    ``change`` is elements by readings; ``amps`` and ``own`` the current of each element
    and its loss by the volt; ``cut`` tells that opening it leaves a probe without
    ground.
    """

    change: Floats
    amps: Floats
    own: Floats
    cut: Flags


class Solved:
    """The volts and amps of a network in one state."""

    def __init__(
        self,
        network: Network,
        state: State,
        changes: Changes,
        walked: dict[bytes, Rings] | None = None,
    ) -> None:
        import numpy as np

        self.network = network
        self.state = state
        count = len(network.elements)
        active = bytearray(b"\x01") * count
        for index in network.switched:
            active[index] = index in changes.closed or network.conducts(index, state)
        for index in (*(state.out - changes.closed), *changes.opened):
            active[index] = 0
        self._changed = changes
        joined: Sequence[Sequence[tuple[int, int]]] = network.joined
        self._shunts: list[tuple[int, float]] = list(changes.shunts.items())
        if self._shunts:
            more = [list(at) for at in joined]
            for number, (node, _) in enumerate(self._shunts):
                more[node].append((count + number, GROUND))
                more[GROUND].append((count + number, node))
                active.append(1)
            joined = more
        self._active = active
        self.rings = self._walk(joined, {} if walked is None else walked)
        self.volts: Floats = np.zeros(network.nodes)
        self.floating: Flags = np.array(self.rings.ring) < 0
        self._ring_of: dict[int, _Ring] = {}
        self._solve_rings()

    def _walk(
        self, joined: Sequence[Sequence[tuple[int, int]]], walked: dict[bytes, Rings]
    ) -> Rings:
        """Return the rings, from those without any load on where these are known.

        ``walked`` keeps them by what else is closed.
        """
        on = [index for index in self.network.controls if self._active[index]]
        without = self._active[:]
        for index in on:
            without[index] = 0
        known = bytes(without)
        base = walked.get(known)
        if base is None:
            base = walked[known] = rings_of(joined, without)
        closed = closed_with(base, map(self._ends, on))
        return rings_of(joined, self._active) if closed is None else closed

    def _ends(self, index: int) -> tuple[int, int]:
        count = len(self.network.elements)
        if index >= count:
            return self._shunts[index - count][0], GROUND
        element = self.network.elements[index]
        return element.a, element.b

    def _g(self, index: int) -> float:
        count = len(self.network.elements)
        if index >= count:
            return 1.0 / max(self._shunts[index - count][1], 1e-9)
        own = self._changed.ohms.get(index)
        return 1.0 / max(
            self.network.elements[index].ohms if own is None else own, 1e-9
        )

    def _emf(self, index: int) -> float:
        if index >= len(self.network.elements):
            return 0.0
        own = self._changed.sources.get(index)
        return self.network.elements[index].volts if own is None else own

    def _solve_rings(self) -> None:
        rings = self.rings
        ring, volts = rings.ring, [0.0] * self.network.nodes
        inner = [node for node in rings.order if ring[node] != node]
        members: dict[int, list[int]] = {}
        for node in (*{ring[node] for node in inner}, *inner):
            for index, other in self.network.joined[node]:
                if self._active[index] and ring[other] == ring[node]:
                    members.setdefault(ring[node], []).append(index)
        count = len(self.network.elements)
        for number, (node, _) in enumerate(self._shunts):
            if ring[node] >= 0 and ring[node] == ring[GROUND]:
                members.setdefault(ring[node], []).append(count + number)
        sources = self._changed.sources.keys() | {1}
        for node in rings.order:
            edge = rings.parent[node]
            if edge in rings.bridges:
                volts[node] = volts[rings.above[node]]
                if edge in sources:
                    _, b = self._ends(edge)
                    volts[node] += self._emf(edge) if b == node else -self._emf(edge)
            if node in members:
                self._solve_ring(node, sorted(set(members[node])), volts)
        self.volts[:] = volts

    def _solve_ring(self, top: int, elements: list[int], volts: list[float]) -> None:
        """Solve one ring against its node nearest to ground."""
        import numpy as np

        rings = self.rings
        span = rings.order[rings.enters[top] : rings.leaves[top]]
        local = {n: k for k, n in enumerate(m for m in span if rings.ring[m] == top)}
        size = len(local) - 1
        a = np.array([local[self._ends(index)[0]] - 1 for index in elements])
        b = np.array([local[self._ends(index)[1]] - 1 for index in elements])
        g = np.array([self._g(index) for index in elements])
        push = g * np.array([self._emf(index) for index in elements])
        matrix = np.zeros((size + 1, size + 1))
        current = np.zeros(size + 1)
        for rows, columns, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
            np.add.at(matrix, (rows, columns), sign * g)
        np.add.at(current, a, -push)
        np.add.at(current, b, push)
        inverse = np.zeros((size + 1, size + 1))
        inverse[:size, :size] = np.linalg.inv(matrix[:size, :size])
        rise = (inverse @ current).tolist()
        place = [size] * self.network.nodes
        base = volts[top]
        for node in span:
            if node in local:
                place[node] = local[node] - 1 if node != top else size
                volts[node] = base + rise[place[node]]
            else:
                place[node] = place[rings.above[node]]
        ends = np.append(rise[:size], 0.0)
        amps = g * (ends[a] - ends[b]) + push
        at = {index: row for row, index in enumerate(elements)}
        ring = _Ring(at, a, b, g, amps, inverse, np.array(place))
        for index in elements:
            self._ring_of[index] = ring

    def amps(self, index: int) -> float:
        """Return the current through an element from its a to its b, in amps."""
        ring = self._ring_of.get(index)
        return 0.0 if ring is None else float(ring.amps[ring.at[index]])

    def reading(self, point: int, against: int = GROUND) -> float:
        """Return what a meter shows between two nodes, in volts.

        Nothing when either has no way to ground: no current drives the meter.
        """
        if self.floating[point] or self.floating[against]:
            return 0.0
        return float(self.volts[point] - self.volts[against])

    def readings(self, points: Whole, against: Whole) -> Floats:
        """Return what a meter shows between many pairs of nodes."""
        import numpy as np

        shown = self.volts[points] - self.volts[against]
        return np.where(self.floating[points] | self.floating[against], 0.0, shown)

    def answers(
        self, elements: Sequence[int], points: Whole, against: Whole
    ) -> Answers:
        """Return how readings answer to faults in series at some elements."""
        import numpy as np

        shape = (len(elements), len(points))
        change, cut = np.zeros(shape), np.zeros(shape, dtype=bool)
        amps, own = np.zeros(len(elements)), np.zeros(len(elements))
        rings = self.rings
        enters = np.array(rings.enters)
        grouped: dict[int, tuple[_Ring, list[int]]] = {}
        bare: list[int] = []
        beyond: list[int] = []
        for row, index in enumerate(elements):
            ring = self._ring_of.get(index)
            if ring is not None:
                grouped.setdefault(id(ring), (ring, []))[1].append(row)
            elif index in rings.bridges:
                bare.append(row)
                beyond.append(rings.bridges[index])
        first = np.array([rings.enters[node] for node in beyond])[:, None]
        last = np.array([rings.leaves[node] for node in beyond])[:, None]
        for nodes in (points, against) if bare else ():
            cut[bare] |= (enters[nodes] >= first) & (enters[nodes] < last)
        for ring, rows in grouped.values():
            inside = ring.rows(elements[row] for row in rows)
            a, b, g = ring.a[inside], ring.b[inside], ring.g[inside]
            amps[rows] = ring.amps[inside]
            push = g[:, None] * (ring.inverse[a] - ring.inverse[b])
            change[rows] = push[:, ring.place[points]] - push[:, ring.place[against]]
            span = np.arange(len(rows))
            own[rows] = g * (1.0 - (push[span, a] - push[span, b]))
        floats = self.floating[points] | self.floating[against]
        change[:, floats] = 0.0
        return Answers(change, amps, np.maximum(own, 0.0), cut)

    def coupling(self, first: Whole, second: Whole) -> Floats:
        """Return the amps that each first element loses by a volt at each second.

        Row by row; nought between elements of different rings and for bare ends.
        """
        import numpy as np

        found = np.zeros(len(first))
        grouped: dict[int, tuple[_Ring, list[int]]] = {}
        for row, (here, there) in enumerate(zip(first, second, strict=True)):
            ring = self._ring_of.get(int(here))
            if ring is not None and ring is self._ring_of.get(int(there)):
                grouped.setdefault(id(ring), (ring, []))[1].append(row)
        for ring, rows in grouped.values():
            one, other = (ring.rows(each[rows].tolist()) for each in (first, second))
            a1, b1, g1 = ring.a[one], ring.b[one], ring.g[one]
            a2, b2, g2 = ring.a[other], ring.b[other], ring.g[other]
            z = ring.inverse
            found[rows] = -g1 * g2 * (z[a1, a2] - z[a1, b2] - z[b1, a2] + z[b1, b2])
        return found


def solve(
    network: Network,
    state: State,
    changes: Changes | None = None,
    walked: dict[bytes, Rings] | None = None,
) -> Solved:
    """Return the solution of a network in a state, with faults laid over it.

    ``walked`` saves walking the network anew for each load that is on.
    """
    return Solved(network, state, changes or Changes(), walked)
