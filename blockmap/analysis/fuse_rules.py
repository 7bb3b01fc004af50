"""Rules about fuses and breakers: what is specified, fitted, fed and guarded.

A fuse protects the wire behind it. The amps of wires are a published upper bound, not
what a car's loom may carry all day; loads count only where their amps are known.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from blockmap.analysis.finding import Finding, Level
from blockmap.model.document import Cavity, Load, Map
from blockmap.model.units import number_text
from blockmap.reference.conductors import BOAT_WIRE_TABLE, allowable_amps_a
from blockmap.reference.fuse_colours import standard_ratings
from blockmap.reference.gauges import GaugeNotUnderstood, read_gauge

__all__ = [
    "CONTINUOUS_SHARE",
    "fitted_forms",
    "fitted_ratings",
    "fuses_and_wires",
    "load_sums",
    "missing_ratings",
    "unusual_ratings",
]

CONTINUOUS_SHARE = 0.75
"""Share of its rating a fuse carries all the time; common practice, no source."""

_PROTECTS = ("fuse", "breaker")
_SHORT_DUTIES = ("intermittent", "in-rush")


def _protecting(document: Map) -> Iterator[Cavity]:
    return (c for c in document.cavities.values() if c.kind in _PROTECTS)


def fitted_ratings(document: Map) -> Iterator[Finding]:
    """Find places with a larger or smaller fuse than specified."""
    for cavity in document.cavities.values():
        rating_a, fitted_a = cavity.rating_a, cavity.fitted_a
        if rating_a is None or fitted_a is None or rating_a == fitted_a:
            continue
        amps = f"{number_text(fitted_a)} A is fitted where {number_text(rating_a)} A"
        what = f"{cavity.designation}: {amps} is specified"
        if fitted_a > rating_a:
            yield Finding(
                code="fitted-above-rating",
                level=Level.ERROR,
                objects=(cavity.id,),
                what=what,
                why="never fit a larger fuse than specified: the wire may burn before "
                "it opens",
                todo=f"fit {number_text(rating_a)} A and find why the larger one was "
                "put in",
            )
        else:
            yield Finding(
                code="fitted-below-rating",
                level=Level.INFORMATION,
                objects=(cavity.id,),
                what=what,
                why="a smaller fuse is safe but may open without a fault",
                todo=f"fit {number_text(rating_a)} A when one is at hand",
            )


def fitted_forms(document: Map) -> Iterator[Finding]:
    """Find places that hold another body than they are made for."""
    for cavity in document.cavities.values():
        if cavity.fitted_form and cavity.fitted_form != cavity.form and cavity.form:
            yield Finding(
                code="fitted-other-form",
                level=Level.ADVICE,
                objects=(cavity.id,),
                what=f"{cavity.designation}: a {cavity.fitted_form} is fitted where a "
                f"{cavity.form} belongs",
                why="contacts grip only the body they are made for",
                todo=f"fit a {cavity.form} and test the grip of both contacts",
            )


def missing_ratings(document: Map) -> Iterator[Finding]:
    """Find fuses and breakers that serve something but have no rating."""
    for cavity in _protecting(document):
        if cavity.rating_a is None and _serves(cavity):
            yield Finding(
                code="rating-missing",
                level=Level.ADVICE,
                objects=(cavity.id,),
                what=f"{cavity.designation} has no rating",
                why="without it nobody knows what to fit when it has blown",
                todo="enter the amps the manual or the block gives for this place",
            )


def _serves(cavity: Cavity) -> bool:
    return bool(cavity.circuit or cavity.legend or cavity.loads or cavity.fitted_a)


@lru_cache(maxsize=256)
def _usual(form: str) -> tuple[float, ...]:
    return standard_ratings(form)


def unusual_ratings(document: Map) -> Iterator[Finding]:
    """Find ratings that the form is not usually made in."""
    for cavity in _protecting(document):
        usual = _usual(cavity.form)
        if cavity.rating_a is None or not usual or cavity.rating_a in usual:
            continue
        sizes = ", ".join(number_text(amps) for amps in usual)
        yield Finding(
            code="rating-unusual",
            level=Level.ADVICE,
            objects=(cavity.id,),
            what=f"{cavity.designation}: {number_text(cavity.rating_a)} A is no usual "
            f"rating of a {cavity.form}",
            why=f"usual are {sizes} A, by the published body colours where there are "
            "any, else common practice",
            todo="look at the rating and the form again",
        )


def fuses_and_wires(document: Map) -> Iterator[Finding]:
    """Find fuses above what the thinnest wire they guard bears at the very most."""
    for cavity in _protecting(document):
        amps_a = max(cavity.rating_a or 0, cavity.fitted_a or 0)
        thinnest = _thinnest(cavity) if amps_a else None
        if thinnest is None or amps_a <= thinnest[0]:
            continue
        most_a, gauge = thinnest
        yield Finding(
            code="fuse-above-wire",
            level=Level.ERROR,
            objects=(cavity.id,),
            what=f"{cavity.designation}: a fuse of {number_text(amps_a)} A guards a "
            f"wire of {gauge}, which bears {most_a} A at most",
            why="a fuse protects the wire; the amps are those of a single wire with "
            f"insulation for 105 °C, by {BOAT_WIRE_TABLE.title}",
            todo="fit a smaller fuse that still carries the loads, or a thicker wire "
            "all the way",
        )


def _thinnest(cavity: Cavity) -> tuple[int, str] | None:
    """Return the least amps of the wires that leave, with that wire's gauge."""
    least: tuple[int, str] | None = None
    for name, contact in cavity.contacts.items():
        if name == "feed":
            continue
        for wire in contact.wires:
            most_a = _most_amps_a(wire.gauge)
            if most_a is not None and (least is None or most_a < least[0]):
                least = (most_a, wire.gauge)
    return least


@lru_cache(maxsize=1024)
def _most_amps_a(gauge: str) -> int | None:
    """Return the amps of a gauge as written.

    A bare number is taken as AWG; SAE wire of the same number is thinner, so the
    bound holds for it all the more.
    """
    if not gauge:
        return None
    try:
        return allowable_amps_a(read_gauge(gauge).awg)
    except GaugeNotUnderstood:
        return None


def load_sums(document: Map) -> Iterator[Finding]:
    """Find fuses whose known loads pass the rating or its share for long use."""
    for cavity in _protecting(document):
        if cavity.rating_a is None or not cavity.loads:
            continue
        volts = document.car.volts
        whole_a = sum(_amps_a(load, volts) for load in cavity.loads)
        long_a = sum(
            _amps_a(load, volts)
            for load in cavity.loads
            if load.duty not in _SHORT_DUTIES
        )
        if whole_a > cavity.rating_a + _DUST_A:
            yield _overloaded(cavity, whole_a)
        elif long_a > CONTINUOUS_SHARE * cavity.rating_a + _DUST_A:
            yield _loaded_long(cavity, long_a)


_DUST_A = 1e-6
"""Sums of decimal amps carry floating-point dust."""


def _amps_a(load: Load, volts: float) -> float:
    if load.amps_a is not None:
        return load.amps_a
    if load.watts_w is not None:
        return load.watts_w / (load.at_volts or volts)
    return 0.0


def _shown(amps_a: float) -> str:
    return number_text(round(amps_a, 2))


def _overloaded(cavity: Cavity, whole_a: float) -> Finding:
    return Finding(
        code="loads-above-rating",
        level=Level.ERROR,
        objects=(cavity.id,),
        what=f"{cavity.designation}: its loads come to {_shown(whole_a)} A, its "
        f"rating is {number_text(cavity.rating_a or 0)} A",
        why="a fuse opens when all its loads run at once and pass its rating",
        todo="measure the current, and move a load to another fuse",
    )


def _loaded_long(cavity: Cavity, long_a: float) -> Finding:
    rating_a = cavity.rating_a or 1
    return Finding(
        code="loads-above-share",
        level=Level.ADVICE,
        objects=(cavity.id,),
        what=f"{cavity.designation}: its loads for long use come to {_shown(long_a)} "
        f"A, {round(100 * long_a / rating_a)} % of {number_text(rating_a)} A",
        why=f"a fuse carries about {round(100 * CONTINUOUS_SHARE)} % of its rating "
        "all the time (common practice, no source)",
        todo="measure the current and feel whether the fuse and its contacts grow warm",
    )
