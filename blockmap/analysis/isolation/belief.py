"""Holds what is believed after the readings: each fault with its chance and sizes.

It also says which readings the likeliest fault contradicts, and predicts what any
other reading would show under each fault.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.assumptions import (
    BACK_FED,
    OPEN,
    SHORT,
    STUCK,
    Access,
)
from blockmap.analysis.isolation.faults import Fault, in_series
from blockmap.analysis.isolation.identity import MixUp, Mover, mix_ups
from blockmap.analysis.isolation.likelihood import Weigher, lamp_chances
from blockmap.analysis.isolation.network import Network
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.odd_weighing import odd_rows, odd_scores
from blockmap.analysis.isolation.short_finding import ends_at_load, lamp_share
from blockmap.analysis.isolation.tables import Circuits, Probe, Table
from blockmap.analysis.isolation.weighing import (
    Sample,
    Scores,
    Sizes,
    probes_of,
    score,
)
from blockmap.model.document import Map

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Belief", "Predictor", "believe", "looked_chance"]

_ELECTRICAL = ("volts", "lamp", "load")
_IN_PLACE = ("bright", "dim", "dead")


def _never() -> bool:
    return False


@dataclass(slots=True)
class Belief:
    """The faults by chance, likeliest first, with samples of their sizes.

    ``misfits`` are the observations that even the likeliest fault contradicts.
    """

    circuits: Circuits
    observed: tuple[Observation, ...]
    faults: list[Fault]
    chances: list[float]
    sizes: list[Sizes]
    mix_ups: tuple[MixUp, ...]
    misfits: tuple[Observation, ...]
    first_of: list[int]
    """For each element the first that answers alike."""
    hanging: frozenset[int]
    """Nodes behind a block that was read from behind: it hangs from then on."""

    @property
    def network(self) -> Network:
        """The sound circuit."""
        return self.circuits.network

    def samples(self, number: int) -> list[Sample]:
        """Return the sizes that a fault may have, by its number."""
        return [Sample(number, *sample[1:]) for sample in self.sizes[number]()]

    def group(self, fault: Fault) -> Fault:
        """Return the fault that stands for all that no reading tells from this."""
        first = self.first_of
        if fault.element < 0:
            return fault
        second = first[fault.second] if fault.second >= 0 else -1
        one = first[fault.element]
        if fault.kind == SHORT:
            opened = self.network.protector(fault.element)
            if self.network.elements[opened].kind not in ("fuse", "breaker"):
                # No lamp goes in its place: it has burnt open, and that is all.
                return fault._replace(element=first[opened], kind=OPEN)
            one = self._short_place(fault.element)
        return fault._replace(element=one, second=second)

    def _short_place(self, index: int) -> int:
        """Return the first element whose short no lamp tells from this one's.

        Below a fuse, what is switched and what is unplugged parts one touch of ground
        from another.
        """
        network = self.network
        while network.elements[index].kind != "load":
            upper = network.above[network.elements[index].a]
            if upper < 0 or parts_shorts(network, upper):
                break
            index = upper
        return index


def parts_shorts(network: Network, index: int) -> bool:
    """Tell whether an element can be opened with a lamp in the fuse's place."""
    element = network.elements[index]
    if element.kind in ("wire", "supply wire"):
        return " to " in element.name and not ends_at_load(network, index)
    kinds = ("fuse", "breaker", "link", "battery", "control", "switch", "connector")
    return element.kind in kinds


def looked_chance(network: Network, fault: Fault, element: int, seen: str) -> float:
    """Return the chance that a part looks broken or whole under a fault.

    A whole fuse is hardly ever called blown, a crack under a cap easily missed; a bad
    contact is seen in most cases only. Common practice, no source.
    """
    is_fuse = network.elements[element].kind in ("fuse", "link", "breaker")
    hit = element in (fault.element, fault.second)
    if is_fuse:
        opened = fault.kind == OPEN and fault.element == element
        opened |= fault.second_kind == OPEN and fault.second == element
        if fault.kind == SHORT:
            opened |= network.protector(fault.element) == element
        broken = 0.95 if opened else 0.002
    else:
        broken = 0.6 if hit else 0.03
    return broken if seen == "broken" else 1.0 - broken


def _looked(
    network: Network, others: Sequence[Observation]
) -> Callable[[Fault], float]:
    """Return the logarithm of the likelihood of what was looked at, by fault."""
    import numpy as np

    def log(fault: Fault) -> float:
        total = 0.0
        for each in others:
            if each.kind == "looked":
                total += math.log(
                    looked_chance(network, fault, each.element, each.seen)
                )
                continue
            share = lamp_share(network, each.element, each.state, fault)
            chances = lamp_chances(np.array([share]))[0]
            total += math.log(float(chances[_IN_PLACE.index(each.seen)]))
        return total

    return log


def believe(
    circuits: Circuits,
    document: Map,
    observed: Sequence[Observation],
    stop: Callable[[], bool] = _never,
) -> Belief:
    """Return what is believed after these observations.

    Raises Stopped when ``stop`` says that the answer is no longer wanted.
    """
    network = circuits.network
    electrical = [each for each in observed if each.kind in _ELECTRICAL]
    others = [each for each in observed if each.kind not in _ELECTRICAL]
    mixed = mix_ups(network, document, observed)
    scores = score(circuits, electrical, _looked(network, others), stop=stop)
    mover = Mover(network)
    for number, mix_up in enumerate(mixed, start=1):
        moved = [mover.observation(mix_up, each) for each in electrical]
        looked = [mover.observation(mix_up, each) for each in others]
        if moved == electrical and looked == others:
            continue
        more = score(
            circuits,
            moved,
            _looked(network, looked),
            identity=number,
            odds=mix_up.odds,
            stop=stop,
        )
        scores.join(more)
        scores.join(
            odd_scores(circuits, moved, _looked(network, looked), number, mix_up.odds)
        )
    scores.join(odd_scores(circuits, electrical, _looked(network, others)))
    belief = _belief(circuits, observed, scores, mixed)
    belief.misfits = _misfits(belief, electrical)
    if belief.misfits:
        paired = score(
            circuits, electrical, _looked(network, others), pairs=True, stop=stop
        )
        scores.join(paired, pairs_only=True)
        belief = _belief(circuits, observed, scores, mixed)
        belief.misfits = _misfits(belief, electrical)
    return belief


def _belief(
    circuits: Circuits,
    observed: Sequence[Observation],
    scores: Scores,
    mixed: tuple[MixUp, ...],
) -> Belief:
    import numpy as np

    logs = np.array(scores.logs)
    weight = np.exp(logs - logs.max())
    weight /= weight.sum()
    # Alike to the last bits is alike: then as the circuit lists them.
    order = np.argsort(-np.round(logs - logs.max(), 6), kind="stable")
    return Belief(
        circuits,
        tuple(observed),
        [scores.faults[k] for k in order],
        [float(weight[k]) for k in order],
        [scores.sizes[k] for k in order],
        mixed,
        (),
        in_series(circuits.network),
        _hanging(circuits.network, observed),
    )


def _hanging(network: Network, observed: Sequence[Observation]) -> frozenset[int]:
    """Return the nodes that are in reach since their block was taken down."""
    read = {n for o in observed if o.kind != "load" for n in (o.point, o.against)}
    behind = [p for p in network.points.values() if p.access == Access.REAR]
    down = {p.cavity.rpartition("/")[0] for p in behind if p.node in read}
    return frozenset(p.node for p in behind if p.cavity.rpartition("/")[0] in down)


def _misfits(
    belief: Belief, electrical: Sequence[Observation]
) -> tuple[Observation, ...]:
    """Return what the likeliest fault contradicts, at its best size."""
    if not electrical:
        return ()
    mover = Mover(belief.network)
    fault = belief.faults[0]
    seen = list(electrical)
    if fault.identity:
        mix_up = belief.mix_ups[fault.identity - 1]
        seen = [mover.observation(mix_up, each) for each in seen]
    probes = probes_of(seen)
    table = Table(belief.circuits, probes)
    network = belief.network
    weigher = Weigher(network.assumed, network.volts, seen, table.sound)
    rows = Predictor(belief, belief.samples(0)).shown(probes, straight=True)
    best = min((weigher.misfits(row) for row in rows), key=len)
    return tuple(electrical[k] for k in best)


class Predictor:
    """What readings show under samples of faults, one row a sample."""

    def __init__(self, belief: Belief, samples: Sequence[Sample]) -> None:
        self.belief = belief
        self.samples = tuple(samples)
        self._plain: dict[int, list[int]] = {}
        self._odd: dict[int, list[int]] = {}
        for row, sample in enumerate(self.samples):
            fault = belief.faults[sample.fault]
            if fault.kind in (STUCK, BACK_FED):
                self._odd.setdefault(sample.fault, []).append(row)
            else:
                self._plain.setdefault(fault.identity, []).append(row)

    def shown(
        self,
        probes: Sequence[Probe],
        moved: Callable[[MixUp, int], Probe] | None = None,
        *,
        straight: bool = False,
    ) -> Floats:
        """Return the readings of probes, in volts.

        ``moved`` gives the probe that is really made under a mix-up, by its number;
        ``straight`` takes the probes as they are, whatever the mix-up.
        """
        import numpy as np

        belief = self.belief
        rows = np.zeros((len(self.samples), len(probes)))

        def made(identity: int) -> Sequence[Probe]:
            if not identity or straight or moved is None:
                return probes
            mix_up = belief.mix_ups[identity - 1]
            return [moved(mix_up, k) for k in range(len(probes))]

        for identity, chosen in self._plain.items():
            rows[chosen] = self._plain_rows(made(identity), chosen)
        for number, chosen in self._odd.items():
            fault = belief.faults[number]
            shares = [self.samples[row].size for row in chosen]
            here = made(fault.identity)
            rows[chosen] = odd_rows(belief.circuits, here, fault, shares)
        return rows

    def _plain_rows(self, probes: Sequence[Probe], chosen: Sequence[int]) -> Floats:
        import numpy as np

        picked = [self.samples[row] for row in chosen]
        elements = sorted({e for s in picked for e in (s.first, s.second) if e >= 0})
        table = Table(self.belief.circuits, probes, elements or [0])
        rows = np.tile(table.sound, (len(picked), 1))
        one = [k for k, s in enumerate(picked) if s.first >= 0 and s.second < 0]
        two = [k for k, s in enumerate(picked) if s.second >= 0]
        if one:
            rows[one] = table.one(
                np.array([picked[k].first for k in one]),
                np.array([picked[k].ohms1 for k in one]),
            )
        if two:
            rows[two] = table.two(
                np.array([picked[k].first for k in two]),
                np.array([picked[k].ohms1 for k in two]),
                np.array([picked[k].second for k in two]),
                np.array([picked[k].ohms2 for k in two]),
            )
        return rows
