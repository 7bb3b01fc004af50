"""Ranks the suspects, groups those that nothing tells apart, and says why in words."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import (
    BACK_FED,
    OPEN,
    RESISTANCE,
    SHORT,
    STUCK,
)
from blockmap.analysis.isolation.belief import Belief, Predictor
from blockmap.analysis.isolation.faults import Fault, fault_words, single_faults
from blockmap.analysis.isolation.likelihood import Weigher
from blockmap.analysis.isolation.network import GROUND
from blockmap.analysis.isolation.observations import Observation
from blockmap.analysis.isolation.tables import Table
from blockmap.analysis.isolation.weighing import Sample, probes_of
from blockmap.model.document import Map
from blockmap.model.units import number_text

__all__ = ["Suspect", "name_of", "suspects_of"]

_LEAST = 0.002
_ELECTRICAL = ("volts", "lamp", "load")


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """Parts that may be at fault and that no reading tells apart.

    ``ohms`` is the likely resistance added, low and high. ``places`` are the cavities
    and contacts to show. ``second`` names the other part when two fail together.
    ``said`` and ``second_said`` are what a person is told they are called.
    """

    elements: tuple[str, ...]
    fault: str
    probability: float
    why: str
    ohms: tuple[float, float] | None = None
    second: tuple[str, ...] = ()
    second_fault: str = ""
    identity: str = ""
    places: tuple[tuple[str, str], ...] = ()
    said: tuple[str, ...] = ()
    second_said: tuple[str, ...] = ()

    def words(self) -> str:
        """Return the suspect, such as 'feed contact of F11, added resistance'."""
        one, other = " or ".join(self.said), " or ".join(self.second_said)
        if not other:
            return f"{one}, {self.fault}"
        if self.fault == self.second_fault:
            return f"{one} with {other}, {self.fault} in both"
        return f"{one}, {self.fault}, with {other}, {self.second_fault}"


def name_of(belief: Belief, index: int) -> str:
    """Return what a person is told an element is called."""
    return belief.network.elements[index].words if index >= 0 else "everything"


def suspects_of(belief: Belief, document: Map, most: int = 12) -> tuple[Suspect, ...]:
    """Return the likeliest groups of suspects, each with one sentence why."""
    groups: dict[Fault, list[int]] = {}
    alone = _enough_alone(belief)
    for number, fault in enumerate(belief.faults):
        group = belief.group(fault)
        if fault.identity in alone:
            group = Fault(identity=fault.identity)
        groups.setdefault(group, []).append(number)
    chance = {
        group: sum(belief.chances[number] for number in numbers)
        for group, numbers in groups.items()
    }
    ranked = sorted(groups, key=lambda group: -round(chance[group], 7))
    shown = [g for g in ranked if chance[g] >= _LEAST][:most] or ranked[:most]
    why = _Why(belief)
    return tuple(
        _suspect(belief, document, groups[group], chance[group], why) for group in shown
    )


def _enough_alone(belief: Belief) -> set[int]:
    """Return the mix-ups that explain every reading without a fault besides."""
    found = set()
    misfit = _explained_by_nothing(belief)
    for number, fault in enumerate(belief.faults):
        if fault.identity and fault.element < 0:
            total = sum(
                chance
                for other, chance in zip(belief.faults, belief.chances, strict=True)
                if other.identity == fault.identity
            )
            share = belief.chances[number] / max(total, 1e-300)
            if share > 0.3 * misfit:
                found.add(fault.identity)
    return found


def _explained_by_nothing(belief: Belief) -> float:
    """Return the share of nothing wrong among all faults before any reading."""
    network = belief.network
    odds = sum(prior for _, prior in single_faults(network))
    return network.assumed.nothing_wrong / (network.assumed.nothing_wrong + odds)


def _suspect(
    belief: Belief, document: Map, numbers: list[int], chance: float, why: _Why
) -> Suspect:
    faults = [belief.faults[number] for number in numbers]
    first = faults[0]
    if first.identity and len(faults) > 1 and chance > 2 * belief.chances[numbers[0]]:
        faults = [fault for fault in faults if fault.element < 0] or faults
        first = faults[0]
    names, words = _named(belief, [each.element for each in faults])
    identity = ""
    fault = fault_words(first.kind)
    if first.identity:
        identity = belief.mix_ups[first.identity - 1].words
    if first.identity and first.element < 0:
        cavity = document.cavities[belief.mix_ups[first.identity - 1].cavity]
        names = words = (cavity.designation,)
        fault = f"wrong cavity: {identity}"
    second, second_words = _named(belief, [f.second for f in faults if f.second >= 0])
    return Suspect(
        elements=names,
        fault=fault,
        probability=chance,
        why=why.sentence(numbers[0]),
        ohms=_measured(belief, first) or _ohms(belief.samples(numbers[0]), first),
        second=second,
        second_fault=fault_words(first.second_kind) if second else "",
        identity=identity,
        places=_places(belief, faults),
        said=words,
        second_said=second_words,
    )


def _named(
    belief: Belief, indices: list[int]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of elements, each once, and what they are called."""
    once = dict.fromkeys(indices)
    elements = [belief.network.elements[index] for index in once if index >= 0]
    if len(elements) < len(once):
        return ("everything",), ("everything",)
    words = dict.fromkeys(element.words for element in elements)
    return tuple(dict.fromkeys(element.name for element in elements)), tuple(words)


def _ohms(samples: list[Sample], fault: Fault) -> tuple[float, float] | None:
    sizes = [s.ohms1 for s in samples]
    if fault.kind != RESISTANCE or not sizes:
        return None
    return min(sizes), max(sizes)


def _measured(belief: Belief, fault: Fault) -> tuple[float, float] | None:
    """Return the ohms added by drops that were read together with their current.

    What the sound parts between the two points have of it is taken off. A noted
    current goes before that of the map, whose loads draw less when they get less.
    """
    if fault.kind != RESISTANCE or fault.identity:
        return None
    network = belief.network
    found = []
    for each in belief.observed:
        if not each.amps_a or each.against == GROUND:
            continue
        inside = network.between(each.point, each.against)
        if fault.element not in inside or fault.second in inside:
            continue
        sound = sum(network.elements[index].ohms for index in inside)
        found.append(abs(each.value / each.amps_a) - sound)
    low = [ohms for ohms in found if ohms > 0]
    return (min(low), max(low)) if low else None


def _places(belief: Belief, faults: list[Fault]) -> tuple[tuple[str, str], ...]:
    found: dict[tuple[str, str], None] = {}
    for fault in faults:
        for index in (fault.element, fault.second):
            if index >= 0 and belief.network.elements[index].cavity:
                element = belief.network.elements[index]
                found[element.cavity, element.contact] = None
    return tuple(found)


class _Why:
    """Says why a part is a suspect: what it explains, and what was noted of it."""

    def __init__(self, belief: Belief) -> None:
        self.belief = belief
        self.seen = [o for o in belief.observed if o.kind in _ELECTRICAL]
        self.probes = probes_of(self.seen)
        self.odd: list[Observation] = []
        if self.seen:
            table = Table(belief.circuits, self.probes, [0])
            network = belief.network
            self.weigher = Weigher(
                network.assumed, network.volts, self.seen, table.sound
            )
            self.odd_at = self.weigher.misfits(table.sound)
            self.odd = [self.seen[k] for k in self.odd_at]

    def sentence(self, number: int) -> str:
        """Return one sentence why this fault is suspected."""
        belief = self.belief
        fault = belief.faults[number]
        parts = [self._cause(fault)]
        missed = self._missed(number)
        explained = [o for k, o in enumerate(self.seen) if o in self.odd]
        explained = [o for o in explained if self.seen.index(o) not in missed]
        if explained:
            said = "; ".join(each.text for each in explained[:3])
            parts.append(f"it explains {said}")
        if missed:
            said = "; ".join(self.seen[k].text for k in missed[:2])
            parts.append(f"it does not explain {said}")
        if not explained and not missed:
            parts.append("nothing read so far speaks against it")
        noted = self._noted(fault)
        if noted:
            parts.append(noted)
        return "; ".join(part for part in parts if part) + "."

    def _missed(self, number: int) -> tuple[int, ...]:
        belief = self.belief
        if not self.seen or belief.faults[number].identity:
            return ()
        samples = belief.samples(number)
        rows = Predictor(belief, samples).shown(self.probes, straight=True)
        return min((self.weigher.misfits(row) for row in rows), key=len, default=())

    def _cause(self, fault: Fault) -> str:
        network = self.belief.network
        if fault.identity:
            words = self.belief.mix_ups[fault.identity - 1].words
            return f"the names are only from the book, and may be {words}"
        if fault.element < 0:
            return "every part may be sound, and the fault come and go"
        element = network.elements[fault.element]
        below = len(network.loads_below(fault.element))
        if fault.kind == SHORT:
            opened = name_of(self.belief, network.protector(fault.element))
            return f"{element.words} on ground would open {opened}"
        if fault.kind == STUCK:
            return f"{element.words} may hold its contacts closed"
        if fault.kind == BACK_FED:
            return f"{element.words} may give volts back while it runs down"
        if fault.second >= 0 and element.cavity:
            return "heat at one contact spoils the other through the fuse"
        if fault.kind == OPEN:
            return f"{element.words} open cuts off {_counted(below, 'load')}"
        return f"resistance in {element.words} weakens {_counted(below, 'load')}"

    def _noted(self, fault: Fault) -> str:
        found = []
        for index in (fault.element, fault.second):
            if index < 0:
                continue
            element = self.belief.network.elements[index]
            if element.condition is not None and element.condition.state != "untested":
                found.append(f"{element.words} is noted as {element.condition.state}")
        return " and ".join(found)


def _counted(number: int, what: str) -> str:
    return f"{number_text(number)} {what}" + ("" if number == 1 else "s")
