"""Says what follows from a reading: milliohms, watts, its limit, and what was before.

A reading repeated in the same state, at the same points, is a pair with its earlier
one. Limits are what may be lost at a kind of place; they judge a place, not a part.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockmap.analysis.numbers.figure import Figure, exact, shown
from blockmap.analysis.numbers.limits import Limits, limits_of
from blockmap.analysis.numbers.meter_readings import ContactLoss, contact_loss
from blockmap.model.document import Map, Reading
from blockmap.model.edits import same_test
from blockmap.model.places import PlaceIndex
from blockmap.reference.drops import AllowedDrop, allowed_drop
from blockmap.reference.sources import Source, Status

__all__ = ["Followed", "Limit", "follow_words", "followed"]

_GROUNDS = ("", "ground", "body", "battery ground")
_TEST_POINTS = {"b1": "feed", "b2": "load"}
_WORKS, _FAILS = ("works", "live", "whole"), ("dead", "dim", "broken", "dark", "out")


@dataclass(frozen=True, slots=True)
class Limit:
    """What a reading is held against: most or least, in its unit, and where from."""

    value: float
    unit: str
    most: bool
    name: str
    status: Status
    sources: tuple[Source, ...] = ()

    def words(self) -> str:
        """Return the limit in words, such as 'at most 0.1 V'."""
        return f"at {'most' if self.most else 'least'} {shown(self.value)} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """What follows from one reading.

    ``before`` is the key of the same test taken earlier, ``change`` what the value
    has changed by, in the unit of the earlier one. ``within`` is None without a limit.
    ``aside`` tells that it was set aside as taken before a repair.
    """

    loss: ContactLoss | None = None
    before: str = ""
    change: float | None = None
    limit: Limit | None = None
    within: bool | None = None
    aside: bool = False


def followed(document: Map) -> Mapping[str, Followed]:
    """Return what follows from each reading of a map, by its key."""
    index = PlaceIndex(document)
    limits = limits_of(document)
    last: dict[tuple[object, ...], str] = {}
    found: dict[str, Followed] = {}
    for key, reading in document.readings.items():
        if reading.value is None and not reading.seen:
            continue
        test = same_test(reading)
        before = last.get(test, "")
        last[test] = key
        earlier = document.readings.get(before)
        limit = _limit(reading, document, index, limits)
        found[key] = Followed(
            loss=_loss(reading),
            before=before,
            change=_change(reading, earlier),
            limit=limit,
            within=_within(reading, limit),
            aside=reading.aside,
        )
    return found


def _scaled(reading: Reading, unit: str) -> float:
    """Return the value in a unit of the same kind."""
    factor = {"mV": 1000.0, "mA": 1000.0}
    assert reading.value is not None
    return reading.value / factor.get(reading.unit, 1.0) * factor.get(unit, 1.0)


def _change(reading: Reading, earlier: Reading | None) -> float | None:
    if earlier is None or reading.value is None or earlier.value is None:
        return None
    return abs(_scaled(reading, earlier.unit)) - abs(earlier.value)


def _loss(reading: Reading) -> ContactLoss | None:
    """Return milliohms and watts where a drop and its current are noted."""
    between = reading.against.casefold() not in _GROUNDS
    ground = reading.point.casefold().startswith("ground of ")
    if reading.value is None or not reading.amps_a or not (between or ground):
        return None
    if reading.unit not in ("V", "mV"):
        return None
    return contact_loss(_scaled(reading, "V"), reading.amps_a)


def _within(reading: Reading, limit: Limit | None) -> bool | None:
    if reading.value is None:
        word = reading.seen.strip().casefold()
        return True if word in _WORKS else False if word in _FAILS else None
    if limit is None:
        return None
    value = abs(_scaled(reading, limit.unit))
    if limit.most:
        return value <= limit.value * (1 + 1e-9)
    return value >= limit.value * (1 - 1e-9)


def _limit(
    reading: Reading, document: Map, index: PlaceIndex, limits: Limits
) -> Limit | None:
    if reading.value is None or reading.out:
        return None
    point = reading.point.casefold()
    if reading.unit in ("A", "mA"):
        key_off = {s.upper() for s in reading.states} <= {"KEY OUT", "OFF"}
        if not key_off or not point.startswith("battery"):
            return None
        return _own(limits.figure("key_off_ma"), "the car with the key off")
    if reading.unit not in ("V", "mV"):
        return None
    if reading.against.casefold() in _GROUNDS:
        if point.startswith("ground of "):
            return _allowed("ground", "a ground")
        if not reading.load or point.startswith("battery"):
            return None
        share = limits.figure("drop_fault")
        least = _supply(document, reading) - share.value * document.car.volts
        made = exact("Least", least, "V")
        return _own(made, "the circuit of a load", share, most=False)
    if not reading.load:
        return None
    ends = [index.place(reading.point), index.place(reading.against)]
    if ends[0] and ends[1] and ends[0].cavity == ends[1].cavity:
        where = {ends[0].where, ends[1].where}
        if where == set(_TEST_POINTS):
            return None
        if {_TEST_POINTS.get(each, each) for each in where} in ({"feed"}, {"load"}):
            return _allowed("high-current connection", "one contact")
    return _allowed("any wire, connection or switch", "a wire, joint or switch")


def _supply(document: Map, reading: Reading) -> float:
    """Return the volts of the battery: as last read, else the system's."""
    read = [
        abs(_scaled(each, "V"))
        for each in document.readings.values()
        if each.value is not None
        and each.unit in ("V", "mV")
        and each.point.casefold() == "battery"
        and each.load == reading.load
    ]
    return read[-1] if read else document.car.volts


def _allowed(place: str, name: str) -> Limit:
    row = allowed_drop(place)
    assert isinstance(row, AllowedDrop)
    return Limit(row.most_v, "V", True, name, row.status, row.sources)


def _own(
    figure: Figure, name: str, origin: Figure | None = None, *, most: bool = True
) -> Limit:
    source = origin or figure
    return Limit(
        figure.value, figure.unit, most, name, source.status, source.all_sources()
    )


def follow_words(document: Map, found: Followed) -> str:
    """Return what follows from a reading in words; empty when nothing does.

    Such as '2.2 mΩ, 0.72 W; holds: at most 0.1 V; before 1900 mV: 1860 mV less'.
    """
    parts = ["set aside: before the repair"] if found.aside else []
    if found.loss is not None:
        parts.append(f"{found.loss.resistance.text}, {found.loss.heat.text}")
    if found.limit is not None:
        limit = found.limit
        side = "above" if limit.most else "below"
        broken = f"{side} the limit of {shown(limit.value)} {limit.unit}"
        parts.append(f"holds: {limit.words()}" if found.within else broken)
    earlier = document.readings.get(found.before)
    if earlier is not None:
        parts.append(_before_words(earlier, found.change))
    return "; ".join(parts)


def _before_words(earlier: Reading, change: float | None) -> str:
    said = earlier.seen
    if earlier.value is not None:
        said = f"{shown(earlier.value, 4)} {earlier.unit}"
    when = f" on {earlier.date}" if earlier.date else ""
    if change is None:
        return f"before{when} {said}"
    if abs(change) < 1e-9:
        return f"before{when} {said}: the same"
    return f"before{when} {said}: {shown(abs(change))} {earlier.unit} " + (
        "less" if change < 0 else "more"
    )
