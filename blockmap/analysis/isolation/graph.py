"""Parts the circuit of one state into rings, where current can flow, and bare ends.

A part whose removal cuts the circuit in two carries no current: everything beyond it
has its volts, and what is cut off from ground reads nothing on a meter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from blockmap.analysis.isolation.network import GROUND

__all__ = ["Rings", "closed_with", "rings_of"]


@dataclass(frozen=True, slots=True)
class Rings:
    """The parting of a graph, walked in depth from ground.

    ``ring`` gives the ring of each node, ``order`` the nodes as walked, ``parent``
    the edge and ``above`` the node by which each was reached, ``enters`` and ``leaves``
    its span in the walk.
    ``bridges`` maps an edge to the node beyond it. Nodes without a way to ground have
    no ring: -1.
    """

    ring: list[int]
    order: list[int]
    parent: list[int]
    above: list[int]
    enters: list[int]
    leaves: list[int]
    bridges: dict[int, int]


def rings_of(
    joined: Sequence[Sequence[tuple[int, int]]], active: Sequence[int] | bytearray
) -> Rings:
    """Return the rings of a graph: the edges at each node with their other node.

    Edges whose number is not active are left out.
    """
    nodes = len(joined)
    enters, low = [-1] * nodes, [0] * nodes
    leaves, parent, above = [-1] * nodes, [-1] * nodes, [-1] * nodes
    order = [GROUND]
    enters[GROUND] = 0
    stack = [(GROUND, -1, iter(joined[GROUND]))]
    bridges: dict[int, int] = {}
    while stack:
        node, came, ways = stack[-1]
        for index, other in ways:
            if index == came or not active[index]:
                continue
            entered = enters[other]
            if entered >= 0:
                if entered < low[node]:
                    low[node] = entered
                continue
            parent[other], above[other] = index, node
            enters[other] = low[other] = len(order)
            order.append(other)
            stack.append((other, index, iter(joined[other])))
            break
        else:
            stack.pop()
            leaves[node] = len(order)
            if stack:
                upper = stack[-1][0]
                if low[node] < low[upper]:
                    low[upper] = low[node]
                if low[node] > enters[upper]:
                    bridges[came] = node
    ring = _ring(order, parent, above, bridges)
    return Rings(ring, order, parent, above, enters, leaves, bridges)


def closed_with(base: Rings, ways: Iterable[tuple[int, int]]) -> Rings | None:
    """Return the rings once more edges are closed, each given by its two nodes.

    None when one of them leads where the base has no way to ground: then the graph is
    to be walked anew.
    """
    enters, above, parent = base.enters, base.above, base.parent
    bridges = dict(base.bridges)
    for one, other in ways:
        if enters[one] < 0 or enters[other] < 0:
            return None
        while one != other:  # up the walk until both ways meet: they are one ring
            if enters[one] < enters[other]:
                one, other = other, one
            bridges.pop(parent[one], None)
            one = above[one]
    return replace(
        base, ring=_ring(base.order, parent, above, bridges), bridges=bridges
    )


def _ring(
    order: list[int], parent: list[int], above: list[int], bridges: dict[int, int]
) -> list[int]:
    ring = [-1] * len(parent)
    for node in order:
        edge = parent[node]
        ring[node] = node if edge < 0 or edge in bridges else ring[above[node]]
    return ring
