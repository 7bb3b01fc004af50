"""Lists what may be wrong: every part open, with added resistance, or on ground.

Odds come from the kind of part and from what was noted of its condition; they are
worth no more than their sources, see `assumptions`.
"""

from __future__ import annotations

from typing import NamedTuple

from blockmap.analysis.isolation.assumptions import (
    BACK_FED,
    CONDITION_FAULTS,
    IDENTITY,
    OPEN,
    RESISTANCE,
    SEVERITY_ODDS,
    SHORT,
    STUCK,
)
from blockmap.analysis.isolation.network import Element, Network

__all__ = [
    "NOTHING",
    "Fault",
    "contact_pairs",
    "fault_words",
    "odds_of",
    "single_faults",
]


class Fault(NamedTuple):
    """One thing that may be wrong; ``second`` is another part with the same fate.

    ``identity`` counts the mix-ups of names under which it is looked at, 0 for none.
    """

    element: int = -1
    kind: str = "none"
    second: int = -1
    second_kind: str = ""
    identity: int = 0


NOTHING = Fault()
_MOTORS = ("fan", "blower", "motor", "pump", "wiper")
_DONE = ("fitted", "proved", "retired")


def single_faults(network: Network) -> list[tuple[Fault, float]]:
    """Return every single fault with its odds, in the order of the network."""
    found = []
    for index, element in enumerate(network.elements):
        for kind in (OPEN, RESISTANCE, SHORT):
            odds = odds_of(network, element, kind)
            if odds > 0:
                found.append((Fault(index, kind), odds))
    return found


def odds_of(network: Network, element: Element, kind: str) -> float:
    """Return the odds of a fault of an element, by its kind and noted condition."""
    place = (OPEN, RESISTANCE, SHORT).index(kind)
    odds = network.assumed.odds[element.kind][place] * element.odds
    condition = element.condition
    if condition is None or condition.stage in _DONE:
        return odds
    if condition.state == "sound":
        return odds * 0.3
    meant = CONDITION_FAULTS.get(condition.state, ())
    if kind in meant:
        return odds * SEVERITY_ODDS[condition.severity]
    return odds


def contact_pairs(network: Network) -> list[tuple[int, int, float]]:
    """Return the two contacts of each fuse with the odds of both being spoilt.

    Heat at one contact spoils the other through the fuse between them.
    """
    at: dict[str, dict[str, int]] = {}
    for index, element in enumerate(network.elements):
        if element.kind == "contact" and element.contact in ("feed", "load"):
            at.setdefault(element.cavity, {})[element.contact] = index
    pairs = []
    for places in at.values():
        if len(places) == 2:
            feed, load = places["feed"], places["load"]
            odds = odds_of(network, network.elements[feed], RESISTANCE)
            odds = max(odds, odds_of(network, network.elements[load], RESISTANCE))
            pairs.append((feed, load, odds * network.assumed.second_contact))
    return pairs


def odd_supplies(network: Network) -> list[tuple[Fault, float]]:
    """Return what can make a contact live when it should be dead, with odds."""
    found = []
    for index, element in enumerate(network.elements):
        if element.kind == "switch":
            found.append((Fault(index, STUCK), 1.0))
    for at in network.loads.values():
        words = at.name.casefold()
        motor = any(word in words for word in _MOTORS)
        found.append((Fault(at.element, BACK_FED), 1.5 if motor else 0.5))
    return found


_KIND_WORDS = {
    OPEN: "open",
    RESISTANCE: "added resistance",
    SHORT: "short to ground",
    STUCK: "closed when it should be open",
    BACK_FED: "feeds current back",
    IDENTITY: "another cavity than its name says",
    "none": "nothing wrong",
}


def fault_words(kind: str) -> str:
    """Return a fault in words."""
    return _KIND_WORDS[kind]


def in_series(network: Network) -> list[int]:
    """Return for each element the first one that no reading tells it from.

    Two elements in series without a point between them, and with nothing else joined
    there, answer every reading alike.
    """
    joined: dict[int, list[int]] = {}
    dead_ends = _dead_ends(network)
    for index, element in enumerate(network.elements):
        if index not in dead_ends:
            joined.setdefault(element.a, []).append(index)
            joined.setdefault(element.b, []).append(index)
    first = list(range(len(network.elements)))

    def top(index: int) -> int:
        while first[index] != index:
            index = first[index]
        return index

    for node, found in joined.items():
        if node != 0 and len(found) == 2 and node not in network.points_at:
            one, other = sorted(top(index) for index in found)
            first[other] = one
    return [top(index) for index in range(len(network.elements))]


def _dead_ends(network: Network) -> set[int]:
    """Return the elements beyond which there is neither a load nor a point."""
    found: set[int] = set()
    at = [dict(ends) for ends in network.joined]
    waiting = [node for node, ends in enumerate(at) if len(ends) == 1]
    while waiting:
        node = waiting.pop()
        if node == 0 or node in network.points_at or len(at[node]) != 1:
            continue
        index, other = at[node].popitem()
        found.add(index)
        del at[other][index]
        waiting.append(other)
    return found
