"""The solver against ngspice, hand-worked ladders and itself solved anew."""

from __future__ import annotations

import random
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.graph import Rings, closed_with, rings_of
from blockmap.analysis.isolation.network import GROUND, Element, Network, State
from blockmap.analysis.isolation.solve import Changes, Solved, solve
from blockmap.analysis.isolation.tables import OPEN_OHM, Circuits, Probe, Table
from blockmap.model.document import Load, Map
from tests.analysis.isolation.sample_cars import bare, ladder_map, shipped

CARS = ("demo", "saloon-ceramic-row", "pickup-power-box", "home-built-special")
NGSPICE = shutil.which("ngspice")


def any_state(network: Network, rng: random.Random) -> State:
    loads = rng.sample(sorted(network.loads), min(6, len(network.loads)))
    return State(frozenset({rng.choice(["OFF", "RUN", "START"])}), frozenset(loads))


def spice_volts(
    network: Network, state: State, changes: Changes, folder: Path
) -> dict[int, float]:
    """Return the volts of every node as the general-purpose simulator gives them.

    Each node has 1 GΩ to ground, so that bare ends are defined.
    """
    lines = ["* circuit of a map"]
    for index, element in enumerate(network.elements):
        closed = index in changes.closed or network.conducts(index, state)
        if not closed or index in changes.opened:
            continue
        ohms = changes.ohms.get(index, element.ohms)
        if element.volts:
            lines.append(f"V{index} x{index} n{element.a} DC {element.volts!r}")
            lines.append(f"R{index} x{index} n{element.b} {ohms!r}")
        else:
            lines.append(f"R{index} n{element.a} n{element.b} {ohms!r}")
    for node, ohms in changes.shunts.items():
        lines.append(f"RS{node} n{node} n0 {ohms!r}")
    for node in range(1, network.nodes):
        lines.append(f"RG{node} n{node} n0 1e9")
    nodes = " ".join(f"v(n{node})" for node in range(1, network.nodes))
    control = f".control\nset numdgt=12\nop\nprint {nodes}\n.endc\n.end\n"
    text = "\n".join(lines).replace(" n0 ", " 0 ")
    text = re.sub(r"\bn0\b", "0", text)
    deck = folder / "car.cir"
    deck.write_text(f"{text}\n.options reltol=1e-9 gmin=1e-15\n{control}")
    assert NGSPICE is not None
    done = subprocess.run(
        [NGSPICE, "-b", str(deck)], capture_output=True, text=True, check=False
    )
    found = re.findall(r"v\(n(\d+)\) = (\S+)", done.stdout)
    assert len(found) == network.nodes - 1, done.stdout + done.stderr
    return {int(node): float(volts) for node, volts in found}


@pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
@pytest.mark.parametrize("stem", CARS)
def test_every_node_is_as_in_an_independent_simulator(
    stem: str, tmp_path: Path
) -> None:
    # Source: ngspice, an independent circuit simulator, operating point analysis.
    network = network_of(bare(shipped(stem)))
    rng = random.Random(stem)
    for _ in range(6):
        state = any_state(network, rng)
        elements = range(2, len(network.elements))
        changes = Changes(
            ohms={rng.choice(elements): rng.uniform(0.1, 20)},
            opened=frozenset({rng.choice(elements)}),
            shunts={rng.randrange(1, network.nodes): 0.05},
        )
        solved = solve(network, state, changes)
        volts = spice_volts(network, state, changes, tmp_path)
        for node in range(1, network.nodes):
            assert solved.reading(node) == pytest.approx(volts[node], abs=2e-4)


def test_a_ladder_worked_by_hand() -> None:
    """Two equal lamps on one strip, worked with Ohm's law on paper.

    A lamp of 6 A at 12 V, at 12.6 V of a full battery: 2.1 Ω. In series with it: two
    contacts of 2 mΩ, the 10 A fuse of 7.7 mΩ, 2 m of 1.5 mm² at 13.3 mΩ/m, its
    control 10 mΩ and its ground 5 mΩ: 2.1533 Ω for the first. The second has the
    strip of 0.3 mΩ besides. Before them: battery ground 1 mΩ, battery 10 mΩ, the
    switch 6 mΩ, the supply 1.5 m of 4 mm² at 4.95 mΩ/m.
    """
    network = network_of(ladder_map())
    state = State(frozenset({"RUN"}), frozenset({"lamp 1", "lamp 2"}))
    branch1 = 2.1 + 0.002 + 0.0077 + 0.002 + 2 * 0.0133 + 0.010 + 0.005
    branch2 = branch1 + 0.0003
    before = 0.001 + 0.010 + 0.006 + 1.5 * 0.00495
    both = branch1 * branch2 / (branch1 + branch2)
    strip = 12.6 * both / (both + before)
    lamp = strip / branch1 * 2.1
    solved = solve(network, state)

    def volts(name: str) -> float:
        return solved.reading(network.points[name].node)

    assert volts("F1.feed") == pytest.approx(strip, abs=1e-9)
    place = network.loads["lamp 1"]
    assert solved.reading(place.plus, place.minus) == pytest.approx(lamp, abs=1e-9)
    fuse = network.by_name["F1 fuse"]
    assert solved.amps(fuse) == pytest.approx(strip / branch1, abs=1e-9)


def test_with_positive_ground_every_live_reading_is_negative() -> None:
    state = State(frozenset({"RUN"}), frozenset({"lamp 1"}))
    plain = network_of(ladder_map())
    turned = network_of(ladder_map("positive ground"))
    for name, point in plain.points.items():
        there = solve(turned, state).reading(turned.points[name].node)
        assert there == pytest.approx(-solve(plain, state).reading(point.node))
        assert there <= 0


def test_with_the_key_off_nothing_on_the_strip_is_live() -> None:
    network = network_of(ladder_map())
    solved = solve(network, State(frozenset({"OFF"}), frozenset({"lamp 1"})))
    assert solved.reading(network.points["F1.b1"].node) == 0
    assert solved.reading(network.points["battery"].node) == pytest.approx(12.6)


def test_behind_an_open_fuse_a_meter_shows_nothing() -> None:
    network = network_of(ladder_map())
    state = State(frozenset({"RUN"}), frozenset())
    solved = solve(
        network, state, Changes(opened=frozenset({network.by_name["F1 fuse"]}))
    )
    before, behind = (network.points[f"F1.{name}"].node for name in ("b1", "b2"))
    assert solved.reading(before) == pytest.approx(12.6)
    assert solved.reading(behind) == 0
    # No current drives a meter across a gap whose far side hangs in the air.
    assert solved.reading(before, behind) == 0


def random_network(rng: random.Random) -> Network:
    """Return any circuit of up to 40 parts, with loops and bare ends."""
    nodes = rng.randrange(4, 18)
    elements = [
        Element(name="g", kind="battery ground", a=GROUND, b=1, ohms=0.001),
        Element(name="b", kind="battery", a=1, b=2, ohms=0.01, volts=12.6),
    ]
    for number in range(rng.randrange(4, 38)):
        a, b = rng.sample(range(nodes), 2)
        ohms = 10 ** rng.uniform(-3, 2)
        elements.append(Element(name=f"e{number}", kind="wire", a=a, b=b, ohms=ohms))
    return Network(
        elements=tuple(elements), nodes=nodes, points={}, loads={}, volts=12.6
    )


def anew(network: Network, changed: dict[int, float]) -> Solved:
    ohms = {i: network.elements[i].ohms + r for i, r in changed.items() if r < OPEN_OHM}
    opened = frozenset(i for i, r in changed.items() if r >= OPEN_OHM)
    return solve(network, State(), Changes(ohms=ohms, opened=opened))


def test_single_and_paired_faults_equal_a_solution_anew() -> None:
    rng = random.Random(5)
    for _ in range(60):
        network = random_network(rng)
        probes = [
            Probe(State(), *rng.sample(range(network.nodes), 2)) for _ in range(8)
        ]
        table = Table(Circuits(network), probes)
        every = np.arange(len(network.elements))
        points = np.array([probe.point for probe in probes])
        against = np.array([probe.against for probe in probes])
        for ohms in (0.05, 3.0, OPEN_OHM):
            shown = table.one(every, np.full(len(every), ohms))
            for index in every:
                there = anew(network, {int(index): ohms}).readings(points, against)
                # An open part is one of 10 MΩ, and what cancels there is lost: still
                # far below the step of a meter.
                close = 5e-4 if ohms == OPEN_OHM else 1e-6
                assert shown[index] == pytest.approx(there, abs=close)
        pairs = [rng.sample(range(len(every)), 2) for _ in range(30)]
        first, second = (np.array(side) for side in zip(*pairs, strict=True))
        shown = table.two(first, np.full(30, 0.7), second, np.full(30, 4.0))
        for row, (one, other) in enumerate(pairs):
            there = anew(network, {one: 0.7, other: 4.0}).readings(points, against)
            assert shown[row] == pytest.approx(there, abs=1e-6)


def parts_of(rings: Rings) -> set[frozenset[int]]:
    """Return which nodes lie on one ring; those without a way to ground together."""
    found: dict[int, set[int]] = {}
    for node, ring in enumerate(rings.ring):
        found.setdefault(ring, set()).add(node)
    return {frozenset(nodes) for nodes in found.values()}


def test_closing_edges_gives_the_rings_of_the_whole_walked_anew() -> None:
    rng = random.Random(9)
    followed = 0
    for _ in range(300):
        network = random_network(rng)
        count = len(network.elements)
        later = rng.sample(range(2, count), rng.randrange(1, 4))
        before = bytearray(int(index not in later) for index in range(count))
        base = rings_of(network.joined, before)
        ends = [(network.elements[k].a, network.elements[k].b) for k in later]
        closed = closed_with(base, ends)
        if closed is None:  # one of them hung in the air
            continue
        anew = rings_of(network.joined, b"\x01" * count)
        assert parts_of(closed) == parts_of(anew)
        assert closed.bridges == anew.bridges
        followed += any(a != b for a, b in ends)
    assert followed > 100


def landing_map(lands: str, lands_at: str = "") -> Map:
    """Return four fuses of 6 A each on one strip that is fed as said."""
    two = ladder_map()
    first = two.cavities["p/F1"]
    cavities = {
        f"p/F{n}": replace(
            first,
            id=f"p/F{n}",
            own=f"F{n}",
            x_mm=20.0 * n,
            loads=(Load(name=f"bulb {n}", amps_a=6.0),),
        )
        for n in (1, 2, 3, 4)
    }
    strip = replace(
        two.strips["p/S"],
        members=tuple(f"F{n}.feed" for n in (1, 2, 3, 4)),
        lands=lands,
        lands_at=lands_at,
    )
    return replace(two, cavities=cavities, strips={strip.id: strip})


@pytest.mark.parametrize(
    ("lands", "near", "parted", "dark"),
    [
        # A chain parted between two links loses what lies beyond the parting, seen
        # from where it is fed. Kirchhoff's current law; no table.
        ("middle", "", "landing to F3", {3, 4}),
        ("middle", "", "landing to F2", {1, 2}),
        ("hidden at the rear", "", "landing to F2", {1, 2}),
        ("hidden at the rear", "F2.feed", "F2 to F3", {3, 4}),
        ("middle", "F1.feed", "landing to F1", {1}),
        ("end", "F4.feed", "landing to F4", {1, 2, 3, 4}),
        ("end", "F1.feed", "F2 to F3", {3, 4}),
    ],
)
def test_metal_parted_beside_the_landing_loses_what_lies_beyond(
    lands: str, near: str, parted: str, dark: set[int]
) -> None:
    network = network_of(landing_map(lands, near))
    state = State(frozenset({"RUN"}), frozenset())
    whole = solve(network, state)
    number = network.by_name[f"strip S, {parted}"]
    broken = solve(network, state, Changes(opened=frozenset({number})))
    nodes = {n: network.points[f"F{n}.load"].node for n in (1, 2, 3, 4)}
    assert all(whole.reading(node) > 12 for node in nodes.values())
    assert {n for n, node in nodes.items() if broken.reading(node) < 0.1} == dark


def test_a_hidden_landing_whose_place_is_not_noted_says_so() -> None:
    hidden = network_of(landing_map("hidden at the rear"))
    assert any("lands is not noted" in note for note in hidden.notes)
    known = network_of(landing_map("hidden at the rear", "F2.feed"))
    assert not any("lands is not noted" in note for note in known.notes)
