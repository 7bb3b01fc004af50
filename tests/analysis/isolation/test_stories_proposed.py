"""The five searches again, from the complaint on, by what is proposed alone.

The outside source is tests/data/stories.json: the complaint, the fault that was found
in the end, and how many readings it took. The car answers with the fault in it; the
search may not take more readings than the story did.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import pytest

from blockmap.analysis.isolation.answering import answered
from blockmap.analysis.isolation.belief import Belief, believe
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.identity import Mover, mix_ups
from blockmap.analysis.isolation.isolate import isolate
from blockmap.analysis.isolation.network import GROUND, Network, State
from blockmap.analysis.isolation.next_reading import choices
from blockmap.analysis.isolation.observations import Observation, observations
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.solve import Changes, solve
from blockmap.analysis.isolation.suspects import Suspect, suspects_of
from blockmap.analysis.isolation.tables import Circuits
from blockmap.analysis.isolation.trial import Trial
from blockmap.model.document import Evidence, Map, Reading
from tests.analysis.isolation.oracle import Oracle
from tests.analysis.isolation.sample_cars import bare, from_book, shipped, with_readings
from tests.analysis.isolation.test_stories import STORIES, lamps_map, wiper_map

Answer = Callable[[Trial, Belief, str], Observation]


def story_readings(story: str, steps: Sequence[int]) -> int:
    """Return the readings of a story, told by how many each of its steps holds."""
    assert len(STORIES[story]["steps"]) == len(steps)
    return sum(steps)


@dataclass
class Search:
    """A search on a map: what has been seen, and how many tests were proposed."""

    document: Map
    seen: list[Observation] = field(default_factory=list)
    made: int = 0

    def begin(self, readings: Sequence[Reading]) -> None:
        """Note what is known at the start."""
        found = observations(self.network, with_readings(self.document, readings))
        assert not found.unused
        self.seen = list(found.used)

    @property
    def network(self) -> Network:
        return network_of(self.document)

    def follow(self, answer: Answer, done: Callable[[Suspect], bool]) -> Suspect:
        """Make what is proposed until the likeliest suspect will do."""
        circuits = Circuits(self.network)
        while True:
            belief = believe(circuits, self.document, self.seen)
            first = suspects_of(belief, self.document)[0]
            if done(first):
                return first
            offered = choices(belief)
            assert offered, [each.text for each in self.seen]
            assert self.made < 12, [each.text for each in self.seen]
            self.seen.append(answer(offered[0].trial, belief, str(self.made)))
            self.made += 1


@pytest.mark.parametrize(
    ("story", "steps", "stem", "load", "state", "faults"),
    [
        # 9.5 and 0.1 V; 11.9 V; 1.9 V; 0.45 and 0.05 V.
        ("T2", (2, 1, 1, 2), "demo", "blower, high", "RUN",
         (("F11.feed", 0.106), ("F11.load", 0.025))),
        # 9.8 and 11.7 V; 1.3 V; 0.8 V, at 3.8 A.
        ("T3", (2, 1, 1), "saloon-ceramic-row", "left low beam", "HEAD LOW",
         (("1.feed", 1.3 / 3.8), ("1.load", 0.8 / 3.8))),
    ],
)  # fmt: skip
def test_two_bad_contacts_of_one_fuse(
    story: str,
    steps: tuple[int, ...],
    stem: str,
    load: str,
    state: str,
    faults: tuple[tuple[str, float], ...],
) -> None:
    search = Search(bare(shipped(stem)))
    search.begin(
        [
            Reading(point=load, seen="dim", states=(state,)),
            Reading(point="battery", value=12.6, states=(state,)),
        ]
    )
    network = search.network
    oracle = Oracle(
        network,
        tuple((network.by_name[n], "added resistance", ohms) for n, ohms in faults),
    )
    found = search.follow(
        oracle.answer, lambda first: first.probability > 0.9 and bool(first.second)
    )
    assert {*found.elements, *found.second} == {name for name, _ in faults}
    assert search.made <= story_readings(story, steps)


def test_the_fuse_that_was_counted_from_the_wrong_end() -> None:
    search = Search(wiper_map())
    search.begin(
        [
            Reading(point="rear wiper", seen="dead", states=("RUN",)),
            Reading(point="washer pump", seen="dead", states=("RUN",)),
            Reading(point="1", seen="whole"),
        ]
    )
    network = search.network
    pump = network.by_name["washer pump"]
    oracle = Oracle(network, ((pump, "short to ground", 0.0),))
    wrong = mix_ups(network, search.document, search.seen)[0]
    mover = Mover(network)

    def from_the_left(trial: Trial, belief: Belief, key: str) -> Observation:
        """Answer for the cavity that is touched: 16 where 1 is said."""
        state = trial.state._replace(out=mover.out(wrong, trial.state.out))
        if trial.kind == "load":
            return answered(trial, belief, key, seen=oracle.load(state, trial.load))
        if trial.kind in ("looked", "in place"):
            (element,) = mover.out(wrong, frozenset({trial.element}))
            if trial.kind == "looked":
                return answered(trial, belief, key, seen=oracle.looked(element))
            share = lamp_share(network, element, state, oracle.fault)
            word = "dead" if share < 0.2 else "dim" if share < 0.86 else "bright"
            return answered(trial, belief, key, seen=word)
        assert trial.point is not None
        point, other = trial.point, trial.against
        node = mover.node(wrong, point.node, point.cavity, point.contact)
        against = GROUND
        if other is not None:
            against = mover.node(wrong, other.node, other.cavity, other.contact)
        value = oracle.volts(state, node, against)
        return answered(trial, belief, key, value_v=round(value, 3))

    search.follow(
        from_the_left,
        lambda first: "wrong end" in first.identity and first.probability > 0.3,
    )
    belief = believe(Circuits(network), search.document, search.seen)
    mixed = [
        c for f, c in zip(belief.faults, belief.chances, strict=True) if f.identity
    ]
    assert sum(mixed) > 0.9
    # The row is counted from the right now, and what was read is put where it was.
    search.seen = [mover.observation(wrong, each) for each in search.seen]
    cavities = {
        identity: replace(
            cavity, evidence={**cavity.evidence, "moulded": Evidence(how="seen")}
        )
        for identity, cavity in search.document.cavities.items()
    }
    search.document = replace(search.document, cavities=cavities)
    # The story ends at the pump and its branch: the lamp tells no more without tools.
    found = search.follow(
        oracle.answer,
        lambda first: (
            "washer pump" in first.elements[0]
            and first.fault == "short to ground"
            and first.probability > 0.4
        ),
    )
    assert found.places[0][0] == "panel/1"
    # Both ends of the leftmost fuse; of the rightmost; two lamps.
    assert search.made <= story_readings("T5", (2, 2, 2))


def test_the_park_lamp_fuse_that_blows_on_bumps() -> None:
    search = Search(lamps_map())
    search.begin(
        [
            Reading(point="left front park", seen="dead", states=("OFF",)),
            Reading(point="U6", seen="blown"),
        ]
    )
    network = search.network
    chafed = network.by_name["wire C301.pin"]
    oracle = Oracle(network, ((chafed, "short to ground", 0.0),))
    found = search.follow(oracle.answer, lambda first: first.probability > 0.9)
    assert found.fault == "short to ground"
    assert all("trailer" in name or "C301" in name for name in found.elements)
    # Lamp with the switch off; on, shaken; C300 out; the trailer out.
    assert search.made <= story_readings("T7", (1, 2, 1, 0))


def test_what_to_do_with_the_lamp_is_said_in_short() -> None:
    document = lamps_map()
    readings = [
        Reading(point="left front park", seen="dead", states=("OFF",)),
        Reading(point="U6", seen="blown"),
        Reading(point="U6", meter="lamp in place", states=("OFF",), seen="bright"),
    ]
    found = isolate(with_readings(document, readings))
    said = [each.do for each in found.following if each.kind == "in place" and each.out]
    assert said
    assert all(each.endswith("unplugged") for each in said)
    several = [each for each in found.following if len(each.loads_on) > 6]
    assert all("all its loads on" in each.do for each in several)
    assert several


def test_the_engine_that_runs_on_with_wrong_labels() -> None:
    truth = bare(shipped("home-built-special"))
    cavities = {
        identity: from_book(cavity, "circuit", "loads")
        for identity, cavity in truth.cavities.items()
    }
    five, seven = cavities["panel/5"], cavities["panel/7"]
    cavities["panel/5"] = replace(five, loads=seven.loads, circuit=seven.circuit)
    cavities["panel/7"] = replace(seven, loads=five.loads, circuit=five.circuit)
    search = Search(replace(truth, cavities=cavities))
    # "Owner pulled the fuse labelled FAN (position 7): no change."
    off: tuple[str, ...] = ("OFF",)
    search.begin(
        [
            Reading(point="ignition coil", seen="runs", states=off),
            Reading(point="ignition coil", seen="runs", states=off, out=("7",)),
        ]
    )
    car = network_of(truth)
    fan = car.loads["cooling fan"]

    def volts(state: State, names: Sequence[str], point: str, against: str) -> float:
        out = frozenset(car.by_name[name] for name in names)
        state = state._replace(out=out)
        changes = Changes()
        if not state.words & {"RUN", "START"}:
            # "9 V falling": the coasting fan gives three quarters of the supply.
            changes = Changes(
                closed=frozenset({fan.control} - out),
                ohms={fan.element: 0.15 * car.elements[fan.element].ohms},
                sources={fan.element: -0.75 * car.volts},
            )
        solved = solve(car, state, changes)
        below = car.points[against].node if against else GROUND
        return solved.reading(car.points[point].node, below)

    def answer(trial: Trial, belief: Belief, key: str) -> Observation:
        names = [belief.network.elements[index].name for index in trial.state.out]
        if trial.kind == "load":
            ground = f"ground of {trial.load}"
            shown = volts(trial.state, names, trial.load, ground)
            word = "live" if abs(shown) > 6 else "dead"
            return answered(trial, belief, key, seen=word)
        assert trial.point is not None, trial
        other = trial.against.name if trial.against else ""
        shown = volts(trial.state, names, trial.point.name, other)
        return answered(trial, belief, key, value_v=round(shown, 2))

    found = search.follow(answer, lambda first: first.probability > 0.9)
    assert found.elements == ("cooling fan",)
    assert found.fault == "feeds current back"
    assert "5" in found.identity
    assert "7" in found.identity
    assert "swapped" in found.identity
    # 7 pulled, and 5; 4.F watched; and again with 5 out. Loads that are tried while
    # the same fuse is out count once, as the story has it.
    handled = {
        (each.state.words, each.state.out) if each.kind == "load" else each.key
        for each in search.seen[2:]
    }
    assert len(handled) <= story_readings("T10", (2, 1, 1))
