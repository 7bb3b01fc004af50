"""Says what was amiss before a repair and has not been shown to hold since.

Readings that were set aside as taken before the repair are history: they accuse
nothing. What they found amiss is to be read again, in the same state, as proof.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.mended import amiss
from blockmap.analysis.isolation.network import GROUND
from blockmap.analysis.isolation.next_reading import Choice
from blockmap.analysis.isolation.observations import Observation, Observed
from blockmap.analysis.isolation.places import Places
from blockmap.analysis.isolation.proved import followed
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.telling import NextReading, told
from blockmap.analysis.isolation.trial import Trial
from blockmap.model.document import Map, Reading

__all__ = ["repair_shown", "sound_since", "to_prove"]


def repair_shown(
    document: Map, since: Sequence[Observation] = ()
) -> tuple[str, tuple[str, ...]]:
    """Return the key of a reading that holds now, and those that it has outlived.

    It is the first that holds where the same test did not, or the first of those that
    fit a sound car (``since``). Empty when there is none.
    """
    found = followed(document)
    broken = {key for key, each in found.items() if each.within is False}
    first = next(
        (
            key
            for key, each in found.items()
            if each.within and not each.aside and each.before in broken
            and not document.readings[each.before].aside
            and not any(later.before == key for later in found.values())
        ),
        since[0].key if since else "",
    )  # fmt: skip
    if not first:
        return "", ()
    keys = list(document.readings)
    before = keys[: keys.index(first)]
    return first, tuple(k for k in before if k in found and not found[k].aside)


def sound_since(belief: Belief, observed: Observed) -> bool:
    """Tell whether nothing that was read since the repair speaks for a fault."""
    return bool(observed.aside) and not _amiss(belief, observed.used)


def to_prove(
    belief: Belief, document: Map, observed: Observed
) -> tuple[NextReading, ...]:
    """Return the tests that were amiss before the repair and not made since."""
    latest = {_test(each): each for each in observed.aside}
    done = {_test(each) for each in observed.used}
    standing = [each for test, each in latest.items() if test not in done]
    places = Places(belief.network, document)
    found = []
    for number in _amiss(belief, standing):
        before = standing[number]
        choice = _again(belief, before, document.readings[before.key], places)
        if choice is not None:
            found.append(_as_before(told(choice, belief), before, document))
    return tuple(found)


def _amiss(belief: Belief, observed: Sequence[Observation]) -> list[int]:
    """Return the numbers of what a sound car does not show, a bright lamp among it."""
    bright = {
        number
        for number, each in enumerate(observed)
        if each.kind == "in place" and each.seen == "bright"
    }
    return sorted(bright | set(amiss(belief.circuits, observed)))


def _test(each: Observation) -> tuple[object, ...]:
    kind = "point" if each.kind in ("volts", "lamp") else each.kind
    return (kind, each.state, each.point, each.against, each.element)


def _again(
    belief: Belief, before: Observation, reading: Reading, places: Places
) -> Choice | None:
    """Return the test of an earlier reading, with what a sound car shows."""
    network, kind = belief.network, before.kind
    if kind in ("looked", "in place"):
        work = network.assumed.work
        minutes = work.look_min if kind == "looked" else work.lamp_min
        trial = Trial(
            kind=kind, state=before.state, minutes=minutes, element=before.element
        )
        share = lamp_share(network, before.element, before.state)
        return Choice(trial, 0.0, share if kind == "in place" else 0.0, 0.1)
    sound = belief.circuits.at(before.state).reading(before.point, before.against)
    if kind == "load":
        name = before.contacts[0]
        minutes = network.assumed.work.operate_min
        trial = Trial(kind=kind, state=before.state, minutes=minutes, load=name)
        return Choice(trial, 0.0, sound, 0.1)
    point = places.point(reading.point)
    against = places.point(reading.against) if before.against != GROUND else None
    if point is None or point.off_limits:
        return None
    ends = [end for end in (point, against) if end is not None]
    minutes = max(network.assumed.work.minutes(end.access) for end in ends)
    trial = Trial(
        kind="drop" if against else "volts", state=before.state, minutes=minutes,
        point=point, against=against,
    )  # fmt: skip
    return Choice(trial, 0.0, sound, 0.02)


def _as_before(
    proposed: NextReading, before: Observation, document: Map
) -> NextReading:
    """Return a proposal whose answer is a pair with the reading taken before."""
    reading = document.readings[before.key]
    on = tuple(part.strip() for part in reading.load.split(";") if part.strip())
    return dataclasses.replace(
        proposed,
        point=reading.point,
        against=reading.against or "ground",
        states=reading.states,
        loads_on=on,
        out=reading.out,
        why=f"before the repair it was amiss: {before.text}",
    )
