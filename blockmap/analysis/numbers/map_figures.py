"""Computes every figure of a map, and keeps those whose inputs have not changed.

Records of a map are values that are replaced when edited: a figure is kept as long as
the very same records went into it. Nothing is kept outside the result, so that any
thread may compute.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from blockmap.analysis.numbers.add_ons import AddOnRoom, room_at
from blockmap.analysis.numbers.cavity_figures import (
    CavityFigures,
    WireFigures,
    cavity_figures,
    cavity_loads,
    guarded_wire,
)
from blockmap.analysis.numbers.feed_load import CavityLoads, entry_node, sum_below
from blockmap.analysis.numbers.feeds import FeedTree, Node, feed_tree
from blockmap.analysis.numbers.figure import Comparison, Figure
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.load_current import LoadSum
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Cavity, Map, Strip
from blockmap.model.ids import CavityId, StripId

__all__ = ["MapFigures", "StripFigures", "figures_of"]


@dataclass(frozen=True, slots=True)
class StripFigures:
    """What a strip draws, and that beside what its supply wire bears."""

    loads: LoadSum | None
    supply: Comparison | None


@dataclass(frozen=True, slots=True)
class MapFigures:
    """Every figure of one map under its limits.

    ``supplies`` hold what hangs on each place that is fed by nothing in the map: a
    strip, a contact, or a supply in words. ``tabs`` hold what may be added at tabs.
    """

    limits: Limits
    volts: float
    tree: FeedTree
    cavities: Mapping[CavityId, CavityFigures]
    strips: Mapping[StripId, StripFigures]
    supplies: Mapping[Node, LoadSum]
    tabs: Mapping[CavityId, AddOnRoom]
    _loads: Mapping[CavityId, CavityLoads] = field(repr=False)
    _made_of: Mapping[CavityId, tuple[object, ...]] = field(repr=False)
    _strips_of: Mapping[StripId, Strip] = field(repr=False)
    _polarity: str = field(repr=False, default="")


def figures_of(
    document: Map,
    limits: Limits = DEFAULT_LIMITS,
    before: MapFigures | None = None,
) -> MapFigures:
    """Return every figure of a map.

    before is the result for an earlier state of the same map; figures whose records
    are the very same are taken from it.
    """
    volts, polarity = document.car.volts, document.car.polarity
    if before is not None and (
        before.limits != limits or before.volts != volts or before._polarity != polarity
    ):
        before = None
    loads = _all_loads(document, volts, limits, before)
    tree = _tree(document, before)
    cavities: dict[CavityId, CavityFigures] = {}
    made_of: dict[CavityId, tuple[object, ...]] = {}
    for cavity in document.cavities.values():
        records = _records(cavity, document, tree)
        made_of[cavity.id] = records
        old = before._made_of.get(cavity.id) if before else None
        if before is not None and old is not None and _same(old, records):
            cavities[cavity.id] = before.cavities[cavity.id]
            continue
        below = sum_below(cavity.designation, entry_node(cavity), tree, loads)
        guarded = _guarded(cavity, document, tree, limits)
        cavities[cavity.id] = cavity_figures(
            cavity, loads[cavity.id], below, guarded, document.car, limits
        )
    return MapFigures(
        limits,
        volts,
        tree,
        cavities,
        _strip_figures(document, tree, loads, limits),
        _supply_sums(tree, loads),
        _rooms(document, tree, cavities, limits),
        loads,
        made_of,
        document.strips,
        polarity,
    )


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and all(
        first is second for first, second in zip(one, other, strict=True)
    )


def _tree(document: Map, before: MapFigures | None) -> FeedTree:
    """Return the tree of a map; that of before when no step can have changed."""
    if before is None or not _same_wiring(document, before):
        return feed_tree(document)
    return before.tree


def _same_wiring(document: Map, before: MapFigures) -> bool:
    if len(document.strips) != len(before._strips_of) or any(
        before._strips_of.get(identity) is not strip
        for identity, strip in document.strips.items()
    ):
        return False
    if document.cavities.keys() != before._loads.keys():
        return False
    for identity, cavity in document.cavities.items():
        old = before._loads[identity].cavity
        if old is not cavity and not (
            old.kind == cavity.kind
            and old.form == cavity.form
            and old.contacts == cavity.contacts
        ):
            return False
    return True


def _all_loads(
    document: Map, volts: float, limits: Limits, before: MapFigures | None
) -> dict[CavityId, CavityLoads]:
    found: dict[CavityId, CavityLoads] = {}
    for cavity in document.cavities.values():
        old = before._loads.get(cavity.id) if before else None
        if old is None or old.cavity is not cavity:
            old = cavity_loads(cavity, volts, limits)
        found[cavity.id] = old
    return found


def _records(cavity: Cavity, document: Map, tree: FeedTree) -> tuple[object, ...]:
    """Return every record that a cavity's figures are made of, itself first."""
    below = tree.below(entry_node(cavity))
    if len(below) <= 1 and not _feeds_strip(cavity, tree):
        return (cavity,)
    cavities = tuple(
        document.cavities[each] for each in below if each in document.cavities
    )
    strips = tuple(
        document.strips[node.name]
        for node in tree.nodes_below(entry_node(cavity))
        if node.kind == "strip" and node.name in document.strips
    )
    return (cavity, *cavities, *strips)


def _feeds_strip(cavity: Cavity, tree: FeedTree) -> bool:
    return any(n.kind == "strip" for n in tree.nodes_below(entry_node(cavity)))


def _guarded(
    cavity: Cavity, document: Map, tree: FeedTree, limits: Limits
) -> tuple[WireFigures, ...]:
    """Return the wires a fuse guards, up to the next fuse, in the order of the feed."""
    if cavity.kind not in ("fuse", "breaker", "link", "relay", "flasher"):
        return ()
    found: list[WireFigures] = []
    entry = entry_node(cavity)
    seen: set[Node] = {entry}
    for feed in tree.fed.get(entry, ()):
        if feed.by != "through":
            continue
        for node in tree.guarded(feed.target):
            if node in seen:
                continue
            seen.add(node)
            found += _wires_at(node, document, limits)
    return tuple(found)


def _wires_at(node: Node, document: Map, limits: Limits) -> list[WireFigures]:
    if node.kind == "strip":
        strip = document.strips.get(node.name)
        if strip is None:
            return []
        gauges = (strip.supply_gauge, *(jumper.gauge for jumper in strip.jumpers))
        return [guarded_wire(node.name, gauge, "", limits) for gauge in gauges if gauge]
    place, _, contact = node.name.rpartition(".")
    cavity = document.cavities.get(place)
    if cavity is None:
        return []
    return [
        guarded_wire(node.name, wire.gauge, wire.insulation, limits)
        for wire in cavity.contact(contact).wires
        if wire.gauge
    ]


def _strip_figures(
    document: Map,
    tree: FeedTree,
    loads: Mapping[CavityId, CavityLoads],
    limits: Limits,
) -> dict[StripId, StripFigures]:
    found: dict[StripId, StripFigures] = {}
    for strip in document.strips.values():
        name = strip.name or strip.id
        total = sum_below(name, Node("strip", strip.id), tree, loads)
        wire: Figure | None = wire_amps(strip.supply_gauge, "", limits)
        supply = None
        if total is not None and wire is not None:
            supply = Comparison("Strip and supply wire", total.running, wire)
        found[strip.id] = StripFigures(total, supply)
    return found


def _supply_sums(
    tree: FeedTree, loads: Mapping[CavityId, CavityLoads]
) -> dict[Node, LoadSum]:
    found: dict[Node, LoadSum] = {}
    for node in tree.supplies:
        total = sum_below(node.name, node, tree, loads)
        if total is not None:
            found[node] = total
    return found


def _rooms(
    document: Map,
    tree: FeedTree,
    cavities: Mapping[CavityId, CavityFigures],
    limits: Limits,
) -> dict[CavityId, AddOnRoom]:
    found: dict[CavityId, AddOnRoom] = {}
    for cavity in document.cavities.values():
        if cavity.kind != "tab":
            continue
        fuse = document.cavities.get(tree.protector(entry_node(cavity)) or "")
        loads = cavities[fuse.id].loads if fuse else None
        found[cavity.id] = room_at(cavity, fuse, loads, limits)
    return found
