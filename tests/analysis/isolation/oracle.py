"""A car with faults and a person with a meter, who answers the tests proposed.

The car is solved anew with its faults in it; nothing of what the suspects are weighed
with is used, only the solver, which is held against another simulator.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from blockmap.analysis.isolation.answering import answered
from blockmap.analysis.isolation.assumptions import OPEN, RESISTANCE, SHORT
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.network import GROUND, Network, State
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.solve import Changes, Solved, solve
from blockmap.analysis.isolation.trial import Trial

__all__ = ["Oracle"]


@dataclass
class Oracle:
    """A car with faults: which part, what is wrong with it, and the ohms added."""

    network: Network
    faults: tuple[tuple[int, str, float], ...]
    rng: random.Random = field(default_factory=lambda: random.Random(1))
    sound: dict[State, Solved] = field(default_factory=dict)
    """The sound car in each state, which oracles of one car may share."""
    _solved: dict[State, Solved] = field(default_factory=dict)

    @property
    def fault(self) -> Fault:
        """The first fault."""
        element, kind, _ = self.faults[0]
        return Fault(element, kind)

    def changes(self) -> Changes:
        """Return the faults as changes of the circuit."""
        ohms: dict[int, float] = {}
        opened: set[int] = set()
        for element, kind, added in self.faults:
            if kind == RESISTANCE:
                ohms[element] = self.network.elements[element].ohms + added
            elif kind == SHORT:
                opened.add(self.network.protector(element))
            elif kind == OPEN:
                opened.add(element)
        return Changes(ohms=ohms, opened=frozenset(opened))

    def _at(self, state: State, *, sound: bool = False) -> Solved:
        kept = self.sound if sound else self._solved
        if state not in kept:
            changes = Changes() if sound else self.changes()
            kept[state] = solve(self.network, state, changes)
        return kept[state]

    def volts(self, state: State, point: int, against: int) -> float:
        """Return what the meter shows; drops are read in its millivolt range."""
        shown = self._at(state).reading(point, against)
        step_v = 0.003 if against == GROUND else 0.0002
        return shown * (1 + self.rng.gauss(0, 0.002)) + self.rng.gauss(0, step_v)

    def load(self, state: State, name: str) -> str:
        """Return how a load works."""
        at = self.network.loads[name]
        sound = self._at(state, sound=True).reading(at.plus, at.minus)
        shown = self._at(state).reading(at.plus, at.minus)
        share = shown / sound if abs(sound) > 1 else 1.0
        return "dead" if share < 0.25 else "dim" if share < 0.86 else "live"

    def answer(self, trial: Trial, belief: Belief, key: str) -> Observation:
        """Answer one proposed test."""
        if trial.kind == "load":
            return answered(trial, belief, key, seen=self.load(trial.state, trial.load))
        if trial.kind == "looked":
            return answered(trial, belief, key, seen=self.looked(trial.element))
        if trial.kind == "in place":
            share = lamp_share(self.network, trial.element, trial.state, self.fault)
            word = "dead" if share < 0.2 else "dim" if share < 0.86 else "bright"
            return answered(trial, belief, key, seen=word)
        probe = trial.probe(belief)
        assert probe is not None
        value = self.volts(probe.state, probe.point, probe.against)
        if trial.kind == "volts":
            value = round(value, 2)
        return answered(trial, belief, key, value_v=round(value, 4))

    def looked(self, element: int) -> str:
        """Tell how a part looks: a bad contact is seen in most cases only."""
        if self.network.elements[element].kind in ("fuse", "link"):
            opened = self.changes().opened
            return "broken" if element in opened else "whole"
        hit = any(element == each for each, *_ in self.faults)
        return "broken" if hit and self.rng.random() < 0.6 else "whole"
