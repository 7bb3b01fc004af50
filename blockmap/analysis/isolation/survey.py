"""Groups contacts by the states in which they were found live, and names the feeds.

Contacts of the same pattern may share a strip; the grid only offers it. It shows what
contradicts the map and counts what is still untested.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from blockmap.analysis.isolation.network import Network, State
from blockmap.analysis.isolation.observations import Observation
from blockmap.model.document import Map
from blockmap.model.ids import ContactRef
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES

__all__ = ["Contradiction", "FeedClass", "Pulled", "Survey", "survey_of"]


@dataclass(frozen=True, slots=True)
class FeedClass:
    """Contacts that were live in the same states: those, and the states not tested."""

    name: str
    live: tuple[str, ...]
    untested: tuple[str, ...]
    contacts: tuple[ContactRef, ...]
    strips: tuple[str, ...]
    """The strips of the map that hold some of them; none when it offers a new one."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A contact found otherwise than the map says in a state."""

    contact: ContactRef
    state: str
    found: str
    expected: str


@dataclass(frozen=True, slots=True)
class Pulled:
    """What stopped and what went on while a fuse was out."""

    cavity: str
    stopped: tuple[str, ...]
    still: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """The filled grid: rows by contact, its classes, contradictions and gaps."""

    grid: Mapping[ContactRef, Mapping[str, str]]
    states: tuple[str, ...]
    classes: tuple[FeedClass, ...]
    contradictions: tuple[Contradiction, ...]
    pulled: tuple[Pulled, ...]
    untested: int
    tested: int


def survey_of(
    document: Map, network: Network, observed: Sequence[Observation]
) -> Survey:
    """Return the survey that the observations of a map make."""
    states = (*KEY_STATES, *SWITCH_STATES, *document.car.states)
    grid: dict[ContactRef, dict[str, str]] = {}
    nodes = _nodes(network)
    for each in observed:
        word = _word(each, network)
        contact = ContactRef(each.places[0], each.contacts[0])
        if (
            not word
            or nodes.get((contact.cavity, contact.contact)) != each.point
            or each.state.out
            or len(each.state.words) > 1
        ):
            continue
        for state in each.state.words:
            grid.setdefault(contact, {})[state] = word
    feeds = _feed_contacts(document)
    tested = sum(len(row) for row in grid.values())
    places = len(set(feeds) | set(grid)) * len(states)
    return Survey(
        grid=grid,
        states=states,
        classes=_classes(document, grid, states),
        contradictions=_contradictions(network, grid),
        pulled=_pulled(network, observed),
        untested=places - tested,
        tested=tested,
    )


def _nodes(network: Network) -> dict[tuple[str, str], int]:
    """Return the node of each contact; the ground of its load is no contact."""
    return {
        (point.cavity, point.contact): point.node
        for point in network.points.values()
        if point.cavity and "." in point.name
    }


def _word(each: Observation, network: Network) -> str:
    if each.kind == "lamp":
        return each.seen
    if each.kind != "volts" or each.against != 0:
        return ""
    share = each.value / network.volts
    return "live" if share > 0.8 else "dim" if share > 0.1 else "dead"


def _feed_contacts(document: Map) -> list[ContactRef]:
    found = []
    for cavity in document.cavities.values():
        for name in ("feed", "30"):
            if cavity.kind != "blank" and name in cavity.contact_names:
                found.append(ContactRef(cavity.id, name))
    return found


def _classes(
    document: Map, grid: Mapping[ContactRef, Mapping[str, str]], states: Sequence[str]
) -> tuple[FeedClass, ...]:
    """Group rows that agree in every state in which both were tested, full rows first.

    A row joins only a group that shares a tested state with it.
    """
    strips: dict[ContactRef, str] = {}
    for strip in document.strips.values():
        for contact in strip.contact_refs():
            strips[contact] = strip.id
    groups: list[tuple[dict[str, str], list[ContactRef]]] = []
    for contact, row in sorted(grid.items(), key=lambda each: -len(each[1])):
        for pattern, members in groups:
            shared = row.keys() & pattern.keys()
            if shared and all(row[state] == pattern[state] for state in shared):
                members.append(contact)
                pattern.update(row)
                break
        else:
            groups.append((dict(row), [contact]))
    found = []
    for pattern, members in groups:
        live = tuple(s for s in states if pattern.get(s) in ("live", "dim"))
        known = dict.fromkeys(strips[m] for m in members if m in strips)
        untested = tuple(s for s in states if s not in pattern)
        name = _class_name(live, pattern)
        found.append(FeedClass(name, live, untested, tuple(members), tuple(known)))
    return tuple(found)


def _class_name(live: Sequence[str], pattern: Mapping[str, str]) -> str:
    if not live:
        return "never live"
    if all(word in ("live", "dim") for word in pattern.values()) and len(pattern) > 1:
        return "always"
    return " and ".join(live)


def _contradictions(
    network: Network, grid: Mapping[ContactRef, Mapping[str, str]]
) -> tuple[Contradiction, ...]:
    nodes = _nodes(network)
    found = []
    for contact, row in grid.items():
        node = nodes.get((contact.cavity, contact.contact))
        if node is None:
            continue
        switches = list(network.way_up(node))
        for state, word in row.items():
            fed = all(
                network.conducts(index, State(frozenset({state})))
                for index in switches
                if network.elements[index].live is not None
            )
            expected = "live" if fed else "dead"
            if (word == "dead") == fed:
                found.append(Contradiction(contact, state, word, expected))
    return tuple(found)


def _pulled(network: Network, observed: Sequence[Observation]) -> tuple[Pulled, ...]:
    rows: dict[str, tuple[list[str], list[str]]] = {}
    for each in observed:
        if each.kind == "load" and len(each.state.out) == 1:
            (index,) = each.state.out
            cavity = network.elements[index].cavity
            stopped, still = rows.setdefault(cavity, ([], []))
            (stopped if each.seen == "dead" else still).append(each.contacts[0])
    return tuple(
        Pulled(cavity, tuple(stopped), tuple(still))
        for cavity, (stopped, still) in rows.items()
    )
