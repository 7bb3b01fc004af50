"""Chooses the test that is expected to leave the least doubt for the least work.

The doubt is the entropy of the groups of suspects that no reading tells apart, in
bits. For each test the answers under every fault are parted as finely as the meter
and the doubt about sound parts allow; what a test takes off the doubt is divided by
the minutes it costs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from blockmap.analysis.isolation.belief import Belief, Predictor, looked_chance
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.identity import MixUp, Mover
from blockmap.analysis.isolation.likelihood import seen_chances, spread_of, whole_volts
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.tables import Probe
from blockmap.analysis.isolation.trials import Trial, trials
from blockmap.analysis.isolation.weighing import Sample

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Choice", "choices"]

LEAST_BITS = 0.03
"""A test that takes less off the doubt than this is not worth its work."""
_FAULTS = 150
_BINS = 48
_ANSWERED = 8
"""For so many of the best tests the answers are kept, to be told in words."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A test with what it is expected to take off the doubt, and its answers.

    ``sound`` is the reading of a sound car in volts, or the chance of a plain answer.
    ``answers`` holds for each group of suspects the reading expected under it, for
    the best tests only.
    """

    trial: Trial
    bits: float
    score: float
    sound: float
    sigma: float
    answers: tuple[tuple[Fault, float, float], ...] = ()


class _Suspects:
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

    def bits(self) -> float:
        """Return the doubt there is, in bits."""
        return float(_entropy(self.chance))


def _entropy(chance: Floats) -> Floats:
    import numpy as np

    safe = np.where(chance > 1e-12, chance, 1.0)
    return np.asarray(-(chance * np.log2(safe)).sum(axis=-1))


def choices(belief: Belief, *, free: bool = False) -> list[Choice]:
    """Return the tests that lessen the doubt, the best for its work first.

    ``free`` leaves the work out of account.
    """
    suspects = _Suspects(belief)
    if len(suspects.groups) < 2 or suspects.bits() < LEAST_BITS:
        return []
    offered = trials(belief)
    metered = [t for t in offered if t.kind in ("volts", "drop", "load")]
    plain = [t for t in offered if t.kind in ("looked", "in place")]
    found = _metered(suspects, metered) + _plain(suspects, plain)

    def worth(each: tuple[Choice, Floats]) -> float:
        return each[0].bits if free else each[0].score

    found = [each for each in found if each[0].bits > LEAST_BITS]
    found.sort(key=worth, reverse=True)
    return [
        replace(choice, answers=_answers(suspects, column))
        if place < _ANSWERED
        else choice
        for place, (choice, column) in enumerate(found)
    ]


def _metered(
    suspects: _Suspects, offered: Sequence[Trial]
) -> list[tuple[Choice, Floats]]:
    import numpy as np

    if not offered:
        return []
    belief = suspects.belief
    network = belief.network
    mover = Mover(network)
    probes = [trial.probe(belief) for trial in offered]
    whole = [probe for probe in probes if probe is not None]

    def moved(mix_up: MixUp, column: int) -> Probe:
        trial, probe = offered[column], whole[column]
        state = probe.state._replace(out=mover.out(mix_up, probe.state.out))
        if trial.point is None:
            return Probe(state, probe.point, probe.against)
        at, other = trial.point, trial.against
        point = mover.node(mix_up, probe.point, at.cavity, at.contact)
        against = probe.against
        if other is not None:
            against = mover.node(mix_up, against, other.cavity, other.contact)
        return Probe(state, point, against)

    shown = Predictor(belief, suspects.samples).shown(whole, moved)
    sound = np.array(
        [belief.circuits.at(p.state).reading(p.point, p.against) for p in whole]
    )
    assumed = network.assumed
    drops = np.array([trial.kind == "drop" for trial in offered])
    small = 0.001 + assumed.meter_share * np.abs(sound)
    large = assumed.meter_v + 0.01 * abs(network.volts)
    sigma = spread_of(assumed, network.volts, sound, np.where(drops, small, large))
    loads = np.array([trial.kind == "load" for trial in offered])
    bits = np.zeros(len(offered))
    if (~loads).any():
        bits[~loads] = _bits_of_volts(
            suspects, shown[:, ~loads], sound[~loads], sigma[~loads]
        )
    if loads.any():
        base = whole_volts(network.volts, sound[loads])
        chances = seen_chances(shown[:, loads] / base)
        bits[loads] = _bits_of_chances(suspects, chances)
    made = []
    for column, trial in enumerate(offered):
        gain, plain = float(bits[column]), float(sound[column])
        worth = gain / (trial.minutes + assumed.work.each_min)
        choice = Choice(trial, gain, worth, plain, float(sigma[column]))
        made.append((choice, shown[:, column]))
    return made


def _answers(
    suspects: _Suspects, column: Floats
) -> tuple[tuple[Fault, float, float], ...]:
    """Return for each likely group its chance and the middle of what it shows."""
    import numpy as np

    order = np.argsort(-suspects.chance)[:12]
    found = []
    for place in order:
        rows = suspects.row_group == place
        weight = suspects.weight[rows]
        middle = float((column[rows] * weight).sum() / max(weight.sum(), 1e-300))
        found.append((suspects.groups[place], float(suspects.chance[place]), middle))
    return tuple(found)


def _bits_of_volts(
    suspects: _Suspects, shown: Floats, sound: Floats, sigma: Floats
) -> Floats:
    """Return the bits that each column of volts is expected to take off the doubt.

    Volts are laid on a scale whose step is three deviations, wider far from sound; a
    value falls on its two nearest marks in proportion, as noise would spread it.
    """
    import numpy as np

    relative = 0.06
    off = (shown - sound) / sigma
    step = np.arcsinh(relative * off) / relative / 3.0
    step = np.clip(step + _BINS / 2, 0.0, _BINS - 1.001)
    low = step.astype(np.int64)
    part = step - low
    rows, columns = shown.shape
    groups = len(suspects.groups)
    base = (np.arange(columns)[None, :] * groups + suspects.row_group[:, None]) * _BINS
    size = columns * groups * _BINS
    weight = np.broadcast_to(suspects.weight[:, None], (rows, columns))
    joint: Floats = np.zeros(size)
    joint += np.bincount((base + low).ravel(), (weight * (1 - part)).ravel(), size)
    joint += np.bincount((base + low + 1).ravel(), (weight * part).ravel(), size)
    table = joint.reshape(columns, groups, _BINS)
    whole = _entropy(table.sum(axis=1))
    flat = _entropy(table.reshape(columns, groups * _BINS))
    bits: Floats = _entropy(suspects.chance) + whole - flat
    return bits


def _bits_of_chances(suspects: _Suspects, chances: Floats) -> Floats:
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


def _plain(
    suspects: _Suspects, offered: Sequence[Trial]
) -> list[tuple[Choice, Floats]]:
    """Weigh what is only looked at, and the lamp in the fuse's place."""
    import numpy as np

    belief = suspects.belief
    network = belief.network
    mover = Mover(network)
    fixed_min = network.assumed.work.each_min
    made = []
    numbers = list(dict.fromkeys(sample.fault for sample in suspects.samples))
    at = {number: place for place, number in enumerate(numbers)}
    row_fault = np.array([at[sample.fault] for sample in suspects.samples])
    for trial in offered:
        found = []
        for number in numbers:
            fault = belief.faults[number]
            element = trial.element
            if fault.identity:
                mix_up = belief.mix_ups[fault.identity - 1]
                (element,) = mover.out(mix_up, frozenset({element}))
            if trial.kind == "looked":
                found.append(looked_chance(network, fault, element, "broken"))
            else:
                found.append(lamp_share(network, element, trial.state, fault))
        column = np.array(found)[row_fault]
        if trial.kind == "looked":
            chances = np.stack((column, 1.0 - column), axis=-1)[:, None, :]
            sound = 0.0
        else:
            chances = seen_chances(column)[:, None, :]
            sound = lamp_share(network, trial.element, trial.state)
        bits = float(_bits_of_chances(suspects, chances)[0])
        choice = Choice(trial, bits, bits / (trial.minutes + fixed_min), sound, 0.1)
        made.append((choice, column))
    return made
