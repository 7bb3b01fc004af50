"""Weighs every fault against the observations: how likely is each after all of them.

Single faults come first, with the two contacts of one fuse, which heat spoils
together. Two faults of any parts are weighed when no single one agrees with every
reading. Parts that answer all readings alike are weighed once, so no pair is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from blockmap.analysis.isolation.assumptions import OPEN, RESISTANCE, SHORT
from blockmap.analysis.isolation.faults import (
    NOTHING,
    Fault,
    contact_pairs,
    single_faults,
)
from blockmap.analysis.isolation.likelihood import Scale, Weigher
from blockmap.analysis.isolation.network import Network
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.tables import OPEN_OHM, Circuits, Probe, Table

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]

__all__ = ["Sample", "Scores", "Sizes", "Stopped", "probes_of", "score"]

_QUANTILES = (0.1, 0.3, 0.5, 0.7, 0.9)
PAIRS_CLOSELY = 40
PAIRS_WITHIN = 30.0
"""So many of the likeliest pairs are looked at closely, so near to the likeliest."""


class Stopped(Exception):
    """The person has gone on: the answer is no longer wanted."""


class Sample(NamedTuple):
    """One size of a fault, with its share of the fault's weight."""

    fault: int
    share: float
    first: int = -1
    ohms1: float = 0.0
    second: int = -1
    ohms2: float = 0.0
    size: float = 0.0


Sizes = Callable[[], Sequence[Sample]]


@dataclass(slots=True)
class Scores:
    """Faults with the logarithm of their weights, and their sizes when asked for."""

    faults: list[Fault] = field(default_factory=list)
    logs: list[float] = field(default_factory=list)
    sizes: list[Sizes] = field(default_factory=list)

    def add(self, fault: Fault, log: float, sizes: Sizes) -> None:
        """Add one fault with its weight and sizes."""
        self.faults.append(fault)
        self.logs.append(log)
        self.sizes.append(sizes)

    def join(self, more: Scores, *, pairs_only: bool = False) -> None:
        """Add the faults of others, or only the pairs that are not here yet."""
        known = set(self.faults) if pairs_only else set()
        for fault, log, sizes in zip(more.faults, more.logs, more.sizes, strict=True):
            if not pairs_only or (fault.second >= 0 and fault not in known):
                self.add(fault, log, sizes)


def probes_of(observed: Sequence[Observation]) -> list[Probe]:
    """Return where electrical observations were made."""
    return [Probe(each.state, each.point, each.against) for each in observed]


def score(
    circuits: Circuits,
    observed: Sequence[Observation],
    others: Callable[[Fault], float],
    *,
    identity: int = 0,
    odds: float = 1.0,
    pairs: bool = False,
    stop: Callable[[], bool] = lambda: False,
) -> Scores:
    """Return every fault with its weight after the electrical observations.

    ``others`` gives the logarithm of the likelihood of all that was merely looked at.
    Raises Stopped when ``stop`` says so.
    """
    import numpy as np

    network = circuits.network
    table = Table(circuits, probes_of(observed))
    weigher = Weigher(network.assumed, network.volts, observed, table.sound)
    scores = Scores()
    base = math.log(odds)

    def put(fault: Fault, log: float, prior: float, sizes: Sizes) -> None:
        named = fault._replace(identity=identity) if identity else fault
        scores.add(named, base + math.log(prior) + log + others(fault), sizes)

    sound = float(weigher.log_likelihood(table.sound[None, :])[0])
    put(NOTHING, sound, network.assumed.nothing_wrong, _sound)
    every = np.arange(len(network.elements))
    opened = weigher.log_likelihood(table.one(every, np.full(len(every), OPEN_OHM)))
    added, sizes = _added(table, weigher, stop)
    for fault, prior in single_faults(network):
        index = fault.element
        if fault.kind == RESISTANCE:
            put(fault, added[index], prior, partial(sizes, index))
            continue
        at = network.protector(index) if fault.kind == SHORT else index
        put(fault, float(opened[at]), prior, partial(_opened, at))
    together = _Pairs(table, weigher, stop)
    if identity == 0:
        best = max(scores.logs)
        for feed, load, prior in contact_pairs(network):
            log, both = together.contacts(feed, load, best - math.log(prior) - 25.0)
            if both:
                put(
                    Fault(feed, RESISTANCE, load, RESISTANCE),
                    log,
                    prior,
                    partial(list, both),
                )
    if pairs:
        for fault, log, prior, both in together.any_two(network):
            put(fault, log, prior, partial(list, both))
    return scores


def _sound() -> Sequence[Sample]:
    return (Sample(0, 1.0),)


def _opened(at: int) -> Sequence[Sample]:
    return (Sample(0, 1.0, at, OPEN_OHM, size=math.inf),)


_SizesAt = Callable[[int], list[Sample]]


def _grid() -> Floats:
    import numpy as np

    return np.geomspace(Scale.LEAST, Scale.MOST, Scale.COARSE)


def _added(
    table: Table, weigher: Weigher, stop: Callable[[], bool]
) -> tuple[list[float], _SizesAt]:
    """Return the evidence of added resistance in each element, and its sizes."""
    import numpy as np

    grid = _grid()
    count, width = len(table.elements), len(grid)
    every = np.repeat(np.arange(count), width)
    shown = table.one(every, np.tile(grid, count))
    if stop():
        raise Stopped
    step = math.log(grid[1] / grid[0])
    coarse = weigher.log_likelihood(shown).reshape(count, width)
    rough = weigher.log_likelihood(shown, step / 2).reshape(count, width)
    evidence = _log_mean(coarse)
    best = rough.max(axis=1)
    near = np.flatnonzero(best > best.max() - 40.0)
    moving = np.ptp(rough[near], axis=1) > 0.5
    offsets = np.linspace(-1.0, 1.0, 41)
    fine: dict[int, tuple[Floats, Floats]] = {}
    chosen = near[moving]
    if len(chosen):
        peak = rough[chosen].argmax(axis=1)
        ohms = grid[peak][:, None] * np.exp(step * offsets)[None, :]
        rows = np.repeat(chosen, len(offsets))
        close = weigher.log_likelihood(table.one(rows, ohms.ravel()))
        close = close.reshape(len(chosen), len(offsets))
        span = math.log(Scale.MOST / Scale.LEAST)
        share = math.log(2 * step / span)
        for row, index in enumerate(chosen):
            refined = float(_log_mean(close[row : row + 1])[0]) + share
            if refined > evidence[index]:  # else many sizes do, not those of a peak
                fine[int(index)] = (ohms[row], close[row])
                evidence[index] = refined

    def sizes(index: int) -> list[Sample]:
        ohms, logs = fine.get(index, (grid, coarse[index]))
        return [
            Sample(0, 1.0 / len(_QUANTILES), index, size, size=size)
            for size in _quantiles(ohms, logs)
        ]

    return [float(value) for value in evidence], sizes


def _log_mean(logs: Floats) -> Floats:
    import numpy as np

    top = logs.max(axis=1, keepdims=True)
    mean: Floats = top[:, 0] + np.log(np.exp(logs - top).mean(axis=1))
    return mean


def _quantiles(ohms: Floats, logs: Floats) -> list[float]:
    import numpy as np

    weight = np.exp(logs - logs.max())
    share = np.cumsum(weight) / weight.sum()
    at = np.searchsorted(share, _QUANTILES)
    return [float(ohms[min(k, len(ohms) - 1)]) for k in at]


class _Pairs:
    """Weighs two faults together."""

    def __init__(
        self, table: Table, weigher: Weigher, stop: Callable[[], bool]
    ) -> None:
        import numpy as np

        self.table, self.weigher, self.stop = table, weigher, stop
        self.few = np.geomspace(Scale.LEAST, Scale.MOST, 14)
        self.step = math.log(self.few[1] / self.few[0])

    def _logs(
        self, one: int, other: int, ohms1: Floats, ohms2: Floats, coarse: float = 0.0
    ) -> Floats:
        import numpy as np

        first = np.full(len(ohms1), one)
        second = np.full(len(ohms1), other)
        shown = self.table.two(first, ohms1, second, ohms2)
        return self.weigher.log_likelihood(shown, coarse)

    def contacts(
        self, feed: int, load: int, least: float
    ) -> tuple[float, list[Sample]]:
        """Return the evidence of resistance at two contacts, and its sizes."""
        import numpy as np

        if not (self.table.change[[feed, load]] != 0).any():
            return -math.inf, []
        r1, r2 = (g.ravel() for g in np.meshgrid(self.few, self.few))
        logs = self._logs(feed, load, r1, r2, self.step / 2)
        return self._refined(feed, load, r1, r2, logs, least)

    def _refined(
        self, one: int, other: int, r1: Floats, r2: Floats, logs: Floats, least: float
    ) -> tuple[float, list[Sample]]:
        """Look closely round the best of coarse sizes, in two turns."""
        import numpy as np

        if logs.max() < least - 60.0:
            return -math.inf, []
        span = math.log(Scale.MOST / Scale.LEAST)
        width = self.step
        evidence = float(_log_mean(logs[None, :])[0])
        for last in (False, True):
            at = int(logs.argmax())
            offsets = np.exp(np.linspace(-width, width, 15))
            open1, open2 = r1[at] >= OPEN_OHM, r2[at] >= OPEN_OHM
            near1 = r1[at] * (np.ones(1) if open1 else offsets)
            near2 = r2[at] * (np.ones(1) if open2 else offsets)
            r1, r2 = (g.ravel() for g in np.meshgrid(near1, near2))
            logs = self._logs(one, other, r1, r2, 0.0 if last else width / 15.0)
            sized = (not open1) + (not open2)
            part = sized * math.log(2 * width / span)
            evidence = max(evidence, float(_log_mean(logs[None, :])[0]) + part)
            width /= 4.0
        if evidence < least:
            return -math.inf, []
        order = np.argsort(-logs)[:5]
        share = 1.0 / len(order)
        return evidence, [
            Sample(0, share, one, float(r1[k]), other, float(r2[k]), float(r1[k]))
            for k in order
        ]

    def any_two(
        self, network: Network
    ) -> Iterable[tuple[Fault, float, float, list[Sample]]]:
        """Yield the likely pairs of faults of any two parts with their evidence."""
        import numpy as np

        chosen, odds = self._different(network)
        sizes = np.append(self.few, OPEN_OHM)
        number = len(sizes)
        r1, r2 = (g.ravel() for g in np.meshgrid(sizes, sizes, indexing="ij"))
        found: list[tuple[float, int, int, Floats]] = []
        for k, one in enumerate(chosen):
            if self.stop():
                raise Stopped
            rest = chosen[k + 1 :]
            if not rest:
                break
            first = np.full(len(rest) * len(r1), one)
            second = np.repeat(np.array(rest), len(r1))
            shown = self.table.two(
                first, np.tile(r1, len(rest)), second, np.tile(r2, len(rest))
            )
            logs = self.weigher.log_likelihood(shown, self.step / 2)
            logs = logs.reshape(len(rest), -1)
            found += [
                (float(logs[row].max()), one, other, logs[row])
                for row, other in enumerate(rest)
            ]
        found.sort(key=lambda each: -each[0])
        total = sum(prior for _, prior in single_faults(network))
        for best, one, other, logs in found[:PAIRS_CLOSELY]:
            if best < found[0][0] - PAIRS_WITHIN:
                break
            grid = logs.reshape(number, number)
            for open1 in (False, True):
                for open2 in (False, True):
                    rows = slice(number - 1, None) if open1 else slice(0, -1)
                    columns = slice(number - 1, None) if open2 else slice(0, -1)
                    part = grid[rows, columns].ravel()
                    ra = r1.reshape(number, number)[rows, columns].ravel()
                    rb = r2.reshape(number, number)[rows, columns].ravel()
                    log, both = self._refined(one, other, ra, rb, part, -math.inf)
                    kinds = (
                        OPEN if open1 else RESISTANCE,
                        OPEN if open2 else RESISTANCE,
                    )
                    prior = 2 * odds[one, kinds[0]] * odds[other, kinds[1]] / total
                    prior *= network.assumed.pair_share
                    if both and prior > 0:
                        yield Fault(one, kinds[0], other, kinds[1]), log, prior, both

    def _different(
        self, network: Network
    ) -> tuple[list[int], dict[tuple[int, str], float]]:
        """Return one element of each set that answers all readings alike.

        The odds of a set are those of its members together.
        """
        import numpy as np

        table = self.table
        every = np.hstack((table.change, table.cut, table.amps, table.own))
        size = np.abs(every).max(axis=0)
        keys = np.round(every / np.where(size > 0, size, 1.0), 7) + 0.0
        likely = {(f.element, f.kind): odds for f, odds in single_faults(network)}
        moves = (table.change != 0).any(axis=1) | table.cut.any(axis=1)
        best: dict[bytes, int] = {}
        odds: dict[tuple[int, str], float] = {}
        for index in np.flatnonzero(moves):
            key = keys[index].tobytes()
            first = best.setdefault(key, int(index))
            for kind in (OPEN, RESISTANCE):
                here = likely.get((int(index), kind), 0.0)
                odds[first, kind] = odds.get((first, kind), 0.0) + here
        return list(best.values()), odds
