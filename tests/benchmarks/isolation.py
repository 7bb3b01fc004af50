"""Measures fault isolation; run as python -m tests.benchmarks.isolation [LAYOUT]...

For each layout every single fault is simulated: each part open, with 1 to 20 ohm
added, and on ground. A person complains of the first load that fails; then an oracle
answers the proposed tests with the noise of a meter until one group of suspects is
left that nothing tells apart. Printed per layout: the share of runs that end at the
true fault, and the mean number of readings beside the bound. The bound is log2 of the
groups that make the same complaint at any size: what is left to find out when the
search begins. Three ways of choosing: by readings alone, by work as the program does,
and going through the points from the supply to the load.

--most=N takes N faults of each layout, otherwise every one is tried.
"""

from __future__ import annotations

import math
import random
import statistics
import sys
import time
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from blockmap.analysis.isolation.answering import answered
from blockmap.analysis.isolation.assumptions import OPEN, RESISTANCE, SHORT
from blockmap.analysis.isolation.belief import Belief, believe
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.faults import Fault, single_faults
from blockmap.analysis.isolation.isolate import SETTLED
from blockmap.analysis.isolation.network import GROUND, Network, State
from blockmap.analysis.isolation.next_reading import choices
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.solve import Solved
from blockmap.analysis.isolation.tables import Circuits
from blockmap.analysis.isolation.trial import Trial, load_state
from blockmap.files.map_reader import read_map
from blockmap.model.document import Cavity, Contact, Map
from tests.analysis.isolation.oracle import Oracle
from tests.benchmarks.synthetic import fed_map

LAYOUTS = (
    "demo",
    "saloon-ceramic-row",
    "hatchback-right-to-left",
    "pickup-power-box",
    "van-two-columns",
    "home-built-special",
)
MOST_READINGS = 25
SIZES = tuple(20 ** (step / 4) for step in range(5))
"""Ohms from 1 to 20, in even ratios."""


def complaint(oracle: Oracle, before: Belief) -> Observation | None:
    """Return what the person complains of: the first load that fails."""
    for name, place in oracle.network.loads.items():
        state = load_state(before, place)
        seen = oracle.load(state, name)
        if seen != "live":
            trial = Trial(kind="load", state=state, minutes=1.0, load=name)
            return answered(trial, before, "complaint", seen=seen)
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


SELDOM = 4
"""Points are taken in order for one fault of four: it is only to compare with."""
CHOOSERS: dict[str, Chooser] = {
    "fewest": best,
    "least work": least_work,
    "in order": in_order,
}


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


def drawn(
    stem: str, network: Network, fault: Fault, sound: dict[State, Solved]
) -> Oracle:
    """Return the car with a fault; its size is drawn alike in every run."""
    rng = random.Random(zlib.crc32(f"{stem} {fault.element} {fault.kind}".encode()))
    ohms = 10 ** rng.uniform(0, math.log10(20)) if fault.kind == RESISTANCE else 0.0
    return Oracle(network, ((fault.element, fault.kind, ohms),), rng, sound)


def sharing(
    network: Network, before: Belief, sound: dict[State, Solved]
) -> dict[str, set[Fault]]:
    """Return for each complaint the groups of faults, of any size, that make it."""
    found: dict[str, set[Fault]] = {}
    for fault, _ in single_faults(network):
        for ohms in SIZES if fault.kind == RESISTANCE else (0.0,):
            what = (fault.element, fault.kind, ohms)
            oracle = Oracle(network, (what,), sound=sound)
            first = complaint(oracle, before)
            if first is not None:
                found.setdefault(first.text, set()).add(before.group(fault))
    return found


def report(stem: str, document: Map, most: int) -> None:
    """Print the report of one layout."""
    network = network_of(document)
    circuits = Circuits(network)
    start = time.process_time()
    singles = [fault for fault, _ in single_faults(network)]
    if 0 < most < len(singles):
        singles = random.Random(7).sample(singles, most)
    before = believe(circuits, document, [])
    sound: dict[State, Solved] = {}
    groups = sharing(network, before, sound)
    number = len(set().union(*groups.values()))
    results: dict[str, list[tuple[Fault, Run]]] = {name: [] for name in CHOOSERS}
    bounds: dict[Fault, float] = {}
    for fault in singles:
        oracle = drawn(stem, network, fault, sound)
        first = complaint(oracle, before)
        if first is None:
            continue
        own = before.group(fault)
        bounds[fault] = math.log2(len(groups.get(first.text, set()) | {own}))
        for name, choose in CHOOSERS.items():
            if name == "in order" and len(bounds) % SELDOM:
                continue
            run = search(oracle, circuits, document, first, choose)
            results[name].append((fault, run))
    took = time.process_time() - start
    print(
        f"{stem}: {len(network.elements)} elements, {number} groups "
        f"(log2 {math.log2(number):.2f}); {len(bounds)} faults tried, "
        f"{len(singles) - len(bounds)} without a complaint; {took:.0f} s"
    )
    for name, runs in results.items():
        print(f"  {name:11} {summary(runs, bounds)}")
        for kind in (OPEN, RESISTANCE, SHORT):
            part = [each for each in runs if each[0].kind == kind]
            print(f"    {kind:16} {len(part):4} {summary(part, bounds)}")
        for _, run in [each for each in runs if not each[1].right][:12]:
            print(f"      missed {run.name}: said {run.top} after {run.readings}")
    sys.stdout.flush()


def summary(runs: Sequence[tuple[Fault, Run]], bounds: Mapping[Fault, float]) -> str:
    """Return what some runs came to, in one line."""
    if not runs:
        return "none"
    right = statistics.fmean(run.right for _, run in runs)
    mean = statistics.fmean(run.readings for _, run in runs)
    bound = statistics.fmean(bounds[fault] for fault, _ in runs)
    minutes = statistics.fmean(run.minutes for _, run in runs)
    return (
        f"right {right:6.1%}  readings {mean:5.2f}  bound {bound:5.2f}  "
        f"×{mean / max(bound, 1e-9):4.2f}  {minutes:5.1f} min of work"
    )


def map_of_500() -> Map:
    """Return a map whose circuit has exactly 500 elements: 62 fuses, two plugs."""
    document = fed_map(62)
    kept = dict(list(document.cavities.items())[:62])
    block = next(iter(document.blocks))
    for number in (1, 2):
        plug = Cavity(
            id=f"{block}/C{number}", block=block, kind="terminal", own=f"C{number}",
            x_mm=5, y_mm=5, width_mm=4, height_mm=4, off_panel=True,
            contacts={"pin": Contact(fed_from=f"F{number}.load")},
        )  # fmt: skip
        kept[plug.id] = plug
    strips = {
        strip.id: replace(strip, members=members)
        for strip in document.strips.values()
        if (members := tuple(m for m in strip.members if f"{block}/{m[:-5]}" in kept))
    }
    return replace(document, cavities=kept, strips=strips)


def timings() -> None:
    """Print the times at 500 elements."""
    document = map_of_500()
    network = network_of(document)
    print(f"{len(network.elements)} elements, {len(network.loads)} loads")
    rng = random.Random(3)
    spent: dict[str, list[float]] = {"singles and next": [], "singles": []}
    faults = [fault for fault, _ in single_faults(network)]
    for fault in rng.sample(faults, min(40, len(faults))):
        oracle = Oracle(network, ((*fault[:2], 3.0),), rng)
        first = complaint(oracle, believe(Circuits(network), document, []))
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


def pair_timings(runs: int = 20) -> None:
    """Print how often two faults on one way are both found, and the time it takes.

    Every point of the way has been read, which is the most there is to weigh.
    """
    document = map_of_500()
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
    named = [each for each in arguments if not each.startswith("--")]
    most = next((int(each[7:]) for each in arguments if each.startswith("--most=")), 0)
    for stem in named or LAYOUTS:
        path = Path("layouts") / f"{stem}.blockmap.yaml"
        report(stem, read_map(path.read_bytes(), path.name).document, most)
    if not named or "--times" in arguments:
        timings()
        pair_timings()


if __name__ == "__main__":
    main(sys.argv[1:])
