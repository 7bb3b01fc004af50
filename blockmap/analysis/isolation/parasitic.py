"""Adds up what the car draws with the key off, fuse by fuse, from millivolts.

Each fuse's millivolts give milliamps by its body and rating; what the battery gives
beyond their sum goes past the fuses that were read, or is in none. Loads that would
draw as much are candidates, no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from blockmap.analysis.isolation.sizes import is_off_limits
from blockmap.analysis.numbers.figure import (
    Comparison,
    Figure,
    exact,
    shown,
    sum_of,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.meter_readings import (
    current_through_fuse,
    key_off_verdict,
)
from blockmap.model.document import Cavity, Load, Map, Reading
from blockmap.model.ids import CavityId
from blockmap.model.places import PlaceIndex
from blockmap.reference.fuse_resistance import cold_resistance, known_ratings
from blockmap.reference.sources import Status

__all__ = ["Drawn", "Match", "Parasitic", "fuse_read", "parasitic_draw"]

_KEY_OFF = frozenset({"KEY OUT", "OFF"})
_ENDS = frozenset({"b1", "b2"})
_SLACK = 0.15
"""Share by which a load's noted current may be off. Common practice, no source."""
_WHOLE_V = 0.3
"""More is lost across no whole fuse: it is open then. Common practice, no source."""
_TOGETHER = 3
"""Most loads that are added up to explain one current."""
_MOST_LOADS = 24
_MOST_MATCHES = 3


@dataclass(frozen=True, slots=True)
class Match:
    """Loads that together would draw about as much, in mA."""

    loads: tuple[str, ...]
    current_ma: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """What passes one fuse, in mA, from the reading of this key.

    ``current`` is None where no table gives the cold resistance. ``unsized`` are
    loads of which no current is noted: they may draw anything.
    """

    cavity: CavityId
    reading: str
    millivolts: float
    current: Figure | None
    matches: tuple[Match, ...] = ()
    unsized: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Parasitic:
    """What passes the fuses, the battery's reading, and the rest, all in mA.

    ``unread`` are fuses without millivolts, ``unknown`` those whose cold resistance
    no table gives, ``barred`` those that are never to be probed. ``rest`` has the
    band of what was added up; ``rest_matches`` are loads of fuses not added up.
    """

    drawn: tuple[Drawn, ...]
    total: Figure | None
    battery: Figure | None
    battery_reading: str
    rest: Figure | None
    rest_matches: tuple[Match, ...]
    verdict: Comparison | None
    unread: tuple[CavityId, ...]
    unknown: tuple[CavityId, ...]
    barred: tuple[CavityId, ...]

    @property
    def rest_ma(self) -> float | None:
        """What is not explained, in mA."""
        return None if self.rest is None else self.rest.value


def fuse_read(index: PlaceIndex, document: Map, reading: Reading) -> Cavity | None:
    """Return the fuse that a key-off reading was taken across, from end to end.

    None when it is no such reading: it then says nothing of the draw.
    """
    words = {word.upper() for word in reading.states}
    if reading.value is None or reading.unit not in ("V", "mV"):
        return None
    if (words and not words <= _KEY_OFF) or reading.load:
        return None
    if abs(reading.value) > (1000 if reading.unit == "mV" else 1) * _WHOLE_V:
        return None
    ends = [index.place(reading.point), index.place(reading.against)]
    found = [end for end in ends if end is not None]
    if {end.where for end in found} != _ENDS or found[0].cavity != found[1].cavity:
        return None
    return document.cavities[found[0].cavity]


def parasitic_draw(document: Map, limits: Limits = DEFAULT_LIMITS) -> Parasitic:
    """Return the draw with the key off from the readings of a map."""
    index = PlaceIndex(document)
    drawn: dict[CavityId, Drawn] = {}
    battery, battery_key = None, ""
    for key, reading in document.readings.items():
        figure = _at_battery(reading)
        if figure is not None:
            battery, battery_key = figure, key
        cavity = fuse_read(index, document, reading)
        if cavity is not None:
            drawn.pop(cavity.id, None)
            drawn[cavity.id] = _drawn(key, reading, cavity, document, limits)
    currents = [each.current for each in drawn.values() if each.current is not None]
    total = sum_of("Through the fuses", currents, "mA") if currents else None
    rest = _rest(battery, total) if battery and total else None
    fuses = [c for c in document.cavities.values() if c.kind == "fuse"]
    barred = tuple(c.id for c in fuses if is_off_limits(c))
    unknown = tuple(each.cavity for each in drawn.values() if each.current is None)
    unread = tuple(c.id for c in fuses if c.id not in drawn and c.id not in barred)
    open_ = [document.cavities[each] for each in (*unread, *unknown)]
    counted = battery or total
    return Parasitic(
        drawn=tuple(drawn.values()),
        total=total,
        battery=battery,
        battery_reading=battery_key,
        rest=rest,
        rest_matches=_rest_matches(rest, open_, document.car.volts),
        verdict=key_off_verdict(counted, limits) if counted is not None else None,
        unread=unread,
        unknown=unknown,
        barred=barred,
    )


def _at_battery(reading: Reading) -> Figure | None:
    words = {word.upper() for word in reading.states}
    if reading.value is None or reading.unit not in ("A", "mA"):
        return None
    if not reading.point.casefold().startswith("battery") or words - _KEY_OFF:
        return None
    value = reading.value * (1000.0 if reading.unit == "A" else 1.0)
    return exact("Battery", abs(value), "mA", "read at the battery cable")


def _rest(battery: Figure, total: Figure) -> Figure:
    ends = sorted((abs(total.low), abs(total.high)))
    passed = abs(total.value)
    low = 0.0 if total.low <= 0.0 <= total.high else ends[0]
    return Figure(
        "Not explained",
        battery.value - passed,
        "mA",
        battery.value - max(ends[1], passed),
        battery.value - min(low, passed),
        "{} mA - {} mA = {} mA",
        (battery.value, passed, battery.value - passed),
        inputs=(battery, total),
    )


def _drawn(
    key: str, reading: Reading, cavity: Cavity, document: Map, limits: Limits
) -> Drawn:
    millivolts = (reading.value or 0.0) * (1.0 if reading.unit == "mV" else 1000.0)
    rating = cavity.fitted_a or cavity.rating_a
    form = cavity.fitted_form or cavity.form
    current = None
    if rating is not None:
        current = current_through_fuse(form, rating, millivolts, limits)
        current = current or _between(form, rating, millivolts, limits)
    if current is None:
        return Drawn(cavity.id, key, millivolts, None)
    step = abs(current.high - current.low) / 2
    volts = document.car.volts
    draws = abs(current.value) > step
    return Drawn(
        cavity.id,
        key,
        millivolts,
        current,
        _matches(abs(current.value), step, cavity.loads, volts) if draws else (),
        tuple(x.name for x in cavity.loads if _ma(x, volts) is None) if draws else (),
    )


def _between(
    form: str, rating_a: float, millivolts: float, limits: Limits
) -> Figure | None:
    """Return the current by the ratings on either side of one that no table has.

    Cold resistance times rating changes little from one rating of a body to the next;
    the band spans both neighbours. None at the ends of a table.
    """
    known = known_ratings(form)
    lower = max((each for each in known if each < rating_a), default=None)
    upper = min((each for each in known if each > rating_a), default=None)
    if lower is None or upper is None:
        return None
    rows = [(each, cold_resistance(form, each)) for each in (lower, upper)]
    scaled = [row.value * each / rating_a for each, row in rows if row is not None]
    found = [row for _, row in rows if row is not None]
    middle = sum(scaled) / len(scaled)
    step = limits.figure("meter_step_mv")
    ends = [
        1000 * (millivolts + sign * step.value) / mohm
        for mohm in scaled
        for sign in (-1, 1)
    ]
    value = 1000 * millivolts / middle
    return Figure(
        f"Current through the {shown(rating_a)} A fuse",
        value,
        "mA",
        min(ends),
        max(ends),
        "I = U / R = {} mV / {:4} mΩ = {} mA",
        (millivolts, middle, value),
        weakest((Status.DERIVED, *(row.status for row in found))),
        tuple(dict.fromkeys(s for row in found for s in row.sources)),
        f"no table has {shown(rating_a)} A: taken between {shown(lower)} A and "
        f"{shown(upper)} A of this body",
        (step,),
    )


def _ma(load: Load, volts: float) -> float | None:
    if load.amps_a is not None:
        return 1000 * load.amps_a
    if load.watts_w is not None:
        return 1000 * load.watts_w / (load.at_volts or volts)
    return None


def _matches(
    current_ma: float, step_ma: float, loads: Iterable[Load], volts: float
) -> tuple[Match, ...]:
    """Return the fewest loads that draw about as much, the closest first."""
    known = [(x.name, ma) for x in loads if (ma := _ma(x, volts))][:_MOST_LOADS]
    for number in range(1, _TOGETHER + 1):
        found = list(_sums(current_ma, step_ma, known, number))
        if found:
            found.sort(key=lambda match: abs(match.current_ma - current_ma))
            return tuple(found[:_MOST_MATCHES])
    return ()


def _sums(
    current_ma: float, step_ma: float, known: list[tuple[str, float]], number: int
) -> Iterator[Match]:
    for chosen in combinations(known, number):
        together = sum(ma for _, ma in chosen)
        if abs(together - current_ma) <= max(step_ma, _SLACK * together):
            yield Match(tuple(name for name, _ in chosen), together)


def _rest_matches(
    rest: Figure | None, cavities: Iterable[Cavity], volts: float
) -> tuple[Match, ...]:
    if rest is None or rest.low <= 0.0:
        return ()
    loads = [load for cavity in cavities for load in cavity.loads]
    small = [x for x in loads if (ma := _ma(x, volts)) and ma <= 1.5 * rest.high]
    step = (rest.high - rest.low) / 2
    return _matches(rest.value, step, small, volts)
