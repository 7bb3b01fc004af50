"""Adds up what the car draws with the key off, fuse by fuse, from millivolts.

Each fuse's millivolts give milliamps by its body and rating; what the battery gives
beyond their sum goes past the fuses that were read, or is in none.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.isolation.places import Places
from blockmap.analysis.numbers.figure import Comparison, Figure, exact, sum_of
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.meter_readings import (
    current_through_fuse,
    key_off_verdict,
)
from blockmap.model.document import Cavity, Map

__all__ = ["Drawn", "Parasitic", "parasitic_draw"]

_KEY_OFF = frozenset({"KEY OUT", "OFF"})


@dataclass(frozen=True, slots=True)
class Drawn:
    """What passes one fuse: its figure in mA, and the loads that may draw it."""

    cavity: str
    current: Figure
    loads: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Parasitic:
    """What passes the fuses, the battery's reading, and the rest, all in mA.

    ``unread`` are fuses without millivolts, ``unknown`` those whose cold resistance
    no table gives.
    """

    drawn: tuple[Drawn, ...]
    total: Figure | None
    battery: Figure | None
    rest_ma: float | None
    verdict: Comparison | None
    unread: tuple[str, ...]
    unknown: tuple[str, ...]


def parasitic_draw(
    document: Map, places: Places, limits: Limits = DEFAULT_LIMITS
) -> Parasitic:
    """Return the draw with the key off from the readings of a map."""
    drawn: dict[str, Drawn] = {}
    unknown: dict[str, None] = {}
    battery: Figure | None = None
    for reading in document.readings.values():
        words = {word.upper() for word in reading.states}
        if reading.value is None or (words and not words & _KEY_OFF):
            continue
        if reading.unit in ("A", "mA"):
            if reading.point.casefold().startswith("battery"):
                share = 1000.0 if reading.unit == "A" else 1.0
                value = reading.value * share
                battery = exact("Battery", value, "mA", "read at the battery cable")
            continue
        ends = [places.point(reading.point), places.point(reading.against)]
        if reading.unit == "ohm" or not all(ends):
            continue
        names = {(end.cavity, end.contact) for end in ends if end is not None}
        cavities = {cavity for cavity, _ in names}
        if len(cavities) != 1 or {name for _, name in names} != {"b1", "b2"}:
            continue
        cavity = document.cavities[cavities.pop()]
        share = 1.0 if reading.unit == "mV" else 1000.0
        figure = _through(cavity, reading.value * share, limits)
        if figure is None:
            unknown[cavity.id] = None
        else:
            drawn[cavity.id] = Drawn(cavity.id, figure, _loads(cavity, figure))
    found = tuple(drawn.values())
    total = (
        sum_of("Through the fuses", [d.current for d in found], "mA") if found else None
    )
    rest = None
    if battery is not None and total is not None:
        rest = abs(battery.value) - abs(total.value)
    unread = tuple(
        cavity.id
        for cavity in document.cavities.values()
        if cavity.kind == "fuse" and cavity.id not in drawn and cavity.id not in unknown
    )
    counted = battery or total
    verdict = key_off_verdict(counted, limits) if counted is not None else None
    return Parasitic(found, total, battery, rest, verdict, unread, tuple(unknown))


def _through(cavity: Cavity, millivolts: float, limits: Limits) -> Figure | None:
    rating = cavity.fitted_a or cavity.rating_a
    if rating is None:
        return None
    form = cavity.fitted_form or cavity.form
    return current_through_fuse(form, rating, millivolts, limits)


def _loads(cavity: Cavity, current: Figure) -> tuple[str, ...]:
    """Return the loads of a fuse that may draw this much: the steady ones first.

    A load of which no current is noted may draw anything.
    """
    amps = abs(current.value) / 1000
    slack = max(0.3 * amps, abs(current.high - current.low) / 2000)
    if amps <= slack and amps < 0.002:
        return ()
    close = [
        load.name
        for load in cavity.loads
        if load.amps_a is None or abs(load.amps_a - amps) <= slack
    ]
    return tuple(close)
