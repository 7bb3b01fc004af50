"""Parts the circuit of one state into rings, where current can flow, and bare ends.

A part whose removal cuts the circuit in two carries no current: everything beyond it
has its volts, and what is cut off from ground reads nothing on a meter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.analysis.isolation.network import GROUND

__all__ = ["Rings", "rings_of"]


@dataclass(frozen=True, slots=True)
class Rings:
    """The parting of a graph, walked in depth from ground.

    ``ring`` gives the ring of each node, ``order`` the nodes as walked, ``parent``
    the edge by which each was reached, ``enters`` and ``leaves`` its span in the walk.
    ``bridges`` maps an edge to the node beyond it. Nodes without a way to ground have
    no ring: -1.
    """

    ring: list[int]
    order: list[int]
    parent: list[int]
    enters: list[int]
    leaves: list[int]
    bridges: dict[int, int]


def rings_of(nodes: int, edges: Sequence[tuple[int, int, int]]) -> Rings:
    """Return the rings of a graph whose edges are (index, end, end)."""
    at: list[list[tuple[int, int]]] = [[] for _ in range(nodes)]
    for index, a, b in edges:
        if a != b:
            at[a].append((index, b))
            at[b].append((index, a))
    enters, low = [-1] * nodes, [0] * nodes
    leaves, parent = [-1] * nodes, [-1] * nodes
    order = [GROUND]
    enters[GROUND] = low[GROUND] = 0
    stack = [(GROUND, iter(at[GROUND]))]
    bridges: dict[int, int] = {}
    while stack:
        node, ways = stack[-1]
        for index, other in ways:
            if index == parent[node]:
                continue
            if enters[other] >= 0:
                low[node] = min(low[node], enters[other])
                continue
            parent[other] = index
            enters[other] = low[other] = len(order)
            order.append(other)
            stack.append((other, iter(at[other])))
            break
        else:
            stack.pop()
            leaves[node] = len(order)
            if stack:
                upper = stack[-1][0]
                low[upper] = min(low[upper], low[node])
                if low[node] > enters[upper]:
                    bridges[parent[node]] = node
    ring = [-1] * nodes
    ends = {index: (a, b) for index, a, b in edges}
    for node in order:
        edge = parent[node]
        if edge < 0 or edge in bridges:
            ring[node] = node
        else:
            a, b = ends[edge]
            ring[node] = ring[a if b == node else b]
    return Rings(ring, order, parent, enters, leaves, bridges)
