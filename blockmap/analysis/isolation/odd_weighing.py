"""Weighs supplies that the map does not show: stuck switches, loads that feed back."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.assumptions import BACK_FED, STUCK
from blockmap.analysis.isolation.faults import Fault, odd_supplies
from blockmap.analysis.isolation.likelihood import Weigher
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.solve import Changes
from blockmap.analysis.isolation.tables import Circuits, Probe
from blockmap.analysis.isolation.weighing import Sample, Scores, probes_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["odd_rows", "odd_scores"]

_SHARES = tuple(k / 40 for k in range(3, 39))
"""Shares of the supply that a motor may give back while it runs down."""


def odd_scores(
    circuits: Circuits,
    observed: Sequence[Observation],
    others: Callable[[Fault], float],
    identity: int = 0,
    mixed: float = 1.0,
) -> Scores:
    """Weigh stuck switches and loads that feed back, where something is live amiss."""
    scores = Scores()
    network = circuits.network
    sound = [circuits.at(o.state).reading(o.point, o.against) for o in observed]
    amiss = []
    for each, volts in zip(observed, sound, strict=True):
        is_dead = abs(volts) < 0.05 * abs(network.volts)
        is_shown = abs(each.value) > 0.08 * abs(network.volts)
        live = each.seen in ("live", "dim")
        if is_dead and (is_shown if each.kind == "volts" else live):
            amiss.append(each)
    if not amiss:
        return scores
    import numpy as np

    weigher = Weigher(network.assumed, network.volts, observed, np.array(sound))
    probes = probes_of(observed)
    victims = {each.contacts[0] for each in amiss if each.kind == "load"}
    own = {network.loads[v].element for v in victims if v in network.loads}
    for fault, odds in odd_supplies(network):
        if fault.kind == BACK_FED and fault.element in own:
            continue  # what runs on is not what feeds
        shares = _SHARES if fault.kind == BACK_FED else (1.0,)
        shown = odd_rows(circuits, probes, fault, shares)
        logs = weigher.log_likelihood(shown)
        top = float(logs.max())
        evidence = top + math.log(float(np.exp(logs - top).mean()))
        weight = np.exp(logs - top)
        weight /= weight.sum()
        sizes = [
            Sample(0, float(w), fault.element, size=share)
            for share, w in zip(shares, weight, strict=True)
            if w > 0.02
        ]
        named = fault._replace(identity=identity)
        log = evidence + math.log(mixed * odds) + others(fault)
        scores.add(named, log, partial(list, sizes))
    return scores


def odd_rows(
    circuits: Circuits, probes: Sequence[Probe], fault: Fault, shares: Sequence[float]
) -> Floats:
    """Return the readings with a switch stuck, or a load that gives volts back.

    One row for each share of the supply that the load gives.
    """
    import numpy as np

    ends = [_ends(circuits, probe, fault) for probe in probes]
    none = np.array([none for none, _ in ends])
    whole = np.array([whole for _, whole in ends])
    # Two sources in a circuit of resistors add up.
    rows: Floats = none + np.array(shares)[:, None] * (whole - none)
    return rows


def _ends(circuits: Circuits, probe: Probe, fault: Fault) -> tuple[float, float]:
    """Return what a probe shows when nothing and when all the volts are given back."""
    network = circuits.network
    name = (fault.element, fault.kind)
    if fault.kind == STUCK:
        changes = Changes(closed=frozenset({fault.element} - probe.state.out))
        solved = circuits.changed(probe.state, name, changes)
        shown = solved.reading(probe.point, probe.against)
        return shown, shown
    at = network.load_of[fault.element]
    sound = circuits.at(probe.state)
    fed = network.elements[at.control].a
    if abs(sound.reading(fed)) > 0.3 * abs(network.volts):
        # It is fed as it should be: then it draws and does not give.
        shown = sound.reading(probe.point, probe.against)
        return shown, shown
    ends = []
    for part in (0.0, 1.0):
        changes = Changes(
            closed=frozenset({at.control} - probe.state.out),
            ohms={at.element: 0.15 * network.elements[at.element].ohms},
            sources={at.element: -part * network.volts},
        )
        solved = circuits.changed(probe.state, (*name, part), changes)
        ends.append(solved.reading(probe.point, probe.against))
    return ends[0], ends[1]
