"""Follows the current up to its supply and down to its loads, through everything.

It knows strips, jumpers, fuses, relays, wires with two ends, and connectors whose
halves plug together. It reasons on what the map says; a wire that nobody entered
carries nothing here. A coil is no path for current, but a relay whose coil is dead
does not switch.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from blockmap.analysis.behind.halves import halves_of
from blockmap.analysis.numbers.feeds import Feed, Node, contact_node, feed_tree
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import BlockId, CavityId, ContactRef, StripId, key_of
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text

__all__ = [
    "Dies",
    "LoadAt",
    "Trace",
    "cavities_of_load",
    "node_words",
    "trace_up",
    "what_dies",
]

_COILS = ("85", "86")
_SWITCHED = ("87", "87b")
_OUTGOING = ("load", "load 2", "87", "87a", "87b", "P")
_INCOMING = ("feed", "30", "86")


@dataclass(frozen=True, slots=True)
class LoadAt:
    """A load and the cavity at which it is entered."""

    name: str
    cavity: CavityId


@dataclass(frozen=True, slots=True, kw_only=True)
class Dies:
    """What hangs on a strip or contact.

    ``needs`` is the way up, nearest first. The rest is dead without it: contacts,
    cavities, loads and connectors. ``still_fed`` are cavities it feeds that have
    another feed as well. ``unswitched`` are relays that only lose their coil.
    ``halves`` are the cavities on either side of a supply that lands between two
    contacts of a strip: metal that parts there loses one of them.
    """

    what: str
    needs: tuple[Feed, ...]
    contacts: tuple[ContactRef, ...]
    cavities: tuple[CavityId, ...]
    loads: tuple[LoadAt, ...]
    connectors: tuple[BlockId, ...]
    still_fed: tuple[CavityId, ...]
    unswitched: tuple[CavityId, ...]
    halves: tuple[tuple[CavityId, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """One way from a load up to a supply.

    ``nodes`` begin at the load's contact; ``words`` say each of them. ``whole`` tells
    whether the end is a supply or a strip, and not a place where the map falls silent.
    """

    nodes: tuple[Node, ...]
    words: tuple[str, ...]
    whole: bool


@dataclass(frozen=True, slots=True)
class _Network:
    down: Mapping[Node, tuple[Feed, ...]]
    up: Mapping[Node, tuple[Feed, ...]]


def _build(document: Map) -> _Network:
    tree = feed_tree(document)
    steps: dict[tuple[Node, Node], str] = {
        (feed.source, feed.target): feed.by
        for feeds in tree.fed.values()
        for feed in feeds
    }
    joints = list(_joints(document))
    depth = _depths(steps, joints)
    for one, other, by in joints:
        if (one, other) in steps or (other, one) in steps:
            continue
        far = len(depth) + 1
        here, there = _role(one), _role(other)
        forward = here < there
        if here == there:
            forward = depth.get(one, far) <= depth.get(other, far)
        steps[(one, other) if forward else (other, one)] = by
    down: dict[Node, list[Feed]] = {}
    up: dict[Node, list[Feed]] = {}
    for (source, target), by in steps.items():
        feed = Feed(source, target, by)
        down.setdefault(source, []).append(feed)
        up.setdefault(target, []).append(feed)
    return _Network(
        {node: tuple(feeds) for node, feeds in down.items()},
        {node: tuple(feeds) for node, feeds in up.items()},
    )


def _role(node: Node) -> int:
    """Return 0 for a contact that gives current out, 2 for one that takes it in."""
    name = _ref(node).contact
    if name in _OUTGOING:
        return 0
    return 2 if name in _INCOMING else 1


def _joints(document: Map) -> Iterator[tuple[Node, Node, str]]:
    """Yield what joins two contacts without saying which way: wires and plugs."""
    index = PlaceIndex(document)
    for cavity in document.cavities.values():
        for name, contact in cavity.contacts.items():
            if name in _COILS:
                continue
            here = contact_node(cavity.id, name)
            for wire in contact.wires:
                ref = index.contact(wire.to, cavity.block) if wire.to else None
                if ref is not None and ref != (cavity.id, name):
                    yield here, Node("contact", ref.text()), "wire"
    for block in document.blocks.values():
        if block.mate not in document.blocks or block.mate == block.id:
            continue
        others = {c.designation: c for c in document.cavities_of(block.mate)}
        for cavity in document.cavities_of(block.id):
            other = others.get(cavity.designation)
            if other is not None:
                yield (
                    contact_node(cavity.id, cavity.main_contact),
                    contact_node(other.id, other.main_contact),
                    "plug",
                )


def _depths(
    steps: Mapping[tuple[Node, Node], str], joints: Iterable[tuple[Node, Node, str]]
) -> dict[Node, int]:
    """Number nodes by their distance from the supplies, wires walked either way.

    What no supply or strip reaches is numbered after the rest, from the contacts that
    nothing is known to feed.
    """
    near: dict[Node, list[Node]] = {}
    targets = {target for _, target in steps}
    for source, target in steps:
        near.setdefault(source, []).append(target)
    for one, other, _ in joints:
        near.setdefault(one, []).append(other)
        near.setdefault(other, []).append(one)
    tops = [source for source, _ in steps if source not in targets]
    depth: dict[Node, int] = {}
    for known in (True, False):
        first = len(depth)
        begin = [n for n in tops if (n.kind != "contact") is known and n not in depth]
        depth.update(dict.fromkeys(begin, first))
        waiting = deque(begin)
        while waiting:
            node = waiting.popleft()
            for other in near.get(node, ()):
                if other not in depth:
                    depth[other] = depth[node] + 1
                    waiting.append(other)
    return depth


def _node_of(document: Map, what: ContactRef | StripId) -> Node:
    if isinstance(what, ContactRef):
        return contact_node(what.cavity, what.contact)
    if what not in document.strips:
        raise KeyError(what)
    return Node("strip", what)


def what_dies(document: Map, what: ContactRef | StripId) -> Dies:
    """Return what a strip or a contact needs, and what is dead without it.

    Raises KeyError for a strip that the map has not.
    """
    start = _node_of(document, what)
    network = _build(document)
    dead, lost_coils = _dead(document, network, start)
    touched = _reached(network, start)
    refs = [_ref(node) for node in dead if node.kind == "contact"]
    cavities = dict.fromkeys(
        ref.cavity for ref in refs if _carries(document, ref) is not None
    )
    partly = dict.fromkeys(
        _ref(node).cavity
        for node in touched
        if node.kind == "contact" and node not in dead
    )
    return Dies(
        what=node_words(document, start),
        needs=tuple(_above(network, start)),
        contacts=tuple(refs),
        cavities=tuple(cavities),
        loads=tuple(
            LoadAt(load.name, id_)
            for id_ in cavities
            if _is_dead(document.cavities[id_], dead)
            for load in document.cavities[id_].loads
        ),
        connectors=tuple(
            dict.fromkeys(
                document.cavities[id_].block
                for id_ in cavities
                if document.blocks[document.cavities[id_].block].kind == "connector"
            )
        ),
        still_fed=tuple(
            id_ for id_ in partly if id_ in document.cavities and id_ not in cavities
        ),
        unswitched=tuple(lost_coils),
        halves=() if isinstance(what, ContactRef) else halves_of(document, what),
    )


def _ref(node: Node) -> ContactRef:
    cavity, _, contact = node.name.rpartition(".")
    return ContactRef(cavity, contact)


def _carries(document: Map, ref: ContactRef) -> Cavity | None:
    """Return the cavity of a contact, unless the contact is only a relay's coil."""
    cavity = document.cavities.get(ref.cavity)
    if cavity is None or (cavity.kind == "relay" and ref.contact in _COILS):
        return None
    return cavity


def _is_dead(cavity: Cavity, dead: Mapping[Node, None]) -> bool:
    return contact_node(cavity.id, cavity.main_contact) in dead


def _dead(
    document: Map, network: _Network, start: Node
) -> tuple[dict[Node, None], dict[CavityId, None]]:
    """Return what has no other feed left, near ones first, and relays without coil."""
    dead: dict[Node, None] = {start: None}
    coils: dict[CavityId, None] = {}
    waiting = deque([start])
    while waiting:
        node = waiting.popleft()
        fresh = [
            feed.target
            for feed in network.down.get(node, ())
            if all(other.source in dead for other in network.up[feed.target])
        ]
        relay = _relay_of_coil(document, node)
        if relay is not None:
            coils[relay] = None
            fresh += [contact_node(relay, name) for name in _SWITCHED]
        for target in fresh:
            if target not in dead:
                dead[target] = None
                waiting.append(target)
    return dead, coils


def _relay_of_coil(document: Map, node: Node) -> CavityId | None:
    if node.kind != "contact":
        return None
    ref = _ref(node)
    cavity = document.cavities.get(ref.cavity)
    if cavity is None or cavity.kind != "relay" or ref.contact not in _COILS:
        return None
    return cavity.id


def _reached(network: _Network, start: Node) -> dict[Node, None]:
    found: dict[Node, None] = {start: None}
    for node in (waiting := [start]):
        for feed in network.down.get(node, ()):
            if feed.target not in found:
                found[feed.target] = None
                waiting.append(feed.target)
    return found


def _above(network: _Network, start: Node) -> Iterator[Feed]:
    seen = {start}
    waiting = deque([start])
    while waiting:
        for feed in network.up.get(waiting.popleft(), ()):
            if feed.source not in seen:
                seen.add(feed.source)
                waiting.append(feed.source)
                yield feed


def cavities_of_load(document: Map, name: str) -> tuple[CavityId, ...]:
    """Return the cavities at which a load of this name is entered; case is ignored."""
    wanted = " ".join(name.split()).casefold()
    return tuple(
        cavity.id
        for cavity in document.cavities.values()
        if any(load.name.casefold() == wanted for load in cavity.loads)
    )


def trace_up(document: Map, cavity: CavityId, contact: str = "") -> tuple[Trace, ...]:
    """Return the ways from a cavity's contact up to each supply, nearest first.

    contact '' means the one whose wires go out to the loads. Raises KeyError for a
    cavity that the map has not.
    """
    network = _build(document)
    start = contact_node(cavity, contact or document.cavities[cavity].main_contact)
    before: dict[Node, Feed] = {}
    tops: list[Node] = []
    waiting = deque([start])
    while waiting:
        node = waiting.popleft()
        feeds = network.up.get(node, ())
        if not feeds:
            tops.append(node)
        for feed in feeds:
            if feed.source != start and feed.source not in before:
                before[feed.source] = feed
                waiting.append(feed.source)
    return tuple(_trace(document, start, top, before) for top in tops)


def _trace(document: Map, start: Node, top: Node, before: Mapping[Node, Feed]) -> Trace:
    nodes = [top]
    bys: list[str] = []
    while nodes[-1] != start:
        feed = before[nodes[-1]]
        bys.append(feed.by)
        nodes.append(feed.target)
    nodes.reverse()
    bys.reverse()
    words = [node_words(document, nodes[0])]
    for by, node in zip(bys, nodes[1:], strict=True):
        words.append(_step_words(document, by, node))
    return Trace(
        nodes=tuple(nodes),
        words=tuple(words),
        whole=top.kind in ("supply", "strip"),
    )


_BY_WORDS = {
    "wire": "by wire from ",
    "jumper": "by jumper from ",
    "plug": "plugged to ",
}


def _step_words(document: Map, by: str, node: Node) -> str:
    words = node_words(document, node)
    if by == "through":
        cavity = document.cavities.get(_ref(node).cavity)
        if cavity is not None:
            rating = f", {number_text(cavity.rating_a)} A" if cavity.rating_a else ""
            return f"through the {cavity.kind} {cavity.designation}{rating}"
    return _BY_WORDS.get(by, "") + words


def node_words(document: Map, node: Node) -> str:
    """Return what a person calls a contact, a strip or a supply."""
    if node.kind == "supply":
        return f"supply: {node.name}"
    if node.kind == "strip":
        strip = document.strips[node.name]
        fed = ", live " + ", ".join(strip.live) if strip.live else ""
        return f"strip {strip.name or key_of(strip.id)}{fed}"
    ref = _ref(node)
    cavity = document.cavities.get(ref.cavity)
    if cavity is None:
        return node.name
    block = document.blocks[cavity.block]
    where = f" of {block.name or block.id}" if len(document.blocks) > 1 else ""
    if ref.contact == "pin":
        return f"{cavity.designation}{where}"
    return f"{ref.contact} contact of {cavity.designation}{where}"
