"""Works out which parts the dead loads share, as the page shows them.

It is a plain function of the map, run off the window's thread; it touches no widget.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockmap.model.document import Map
from blockmap.window.isolating.beside import tr_job

if TYPE_CHECKING:
    from blockmap.analysis.isolation.logic import Shared
    from blockmap.analysis.isolation.network import Element, Network
    from blockmap.analysis.isolation.observations import Observation
    from blockmap.analysis.isolation.places import Places
    from blockmap.model.document import Strip

__all__ = ["Parts", "parts_shared", "strip_of"]

_ORDER = {"suspect": 0, "open": 1, "cleared": 2}


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts in order, their rows and marks, and how many of them are suspects."""

    shared: tuple[Shared, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    marks: tuple[tuple[str, str, str], ...] = ()
    suspects: int = 0


def parts_shared(
    document: Map, network: Network, places: Places, used: Iterable[Observation]
) -> Parts:
    """Return the parts that what is dead has in common, the suspects first."""
    from blockmap.analysis.isolation.logic import shared_elements, ticks

    found = shared_elements(network, ticks(network, used))
    shared = tuple(sorted(found, key=lambda each: _ORDER[each.word]))
    rows, marks, suspects = [], [], 0
    for each in shared:
        element = network.elements[each.element]
        suspects += each.word == "suspect"
        number = str(suspects) if each.word == "suspect" else ""
        why = f"{each.why[:1].upper()}{each.why[1:]}."
        rows.append((number, f"{element.words}\n{_stands(each.word)}", why))
        cavity, contact = _spot(document, places, element)
        if cavity and each.word != "cleared":
            marks.append((cavity, contact, number))
    return Parts(shared, tuple(rows), tuple(marks), suspects)


def strip_of(document: Map, element: Element) -> Strip | None:
    """Return the strip that an element without a place is part of, or leads to."""
    strips = document.strips.values()
    found = [s for s in strips if f"strip {s.name or s.id}" in element.name]
    return max(found, key=lambda strip: len(strip.name or strip.id), default=None)


def _spot(document: Map, places: Places, element: Element) -> tuple[str, str]:
    """Return where a part is marked: a supply or a strip where it lands."""
    if element.cavity:
        return element.cavity, element.contact
    strip = strip_of(document, element)
    if strip is None:
        where, block = element.name.rpartition(" of ")[2], None
    else:
        lands = strip.lands_at in strip.members
        where = strip.lands_at if lands else next(iter(strip.members), "")
        block = strip.block
    found = places.index.contact(where, block)
    return (found.cavity, found.contact) if found else ("", "")


def _stands(word: str) -> str:
    return {
        "suspect": tr_job("suspect"),
        "open": tr_job("possible"),
        "cleared": tr_job("cleared"),
    }[word]
