"""The survey of a map: which contact was found live in which state, from its readings.

Contacts of one pattern are named as a feed class and offered as a strip; what goes
against the map is named, and what is still untested is counted. Contacts that are live
together are not yet one piece of metal: that is seen from behind.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import Assumptions
from blockmap.analysis.isolation.feed_classes import (
    FeedClass,
    Undecided,
    classes_of,
    undecided_of,
)
from blockmap.analysis.isolation.network import Network, State
from blockmap.analysis.isolation.observations import seen_word
from blockmap.analysis.isolation.places import contact_word
from blockmap.model.document import Map, Reading
from blockmap.model.ids import ContactRef
from blockmap.model.places import PlaceIndex
from blockmap.model.units import number_text
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES

__all__ = [
    "Contradiction",
    "Filled",
    "Found",
    "Pulled",
    "Survey",
    "state_words",
    "states_known",
    "survey_of",
]

_LIVE_SHARE, _DIM_SHARE = 0.8, 0.1
_CRANKING_SHARE = 0.6
"""Least shares of the supply for live and dim; a battery gives less while the engine
is cranked. Common practice, no source."""
_SUPPLY_NOT_NOTED = "where {} is fed from is not noted: taken as always"
_UNSURE = ("relay", "coil", "flasher")


@dataclass(frozen=True, slots=True)
class Found:
    """What a contact showed in a state: live, dim or dead, in volts where measured.

    ``key`` is the reading that says so; ``loaded`` tells that something was switched
    on, so that it is no plain entry of the survey.
    """

    word: str
    value: float | None
    key: str
    loaded: bool = False

    def text(self) -> str:
        """Return the volts where they were measured, else the word."""
        return self.word if self.value is None else f"{number_text(self.value)} V"


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A contact found otherwise than the map says in a state.

    ``strip`` is the strip of the map that holds it; empty when none does.
    """

    contact: ContactRef
    state: str
    found: str
    expected: str
    strip: str = ""


@dataclass(frozen=True, slots=True)
class Pulled:
    """What stopped and what went on while a fuse was out."""

    cavity: str
    stopped: tuple[str, ...]
    still: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """The filled grid: rows by contact, its classes, contradictions and gaps."""

    grid: Mapping[ContactRef, Mapping[str, Found]]
    states: tuple[str, ...]
    classes: tuple[FeedClass, ...]
    undecided: tuple[Undecided, ...]
    contradictions: tuple[Contradiction, ...]
    pulled: tuple[Pulled, ...]
    untested: int
    tested: int


def states_known(document: Map) -> tuple[str, ...]:
    """Return the key and switch states of a map, in the order of a survey."""
    return (*KEY_STATES, *SWITCH_STATES, *document.car.states)


def state_words(state: str) -> tuple[str, ...]:
    """Return the words of a column: two for 'RUN + HEAD LOW'."""
    return tuple(state.split(" + "))


class Filled:
    """The grid that the readings of one map fill, kept up reading by reading.

    It holds for as long as cavities, blocks and car of the map stay the same.
    """

    def __init__(self, document: Map) -> None:
        self.index = PlaceIndex(document)
        self._order = {word: n for n, word in enumerate(states_known(document))}
        self._folded = {word.casefold(): word for word in self._order}
        sign = -1.0 if document.car.polarity == "positive ground" else 1.0
        over = Assumptions().charge_over_nominal
        self.volts = sign * document.car.volts * over
        self._cavities = document.cavities
        self._at: dict[str, tuple[ContactRef, str, Found]] = {}
        self._keys: dict[tuple[ContactRef, str], list[str]] = {}
        self.grid: dict[ContactRef, dict[str, Found]] = {}
        self.follow(document, document.readings)

    def follow(self, document: Map, keys: Iterable[str]) -> set[tuple[ContactRef, str]]:
        """Read these readings anew; return the cells that may have changed."""
        touched: dict[tuple[ContactRef, str], None] = {}
        for key in keys:
            old = self._at.pop(key, None)
            if old is not None:
                self._keys[old[0], old[1]].remove(key)
                touched[old[0], old[1]] = None
            reading = document.readings.get(key)
            new = self._read(key, reading) if reading is not None else None
            if new is not None:
                self._at[key] = new
                self._keys.setdefault((new[0], new[1]), []).append(key)
                touched[new[0], new[1]] = None
        places: dict[str, int] | None = None
        for cell in touched:
            standing = self._keys[cell]
            if len(standing) > 1:
                places = places or {k: n for n, k in enumerate(document.readings)}
                # The last one counts, one with a load on only where there is no other.
                standing.sort(key=lambda k: (not self._at[k][2].loaded, places[k]))
            row = self.grid.setdefault(cell[0], {})
            if standing:
                row[cell[1]] = self._at[standing[-1]][2]
            else:
                row.pop(cell[1], None)
                del self._keys[cell]
                if not row:
                    del self.grid[cell[0]]
        return set(touched)

    def state_named(self, words: Iterable[str]) -> str:
        """Return the column of some state words; empty when one is not known."""
        known = [self._folded.get(word.strip().casefold(), "") for word in words]
        if not known or "" in known:
            return ""
        return " + ".join(sorted(dict.fromkeys(known), key=self._order.__getitem__))

    def _read(self, key: str, reading: Reading) -> tuple[ContactRef, str, Found] | None:
        """Return the cell that a reading fills; None when it is of another kind."""
        against = reading.against.casefold()
        if reading.out or against not in ("", "ground", "body", "battery ground"):
            return None
        state = self.state_named(reading.states)
        place = self.index.place(reading.point)
        if not state or place is None or not place.where:
            return None
        name = contact_word(place.where)
        if name not in self._cavities[place.cavity].contact_names:
            return None
        value, word = reading.value, ""
        if value is None:
            word = seen_word(reading.seen).replace("bright", "live")
        elif reading.unit in ("V", "mV"):
            value = value / 1000.0 if reading.unit == "mV" else value
            word = self.word_for(value, state)
        if not word or "in place" in reading.meter.casefold():
            return None
        loaded = bool(reading.load)
        return ContactRef(place.cavity, name), state, Found(word, value, key, loaded)

    def word_for(self, value_v: float, state: str) -> str:
        """Return live, dim or dead for the volts found in a state."""
        cranking = "START" in state_words(state)
        least = _CRANKING_SHARE if cranking else _LIVE_SHARE
        share = abs(value_v / self.volts)
        return "live" if share > least else "dim" if share > _DIM_SHARE else "dead"


def survey_of(document: Map, network: Network) -> Survey:
    """Return the survey that the readings of a map make."""
    grid = Filled(document).grid
    known = states_known(document)
    found = {state for row in grid.values() for state in row}
    states = (*known, *sorted(found - set(known)))
    feeds = [
        ContactRef(cavity.id, name)
        for cavity in document.cavities.values()
        for name in ("feed", "30")
        if cavity.kind != "blank" and name in cavity.contact_names
    ]
    tested = sum(len(row) for row in grid.values())
    places = len(set(feeds) | set(grid)) * len(states)
    words = {
        contact: {state: each.word for state, each in row.items()}
        for contact, row in grid.items()
    }
    classes = classes_of(document, words, states)
    return Survey(
        grid=grid,
        states=states,
        classes=classes,
        undecided=undecided_of(classes, words, states),
        contradictions=_contradictions(document, network, grid),
        pulled=_pulled(document),
        untested=places - tested,
        tested=tested,
    )


def _contradictions(
    document: Map, network: Network, grid: Mapping[ContactRef, Mapping[str, Found]]
) -> tuple[Contradiction, ...]:
    """Return what goes against the map, where the map says anything.

    Beyond a relay or flasher nothing is: the map does not say when it closes.
    """
    nodes = {
        (point.cavity, point.contact): point.node
        for point in network.points.values()
        if point.cavity and "." in point.name
    }
    strips = {
        contact: strip.id
        for strip in document.strips.values()
        for contact in strip.contact_refs()
    }
    notes = frozenset(network.notes)
    found = []
    for contact, row in grid.items():
        way = list(network.way_up(nodes.get((contact.cavity, contact.contact), 0)))
        parts = [network.elements[index] for index in way]
        supplies = [part.name for part in parts if part.kind == "supply wire"]
        named = (name.removeprefix("supply wire of ") for name in supplies)
        if (
            not supplies
            or any(part.kind in _UNSURE for part in parts)
            or any(_SUPPLY_NOT_NOTED.format(name) in notes for name in named)
        ):
            continue
        for state, each in row.items():
            at = State(frozenset(state_words(state)))
            fed = all(network.conducts(index, at) for index in way)
            expected = "live" if fed else "dead"
            if each.word != expected and not each.loaded:
                strip = strips.get(contact, "")
                found.append(Contradiction(contact, state, each.word, expected, strip))
    return tuple(found)


def _pulled(document: Map) -> tuple[Pulled, ...]:
    """Return what stopped and went on by what was pulled, one thing at a time."""
    index = PlaceIndex(document)
    rows: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for reading in document.readings.values():
        if len(reading.out) != 1 or reading.value is not None or reading.against:
            continue
        cavity = index.cavity(reading.out[0].removeprefix("fuse ").strip())
        word = seen_word(reading.seen)
        place = index.place(reading.point)
        if cavity is None or not word or (place is not None and place.where):
            continue
        stopped, still = rows.setdefault(cavity.id, ({}, {}))
        mine, other = (stopped, still) if word == "dead" else (still, stopped)
        mine[reading.point] = None
        other.pop(reading.point, None)
    return tuple(
        Pulled(cavity, tuple(stopped), tuple(still))
        for cavity, (stopped, still) in rows.items()
    )
