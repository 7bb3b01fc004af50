"""Two faults at once: none is lost because only the likeliest are looked at closely.

The oracle is the same search with every pair looked at closely.
"""

from __future__ import annotations

import random
from itertools import combinations, pairwise

import pytest

from blockmap.analysis.isolation import weighing
from blockmap.analysis.isolation.belief import believe
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.network import GROUND, Network
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.tables import Circuits
from blockmap.analysis.isolation.trial import Trial, load_state
from blockmap.model.document import Map
from tests.analysis.isolation.oracle import Oracle
from tests.analysis.isolation.sample_cars import bare, ladder_map, shipped


def every_reading(
    circuits: Circuits, document: Map, oracle: Oracle, load: str
) -> list[Observation]:
    """Return volts at each point on the way to a load, and the drops between them."""
    network = circuits.network
    belief = believe(circuits, document, [])
    place = network.loads[load]
    state = load_state(belief, place)
    nodes = [place.minus, place.plus]
    nodes += [network.elements[index].a for index in network.way_up(place.plus)]
    at = [n for n in nodes if n in network.points_at and n != GROUND]
    points = [network.points_at[n][0] for n in at]
    trials = [Trial(kind="volts", state=state, minutes=1, point=p) for p in points]
    trials += [
        Trial(kind="drop", state=state, minutes=1, point=upper, against=lower)
        for lower, upper in pairwise(points)
    ]
    return [oracle.answer(t, belief, str(k)) for k, t in enumerate(trials)]


def weighed(
    circuits: Circuits, seen: list[Observation], *, pruned: bool
) -> dict[frozenset[int], float]:
    """Return the weight of each pair, by its parts, as the search reckons it."""
    with pytest.MonkeyPatch.context() as patch:
        if not pruned:
            patch.setattr(weighing, "PAIRS_CLOSELY", 10**6)
            patch.setattr(weighing, "PAIRS_WITHIN", 1e9)
        scores = weighing.score(circuits, seen, lambda fault: 0.0, pairs=True)
    found: dict[frozenset[int], float] = {}
    for fault, log in zip(scores.faults, scores.logs, strict=True):
        if fault.second >= 0:
            parts = frozenset((fault.element, fault.second))
            found[parts] = max(found.get(parts, -1e9), log)
    return found


def pairs_on_the_way(network: Network, load: str) -> list[tuple[int, int]]:
    """Return every two parts on the way to a load that readings can tell apart."""
    belief = believe(Circuits(network), Map(), [])
    place = network.loads[load]
    way = [i for i in network.way_up(place.plus) if i > 1]
    way.append(next(i for i, e in enumerate(network.elements) if e.a == place.minus))
    firsts = sorted({belief.group(Fault(index, "open")).element for index in way})
    return list(combinations(firsts, 2))


@pytest.mark.parametrize(
    ("document", "load", "most"),
    [(ladder_map(), "lamp 1", 200), (bare(shipped("demo")), "blower, high", 16)],
    ids=["ladder", "demo"],
)
def test_no_true_pair_is_lost(document: Map, load: str, most: int) -> None:
    network = network_of(document)
    circuits = Circuits(network)
    pairs = pairs_on_the_way(network, load)
    rng = random.Random(4)
    small = len(pairs) <= most
    for one, other in pairs if small else rng.sample(pairs, most):
        faults = tuple(
            (part, "added resistance", rng.uniform(0.15, 1.0)) for part in (one, other)
        )
        seen = every_reading(circuits, document, Oracle(network, faults, rng), load)
        every = weighed(circuits, seen, pruned=False)
        some = weighed(circuits, seen, pruned=True)
        best = max(every, key=lambda parts: every[parts])
        assert max(some, key=lambda parts: some[parts]) == best
        assert some[best] == pytest.approx(every[best], abs=1e-6)
        if small:
            belief = believe(circuits, document, seen)
            first = belief.faults[0]
            both = {first.element, first.second} - {-1}
            found = {belief.group(Fault(part, "open")).element for part in both}
            assert found == {one, other}, [network.elements[i].name for i in both]
