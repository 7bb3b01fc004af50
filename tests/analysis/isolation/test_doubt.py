"""The doubt that a reading takes away, against the same reckoned cell by cell."""

from __future__ import annotations

import math
import random
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.doubt import Suspects, bits_of_volts
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.weighing import Sample


def suspects(chances: list[float], sizes: list[int]) -> Suspects:
    """Return so many faults of these chances, each of so many sizes."""

    def samples(number: int) -> list[Sample]:
        return [Sample(number, 1.0, number)] * sizes[number]

    belief = SimpleNamespace(
        chances=chances,
        faults=[Fault(number // 2, "open") for number in range(len(chances))],
        group=lambda fault: fault,  # two faults of one part are one group
        samples=samples,
    )
    return Suspects(cast(Belief, belief))


def overlap(low: float, high: float, bin_: int) -> float:
    return max(min(high, bin_ + 1) - max(low, bin_), 0.0)


def by_cells(found: Suspects, column: list[float]) -> float:
    """Return the bits of one reading from the chance of each group in each step.

    Source: mutual information is the doubt in the reading less the doubt in it once
    the group is known; a fault of unknown size is even between its neighbours.
    """
    bins = int(max(column)) + 6
    cells = np.zeros((len(found.groups), bins))
    for low, high, weight in zip(*found.spans(), strict=True):
        ends = sorted((column[low], column[high]))
        start, end = ends[0] + 0.5, ends[1] + 1.5
        for bin_ in range(bins):
            share = weight * overlap(start, end, bin_) / (end - start)
            cells[found.row_group[low], bin_] += share

    def doubt(chances: list[float]) -> float:
        return -sum(p * math.log2(p) for p in chances if p > 0)

    whole = doubt(cells.sum(axis=0).tolist())
    return whole + doubt(found.chance.tolist()) - doubt(cells.ravel().tolist())


def test_the_bits_of_a_reading_are_those_reckoned_cell_by_cell() -> None:
    rng = random.Random(8)
    for _ in range(40):
        number = rng.randrange(2, 9)
        chances = [rng.uniform(0.01, 1.0) for _ in range(number)]
        sizes = [rng.choice((1, 5)) for _ in range(number)]
        found = suspects([c / sum(chances) for c in chances], sizes)
        marks = np.array(
            [[rng.choice((0.0, 3.25, rng.uniform(0, 40)))] for _ in range(sum(sizes))]
        )
        still = rng.choice((0.0, 7.5))
        marks[: len(marks) // 2] = still  # most faults change nothing at a place
        marks[-1] = 40.0  # the scale ends with the highest reading
        (bits,) = bits_of_volts(found, marks)
        assert bits == pytest.approx(by_cells(found, marks[:, 0].tolist()), abs=1e-9)


def test_a_reading_that_all_suspects_answer_alike_takes_nothing_off() -> None:
    found = suspects([0.4, 0.3, 0.2, 0.1], [5, 5, 1, 1])
    (bits,) = bits_of_volts(found, np.full((12, 1), 4.2))
    assert bits == pytest.approx(0.0, abs=1e-12)
