"""What is open, by logic alone, against the naive enumeration of every possibility."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.logic import (
    Tick,
    possible,
    shared_elements,
    ticks,
)
from blockmap.analysis.isolation.network import GROUND, Element, Network, State
from blockmap.analysis.isolation.observations import observations
from blockmap.model.document import Reading
from tests.analysis.isolation.sample_cars import bare, shipped, with_readings


def random_network(rng: random.Random) -> Network:
    """Return a circuit of a battery, some loops, some self-joined and bare parts."""
    nodes = rng.randrange(4, 20)
    elements = [
        Element(name="g", kind="battery ground", a=GROUND, b=1, ohms=0.001),
        Element(name="b", kind="battery", a=1, b=2, ohms=0.01, volts=12.6),
    ]
    for number in range(rng.randrange(3, 40)):
        a, b = rng.randrange(nodes), rng.randrange(nodes)
        if rng.random() < 0.6:
            a, b = rng.randrange(2, nodes), rng.randrange(2, nodes)
        live = frozenset({"RUN"}) if rng.random() < 0.2 else None
        elements.append(
            Element(name=f"e{number}", kind="wire", a=a, b=b, ohms=0.1, live=live)
        )
    return Network(
        elements=tuple(elements), nodes=nodes, points={}, loads={}, volts=12.6
    )


def has_supply(network: Network, tick: Tick, opened: tuple[int, ...]) -> bool:
    """Tell by flooding from ground whether all nodes of a tick are joined to it."""
    reached = {GROUND}
    grew = True
    while grew:
        grew = False
        for index, element in enumerate(network.elements):
            if index in opened or not network.conducts(index, tick.state):
                continue
            if (element.a in reached) != (element.b in reached):
                reached |= {element.a, element.b}
                grew = True
    return all(node in reached for node in tick.nodes)


@pytest.mark.parametrize("seed", range(500))
def test_singles_and_pairs_equal_the_naive_enumeration(seed: int) -> None:
    # Oracle: every single part and every pair opened in turn, and the graph flooded.
    rng = random.Random(seed)
    network = random_network(rng)
    states = [State(frozenset({"RUN"})), State(frozenset({"OFF"}))]
    facts = []
    truth = tuple(rng.sample(range(len(network.elements)), rng.choice((1, 1, 2))))
    for _ in range(rng.randrange(0, 6)):
        node = rng.randrange(1, network.nodes)
        tick = Tick(rng.choice(states), (node,), True)
        alive = has_supply(network, tick, truth)
        if rng.random() < 0.1:
            alive = not alive  # a reading that contradicts the rest
        facts.append(Tick(tick.state, tick.nodes, alive))

    def explains(opened: tuple[int, ...]) -> bool:
        return all(has_supply(network, t, opened) == t.alive for t in facts)

    numbers = range(len(network.elements))
    found = possible(network, facts)
    assert found.singles == {i for i in numbers if explains((i,))}
    assert found.pairs == {pair for pair in combinations(numbers, 2) if explains(pair)}


def test_no_observation_leaves_every_part_possible() -> None:
    network = network_of(bare(shipped("demo")))
    assert len(possible(network, []).singles) == len(network.elements)


def test_two_loads_dead_together_point_to_what_they_share() -> None:
    # Source: the rules of the trade, "two loads dead together point to what they
    # share"; common practice.
    document = with_readings(
        bare(shipped("demo")),
        [
            Reading(point="gauges", seen="dead", states=("RUN",)),
            Reading(point="warning lamps", seen="dead", states=("RUN",)),
            Reading(point="heated mirrors", seen="works", states=("RUN",)),
        ],
    )
    network = network_of(document)
    facts = ticks(network, observations(network, document).used)
    words = {
        network.elements[shared.element].name: shared.word
        for shared in shared_elements(network, facts)
    }
    assert words["F7 fuse"] == "suspect"
    assert words["wire F7.load"] == "suspect"
    assert words["supply wire of strip RUN"] == "cleared"
    assert words["ground of gauges"] == "open"
    order = [network.elements[s.element].name for s in shared_elements(network, facts)]
    assert order.index("battery") < order.index("F7.feed") < order.index("F7.load")


def test_each_part_says_in_a_sentence_why_it_stands_where_it_does() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            Reading(point="gauges", seen="dead", states=("RUN",)),
            Reading(point="warning lamps", seen="dim", states=("RUN",)),
            Reading(point="heated mirrors", seen="works", states=("RUN",)),
        ],
    )
    network = network_of(document)
    facts = ticks(network, observations(network, document).used)
    why = {
        network.elements[shared.element].name: shared.why
        for shared in shared_elements(network, facts)
    }
    assert why["F7 fuse"] == (
        "on the way to gauges and warning lamps, and to nothing that works"
    )
    assert why["battery"] == "on the way to heated mirrors too, seen working"
    assert why["ground of gauges"] == (
        "on the way to gauges, but not to warning lamps, dead as well"
    )


def test_a_sound_ground_is_not_taken_for_a_dead_load() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            Reading(point="ground of gauges", value=0.1, states=("RUN",)),
            Reading(point="F7.load", value=0.0, states=("RUN",)),
        ],
    )
    network = network_of(document)
    (fact,) = ticks(network, observations(network, document).used)
    assert fact.name.startswith("load contact of F7")
    assert not fact.alive
