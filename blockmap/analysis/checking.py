"""Runs rules over a map, and again only those whose inputs have changed.

Records of a map are values that are replaced when edited, so that the very same
record gives the very same findings. Nothing is kept outside the result: any thread
may check, and a result may be thrown away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from blockmap.analysis.finding import READS, CavityRule, Finding, Level, Rule
from blockmap.analysis.number_rules import NumberRule
from blockmap.analysis.numbers.add_ons import AddOnRoom
from blockmap.analysis.numbers.cavity_figures import CavityFigures
from blockmap.analysis.numbers.limits import limits_of
from blockmap.analysis.numbers.map_figures import (
    MapFigures,
    StripFigures,
    figures_of,
)
from blockmap.analysis.supply_rules import add_ons, strip_supply
from blockmap.model.document import Acceptance, Cavity, Map, Strip
from blockmap.model.ids import CavityId, StripId
from blockmap.model.judgements import said_in_short

__all__ = ["Checked", "Rules", "run"]


@dataclass(frozen=True, slots=True)
class Rules:
    """The rules to run: of the whole map, of one cavity, of a cavity's numbers."""

    whole: Sequence[Rule]
    cavity: Sequence[CavityRule]
    number: Sequence[NumberRule]


_Ranked = tuple[int, Finding]
"""A finding with the place of its rule, which decides where places are equal."""


@dataclass(frozen=True, slots=True)
class _OfCavity:
    """What was found of one cavity, and what that rests on."""

    cavity: Cavity
    figures: CavityFigures
    room: AddOnRoom | None
    on_fuse: CavityFigures | None
    found: tuple[_Ranked, ...]


@dataclass(frozen=True, slots=True)
class _OfStrip:
    strip: Strip
    figures: StripFigures
    found: tuple[_Ranked, ...]


@dataclass(frozen=True, slots=True)
class Checked:
    """A map with its figures and what was found.

    Errors come first, then advice, then information; within a level by block, then
    by the place in the map, then by rule; accepted findings come last. ``computed``
    counts the rules that ran for this result, each cavity's counted by itself.
    """

    document: Map
    figures: MapFigures
    findings: tuple[Finding, ...]
    computed: int
    _told: Mapping[Rule, tuple[Finding, ...]] = field(repr=False)
    _cavities: Mapping[CavityId, _OfCavity] = field(repr=False)
    _strips: Mapping[StripId, _OfStrip] = field(repr=False)

    @property
    def lapsed(self) -> tuple[str, ...]:
        """The keys of acceptances that stand for nothing that is found now."""
        used = {f.acceptance for f in self.findings if f.accepted is not None}
        return tuple(key for key in self.document.accepted if key not in used)


def run(document: Map, rules: Rules, before: Checked | None = None) -> Checked:
    """Return the figures and findings of a map.

    before is the result for an earlier state of the same map; what rests on the very
    same records is taken from it.
    """
    figures = figures_of(
        document, limits_of(document), before.figures if before else None
    )
    if before is not None and before.figures.limits != figures.limits:
        before = replace(before, _cavities={}, _strips={})
    told, ran = _whole(document, rules.whole, before)
    cavities, more = _of_cavities(document, figures, rules, before)
    ran += more
    strips, more = _of_strips(document, figures, rules, before)
    ran += more
    ranked = [
        (rank, finding)
        for rank, rule in enumerate(rules.whole)
        for finding in told[rule]
    ]
    ranked += [each for one in cavities.values() for each in one.found]
    ranked += [each for strip in strips.values() for each in strip.found]
    findings = _in_order(document, _judged(document, ranked))
    return Checked(document, figures, findings, ran, told, cavities, strips)


def _whole(
    document: Map, rules: Sequence[Rule], before: Checked | None
) -> tuple[dict[Rule, tuple[Finding, ...]], int]:
    told: dict[Rule, tuple[Finding, ...]] = {}
    ran = 0
    change = _Difference(before.document, document) if before else None
    for rule in rules:
        if before is not None and change is not None and not change.concerns(rule):
            told[rule] = before._told[rule]
        else:
            told[rule] = tuple(rule(document))
            ran += 1
    return told, ran


class _Difference:
    """What differs between two states of a map, as far as rules look at it."""

    def __init__(self, before: Map, after: Map) -> None:
        self._before, self._after = before, after
        self._same = before is after
        self._places = list(before.cavities) == list(after.cavities)
        self._pairs: list[tuple[Cavity, Cavity]] = []
        if self._places and before.cavities is not after.cavities:
            old = before.cavities
            self._pairs = [
                (old[key], cavity)
                for key, cavity in after.cavities.items()
                if old[key] is not cavity
            ]

    def concerns(self, rule: Rule) -> bool:
        """Tell whether a rule may find something else now."""
        looks = READS.get(rule)
        if looks is None:
            return not self._same
        if looks.fields and not self._places:
            return True
        if any(
            getattr(self._before, part) is not getattr(self._after, part)
            for part in looks.parts
        ):
            return True
        return any(
            getattr(old, name) != getattr(new, name)
            for old, new in self._pairs
            for name in looks.fields
        )


def _of_cavities(
    document: Map, figures: MapFigures, rules: Rules, before: Checked | None
) -> tuple[dict[CavityId, _OfCavity], int]:
    found: dict[CavityId, _OfCavity] = {}
    ran = 0
    first = len(rules.whole)
    for cavity in document.cavities.values():
        own = figures.cavities[cavity.id]
        room = figures.tabs.get(cavity.id)
        fuse = room.fuse if room else None
        on_fuse = figures.cavities[fuse.id] if fuse else None
        old = before._cavities.get(cavity.id) if before else None
        if (
            old is not None
            and old.cavity is cavity
            and old.figures is own
            and old.on_fuse is on_fuse
            and old.room == room
        ):
            found[cavity.id] = old
            continue
        ranked: list[_Ranked] = []
        rank = first
        for rule in rules.cavity:
            ranked += [(rank, each) for each in rule(cavity)]
            rank += 1
        for number_rule in rules.number:
            ranked += [(rank, e) for e in number_rule(cavity, own, figures.limits)]
            rank += 1
        if room is not None:
            share = on_fuse.share_and_load if on_fuse else None
            ranked += [(rank, each) for each in add_ons(cavity, room, share)]
        ran += 1
        found[cavity.id] = _OfCavity(cavity, own, room, on_fuse, tuple(ranked))
    return found, ran


def _of_strips(
    document: Map, figures: MapFigures, rules: Rules, before: Checked | None
) -> tuple[dict[StripId, _OfStrip], int]:
    found: dict[StripId, _OfStrip] = {}
    ran = 0
    rank = len(rules.whole) + len(rules.cavity) + len(rules.number) + 1
    for strip in document.strips.values():
        own = figures.strips[strip.id]
        old = before._strips.get(strip.id) if before else None
        if old is not None and old.strip is strip and old.figures is own:
            found[strip.id] = old
            continue
        told = tuple((rank, each) for each in strip_supply(strip, own))
        found[strip.id] = _OfStrip(strip, own, told)
        ran += 1
    return found, ran


def _judged(document: Map, ranked: Iterable[_Ranked]) -> Iterator[_Ranked]:
    """Say of each finding whether the map accepts it."""
    held: dict[tuple[str, tuple[str, ...]], tuple[str, Acceptance]] = {
        (each.finding, each.at): (key, each) for key, each in document.accepted.items()
    }
    if not held:
        yield from ranked
        return
    for rank, finding in ranked:
        found = held.get((finding.code, finding.objects))
        if found is None:
            yield rank, finding
            continue
        key, acceptance = found
        holds = acceptance.said == said_in_short(finding.what)
        accepted = acceptance if holds else None
        yield rank, replace(finding, acceptance=key, accepted=accepted)


def _in_order(document: Map, ranked: Iterable[_Ranked]) -> tuple[Finding, ...]:
    levels = {level: rank for rank, level in enumerate(Level)}
    places = _places(document)
    nowhere = len(places)

    def key(each: _Ranked) -> tuple[bool, int, int, int]:
        rank, finding = each
        place = min((places.get(i, nowhere) for i in finding.objects), default=nowhere)
        return finding.accepted is not None, levels[finding.level], place, rank

    return tuple(finding for _, finding in sorted(ranked, key=key))


def _places(document: Map) -> dict[str, int]:
    """Number blocks, each with its cavities and strips, in the order of the map."""
    parts: dict[str, list[str]] = {block: [block] for block in document.blocks}
    for cavity in document.cavities.values():
        parts.setdefault(cavity.block, []).append(cavity.id)
    for strip in document.strips.values():
        parts.setdefault(strip.block, []).append(strip.id)
    order: dict[str, int] = {}
    for ids in parts.values():
        for identity in ids:
            order.setdefault(identity, len(order))
    return order
