"""Describes the feed network of a map as a direct current circuit.

Elements have two ends, the nearer one to the supply first. Node 0 is ground: the body
of the car. The network is a picture of a sound car; faults are laid over it and never
change it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.isolation.spoken import load_said
from blockmap.model.document import Condition
from blockmap.model.ids import CavityId
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES

__all__ = [
    "GROUND",
    "PROTECTORS",
    "Element",
    "LoadPlace",
    "Network",
    "Point",
    "State",
]

GROUND = 0
PROTECTORS = ("fuse", "breaker", "link")


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One part that carries current, from node a to node b, in ohms when sound.

    ``live`` holds the key and switch states in which a switch is closed, None for a
    part that always conducts. ``load`` names the load that a control works. ``said``
    is what a person is told it is called, where that is not its name.
    """

    name: str
    kind: str
    a: int
    b: int
    ohms: float
    volts: float = 0.0
    live: frozenset[str] | None = None
    load: str = ""
    cavity: CavityId = ""
    contact: str = ""
    condition: Condition | None = None
    odds: float = 1.0
    said: str = ""

    @property
    def words(self) -> str:
        """What a person is told it is called."""
        return self.said or self.name


class Point(NamedTuple):
    """A place for the probe: its name, node, how it is reached, cavity and contact.

    ``said`` is what a person is told it is called, where that is not its name.
    """

    name: str
    node: int
    access: str
    cavity: CavityId = ""
    contact: str = ""
    off_limits: bool = False
    said: str = ""

    @property
    def words(self) -> str:
        """What a person is told it is called."""
        return self.said or self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadPlace:
    """One consumer: its elements and nodes.

    ``with_feed`` tells that it runs as soon as its feed is live, without a switch of
    its own, as lamps do.
    """

    name: str
    cavity: CavityId
    control: int
    element: int
    plus: int
    minus: int
    with_feed: bool


class State(NamedTuple):
    """What is switched: key and switch words, loads on, and elements taken out."""

    words: frozenset[str] = frozenset()
    on: frozenset[str] = frozenset()
    out: frozenset[int] = frozenset()

    def text(self) -> str:
        """Return the state in words, such as 'RUN, blower on'."""
        loads = [f"{load_said(name)} on" for name in sorted(self.on)]
        parts = [*sorted(self.words), *loads]
        return ", ".join(parts) or "everything off"


_LEAST = {word: n for n, word in enumerate((*KEY_STATES, *SWITCH_STATES))}


def _least(word: str) -> tuple[int, str]:
    """Return how much a key or switch word switches on; a map's own words are most."""
    return _LEAST.get(word, len(_LEAST)), word


@dataclass(frozen=True, kw_only=True)
class Network:
    """The circuit of a map.

    ``above`` gives for each node the element that leads to it from the supply, or -1.
    """

    elements: tuple[Element, ...]
    nodes: int
    points: Mapping[str, Point]
    loads: Mapping[str, LoadPlace]
    volts: float
    notes: tuple[str, ...] = ()
    assumed: Assumptions = field(default_factory=Assumptions)
    above: tuple[int, ...] = ()
    by_name: Mapping[str, int] = field(default_factory=dict)

    def conducts(self, index: int, state: State) -> bool:
        """Tell whether a sound element passes current in a state."""
        if index in state.out:
            return False
        element = self.elements[index]
        if element.load and element.load not in state.on:
            return False
        return (
            element.live is None
            or "ALWAYS" in element.live
            or bool(element.live & state.words)
        )

    def words_of(self, text: str, *, probed: bool = True) -> str:
        """Return what a person is told a point or part is called, by its name.

        The text itself where nothing has that name. A load is called by its own name
        unless it is ``probed``: then its plug is meant.
        """
        if text in self.loads and not probed:
            return load_said(text)
        if text in self.points:
            return self.points[text].words
        index = self.by_name.get(text)
        return text if index is None else self.elements[index].words

    def way_up(self, node: int) -> Iterable[int]:
        """Yield the elements from a node up to the battery, nearest first."""
        seen = set()
        while node != GROUND and self.above[node] >= 0 and node not in seen:
            seen.add(node)
            index = self.above[node]
            yield index
            element = self.elements[index]
            node = element.a if element.b == node else element.b

    def between(self, one: int, other: int) -> frozenset[int]:
        """Return the elements between two nodes on one way from the supply.

        Empty when neither feeds the other.
        """
        for upper, lower in ((one, other), (other, one)):
            passed: list[int] = []
            for index in self.way_up(lower):
                passed.append(index)
                if upper in (self.elements[index].a, self.elements[index].b):
                    return frozenset(passed)
        return frozenset()

    def protector(self, index: int) -> int:
        """Return the element that opens when this one touches ground.

        The nearest fuse, breaker or link above it, else the uppermost wire, which
        burns open; the element itself when nothing is above.
        """
        return self._protectors[index]

    @cached_property
    def _protectors(self) -> tuple[int, ...]:
        return tuple(self._protector(index) for index in range(len(self.elements)))

    def _protector(self, index: int) -> int:
        last = index
        for upper in self.way_up(self.elements[index].a):
            if self.elements[upper].kind in PROTECTORS:
                return upper
            if self.elements[upper].kind in ("supply wire", "wire", "jumper"):
                last = upper
        return last

    def states_of(self, node: int, first: str = "RUN") -> frozenset[str]:
        """Return key and switch words in which a node should be live.

        ``first`` is taken where it will do, else the least: ACC before RUN, PARK
        before HEAD LOW.
        """
        switches = [
            element.live
            for element in (self.elements[index] for index in self.way_up(node))
            if element.live is not None and "ALWAYS" not in element.live
        ]
        if not switches:
            return frozenset(("OFF",))
        for word in (first, *sorted(switches[0], key=_least)):
            if all(word in live for live in switches):
                return frozenset((word,))
        return frozenset(min(live, key=_least) for live in switches if live)

    def below(self, index: int) -> frozenset[int]:
        """Return the elements fed through an element, itself left out."""
        found: set[int] = set()
        waiting = [self.elements[index].b]
        seen = {self.elements[index].a, GROUND}
        while waiting:
            node = waiting.pop()
            if node in seen:
                continue
            seen.add(node)
            for lower in self.starting.get(node, ()):
                if lower != index:
                    found.add(lower)
                    waiting.append(self.elements[lower].b)
        return frozenset(found)

    @cached_property
    def starting(self) -> Mapping[int, tuple[int, ...]]:
        """The elements that begin at each node."""
        starts: dict[int, list[int]] = {}
        for index, element in enumerate(self.elements):
            starts.setdefault(element.a, []).append(index)
        return {node: tuple(found) for node, found in starts.items()}

    @cached_property
    def joined(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """For each node the elements that end there, with their other node."""
        at: list[list[tuple[int, int]]] = [[] for _ in range(self.nodes)]
        for index, element in enumerate(self.elements):
            if element.a != element.b:
                at[element.a].append((index, element.b))
                at[element.b].append((index, element.a))
        return tuple(tuple(found) for found in at)

    @cached_property
    def switched(self) -> tuple[int, ...]:
        """The elements that conduct in some states only."""
        return tuple(
            index
            for index, element in enumerate(self.elements)
            if element.load or element.live is not None
        )

    @cached_property
    def controls(self) -> tuple[int, ...]:
        """The elements that are closed only while their load is on."""
        return tuple(k for k, each in enumerate(self.elements) if each.load)

    @cached_property
    def load_nodes(self) -> frozenset[int]:
        """The nodes at which a load has its plug."""
        return frozenset(at.plus for at in self.loads.values())

    @cached_property
    def load_of(self) -> Mapping[int, LoadPlace]:
        """The loads by the element that draws their current."""
        return {at.element: at for at in self.loads.values()}

    @cached_property
    def points_at(self) -> Mapping[int, tuple[Point, ...]]:
        """The points by their node."""
        found: dict[int, list[Point]] = {}
        for point in self.points.values():
            found.setdefault(point.node, []).append(point)
        return {node: tuple(points) for node, points in found.items()}

    def loads_below(self, index: int) -> tuple[LoadPlace, ...]:
        """Return the loads whose current passes an element."""
        element = self.elements[index]
        if element.kind == "ground":
            return tuple(at for at in self.loads.values() if at.minus == element.a)
        if element.kind == "battery ground":
            return tuple(self.loads.values())
        lower = self.below(index) | {index}
        return tuple(at for at in self.loads.values() if at.element in lower)
