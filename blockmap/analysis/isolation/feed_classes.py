"""Groups contacts that were live in the same states, and names them as feeds.

Only equal patterns are one class. A contact tested in fewer states is told apart from
none of those it agrees with; it is said which state would decide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from blockmap.model.document import Map
from blockmap.model.ids import BlockId, ContactRef, StripId

__all__ = ["FeedClass", "Offer", "Undecided", "classes_of", "undecided_of"]

_KEY_OFF = ("KEY OUT", "OFF")
_TITLES = {
    ("always",): "battery feed",
    ("ACC", "RUN"): "accessory feed",
    ("ACC", "RUN", "START"): "accessory feed",
    ("RUN",): "run feed",
    ("RUN", "START"): "run and start feed",
    ("START",): "start feed",
}
_SUPPLIED = ("feed", "30", "B")
"""Contacts that take a supply, by the kinds of cavity that have them."""

Row = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Offer:
    """Contacts of one class that may be one strip, or join a strip of the map."""

    block: BlockId
    contacts: tuple[ContactRef, ...]
    strip: StripId = ""


@dataclass(frozen=True, slots=True)
class FeedClass:
    """Contacts that were live in the same states: those, and the states not tested.

    ``name`` are the states; ``title`` is what such a feed is called, once it was
    tested with the key off too. ``dim`` are the contacts that were not fully live.
    """

    name: str
    title: str
    live: tuple[str, ...]
    tested: tuple[str, ...]
    untested: tuple[str, ...]
    contacts: tuple[ContactRef, ...]
    dim: tuple[ContactRef, ...] = ()
    strips: tuple[StripId, ...] = ()
    """The strips of the map that hold some of them; none when it offers a new one."""
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class Undecided:
    """A class that agrees with others as far as it was tested, and what would tell."""

    contacts: tuple[ContactRef, ...]
    fits: tuple[str, ...]
    test: str


def classes_of(
    document: Map, words: Mapping[ContactRef, Row], states: Sequence[str]
) -> tuple[FeedClass, ...]:
    """Return the classes of a survey, the always live first, by their states."""
    groups: dict[frozenset[tuple[str, bool]], list[ContactRef]] = {}
    for contact, row in words.items():
        pattern = frozenset((state, word != "dead") for state, word in row.items())
        groups.setdefault(pattern, []).append(contact)
    strips = {
        contact: strip.id
        for strip in document.strips.values()
        for contact in strip.contact_refs()
    }
    found = []
    for pattern, contacts in groups.items():
        by_state = dict(pattern)
        live = tuple(state for state in states if by_state.get(state))
        tested = tuple(state for state in states if state in by_state)
        fed = _feed_words(by_state, states)
        known = dict.fromkeys(strips[c] for c in contacts if c in strips)
        off = any(state in _KEY_OFF for state in tested)
        dim = [c for c in contacts if "dim" in words[c].values()]
        offered = off and bool(live) and len(tested) > 1
        found.append(
            FeedClass(
                name=" and ".join(fed) if fed else "never live",
                title=_TITLES.get(fed, "") if off else "",
                live=fed,
                tested=tested,
                untested=tuple(state for state in states if state not in by_state),
                contacts=tuple(contacts),
                dim=tuple(dim),
                strips=tuple(known),
                offers=_offers(document, contacts, strips) if offered else (),
            )
        )
    order = {state: number for number, state in enumerate(states)}
    found.sort(key=lambda e: (not e.live, [order.get(s, -1) for s in e.live], e.tested))
    return tuple(found)


def _feed_words(row: Mapping[str, bool], states: Sequence[str]) -> tuple[str, ...]:
    """Return in what such a contact is live, as a strip of the map notes it.

    A column of two words needs a word of its own only where no other explains it.
    """
    live = [state for state in states if row.get(state)]
    key_off = any(state in _KEY_OFF for state in live)
    if key_off and len(live) == len(row) > 1:
        return ("always",)
    dead = {word for state, on in row.items() if not on for word in state.split(" + ")}
    found = [state for state in live if " + " not in state]
    for state in live:
        words = state.split(" + ")
        if not set(words) & set(found):
            found += [word for word in words if word not in dead] or [state]
    return tuple(dict.fromkeys(found))


def _offers(
    document: Map, contacts: Sequence[ContactRef], strips: Mapping[ContactRef, StripId]
) -> tuple[Offer, ...]:
    """Return the strips that loose feed contacts of a class may make or join.

    A contact that the map feeds by a wire of its own is left out.
    """
    loose: dict[BlockId, list[ContactRef]] = {}
    homes: dict[BlockId, dict[StripId, None]] = {}
    for contact in contacts:
        cavity = document.cavities[contact.cavity]
        if contact in strips:
            strip = document.strips[strips[contact]]
            homes.setdefault(strip.block, {})[strip.id] = None
        elif (
            contact.contact in _SUPPLIED
            and not cavity.contact(contact.contact).fed_from
        ):
            loose.setdefault(cavity.block, []).append(contact)
    found = []
    for block, free in loose.items():
        found += [Offer(block, tuple(free), strip) for strip in homes.get(block, ())]
        if len(free) > 1:
            found.append(Offer(block, tuple(free)))
    return tuple(found)


def undecided_of(
    classes: Sequence[FeedClass],
    words: Mapping[ContactRef, Row],
    states: Sequence[str],
) -> tuple[Undecided, ...]:
    """Return the classes that may be part of fuller ones, each with what to test."""
    rows = [
        {state: word != "dead" for state, word in words[each.contacts[0]].items()}
        for each in classes
    ]
    found = []
    for each, row in zip(classes, rows, strict=True):
        fits: dict[str, None] = {}
        missing: dict[str, None] = {}
        for other, full in zip(classes, rows, strict=True):
            more = full.keys() - row.keys()
            same = all(full.get(state, on) == on for state, on in row.items())
            if other is not each and more and same and full.keys() & row.keys():
                fits[other.title or other.name] = None
                missing |= dict.fromkeys(s for s in states if s in more)
        if fits:
            first = next(state for state in states if state in missing)
            found.append(Undecided(each.contacts, tuple(fits), first))
    return tuple(found)
