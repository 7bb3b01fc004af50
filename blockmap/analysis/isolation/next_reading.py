"""Chooses the test that takes the most doubt away for its work.

What it takes off the doubt, in bits, is divided by the minutes it costs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from blockmap.analysis.isolation.assumptions import SHORT
from blockmap.analysis.isolation.belief import Belief, Predictor, looked_chance
from blockmap.analysis.isolation.doubt import (
    Scale,
    Suspects,
    bits_of_volts,
    bits_of_words,
)
from blockmap.analysis.isolation.faults import NOTHING, Fault
from blockmap.analysis.isolation.identity import MixUp, Mover
from blockmap.analysis.isolation.likelihood import (
    lamp_chances,
    seen_chances,
    whole_volts,
)
from blockmap.analysis.isolation.network import Network
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.tables import Probe
from blockmap.analysis.isolation.trial import Trial
from blockmap.analysis.isolation.trials import trials

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Choice", "Shown", "choices"]

LEAST_BITS = 0.03
"""A test that takes less off the doubt than this is not worth its work."""
_ANSWERED = 8
"""For so many of the best tests the answers are kept, to be told in words."""


class Shown(NamedTuple):
    """What a test shows under one group of suspects: the middle, and from what to what.

    ``chance`` is the chance of the group.
    """

    fault: Fault
    chance: float
    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Choice:
    """A test with what it is expected to take off the doubt, and its answers.

    ``sound`` is the reading of a sound car in volts, or the chance of a plain answer.
    ``answers`` holds for each group of suspects the reading expected under it, for
    the best tests only.
    """

    trial: Trial
    bits: float
    sound: float
    sigma: float
    answers: tuple[Shown, ...] = ()


def choices(belief: Belief, *, free: bool = False) -> list[Choice]:
    """Return the tests that lessen the doubt, the best for its work first.

    ``free`` leaves the work out of account.
    """
    suspects = Suspects(belief)
    if len(suspects.groups) < 2 or suspects.bits() < LEAST_BITS:
        return []
    offered = trials(belief)
    metered = [t for t in offered if t.kind in ("volts", "drop", "load")]
    plain = [t for t in offered if t.kind in ("looked", "in place")]
    found = _metered(suspects, metered) + _plain(suspects, plain)

    found = [each for each in found if each[0].bits > LEAST_BITS]
    each_min = belief.network.assumed.work.each_min

    def worth(each: tuple[Choice, Floats]) -> float:
        choice = each[0]
        work = 1.0 if free else choice.trial.minutes + each_min
        return round(choice.bits / work, 6)  # alike to the last bits: as listed

    found.sort(key=worth, reverse=True)
    return [
        replace(choice, answers=_answers(suspects, column))
        if place < _ANSWERED
        else choice
        for place, (choice, column) in enumerate(found)
    ]


def _metered(
    suspects: Suspects, offered: Sequence[Trial]
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
    step_v = np.where(drops, 0.001, assumed.meter_v)
    share = np.where(drops, assumed.meter_share, 0.01)
    scale = Scale(assumed, network.volts, sound, step_v, share)
    sigma = scale.spread(sound)
    loads = np.array([trial.kind == "load" for trial in offered])
    bits = np.zeros(len(offered))
    if (~loads).any():
        marks = scale.marks(shown)[:, ~loads]
        bits[~loads] = bits_of_volts(suspects, marks)
    if loads.any():
        base = whole_volts(network.volts, sound[loads])
        chances = seen_chances(shown[:, loads] / base)
        bits[loads] = bits_of_words(suspects, chances)
    made = []
    for column, trial in enumerate(offered):
        said = (float(bits[column]), float(sound[column]), float(sigma[column]))
        choice = Choice(trial, *said)
        made.append((choice, shown[:, column]))
    return made


def _answers(suspects: Suspects, column: Floats) -> tuple[Shown, ...]:
    """Return what each likely group shows, over the sizes it may have."""
    import numpy as np

    order = np.argsort(-suspects.chance.round(7), kind="stable")[:12]
    found = []
    for place in order:
        rows = suspects.row_group == place
        weight, values = suspects.weight[rows], column[rows]
        middle = float((values * weight).sum() / max(weight.sum(), 1e-300))
        chance = float(suspects.chance[place])
        ends = float(values.min()), float(values.max())
        found.append(Shown(suspects.groups[place], chance, middle, *ends))
    return tuple(found)


def _plain(suspects: Suspects, offered: Sequence[Trial]) -> list[tuple[Choice, Floats]]:
    """Weigh what is only looked at, and the lamp in the fuse's place."""
    import numpy as np

    belief = suspects.belief
    network = belief.network
    mover = Mover(network)
    made = []
    numbers = list(dict.fromkeys(sample.fault for sample in suspects.samples))
    at = {number: place for place, number in enumerate(numbers)}
    row_fault = np.array([at[sample.fault] for sample in suspects.samples])
    faults = [belief.faults[number] for number in numbers]
    touching = _touching(network, faults)
    for trial in offered:
        found = np.full(len(faults), _plain_share(network, trial, trial.element))
        for place in touching(trial):
            element = trial.element
            if faults[place].identity:
                mix_up = belief.mix_ups[faults[place].identity - 1]
                (element,) = mover.out(mix_up, frozenset({element}))
            found[place] = _plain_share(network, trial, element, faults[place])
        column = found[row_fault]
        if trial.kind == "looked":
            chances = np.stack((column, 1.0 - column), axis=-1)[:, None, :]
            sound = 0.0
        else:
            chances = lamp_chances(column)[:, None, :]
            sound = _plain_share(network, trial, trial.element)
        bits = float(bits_of_words(suspects, chances)[0])
        choice = Choice(trial, bits, sound, 0.1)
        made.append((choice, column))
    return made


def _plain_share(
    network: Network, trial: Trial, element: int, fault: Fault = NOTHING
) -> float:
    """Return the chance that a part looks broken, or what a lamp in its place takes."""
    if trial.kind == "looked":
        return looked_chance(network, fault, element, "broken")
    return lamp_share(network, element, trial.state, fault)


def _touching(
    network: Network, faults: Sequence[Fault]
) -> Callable[[Trial], Iterable[int]]:
    """Return which of the faults may change what a plain test shows.

    Those of other parts leave it as in a sound car; under a mix-up of names any may.
    """
    mixed = [place for place, fault in enumerate(faults) if fault.identity]
    by_part: dict[int, list[int]] = {}
    for place, fault in enumerate(faults):
        parts = {fault.element, fault.second}
        if fault.kind == SHORT:
            parts.add(network.protector(fault.element))
        for part in parts - {-1} if not fault.identity else ():
            by_part.setdefault(part, []).append(place)

    def touching(trial: Trial) -> Iterable[int]:
        parts = {trial.element}
        if trial.kind == "in place":
            parts |= network.below(trial.element)
            parts |= set(network.way_up(network.elements[trial.element].a))
        found = {place for part in parts for place in by_part.get(part, ())}
        return *mixed, *found

    return touching
