"""Finds who feeds whom in a map: supplies, strips, jumpers, fuses, wires.

Follows what the map says and nothing else. A map that feeds in a circle is walked
once round and no further. Coils of relays are no path for the current of a load.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from blockmap.model.document import Cavity, Map, Strip
from blockmap.model.ids import BlockId, CavityId, ContactRef, read_contact

__all__ = ["PROTECTS", "Feed", "FeedTree", "Node", "contact_node", "feed_tree"]

PROTECTS = ("fuse", "breaker", "link")
"""Kinds of cavity that open on overload."""


class Node(NamedTuple):
    """One place current passes: a 'contact', a 'strip' or a 'supply' by its name.

    A contact is named 'block/key.contact', a strip by its id, a supply in words.
    """

    kind: str
    name: str


class Feed(NamedTuple):
    """One step of the current, and by what: strip, jumper, wire, supply or through."""

    source: Node
    target: Node
    by: str


_Part = tuple[Strip | Cavity, dict[tuple[Node, Node], str]]
"""A record of the map with the steps that follow from it."""


def contact_node(cavity: CavityId, contact: str) -> Node:
    """Return the node of a cavity's contact."""
    return Node("contact", f"{cavity}.{contact}")


@dataclass(frozen=True, slots=True)
class FeedTree:
    """Who feeds whom. ``fed`` and ``feeders`` hold the steps out of and into a node."""

    fed: Mapping[Node, tuple[Feed, ...]]
    feeders: Mapping[Node, tuple[Feed, ...]]
    kinds: Mapping[CavityId, str]
    _parts: Mapping[str, _Part] = field(default_factory=dict, repr=False)
    _nodes: dict[Node, tuple[Node, ...]] = field(default_factory=dict, repr=False)
    _below: dict[Node, tuple[CavityId, ...]] = field(default_factory=dict, repr=False)

    @property
    def supplies(self) -> tuple[Node, ...]:
        """The strips, supplies and contacts that feed others and are fed by none."""
        return tuple(node for node in self.fed if node not in self.feeders)

    def nodes_below(self, node: Node) -> tuple[Node, ...]:
        """Return the node and every node it feeds, near ones first, each once."""
        found = self._nodes.get(node)
        if found is None:
            reached = {node: None}
            waiting = [node]
            for current in waiting:
                for feed in self.fed.get(current, ()):
                    if feed.target not in reached:
                        reached[feed.target] = None
                        waiting.append(feed.target)
            found = self._nodes[node] = tuple(reached)
        return found

    def below(self, node: Node) -> tuple[CavityId, ...]:
        """Return the cavities a node feeds, near ones first, each once.

        A contact's own cavity stands first.
        """
        found = self._below.get(node)
        if found is None:
            found = tuple(
                dict.fromkeys(
                    _cavity_of(reached.name)
                    for reached in self.nodes_below(node)
                    if reached.kind == "contact" and not self._is_coil(reached.name)
                )
            )
            self._below[node] = found
        return found

    def _is_coil(self, contact: str) -> bool:
        return contact.endswith(_COIL) and self.kinds.get(_cavity_of(contact)) == (
            "relay"
        )

    def guarded(self, node: Node) -> Iterator[Node]:
        """Yield what a fuse guards beyond a node, up to the next fuse's contact."""
        seen = {node}
        waiting = [node]
        for current in waiting:
            yield current
            for feed in self.fed.get(current, ()):
                past_fuse = feed.by == "through" and (
                    self.kinds.get(_cavity_of(current.name)) in PROTECTS
                )
                if feed.target not in seen and not past_fuse:
                    seen.add(feed.target)
                    waiting.append(feed.target)

    def above(self, node: Node) -> Iterator[Feed]:
        """Yield the steps that lead to a node, nearest first up to its supplies."""
        seen = {node}
        waiting = [node]
        for current in waiting:
            for feed in self.feeders.get(current, ()):
                if feed.source not in seen:
                    seen.add(feed.source)
                    waiting.append(feed.source)
                    yield feed

    def protector(self, node: Node) -> CavityId | None:
        """Return the nearest fuse, breaker or link above a node; None when unfused.

        The load contact of a fuse is protected by that fuse.
        """
        for feed in self.above(node):
            if feed.by != "through":
                continue
            cavity = _cavity_of(feed.source.name)
            if self.kinds.get(cavity) in PROTECTS:
                return cavity
        return None

    @property
    def circles(self) -> tuple[Node, ...]:
        """The nodes that feed themselves in a circle, in the order of the map."""
        return tuple(
            node
            for node in self.fed
            if any(feed.source == node for feed in self._leading_back(node))
        )

    def _leading_back(self, node: Node) -> Iterator[Feed]:
        seen: set[Node] = set()
        waiting = [node]
        for current in waiting:
            for feed in self.feeders.get(current, ()):
                yield feed
                if feed.source not in seen:
                    seen.add(feed.source)
                    waiting.append(feed.source)


def _cavity_of(contact: str) -> CavityId:
    return contact.rpartition(".")[0]


_THROUGH = {
    "fuse": (("feed", "load"), ("feed", "load 2")),
    "breaker": (("feed", "load"),),
    "link": (("feed", "load"),),
    "flasher": (("feed", "load"),),
    "relay": (("30", "87"), ("30", "87a"), ("30", "87b")),
}


_OUTGOING = ("load", "load 2", "87", "87a", "87b", "P")
_COIL = (".85", ".86")


@lru_cache(maxsize=8192)
def _reference(text: str, block: BlockId) -> ContactRef | None:
    return read_contact(text, block)


def feed_tree(document: Map, before: FeedTree | None = None) -> FeedTree:
    """Return who feeds whom in a map, in the order of the map.

    before is the tree of an earlier state of the map: steps of records that are the
    very same are taken from it, and all it has found when no step has changed.
    """
    kinds = {cavity.id: cavity.kind for cavity in document.cavities.values()}
    same_places = before is not None and before.kinds.keys() == kinds.keys()
    known = before._parts if before is not None and same_places else {}
    parts: dict[str, _Part] = {}
    changed = before is None or not same_places or before.kinds != kinds
    records: list[Strip | Cavity] = [*document.strips.values()]
    records += document.cavities.values()
    for record in records:
        key = f"{type(record).__name__} {record.id}"
        old = known.get(key)
        if old is not None and old[0] is record:
            parts[key] = old
            continue
        steps: dict[tuple[Node, Node], str] = {}
        if isinstance(record, Strip):
            _strip_steps(record, document, steps)
        else:
            _cavity_steps(record, document, steps)
        parts[key] = (record, steps)
        changed = changed or old is None or old[1] != steps
    if before is not None and not changed and parts.keys() == known.keys():
        fed, feeders = before.fed, before.feeders
        return FeedTree(fed, feeders, kinds, parts, before._nodes, before._below)
    return _joined(parts, kinds)


def _joined(parts: Mapping[str, _Part], kinds: Mapping[CavityId, str]) -> FeedTree:
    together: dict[tuple[Node, Node], str] = {}
    for _, steps in parts.values():
        for step, by in steps.items():
            together.setdefault(step, by)
    fed: dict[Node, list[Feed]] = {}
    feeders: dict[Node, list[Feed]] = {}
    for (source, target), by in together.items():
        feed = Feed(source, target, by)
        fed.setdefault(source, []).append(feed)
        feeders.setdefault(target, []).append(feed)
    return FeedTree(
        {node: tuple(feeds) for node, feeds in fed.items()},
        {node: tuple(feeds) for node, feeds in feeders.items()},
        kinds,
        parts,
    )


def _origin(text: str, block: BlockId, document: Map) -> Node:
    """Return the contact of the map that words name, else a supply in words."""
    ref = _reference(text, block)
    if ref is not None and ref.cavity in document.cavities:
        return Node("contact", ref.text())
    return Node("supply", " ".join(text.split()))


def _strip_steps(
    strip: Strip, document: Map, steps: dict[tuple[Node, Node], str]
) -> None:
    node = Node("strip", strip.id)
    if strip.fed_from:
        steps[_origin(strip.fed_from, strip.block, document), node] = "supply"
    for member in strip.members:
        ref = _reference(member, strip.block)
        if ref is not None:
            steps.setdefault((node, Node("contact", ref.text())), "strip")
    for jumper in strip.jumpers:
        ref = _reference(jumper.to, strip.block)
        if ref is not None:
            steps.setdefault((node, Node("contact", ref.text())), "jumper")


def _cavity_steps(
    cavity: Cavity, document: Map, steps: dict[tuple[Node, Node], str]
) -> None:
    identity = cavity.id
    # Every fuse passes on, also when nothing is noted of its contacts.
    for start, end in _THROUGH.get(cavity.kind, ()):
        if end == "load" or end == "87" or end in cavity.contact_names:
            steps[contact_node(identity, start), contact_node(identity, end)] = (
                "through"
            )
    for name, contact in cavity.contacts.items():
        if contact.fed_from:
            origin = _origin(contact.fed_from, cavity.block, document)
            steps.setdefault((origin, contact_node(identity, name)), "wire")
        if name not in _OUTGOING:
            continue
        for wire in contact.wires:
            ref = _reference(wire.to, cavity.block) if "." in wire.to else None
            if ref is not None and ref.cavity in document.cavities:
                target = Node("contact", ref.text())
                steps.setdefault((contact_node(identity, name), target), "wire")
