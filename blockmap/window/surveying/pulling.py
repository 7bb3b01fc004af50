"""What stopped with one fuse out, written into the map: readings, loads, evidence.

Plain functions; the edits themselves are those of the model. A load that stands at
another place by the map is not taken off there: that is said, and the person decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.analysis.behind.paths import what_dies
from blockmap.analysis.isolation.survey import state_words
from blockmap.model.document import Cavity, Evidence, Load, Map, Reading
from blockmap.model.edits import (
    add_reading,
    set_evidence,
    set_property,
    set_reading_text,
    set_texts,
)
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.evidence import is_doubtful
from blockmap.model.ids import BlockId, CavityId, ContactRef
from blockmap.model.places import PlaceIndex
from blockmap.model.schema import property_named, read_value

__all__ = [
    "PULLED_KINDS",
    "LoadRow",
    "Outcome",
    "loads_to_try",
    "outcome_of",
    "pullable",
    "pulled_noted",
    "said_before",
]

PULLED_KINDS = ("fuse", "breaker", "link", "flasher", "relay")
_TEST = "pulled one at a time"


@dataclass(frozen=True, slots=True)
class LoadRow:
    """A load of the map and the places where it stands."""

    name: str
    places: tuple[CavityId, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a trial says: facts seen, loads new here, loads at odds with the map.

    ``elsewhere`` are loads that stopped and stand at another place; ``went_on`` those
    that stand here and did not stop; ``not_tried`` those that nothing was said of.
    """

    circuit: str
    fresh: tuple[str, ...]
    seen: tuple[str, ...]
    elsewhere: tuple[LoadRow, ...]
    went_on: tuple[str, ...]
    not_tried: tuple[str, ...]


def loads_to_try(document: Map, cavity: CavityId) -> tuple[LoadRow, ...]:
    """Return the loads of a map: those at a place first, then what is fed from it."""
    below = _below(document, cavity)

    def nearness(row: LoadRow) -> int:
        return 0 if cavity in row.places else 1 if set(row.places) & below else 2

    return tuple(
        sorted(_rows(document), key=lambda row: (nearness(row), row.name.casefold()))
    )


def _rows(document: Map) -> list[LoadRow]:
    places: dict[str, dict[CavityId, None]] = {}
    for each in document.cavities.values():
        for load in each.loads:
            places.setdefault(load.name, {})[each.id] = None
    return [LoadRow(name, tuple(at)) for name, at in places.items()]


def _below(document: Map, cavity: CavityId) -> frozenset[CavityId]:
    """Return the places that are fed through a place."""
    held = document.cavities.get(cavity)
    if held is None or not held.contact_names:
        return frozenset()
    dies = what_dies(document, ContactRef(cavity, held.main_contact))
    return frozenset(dies.cavities) - {cavity}


def outcome_of(
    document: Map, cavity: CavityId, stopped: Sequence[str], went_on: Sequence[str]
) -> Outcome:
    """Return what a trial says of the map as it is, before it is noted."""
    here = document.cavities[cavity]
    below = _below(document, cavity)
    rows = {row.name.casefold(): row for row in _rows(document)}
    mine = {load.name.casefold(): load.name for load in here.loads}
    gone = {name.casefold() for name in stopped}
    still = {name.casefold() for name in went_on}
    fresh, elsewhere = [], []
    for name in stopped:
        row = rows.get(name.casefold())
        at = set(row.places) if row else set()
        if name.casefold() in mine or at & below:
            continue
        fresh.append(row.name if row else name)
        if row is not None:
            elsewhere.append(row)
    seen = []
    if stopped:
        seen.append("circuit")
    if stopped and all(name in gone for name in mine):
        seen.append("loads")
    first = fresh[0] if fresh else ""
    circuit = here.circuit or (first[:1].upper() + ", ".join(fresh)[1:])
    return Outcome(
        circuit=circuit,
        fresh=tuple(fresh),
        seen=tuple(key for key in seen if key != "circuit" or circuit),
        elsewhere=tuple(elsewhere),
        went_on=tuple(own for name, own in mine.items() if name in still),
        not_tried=tuple(o for n, o in mine.items() if n not in gone | still),
    )


def out_text(index: PlaceIndex, cavity: Cavity) -> str:
    """Return how a reading names what was out."""
    mine = index.cavity(cavity.designation)
    unique = mine is not None and mine.id == cavity.id
    return cavity.designation if unique else cavity.id


def said_before(
    document: Map, cavity: CavityId
) -> tuple[dict[str, str], dict[str, str]]:
    """Return by load what was seen with this place alone out, and by which reading."""
    index = PlaceIndex(document)
    seen: dict[str, str] = {}
    keys: dict[str, str] = {}
    for key, reading in document.readings.items():
        if len(reading.out) != 1 or reading.value is not None:
            continue
        out = index.cavity(reading.out[0].removeprefix("fuse ").strip())
        if out is not None and out.id == cavity:
            seen[reading.point], keys[reading.point] = reading.seen, key
    return seen, keys


def pulled_noted(
    document: Map,
    cavity: CavityId,
    stopped: Sequence[str],
    went_on: Sequence[str],
    state: str,
    today: str,
) -> Map:
    """Note what stopped and what went on with one place out. Raises EditRefused.

    What stopped joins its loads, an empty circuit is named after them, and circuit
    and loads count as seen on the car: the loads only when every one of them stopped.
    """
    if not stopped and not went_on:
        raise EditRefused("Say of one load at least whether it stopped or went on")
    outcome = outcome_of(document, cavity, stopped, went_on)
    here = document.cavities[cavity]
    out = out_text(PlaceIndex(document), here)
    keys = said_before(document, cavity)[1]
    words = ((stopped, "stopped"), (went_on, "works"))
    for name, word in ((name, word) for names, word in words for name in names):
        old = document.readings.get(keys.get(name, ""))
        if old is not None and old.date == today and not old.aside:
            document = set_reading_text(document, keys[name], "seen", word)
            document = set_reading_text(document, keys[name], "states", state)
            continue
        fresh = Reading(
            point=name, seen=word, states=state_words(state), out=(out,), date=today
        )
        document, _ = add_reading(document, fresh)
    if outcome.fresh:
        loads = (*here.loads, *(_load(document, name) for name in outcome.fresh))
        document = set_property(document, [cavity], "loads", loads)
    if outcome.circuit != here.circuit:
        document = set_texts(document, [cavity], "circuit", outcome.circuit)
    evidence = Evidence(how="seen", test=_TEST, date=today)
    for key in outcome.seen:
        if is_doubtful(document.cavities[cavity], key):
            document = set_evidence(document, [cavity], key, evidence)
    return document


def _load(document: Map, name: str) -> Load:
    """Return a load as the map knows it elsewhere, else a bare one."""
    for cavity in document.cavities.values():
        for load in cavity.loads:
            if load.name == name:
                return load
    try:
        text = read_value(property_named(Load, "name"), name, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    return Load(name=text)


def pullable(document: Map, block: BlockId | None) -> tuple[Cavity, ...]:
    """Return the places of a block from which something is pulled."""
    if block is None:
        return ()
    return tuple(c for c in document.cavities_of(block) if c.kind in PULLED_KINDS)
