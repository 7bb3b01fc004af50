"""Computes every figure of a map, and keeps those whose inputs have not changed.

Records of a map are values that are replaced when edited: a figure is kept as long as
the very same records went into it. Nothing is kept outside the result, so that any
thread may compute.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from blockmap.analysis.behind.singly import family_of
from blockmap.analysis.numbers.add_ons import AddOnRoom, room_at
from blockmap.analysis.numbers.cavity_figures import (
    CavityFigures,
    WireFigures,
    cavity_figures,
    cavity_loads,
    guarded_wire,
)
from blockmap.analysis.numbers.feed_load import CavityLoads, sum_below
from blockmap.analysis.numbers.feeds import FeedTree, Node, feed_tree
from blockmap.analysis.numbers.figure import (
    AS_ENTERED,
    Comparison,
    Figure,
    exact,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.load_current import LoadSum
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import CavityId, ContactRef, StripId

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
    _document: Map = field(repr=False)
    _loads: Mapping[CavityId, CavityLoads] = field(repr=False)


def figures_of(
    document: Map,
    limits: Limits = DEFAULT_LIMITS,
    before: MapFigures | None = None,
) -> MapFigures:
    """Return every figure of a map.

    before is the result for an earlier state of the same map; figures whose records
    are the very same are taken from it.
    """
    car = document.car
    if before is not None and (
        before.limits != limits
        or before.volts != car.volts
        or before._document.car.polarity != car.polarity
        or _families_changed(before._document, document)
    ):
        before = None
    loads = _all_loads(document, limits, before)
    tree = feed_tree(document, before.tree if before else None)
    kept = _Kept(document, tree, before)
    cavities: dict[CavityId, CavityFigures] = {}
    for identity, noted in loads.items():
        old = before.cavities.get(identity) if before else None
        if old is not None and kept.holds(noted.entry):
            cavities[identity] = old
            continue
        cavity = noted.cavity
        below = sum_below(cavity.designation, noted.entry, tree, loads)
        guarded = _guarded(noted, document, tree, limits)
        capacity = _own_capacity(document, cavity)
        cavities[identity] = cavity_figures(
            cavity, noted, below, guarded, car, limits, capacity
        )
    return MapFigures(
        limits,
        car.volts,
        tree,
        cavities,
        _strip_figures(document, tree, loads, limits, kept),
        _supply_sums(tree, loads, kept),
        _rooms(tree, loads, cavities, limits),
        document,
        loads,
    )


def _families_changed(before: Map, after: Map) -> bool:
    """Tell whether a contact may be of another family of the map's own now."""
    if before.families is not after.families:
        return True
    if not after.families:
        return False
    return before.blocks is not after.blocks or before.strips is not after.strips


def _own_capacity(document: Map, cavity: Cavity) -> Figure | None:
    """Return what the main contact bears by a terminal family of the map's own."""
    if not document.families:
        return None
    family = family_of(document, ContactRef(cavity.id, cavity.main_contact))
    if family is None or family.capacity_a is None:
        return None
    if not any(family is own for own in document.families.values()):
        return None
    note = family.known or AS_ENTERED
    return exact(f"Contact, {family.name}", family.capacity_a, "A", note)


class _Kept:
    """Tells which figures of an earlier state of the map still hold."""

    def __init__(
        self, document: Map, tree: FeedTree, before: MapFigures | None
    ) -> None:
        self.before = before
        self._tree = tree
        self._changed: set[str] = set()
        if before is not None:
            old = before._document
            self._changed = _different(old.cavities, document.cavities)
            self._changed |= _different(old.strips, document.strips)

    def holds(self, node: Node) -> bool:
        """Return whether what hangs on a node is as before, record by record."""
        if self.before is None:
            return False
        reached = self._tree.nodes_below(node)
        earlier = self.before.tree.nodes_below(node)
        if reached is not earlier and reached != earlier:
            return False
        if not self._changed:
            return True
        return not any(
            (each.name if each.kind == "strip" else each.name.rpartition(".")[0])
            in self._changed
            for each in reached
        )


def _different(old: Mapping[str, object], new: Mapping[str, object]) -> set[str]:
    found = {key for key, record in new.items() if old.get(key) is not record}
    return found | (old.keys() - new.keys())


def _all_loads(
    document: Map, limits: Limits, before: MapFigures | None
) -> dict[CavityId, CavityLoads]:
    volts = document.car.volts
    found: dict[CavityId, CavityLoads] = {}
    for cavity in document.cavities.values():
        old = before._loads.get(cavity.id) if before else None
        if old is None or old.cavity is not cavity:
            old = cavity_loads(cavity, volts, limits)
        found[cavity.id] = old
    return found


def _guarded(
    noted: CavityLoads, document: Map, tree: FeedTree, limits: Limits
) -> tuple[WireFigures, ...]:
    """Return the wires a fuse guards, up to the next fuse, in the order of the feed."""
    found: list[WireFigures] = []
    seen: set[Node] = {noted.entry}
    for feed in tree.fed.get(noted.entry, ()):
        if feed.by != "through":
            continue
        for node in tree.guarded(feed.target):
            if node not in seen:
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
    kept: _Kept,
) -> dict[StripId, StripFigures]:
    found: dict[StripId, StripFigures] = {}
    for strip in document.strips.values():
        node = Node("strip", strip.id)
        old = kept.before.strips.get(strip.id) if kept.before else None
        if old is not None and kept.holds(node):
            found[strip.id] = old
            continue
        total = sum_below(strip.name or strip.id, node, tree, loads)
        wire: Figure | None = wire_amps(strip.supply_gauge, "", limits)
        supply = None
        if total is not None and wire is not None:
            supply = Comparison("Strip and supply wire", total.running, wire)
        found[strip.id] = StripFigures(total, supply)
    return found


def _supply_sums(
    tree: FeedTree, loads: Mapping[CavityId, CavityLoads], kept: _Kept
) -> dict[Node, LoadSum]:
    found: dict[Node, LoadSum] = {}
    for node in tree.supplies:
        total = kept.before.supplies.get(node) if kept.before else None
        if total is None or not kept.holds(node):
            total = sum_below(node.name, node, tree, loads)
        if total is not None:
            found[node] = total
    return found


def _rooms(
    tree: FeedTree,
    loads: Mapping[CavityId, CavityLoads],
    cavities: Mapping[CavityId, CavityFigures],
    limits: Limits,
) -> dict[CavityId, AddOnRoom]:
    found: dict[CavityId, AddOnRoom] = {}
    for identity, noted in loads.items():
        if noted.cavity.kind != "tab":
            continue
        guard = tree.protector(noted.entry)
        fuse = loads[guard].cavity if guard is not None and guard in loads else None
        on_fuse = cavities[fuse.id].loads if fuse else None
        found[identity] = room_at(noted.cavity, fuse, on_fuse, limits)
    return found
