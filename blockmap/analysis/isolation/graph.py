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
    ring = [-1] * nodes
    for node in order:
        edge = parent[node]
        ring[node] = node if edge < 0 or edge in bridges else ring[above[node]]
    return Rings(ring, order, parent, above, enters, leaves, bridges)
