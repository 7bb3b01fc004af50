"""Tells when the last readings are those of a car that has been mended.

No single fault explains readings from before and after a repair together. When the
last ones fit a sound car, and those before them one fault that the last contradict,
they prove the repair. A fault that comes and goes looks the same: it is said that the
readings fit, not that the car is sound.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from blockmap.analysis.isolation.belief import Belief, believe
from blockmap.analysis.isolation.likelihood import Weigher
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.tables import Circuits, Table
from blockmap.analysis.isolation.weighing import probes_of
from blockmap.model.document import Map

__all__ = ["amiss", "before_repair"]

_SURE = 0.9


def before_repair(
    circuits: Circuits,
    document: Map,
    observed: Sequence[Observation],
    stop: Callable[[], bool],
) -> tuple[Belief, tuple[Observation, ...]] | None:
    """Return what was believed before the repair, and the readings that prove it.

    None when the last readings prove none.
    """
    first = max(amiss(circuits, observed), default=-1) + 1
    if not 0 < first < len(observed):
        return None
    before, since = observed[:first], tuple(observed[first:])
    belief = believe(circuits, document, before, stop)
    fault = belief.faults[0]
    sure = sum(
        chance
        for other, chance in zip(belief.faults, belief.chances, strict=True)
        if belief.group(other) == belief.group(fault)
    )
    if belief.misfits or fault.element < 0 or sure < _SURE:
        return None
    return belief, since


def amiss(circuits: Circuits, observed: Sequence[Observation]) -> list[int]:
    """Return the numbers of the observations that a sound car contradicts."""
    network = circuits.network
    found = [k for k, each in enumerate(observed) if each.seen == "broken"]
    metered = [
        k for k, each in enumerate(observed) if each.kind in ("volts", "lamp", "load")
    ]
    if metered:
        seen = [observed[k] for k in metered]
        sound = Table(circuits, probes_of(seen), [0]).sound
        weigher = Weigher(network.assumed, network.volts, seen, sound)
        found += [metered[k] for k in weigher.misfits(sound)]
    return found
