"""Tells by logic alone which open parts explain what works and what is dead.

It asks only whether a way to the supply is left, not how good it is, and answers at
once: singles from the parts that every way needs, pairs by taking each part of a ring
away once. Sets of parts are bits of whole numbers. What resistance decides is left to
the circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from blockmap.analysis.isolation.graph import rings_of
from blockmap.analysis.isolation.network import GROUND, Network, State
from blockmap.analysis.isolation.observations import Observation

__all__ = ["Possible", "Shared", "Tick", "possible", "shared_elements", "ticks"]

_MOST_NAMED = 3
"""Most things named in one sentence."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One plain fact: these nodes together had supply and ground, or had not.

    ``needs`` are elements that must conduct besides, such as the load itself;
    ``name`` is what was looked at, in words.
    """

    state: State
    nodes: tuple[int, ...]
    alive: bool
    needs: int = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Possible:
    """The open parts that explain every tick: alone, and two together."""

    singles: frozenset[int]
    pairs: frozenset[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Shared:
    """One part on the way to what is dead, and how it stands.

    ``word`` is suspect when all that is dead needs it and nothing that works does,
    cleared when something that works needs it, else open. ``why`` is one sentence.
    """

    element: int
    word: str
    why: str = ""


def ticks(network: Network, observed: Iterable[Observation]) -> tuple[Tick, ...]:
    """Return the plain facts among observations; dim counts as dead.

    A point on the ground side of a load has no supply when all is sound: its volts
    tell nothing here.
    """
    found = []
    grounded = {place.minus for place in network.loads.values()} | {GROUND}
    by_plus = {place.plus: place for place in network.loads.values()}
    for each in observed:
        if each.kind == "load":
            needs = 0
            place = by_plus.get(each.point)
            if place is not None:
                needs = 1 << place.element
            nodes = (each.point, each.against)
            name = each.contacts[0] or each.text
            found.append(Tick(each.state, nodes, each.seen == "live", needs, name))
        elif each.kind == "lamp" and each.seen != "dim":
            alive = each.seen == "live"
            found.append(Tick(each.state, (each.point,), alive, name=each.text))
        elif each.kind == "volts" and each.against == GROUND:
            if each.point in grounded:
                continue
            share = each.value / network.volts
            if share > 0.9 or share < 0.1:
                alive = share > 0.5
                found.append(Tick(each.state, (each.point,), alive, name=each.text))
    return tuple(found)


class _Cuts:
    """The parts that each node cannot do without, state by state."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._known: dict[tuple[State, int], tuple[list[int], int]] = {}

    def of(self, tick: Tick, without: int = -1) -> int:
        """Return the bits of what a tick needs; all bits when it is dead anyhow."""
        cuts, _ = self._cuts(tick.state, without)
        needs = tick.needs
        if without >= 0 and needs >> without & 1:
            return -1
        for node in tick.nodes:
            if cuts[node] < 0:
                return -1
            needs |= cuts[node]
        return needs

    def ring(self, tick: Tick) -> int:
        """Return the bits of the parts that lie on one of several ways."""
        return self._cuts(tick.state, -1)[1]

    def _cuts(self, state: State, without: int) -> tuple[list[int], int]:
        found = self._known.get((state, without))
        if found is not None:
            return found
        network = self.network
        active = bytearray(len(network.elements))
        for index, element in enumerate(network.elements):
            active[index] = element.kind != "load" and network.conducts(index, state)
        if without >= 0:
            active[without] = 0
        rings = rings_of(network.joined, active)
        cuts = [-1] * network.nodes
        for node in rings.order:
            edge = rings.parent[node]
            if edge < 0:
                cuts[node] = 0
                continue
            cuts[node] = cuts[rings.above[node]]
            if edge in rings.bridges:
                cuts[node] |= 1 << edge
        ring = 0
        for index, element in enumerate(network.elements):
            whole = active[index] and index not in rings.bridges
            if whole and rings.ring[element.a] >= 0:
                ring |= 1 << index
        self._known[state, without] = (cuts, ring)
        return self._known[state, without]


def possible(network: Network, facts: Sequence[Tick]) -> Possible:
    """Return the parts that, open alone or in pairs, explain every fact.

    A fact that holds of the sound car needs no explaining; one that is dead in the
    sound car is explained by anything.
    """
    cuts = _Cuts(network)
    dead = [tick for tick in facts if not tick.alive]
    alive = [tick for tick in facts if tick.alive]
    every = (1 << len(network.elements)) - 1
    if any(cuts.of(tick) < 0 for tick in alive):
        return Possible(frozenset(), frozenset())
    innocent = 0
    for tick in alive:
        innocent |= cuts.of(tick)
    needed = [cuts.of(tick) for tick in dead]
    single = every & ~innocent
    for needs in needed:
        single &= needs
    pairs: set[tuple[int, int]] = set()
    ring = 0
    for tick in facts:
        ring |= cuts.ring(tick)
    for first in _bits(every & ~innocent):
        rest = every & ~innocent & ~(1 << first)
        on_ring = ring >> first & 1
        for tick in alive if on_ring else ():
            rest &= ~cuts.of(tick, first)
        for tick, needs in zip(dead, needed, strict=True):
            if needs >> first & 1:
                continue
            rest &= cuts.of(tick, first) if on_ring else needs
            if not rest:
                break
        pairs.update((min(first, o), max(first, o)) for o in _bits(rest))
    return Possible(frozenset(_bits(single)), frozenset(pairs))


def shared_elements(network: Network, facts: Sequence[Tick]) -> tuple[Shared, ...]:
    """Return every part on the way to what is dead, from the supply on, with its word.

    Those that all dead things share and nothing that works needs are the suspects.
    """
    cuts = _Cuts(network)
    alive = [(t.name, cuts.of(t)) for t in facts if t.alive and cuts.of(t) >= 0]
    dead = [(t.name, cuts.of(t)) for t in facts if not t.alive and cuts.of(t) >= 0]
    any_of = 0
    for _, needs in dead:
        any_of |= needs
    found = []
    for index in sorted(_bits(any_of), key=lambda each: _depth(network, each)):
        works = [name for name, needs in alive if needs >> index & 1]
        lost = [name for name, needs in dead if needs >> index & 1]
        spared = [name for name, needs in dead if not needs >> index & 1]
        word = "cleared" if works else "open" if spared else "suspect"
        found.append(Shared(index, word, _why(works, lost, spared)))
    return tuple(found)


def _why(works: list[str], lost: list[str], spared: list[str]) -> str:
    """Return why a part stands as it does: what hangs on it, and what does not."""
    if works:
        return f"on the way to {_named(works)} too, seen working"
    if spared:
        return (
            f"on the way to {_named(lost)}, but not to {_named(spared)}, dead as well"
        )
    return f"on the way to {_named(lost)}, and to nothing that works"


def _named(names: list[str]) -> str:
    each = list(dict.fromkeys(names))
    if len(each) > _MOST_NAMED:
        shown = each[: _MOST_NAMED - 1]
        return f"{', '.join(shown)} and {len(each) - len(shown)} more"
    return " and ".join((", ".join(each[:-1]), each[-1])) if each[1:] else each[0]


def _depth(network: Network, index: int) -> int:
    """Return how many parts lie between the battery and a part; grounds come last."""
    element = network.elements[index]
    if element.kind == "battery ground":
        return -1
    if element.kind == "ground" or element.a <= GROUND:
        return len(network.elements)
    return sum(1 for _ in network.way_up(element.a))


def _bits(bits: int) -> list[int]:
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found
