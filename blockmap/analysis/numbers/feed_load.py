"""Adds up what everything below a fuse, strip, link or supply draws.

A map often states one load twice: at a fuse and again at the flasher or relay behind
it. Such a load counts once in the value, twice in the high end of the band, and the
note says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from blockmap.analysis.numbers.feeds import FeedTree, Node, contact_node
from blockmap.analysis.numbers.figure import Figure, notes_joined, weakest
from blockmap.analysis.numbers.load_current import (
    LoadSum,
    is_rush,
    is_short,
)
from blockmap.model.document import Cavity, Load
from blockmap.model.ids import CavityId
from blockmap.reference.sources import Status

__all__ = ["CavityLoads", "entry_node", "sum_below"]

_PASSES_ON = ("relay", "flasher")
_WORDS_OF_NO_CIRCUIT = frozenset(
    {
        *("lamp", "light", "relay", "flasher", "coil", "motor", "switch"),
        *("left", "right", "rear", "front", "low", "high", "beam"),
        *("load", "feed", "supply", "short", "time", "and", "for", "the", "with", "at"),
    }
)
"""Words, without their plural, that two different loads may share."""


@dataclass(frozen=True, slots=True)
class CavityLoads:
    """One cavity with its own sums, each load's current, and where they come in."""

    cavity: Cavity
    own: LoadSum | None
    currents: tuple[Figure | None, ...]
    entry: Node


@dataclass(frozen=True, slots=True)
class _Twice:
    """A load that is stated again elsewhere: by whom, which, and how many amps."""

    load: Load
    amps_a: float


def entry_node(cavity: Cavity) -> Node:
    """Return the contact by which the current of a cavity's loads comes in."""
    names = cavity.contact_names
    for name in ("feed", "30"):
        if name in names:
            return contact_node(cavity.id, name)
    return contact_node(cavity.id, cavity.main_contact)


def sum_below(
    name: str,
    node: Node,
    tree: FeedTree,
    loads: Mapping[CavityId, CavityLoads],
) -> LoadSum | None:
    """Return what everything fed from a node draws; None when nothing has loads."""
    found = [loads[each] for each in tree.below(node) if each in loads]
    held = [each for each in found if each.own is not None]
    if not held:
        return None
    if len(held) == 1 and held[0].own is not None:
        return held[0].own
    behind = _behind(held, tree)
    twice = _stated_twice(held, behind, tree)
    doubtful = _doubtful(behind, twice)
    return LoadSum(
        _total(f"{name}, continuous", held, twice, doubtful, "continuous"),
        _total(f"{name}, running", held, twice, doubtful, "running"),
        _total(f"{name}, worst", held, twice, doubtful, "worst"),
        tuple(load for each in held if each.own for load in each.own.unknown),
    )


def _counts(load: Load, which: str) -> bool:
    if which == "continuous":
        return not is_short(load)
    return which == "worst" or not is_rush(load)


def _total(
    name: str,
    held: Sequence[CavityLoads],
    twice: Sequence[_Twice],
    doubtful: Sequence[_Twice],
    which: str,
) -> Figure:
    value = low = high = again = 0.0
    parts: list[Figure] = []
    said: list[str | float] = []
    unknown: list[str] = []
    for each in held:
        if each.own is None:
            continue
        figure: Figure = getattr(each.own, which)
        parts.append(figure)
        said += (each.cavity.designation, figure.value)
        unknown += each.own.unknown
        value += figure.value
        low += figure.low
        high += figure.high
    again = sum(each.amps_a for each in twice if _counts(each.load, which))
    maybe = sum(each.amps_a for each in doubtful if _counts(each.load, which))
    value, low = max(0.0, value - again), max(0.0, low - again - maybe)
    pattern = " + ".join(["{}: {}"] * len(parts))
    note = ""
    if again:
        pattern += " − {} stated twice"
        said.append(again)
        names = dict.fromkeys(each.load.name for each in twice)
        note = f"counted once: {', '.join(names)}"
    if maybe:
        names = dict.fromkeys(each.load.name for each in doubtful)
        note = notes_joined(note, f"perhaps stated twice: {', '.join(names)}")
    if unknown:
        note = notes_joined(note, f"no current is known of {', '.join(unknown)}")
    return Figure(
        name,
        value,
        "A",
        min(low, value),
        max(high, value),
        f"{pattern} = {{}} A",
        (*said, value),
        weakest((Status.DERIVED, *(part.status for part in parts))),
        (),
        note,
        tuple(parts),
    )


_Behind = list[tuple[CavityLoads, list[CavityLoads]]]


def _behind(held: Sequence[CavityLoads], tree: FeedTree) -> _Behind:
    """Return the cavities with loads that have others with loads behind them."""
    reached = {each.cavity.id: each for each in held}
    found: _Behind = []
    for each in held:
        others = [
            reached[other]
            for other in tree.below(each.entry)
            if other != each.cavity.id and other in reached
        ]
        if others:
            found.append((each, others))
    return found


def _stated_twice(
    held: Sequence[CavityLoads], behind: _Behind, tree: FeedTree
) -> list[_Twice]:
    """Find the loads of one cavity that another one states again."""
    found: list[_Twice] = []
    used: set[CavityId] = set()
    for each, others in behind:
        for other in others:
            # What somebody adds at a tab is never what the fuse's own list means.
            same = [] if other.cavity.kind == "tab" else _matching(each, other)
            found += same
            if same:
                used.add(other.cavity.id)
    for relay in held:
        if relay.cavity.kind not in _PASSES_ON or relay.cavity.id in used:
            continue
        for other in held:
            if other.cavity.kind not in ("fuse", "breaker"):
                continue
            if _feeds(other, relay, tree) or _feeds(relay, other, tree):
                continue
            same = _matching(relay, other)
            found += same
            if same:
                break
    return found


def _doubtful(behind: _Behind, twice: Sequence[_Twice]) -> list[_Twice]:
    """Find the loads that may mean what stands behind them, though no word says so."""
    known = [each.load for each in twice]
    found: list[_Twice] = []
    for each, others in behind:
        left = sum(
            other.own.worst.value
            for other in others
            if other.own and other.cavity.kind != "tab"
        )
        for load, figure in zip(each.cavity.loads, each.currents, strict=True):
            if figure is None or left <= 0 or any(load is one for one in known):
                continue
            found.append(_Twice(load, min(figure.value, left)))
            left -= found[-1].amps_a
    return found


def _feeds(upper: CavityLoads, lower: CavityLoads, tree: FeedTree) -> bool:
    return lower.cavity.id in tree.below(upper.entry)


def _matching(one: CavityLoads, other: CavityLoads) -> list[_Twice]:
    """Return the loads of one cavity that mean the same as a load of another."""
    left = sum(figure.value for figure in other.currents if figure is not None)
    found = []
    for load, figure in zip(one.cavity.loads, one.currents, strict=True):
        if figure is None or left <= 0:
            continue
        if _names_place(load.name, other.cavity) or any(
            _same_load(load.name, each.name) for each in other.cavity.loads
        ):
            amps_a = min(figure.value, left)
            left -= amps_a
            found.append(_Twice(load, amps_a))
    return found


def _names_place(text: str, cavity: Cavity) -> bool:
    return any(
        len(name) > 1 and re.search(rf"\b{re.escape(name)}\b", text)
        for name in cavity.designations
    )


@lru_cache(maxsize=4096)
def _words(text: str) -> frozenset[str]:
    words = re.findall(r"[a-z]+", text.casefold())
    plain = (word.removesuffix("s") for word in words if len(word) > 1)
    return frozenset(plain) - _WORDS_OF_NO_CIRCUIT


def _same_load(one: str, other: str) -> bool:
    first, second = _words(one), _words(other)
    return bool(first and second) and (first <= second or second <= first)
