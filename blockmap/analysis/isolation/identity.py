"""Finds which cavities may have been mixed up: counted from the wrong end, or swapped.

Only names that nobody has seen on the car are doubted, and circuits only of a fuse that
was pulled. A mix-up is taken
as readings that were made at another cavity than the one they are noted for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from blockmap.analysis.isolation.network import Network
from blockmap.analysis.isolation.observations import Observation
from blockmap.model.document import Cavity, Map
from blockmap.model.evidence import is_doubtful

__all__ = ["MixUp", "Mover", "mix_ups"]


_MOST = 12
"""So many mix-ups are weighed: the wrong end first, then the latest readings'."""


@dataclass(frozen=True, slots=True)
class MixUp:
    """One mix-up of names: which cavity is meant by which name, with its odds."""

    words: str
    cavity: str
    moved: Mapping[str, str]
    odds: float


class Mover:
    """Moves probes and parts to the cavities that a mix-up means."""

    def __init__(self, network: Network) -> None:
        self._points = {
            (point.cavity, point.contact): point.node
            for point in network.points.values()
            if point.cavity and "." in point.name
        }
        self._fuses = {
            element.cavity: index
            for index, element in enumerate(network.elements)
            if element.contact == "fuse"
        }
        self._elements = network.elements

    def node(self, mix_up: MixUp, node: int, cavity: str, contact: str) -> int:
        """Return the node that is really touched."""
        meant = mix_up.moved.get(cavity)
        return self._points.get((meant, contact), node) if meant else node

    def out(self, mix_up: MixUp, out: frozenset[int]) -> frozenset[int]:
        """Return the elements that are really out."""
        return frozenset(self._element(mix_up, index) for index in out)

    def _element(self, mix_up: MixUp, index: int) -> int:
        meant = mix_up.moved.get(self._elements[index].cavity)
        if meant is None or self._elements[index].contact != "fuse":
            return index
        return self._fuses.get(meant, index)

    def observation(self, mix_up: MixUp, seen: Observation) -> Observation:
        """Return an observation as it was really made."""
        element = self._element(mix_up, seen.element) if seen.element >= 0 else -1
        return replace(
            seen,
            point=self.node(mix_up, seen.point, seen.places[0], seen.contacts[0]),
            against=self.node(mix_up, seen.against, seen.places[1], seen.contacts[1]),
            state=seen.state._replace(out=self.out(mix_up, seen.state.out)),
            element=element,
        )


def mix_ups(
    network: Network, document: Map, observed: Sequence[Observation]
) -> tuple[MixUp, ...]:
    """Return the mix-ups that the readings taken so far could come from."""
    named: dict[str, None] = {}
    pulled: dict[str, None] = {}
    for each in observed:
        out = [network.elements[index] for index in each.state.out]
        pulled.update((e.cavity, None) for e in out if e.contact == "fuse")
        if each.element >= 0:
            named[network.elements[each.element].cavity] = None
        if each.kind != "load":
            named.update((place, None) for place in each.places if place)
    found: list[MixUp] = []
    rows: set[str] = set()
    for identity in (*pulled, *reversed(named)):
        cavity = document.cavities.get(identity)
        row = _row(document, cavity) if cavity is not None else []
        if cavity is None or identity not in row:
            continue
        if _named_from_book(cavity):
            if cavity.block not in rows and len(row) > 2:
                rows.add(cavity.block)
                found.insert(0, _from_the_end(network, cavity, row))
            found += _swapped(network, document, cavity, _neighbours(row, identity))
        elif identity in pulled and is_doubtful(cavity, "circuit"):
            others = [
                each
                for each in row
                if each != identity and is_doubtful(document.cavities[each], "circuit")
            ]
            found += _swapped(network, document, cavity, others)
    once: dict[frozenset[tuple[str, str]], MixUp] = {}
    for mix_up in found:
        once.setdefault(frozenset(mix_up.moved.items()), mix_up)
    return tuple(once.values())[:_MOST]


def _named_from_book(cavity: Cavity) -> bool:
    named = [key for key in ("moulded", "manual") if getattr(cavity, key)]
    return bool(named) and not cavity.own and all(is_doubtful(cavity, k) for k in named)


def _row(document: Map, cavity: Cavity) -> list[str]:
    """Return the fuses of the cavity's block in the order of their names."""

    def place(each: Cavity) -> tuple[str, int, str]:
        match = re.search(r"\d+", each.designation)
        number = int(match[0]) if match else 0
        return re.sub(r"\d+.*", "", each.designation), number, each.designation

    fuses = [c for c in document.cavities_of(cavity.block) if c.kind == "fuse"]
    on_panel = [c for c in fuses if not c.off_panel]
    return [each.id for each in sorted(on_panel, key=place)]


def _neighbours(row: Sequence[str], identity: str) -> list[str]:
    at = row.index(identity)
    return [row[k] for k in (at - 1, at + 1) if 0 <= k < len(row)]


def _from_the_end(network: Network, cavity: Cavity, row: Sequence[str]) -> MixUp:
    moved = dict(zip(row, reversed(row), strict=True))
    return MixUp(
        "counted from the wrong end", cavity.id, moved, network.assumed.wrong_count
    )


def _swapped(
    network: Network, document: Map, cavity: Cavity, others: Sequence[str]
) -> list[MixUp]:
    return [
        MixUp(
            f"{cavity.designation} and {document.cavities[other].designation} swapped",
            cavity.id,
            {cavity.id: other, other: cavity.id},
            network.assumed.swapped / len(others),
        )
        for other in others
    ]
