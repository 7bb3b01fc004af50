"""Measures fault isolation; run as python -m tests.benchmarks.isolation [LAYOUT]...

For each layout every single fault is simulated: each part open, with 1 to 20 ohm
added, and on ground. A person complains of the first load that fails; then an oracle
answers the proposed tests with the noise of a meter until one group of suspects is
left that nothing tells apart. Printed per layout: the share of runs that end at the
true fault, the mean number of readings beside log2 of the groups that share the
complaint, and the readings it takes to go through the points from supply to load.

--all takes every fault, otherwise an even part of them.
"""

from __future__ import annotations

import math
import random
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from blockmap.analysis.isolation.answering import answered
from blockmap.analysis.isolation.assumptions import RESISTANCE, SHORT
from blockmap.analysis.isolation.belief import Belief, believe
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.faults import Fault, single_faults
from blockmap.analysis.isolation.isolate import SETTLED
from blockmap.analysis.isolation.network import GROUND
from blockmap.analysis.isolation.next_reading import choices
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.tables import Circuits
from blockmap.analysis.isolation.trials import Trial, load_state
from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from tests.analysis.isolation.oracle import Oracle
from tests.benchmarks.synthetic import fed_map, synthetic_map

LAYOUTS = (
    "demo",
    "saloon-ceramic-row",
    "hatchback-right-to-left",
    "pickup-power-box",
    "van-two-columns",
    "home-built-special",
)
MOST_READINGS = 25


def complaint(oracle: Oracle, circuits: Circuits, document: Map) -> Observation | None:
    """Return what the person complains of: the first load that fails."""
    belief = believe(circuits, document, [])
    for name, place in oracle.network.loads.items():
        state = load_state(belief, place)
        seen = oracle.load(state, name)
        if seen != "live":
            trial = Trial(kind="load", state=state, minutes=1.0, load=name)
            return answered(trial, belief, "complaint", seen=seen)
    return None


Chooser = Callable[[Belief], Trial | None]


def best(belief: Belief) -> Trial | None:
    """Choose by readings alone."""
    found = choices(belief, free=True)
    return found[0].trial if found else None


def least_work(belief: Belief) -> Trial | None:
    """Choose as the program does: doubt taken away for the work."""
    found = choices(belief)
    return found[0].trial if found else None


def in_order(belief: Belief) -> Trial | None:
    """Choose the next point on the way from the supply to the load."""
    network = belief.network
    seen = belief.observed[0]
    nodes = [network.elements[i].a for i in network.way_up(seen.point)][::-1]
    done = {(each.point, each.against) for each in belief.observed[1:]}
    path = [*nodes, seen.point, seen.against]
    for node in path:
        for point in network.points_at.get(node, ())[:1]:
            if node != GROUND and (node, GROUND) not in done:
                return Trial(kind="volts", state=seen.state, minutes=1, point=point)
    for upper, lower in pairwise(path):
        ends = [network.points_at.get(node, ())[:1] for node in (upper, lower)]
        if all(ends) and (upper, lower) not in done:
            (one,), (other,) = ends
            return Trial(
                kind="drop", state=seen.state, minutes=1, point=one, against=other
            )
    found = [c.trial for c in choices(belief) if c.trial.kind in ("looked", "in place")]
    return found[0] if found else None


@dataclass
class Run:
    """How one search went."""

    readings: int
    right: bool
    minutes: float
    name: str
    group: Fault
    top: str


def search(
    oracle: Oracle,
    circuits: Circuits,
    document: Map,
    first: Observation,
    choose: Chooser,
) -> Run:
    """Search until one group of suspects is left."""
    seen = [first]
    minutes = 0.0
    while True:
        belief = believe(circuits, document, seen)
        chance: dict[Fault, float] = {}
        for fault, weight in zip(belief.faults, belief.chances, strict=True):
            group = belief.group(fault)
            chance[group] = chance.get(group, 0.0) + weight
        top = max(chance, key=lambda each: chance[each])
        trial = None
        if chance[top] < SETTLED and len(seen) <= MOST_READINGS:
            trial = choose(belief)
        if trial is None:
            break
        minutes += trial.minutes
        seen.append(oracle.answer(trial, belief, str(len(seen))))
    true = belief.group(oracle.fault)
    names = oracle.network.elements
    said = f"{names[top.element].name} {top.kind}" if top.element >= 0 else "nothing"
    right = same(oracle, top, true)
    index, kind, ohms = oracle.faults[0]
    name = f"{names[index].name} {kind} {ohms:.2g}"
    return Run(len(seen) - 1, right, minutes, name, true, f"{said} {chance[top]:.2f}")


def same(oracle: Oracle, top: Fault, true: Fault) -> bool:
    """Tell whether the search ended at the true part."""
    if oracle.fault.kind == SHORT or top.kind == SHORT:
        return top == true
    return top.element == true.element and top.second < 0


def report(stem: str, document: Map, every: bool, most: int) -> None:
    """Print the report of one layout."""
    network = network_of(document)
    rng = random.Random(7)
    singles = [fault for fault, _ in single_faults(network)]
    if not every and len(singles) > most:
        singles = rng.sample(singles, most)
    results: dict[str, list[Run]] = {}
    complaints: dict[str, set[Fault]] = {}
    groups: set[Fault] = set()
    shared: list[str] = []
    unnoticed = 0
    circuits = Circuits(network)
    start = time.process_time()
    for fault in (fault for fault, _ in single_faults(network)):
        ohms = 10 ** rng.uniform(0, math.log10(20))
        first = complaint(
            Oracle(network, ((*fault[:2], ohms),), rng), circuits, document
        )
        if first is not None:
            group = believe(circuits, document, []).group(fault)
            complaints.setdefault(f"{first.text}", set()).add(group)
            groups.add(group)
    for fault in singles:
        ohms = 10 ** rng.uniform(0, math.log10(20)) if fault.kind == RESISTANCE else 0.0
        oracle = Oracle(network, ((*fault[:2], ohms),), rng)
        first = complaint(oracle, circuits, document)
        if first is None:
            unnoticed += 1
            continue
        shared.append(first.text)
        for name, choose in (
            ("fewest", best),
            ("least work", least_work),
            ("in order", in_order),
        ):
            run = search(oracle, circuits, document, first, choose)
            results.setdefault(name, []).append(run)
    took = time.process_time() - start
    bound = statistics.fmean(
        math.log2(max(len(complaints.get(c, ())), 1)) for c in shared
    )
    print(
        f"{stem}: {len(network.elements)} elements, {len(groups)} groups "
        f"(log2 {math.log2(len(groups)):.2f}); {len(shared)} faults tried, "
        f"{unnoticed} without a complaint; {took:.0f} s"
    )
    for name, runs in results.items():
        right = sum(run.right for run in runs) / len(runs)
        mean = statistics.fmean(run.readings for run in runs)
        minutes = statistics.fmean(run.minutes for run in runs)
        print(
            f"  {name:11} right {right:6.1%}  readings {mean:5.2f}  "
            f"log2 of the groups of the complaint {bound:5.2f}  ×{mean / bound:4.2f}  "
            f"{minutes:5.1f} min of work"
        )
        for run in [run for run in runs if not run.right][:12]:
            print(f"      missed {run.name}: said {run.top} after {run.readings}")


def timings(size: int = 60) -> None:
    """Print the times at about 500 elements."""
    document = synthetic_map(size)
    network = network_of(document)
    print(f"{len(network.elements)} elements, {len(network.loads)} loads")
    rng = random.Random(3)
    spent: dict[str, list[float]] = {"singles and next": [], "singles": []}
    faults = [fault for fault, _ in single_faults(network)]
    for fault in rng.sample(faults, min(40, len(faults))):
        oracle = Oracle(network, ((*fault[:2], 3.0),), rng)
        first = complaint(oracle, Circuits(network), document)
        if first is None:
            continue
        begun = time.process_time()
        belief = believe(Circuits(network), document, [first])
        middle = time.process_time()
        choices(belief)
        spent["singles and next"].append(time.process_time() - begun)
        spent["singles"].append(middle - begun)
    for name, times in spent.items():
        if times:
            middle_ms = 1000 * statistics.median(times)
            print(f"  {name:18} {middle_ms:6.0f} ms, worst {1000 * max(times):6.0f} ms")


def pair_timings(size: int = 46, runs: int = 20) -> None:
    """Print how often two faults on one way are both found, and the time it takes.

    Every point of the way has been read, which is the most there is to weigh.
    """
    document = fed_map(size)
    network = network_of(document)
    rng = random.Random(5)
    taken, right = [], 0
    for _ in range(runs):
        circuits = Circuits(network)
        load = rng.choice(list(network.loads.values()))
        way = [index for index in network.way_up(load.plus) if index > 1]
        one, other = rng.sample(way, 2)
        faults = [
            (index, RESISTANCE, 10 ** rng.uniform(-0.5, 1)) for index in (one, other)
        ]
        oracle = Oracle(network, tuple(faults), rng)
        base = believe(circuits, document, [])
        state = load_state(base, load)
        nodes = [load.minus, load.plus, *(network.elements[i].a for i in way)]
        points = [network.points_at[n][0] for n in nodes if n in network.points_at]
        trials = [Trial(kind="volts", state=state, minutes=1, point=p) for p in points]
        trials += [
            Trial(kind="drop", state=state, minutes=1, point=far, against=near)
            for near, far in pairwise(points)
        ]
        seen = [oracle.answer(t, base, str(k)) for k, t in enumerate(trials)]
        begun = time.process_time()
        belief = believe(circuits, document, seen)
        taken.append(time.process_time() - begun)
        top = belief.faults[0]
        first = belief.first_of
        found = {first[index] for index in (top.element, top.second) if index >= 0}
        right += found == {first[one], first[other]}
    print(
        f"  singles and pairs  {1000 * statistics.median(taken):6.0f} ms, worst "
        f"{1000 * max(taken):6.0f} ms at {len(network.elements)} elements; "
        f"{right} of {runs} pairs found"
    )


def main(arguments: list[str]) -> None:
    """Print the reports that were asked for."""
    every = "--all" in arguments
    named = [each for each in arguments if not each.startswith("--")]
    most = next((int(each[7:]) for each in arguments if each.startswith("--most=")), 90)
    for stem in named or LAYOUTS:
        path = Path("layouts") / f"{stem}.blockmap.yaml"
        report(stem, read_map(path.read_bytes(), path.name).document, every, most)
    if not named or "--times" in arguments:
        timings()
        pair_timings()


if __name__ == "__main__":
    main(sys.argv[1:])
