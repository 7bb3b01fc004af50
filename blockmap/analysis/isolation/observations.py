"""Turns the readings of a map into what the circuit can be held against.

What cannot be used, such as a point the map lacks, is named and left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from blockmap.analysis.isolation.network import GROUND, Network, State
from blockmap.analysis.isolation.parasitic import fuse_read
from blockmap.analysis.isolation.places import Places
from blockmap.model.document import Map, Reading
from blockmap.model.edits import same_test

__all__ = ["Observation", "Observed", "observations"]

_SEEN = (
    ("bright", ("bright", "full bright", "glows full")),
    ("dead", ("dead", "out", "dark", "nothing", "stops", "stopped", "no light")),
    ("dim", ("dim", "weak", "slow", "glow", "glows", "yellow", "poor")),
    (
        "live",
        ("live", "lit", "light", "works", "work", "runs", "run", "normal", "good"),
    ),
)
_LOOKED = (
    ("broken", ("blown", "broken", "burnt", "open", "loose", "backed")),
    ("whole", ("whole", "good", "sound", "tight", "firm")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One thing that was seen or measured.

    ``kind`` is volts (value in V), lamp (live, dim or dead at a point), load (the same
    of a consumer), in place (a lamp in the fuse's place: bright, dim, dead), looked
    (broken or whole; ``element``). ``place`` is the cavity of the point, ``amps_a``
    the current that was noted with volts.
    """

    key: str
    kind: str
    state: State
    point: int = GROUND
    against: int = GROUND
    value: float = 0.0
    seen: str = ""
    sigma_v: float = 0.02
    amps_a: float | None = None
    element: int = -1
    places: tuple[str, str] = ("", "")
    contacts: tuple[str, str] = ("", "")
    text: str = ""


@dataclass(frozen=True, slots=True)
class Observed:
    """The observations of a map, and what could not be used, each with why.

    ``every`` holds besides those that count those that were taken again later,
    ``aside`` those that were set aside as taken before a repair.
    """

    used: tuple[Observation, ...]
    unused: tuple[tuple[str, str], ...]
    every: tuple[Observation, ...]
    aside: tuple[Observation, ...] = ()


def seen_word(text: str) -> str:
    """Return bright, dead, dim or live for what was seen; empty when it says none."""
    words = re.findall(r"[a-z]+", text.casefold())
    for meaning, marks in _SEEN:
        if any(mark in words for mark in marks if " " not in mark):
            return meaning
    return ""


def looked_word(text: str) -> str:
    """Return broken or whole for how a part looked; empty when it says neither."""
    words = re.findall(r"[a-z]+", text.casefold())
    for meaning, marks in _LOOKED:
        if any(mark in words for mark in marks):
            return meaning
    return ""


def observations(
    network: Network, document: Map, places: Places | None = None
) -> Observed:
    """Return what the readings of a map say, in the order of the map.

    ``places`` saves making the names of the network again.
    """
    places = places or Places(network, document)
    used: list[Observation] = []
    every: list[Observation] = []
    aside: list[Observation] = []
    unused: list[tuple[str, str]] = []
    last = {
        same_test(reading): key
        for key, reading in document.readings.items()
        if (reading.value is not None or reading.seen) and not reading.aside
    }
    for key, reading in document.readings.items():
        again = last.get(same_test(reading), key)
        found: Observation | str
        if reading.aside:
            kept = _observed(key, reading, network, places)
            aside += [] if isinstance(kept, str) else [kept]
            found = "it was taken before a repair and is set aside"
        elif again != key:
            earlier = _observed(key, reading, network, places)
            every += [] if isinstance(earlier, str) else [earlier]
            found = f"taken again later, as {again}: that one counts"
        elif fuse_read(places.index, document, reading) is not None:
            found = "it counts for the draw with the key off"
        else:
            found = _observed(key, reading, network, places)
        if isinstance(found, str):
            unused.append((key, found))
        else:
            used.append(found)
            every.append(found)
    return Observed(tuple(used), tuple(unused), tuple(every), tuple(aside))


def _observed(
    key: str, reading: Reading, network: Network, places: Places
) -> Observation | str:
    point = places.point(reading.point)
    element = places.taken_out(reading.point)
    loads = places.loads(reading.point)
    in_place = "in place" in reading.meter.casefold()
    words = reading.states
    if not words and point is not None:
        words = tuple(network.states_of(point.node))
    operated = reading.load
    is_load = reading.value is None and len(loads) == 1 and "." not in reading.point
    if is_load and not in_place:
        operated = f"{operated}; {loads[0]}" if operated else loads[0]
    state = places.state(words, operated, reading.out)
    if is_load:
        state = state._replace(on=state.on | {loads[0]})
    said = _sentence(reading, places)
    if reading.value is None:
        seen = seen_word(reading.seen)
        looked = looked_word(reading.seen)
        if in_place and element is not None and seen:
            seen = "bright" if seen == "live" else seen
            return Observation(
                key=key, kind="in place", state=state, element=element, seen=seen,
                text=said,
            )  # fmt: skip
        if is_load and seen:
            at = network.loads[loads[0]]
            return Observation(
                key=key, kind="load", state=state, point=at.plus, against=at.minus,
                seen="live" if seen == "bright" else seen, text=said,
                places=(at.cavity, at.cavity), contacts=(loads[0], loads[0]),
            )  # fmt: skip
        if point is not None and seen:
            return Observation(
                key=key, kind="lamp", state=state, point=point.node,
                seen="live" if seen == "bright" else seen, text=said,
                places=(point.cavity, ""), contacts=(point.contact, ""),
            )  # fmt: skip
        if element is not None and looked:
            return Observation(
                key=key, kind="looked", state=state, element=element, seen=looked,
                text=said,
            )  # fmt: skip
        if seen and point is None and element is None:
            return f"the map has no point “{reading.point}”"
        return "nothing in it says live, dim, dead, broken or whole"
    if point is None:
        return f"the map has no point “{reading.point}”"
    against = places.point(reading.against) if reading.against else None
    ground = reading.against.casefold() in ("", "ground", "body", "battery ground")
    if against is None and not ground:
        return f"the map has no point “{reading.against}”"
    if reading.unit not in ("V", "mV"):
        return f"a reading in {reading.unit} is recorded, not weighed"
    share = 0.001 if reading.unit == "mV" else 1.0
    value = reading.value * share
    assumed = network.assumed
    step = 0.0005 if reading.unit == "mV" else assumed.meter_v
    return Observation(
        key=key, kind="volts", state=state, point=point.node,
        against=GROUND if against is None else against.node, value=value,
        sigma_v=step + assumed.meter_share * abs(value), text=said,
        amps_a=reading.amps_a,
        places=(point.cavity, against.cavity if against else ""),
        contacts=(point.contact, against.contact if against else ""),
    )  # fmt: skip


def _sentence(reading: Reading, places: Places) -> str:
    """Return a reading in words, its places as a person is told they are called."""
    ends = [text for text in (reading.point, reading.against) if text]
    probed = reading.value is not None
    what = " against ".join(places.words(text, probed=probed) for text in ends)
    if "in place" in reading.meter.casefold():
        what = f"lamp in place of {what}"
    shown = reading.seen or ""
    if reading.value is not None:
        shown = f"{reading.value:g} {reading.unit}"
    where: Iterable[str] = (*reading.states, reading.load)
    state = ", ".join(part for part in where if part)
    gone = " and ".join(places.words(text, probed=False) for text in reading.out)
    out = f", {gone} out" if gone else ""
    return f"{what}: {shown}" + (f" ({state}{out})" if state or out else "")
