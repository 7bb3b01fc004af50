"""Reckons how much doubt a test takes away.

The doubt is the entropy of the groups of suspects that no reading tells apart, in
bits. The answers under every fault are parted as finely as the meter and the doubt
about sound parts allow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.likelihood import spread_of
from blockmap.analysis.isolation.weighing import Sample

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]
    Flags = NDArray[np.bool_]

__all__ = ["Scale", "Suspects", "bits_of_volts", "bits_of_words"]

_FAULTS = 150
_STEP = 3.0
"""Deviations by which two readings differ that are surely told apart."""
_MARKS = 64
_MOST_BINS = 64


class Suspects:
    """The faults that are still worth parting, as groups, with samples of them."""

    def __init__(self, belief: Belief) -> None:
        import numpy as np

        self.belief = belief
        self.kept = [
            number
            for number, chance in enumerate(belief.chances[:_FAULTS])
            if chance > 1e-4
        ]
        groups: dict[Fault, int] = {}
        self.group_of: list[int] = []
        self.samples: list[Sample] = []
        weights = []
        for number in self.kept:
            group = belief.group(belief.faults[number])
            place = groups.setdefault(group, len(groups))
            found = belief.samples(number)
            total = sum(sample.share for sample in found)
            for sample in found:
                self.samples.append(sample)
                self.group_of.append(place)
                weights.append(belief.chances[number] * sample.share / total)
        self.groups = list(groups)
        self.weight: Floats = np.array(weights)
        self.weight /= self.weight.sum()
        self.row_group = np.array(self.group_of, dtype=np.intp)  # none may be kept
        chance = np.bincount(self.row_group, self.weight, len(self.groups))
        self.chance: Floats = np.asarray(chance, dtype=np.float64)

    def spans(self) -> tuple[Whole, Whole, Floats]:
        """Return from which sample to which a fault may have any size, with weights.

        Half of the weight of its least and of its greatest size stays there.
        """
        import numpy as np

        number = np.array([sample.fault for sample in self.samples])
        row = np.arange(len(number))
        joined = np.flatnonzero(number[1:] == number[:-1])
        first = np.setdiff1d(row, joined + 1)
        last = np.setdiff1d(row, joined)
        half = 0.5 * self.weight
        low = np.concatenate((joined, first, last))
        high = np.concatenate((joined + 1, first, last))
        weight = (half[joined] + half[joined + 1], half[first], half[last])
        return low, high, np.concatenate(weight)

    def ends(self, shown: Floats) -> tuple[Floats, Floats]:
        """Return the least and the most of each column that each group shows."""
        import numpy as np

        order = np.argsort(self.row_group, kind="stable")
        starts = np.searchsorted(self.row_group[order], np.arange(len(self.groups)))
        rows = shown[order]
        least = np.minimum.reduceat(rows, starts, axis=0)
        return least, np.maximum.reduceat(rows, starts, axis=0)

    def bits(self) -> float:
        """Return the doubt there is, in bits."""
        return float(_entropy(self.chance))


class Scale:
    """Lays the volts of each test on a scale whose step is surely told apart."""

    def __init__(
        self,
        assumed: Assumptions,
        emf_v: float,
        sound: Floats,
        step_v: Floats,
        share: Floats,
    ) -> None:
        self.assumed, self.emf_v, self.sound = assumed, emf_v, sound
        self.step_v, self.share = step_v, share

    def spread(self, shown: Floats) -> Floats:
        """Return the deviation of readings, which are tests in the last place."""
        import numpy as np

        meter = self.step_v + self.share * np.abs(shown)
        return spread_of(self.assumed, self.emf_v, self.sound, meter, shown)

    def marks(self, shown: Floats) -> Floats:
        """Return how many steps each reading lies above the least of its test.

        The step follows the doubt, which is least where nothing flows, at nought and
        at the supply, and grows away from what a sound car shows.
        """
        import numpy as np

        if self.emf_v < 0:  # positive ground reads the same with a minus
            turned = Scale(
                self.assumed, -self.emf_v, -self.sound, self.step_v, self.share
            )
            return turned.marks(-shown)
        most = 1.1 * self.emf_v
        away = np.geomspace(0.0003, most, _MARKS // 4)
        away = np.concatenate((-away[::-1], (0.0,), away))
        anchors = np.stack(
            (
                np.zeros(len(self.sound)),
                np.full(len(self.sound), self.emf_v),
                self.sound,
            )
        )
        ends = np.stack((shown.min(axis=0), shown.max(axis=0)))
        grid = (anchors[:, None, :] + away[None, :, None]).reshape(-1, len(self.sound))
        grid = np.sort(np.clip(np.concatenate((grid, ends)), *ends), axis=0)
        middle = 0.5 * (grid[1:] + grid[:-1])
        rise = np.diff(grid, axis=0) / (_STEP * self.spread(middle))
        height = np.concatenate((np.zeros((1, grid.shape[1])), rise.cumsum(axis=0)))
        return np.stack(
            [
                np.interp(shown[:, k], grid[:, k], height[:, k])
                for k in range(shown.shape[1])
            ],
            axis=1,
        )


def bits_of_volts(suspects: Suspects, marks: Floats) -> Floats:
    """Return the bits that each column of readings is expected to take off the doubt.

    The readings are steps of a scale. A fault of unknown size may show anything
    between its sizes, and the meter blurs it by a step besides. Most suspects move
    few of the readings: only these are followed from bin to bin.
    """
    bins = int(min(marks.max() + 4, _MOST_BINS))
    least, most = suspects.ends(marks)
    whole, within = _still(suspects, most, least == most, bins)
    more, spread = _moving(suspects, marks, least != most, bins)
    bits: Floats = _entropy(whole + more) + within + spread
    bits += _entropy(suspects.chance)
    return bits


def _still(
    suspects: Suspects, at: Floats, still: Flags, bins: int
) -> tuple[Floats, Floats]:
    """Return what groups that show one reading each add to the bins of each column.

    Besides it the sum of their cells, each by its logarithm.
    """
    import numpy as np

    columns = at.shape[1]
    start = np.minimum(at + 0.5, bins - 3.5)
    first = start.astype(np.int64)
    chance: Floats = np.where(still, suspects.chance[:, None], 0.0)
    far: Floats = chance * (start - first)
    near: Floats = chance - far
    place = (first + np.arange(columns) * bins).ravel()
    flat = _sums(place, near.ravel(), columns * bins + 1)
    flat += _sums(place + 1, far.ravel(), columns * bins + 1)
    whole: Floats = flat[:-1].reshape(columns, bins)
    return whole, -_entropy(near.T) - _entropy(far.T)


def _moving(
    suspects: Suspects, marks: Floats, moving: Flags, bins: int
) -> tuple[Floats, Floats]:
    """Return the same of the groups that may show anything between their sizes."""
    import numpy as np

    low, high, weight = suspects.spans()
    columns = marks.shape[1]
    group, column = np.nonzero(moving)
    row = np.zeros(moving.shape, dtype=np.int64)
    row[group, column] = np.arange(len(group))
    of = suspects.row_group[low]
    span, at = np.nonzero(moving[of])
    one, other = marks[low[span], at], marks[high[span], at]
    start = np.minimum(np.minimum(one, other) + 0.5, bins - 3.5)
    end = np.minimum(np.maximum(one, other) + 1.5, bins - 2.5)
    slope = weight[span] / (end - start)
    cells = _ramps(row[of[span], at] * bins, start, end, slope, (len(group), bins))
    place = column[:, None] * bins + np.arange(bins)
    flat = _sums(place.ravel(), cells.ravel(), columns * bins)
    whole: Floats = flat.reshape(columns, bins)
    within = _sums(column, -_entropy(cells), columns)
    return whole, within


def _sums(place: Whole, weight: Floats, number: int) -> Floats:
    """Return the sum of the weights at each of so many places."""
    import numpy as np

    return np.asarray(np.bincount(place, weight, number), dtype=np.float64)


def _ramps(
    base: Whole, start: Floats, end: Floats, slope: Floats, shape: tuple[int, int]
) -> Floats:
    """Return how much of each span, even from start to end, falls into each bin."""
    import numpy as np

    bend: Floats = np.zeros(shape[0] * shape[1])
    for at, turn in ((start, slope), (end, -slope)):
        whole = at.astype(np.int64)
        beyond = turn * (at - whole)
        place = base + whole
        bend += _sums(place, turn - beyond, len(bend))
        bend += _sums(place + 1, beyond, len(bend))
    return bend.reshape(shape).cumsum(axis=1)


def bits_of_words(suspects: Suspects, chances: Floats) -> Floats:
    """Return the bits of plain answers; chances is samples, tests, answers."""
    import numpy as np

    _, columns, number = chances.shape
    groups = len(suspects.groups)
    table = np.zeros((groups, columns, number))
    np.add.at(table, suspects.row_group, chances * suspects.weight[:, None, None])
    share = table / np.maximum(suspects.chance[:, None, None], 1e-300)
    within = (suspects.chance[:, None] * _entropy(share)).sum(axis=0)
    bits: Floats = _entropy(table.sum(axis=0)) - within
    return bits


def _entropy(chance: Floats) -> Floats:
    import numpy as np

    safe = np.where(chance > 1e-12, chance, 1.0)
    return np.asarray(-(chance * np.log2(safe)).sum(axis=-1))
