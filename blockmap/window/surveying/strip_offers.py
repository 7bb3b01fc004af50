"""Strips made of what a survey offers, and a survey's results in words.

Plain functions of the map. Nothing here says that contacts are one piece of metal.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterable, Sequence

from PySide6.QtCore import QCoreApplication

from blockmap.analysis.isolation.feed_classes import FeedClass, Offer, Undecided
from blockmap.analysis.isolation.survey import Contradiction
from blockmap.model.document import Map
from blockmap.model.edits import set_strip
from blockmap.model.errors import EditRefused
from blockmap.model.ids import ContactRef, StripId
from blockmap.window.behind.links import cavity_link, plain, strip_link
from blockmap.window.behind.strip_edits import join_strip, make_strip, strip_title

__all__ = [
    "class_words",
    "contradiction_words",
    "offered_strip",
    "undecided_words",
]

_MOST_NAMED = 24
_NAMES = {
    "battery feed": "BAT",
    "accessory feed": "ACC",
    "run feed": "RUN",
    "run and start feed": "IGN",
    "start feed": "START",
}


def _tr(text: str) -> str:
    return QCoreApplication.translate("surveying", text)


def offered_strip(document: Map, offer: Offer, found: FeedClass) -> tuple[Map, StripId]:
    """Make the strip of an offer, or add its contacts to the strip it names.

    A new one is noted live as it was found. Raises EditRefused, also where the map
    has lost what the offer speaks of.
    """
    try:
        return _made_strip(document, offer, found)
    except KeyError:
        said = _tr("The map has changed since; look at the offers again")
        raise EditRefused(said) from None


def _made_strip(document: Map, offer: Offer, found: FeedClass) -> tuple[Map, StripId]:
    ids = [contact.cavity for contact in offer.contacts]
    if offer.strip:
        strip = join_strip(document, document.strips[offer.strip], ids)
        return set_strip(document, strip), strip.id
    document, made = make_strip(document, ids, offer.block)
    strip = document.strips[made]
    taken = {s.name for s in document.strips_of(offer.block) if s.id != made}
    wished = _NAMES.get(found.title, " ".join(found.live)[:20])
    name = wished
    number = 2
    while name in taken:
        name, number = f"{wished} {number}", number + 1
    return set_strip(
        document, dataclasses.replace(strip, name=name, live=found.live)
    ), made


def contact_links(document: Map, contacts: Sequence[ContactRef]) -> str:
    """Return links to the places of contacts, the contacts of one place together."""
    places: dict[str, list[str]] = {}
    for contact in contacts:
        places.setdefault(contact.cavity, []).append(contact.contact)
    named = [
        f"{cavity_link(document, place)} {plain(', '.join(names))}"
        for place, names in list(places.items())[:_MOST_NAMED]
    ]
    more = len(places) - _MOST_NAMED
    return "; ".join(named) + (f" … +{more}" if more > 0 else "")


def class_words(document: Map, found: FeedClass, usual: Collection[str]) -> str:
    """Return one class in words, with links to its places.

    The states it was tested in are said where they are not the usual ones.
    """
    title = found.title or _tr("Live: %1").replace("%1", found.name)
    if not found.live:
        title = _tr("Dead in every state tested")
    title = title[:1].upper() + title[1:]
    live = ", ".join(found.live)
    said = f"<b>{plain(title)}</b>"
    if found.live and found.title:
        said += " " + _tr("(live %1)").replace(
            "%1", plain(_in_states(found.live, live))
        )
    said += f": {contact_links(document, found.contacts)}."
    if set(found.tested) != set(usual):
        tested = _tr("Tested only in %1.").replace("%1", plain(", ".join(found.tested)))
        said += f" {tested}"
    if found.strips:
        strips = ", ".join(strip_link(document, strip) for strip in found.strips)
        said += " " + _tr("On the map: strip %1.").replace("%1", strips)
    if found.dim:
        dim = contact_links(document, found.dim)
        said += " " + _tr(
            "Dim at %1: a poor contact, or fed back through a load; measure it."
        ).replace("%1", dim)
    return said


def _in_states(words: tuple[str, ...], joined: str) -> str:
    return joined if words == ("always",) else _tr("in %1").replace("%1", joined)


def undecided_words(document: Map, each: Undecided) -> str:
    """Return what would tell a class apart from fuller ones."""
    said = _tr("%1 may be %2: test in %3 to tell.")
    said = said.replace("%1", contact_links(document, each.contacts))
    said = said.replace("%2", plain(_tr(" or ").join(each.fits)))
    return said.replace("%3", plain(each.test))


def offer_title(document: Map, offer: Offer) -> str:
    """Return the words of the button that takes an offer."""
    if offer.strip:
        strip = strip_title(document.strips[offer.strip])
        said = _tr("Add %1 to strip %2").replace("%2", strip)
    else:
        said = _tr("Make a strip of %1")
    return said.replace("%1", _few(document, offer.contacts))


def _few(document: Map, contacts: Iterable[ContactRef]) -> str:
    names = [document.cavities[c.cavity].designation for c in contacts]
    if len(names) > 6:
        return _tr("%1 contacts").replace("%1", str(len(names)))
    return ", ".join(names)


def contradiction_words(document: Map, each: Sequence[Contradiction]) -> str:
    """Return in words what goes against the map, and what to do.

    All are of one strip, or one contact, found the same way.
    """
    first = each[0]
    contacts = tuple(dict.fromkeys(one.contact for one in each))
    states = ", ".join(dict.fromkeys(one.state for one in each))
    strip = document.strips.get(first.strip)
    said = _tr("%1: %2 in %3; by the map it is %4 there.")
    said = said.replace("%1", contact_links(document, contacts))
    said = said.replace("%2", plain(_words(first.found)))
    said = said.replace("%3", plain(states))
    said = said.replace("%4", plain(_words(first.expected)))
    return f"{said} {_advice(document, first, contacts, strip is not None)}"


def _words(word: str) -> str:
    return {"live": _tr("live"), "dead": _tr("dead"), "dim": _tr("dim")}[word]


def _advice(
    document: Map, first: Contradiction, contacts: Sequence[ContactRef], on_strip: bool
) -> str:
    if first.found == "dim":
        return _tr(
            "Look for a poor contact on the way, or for a load that feeds it back; "
            "measure volts with its load on."
        )
    if first.contact.contact == "load":
        if first.found == "dead":
            return _tr("Look at the fuse first, then at both its contacts.")
        return _tr(
            "Pull the fuse: if it stays live, it is fed back from its load side, or "
            "the feed is on the other side."
        )
    if not on_strip:
        return _tr("Read it again; if it stands, mend “Live in” of the contact.")
    strip = strip_link(document, first.strip)
    members = document.strips[first.strip].contact_refs()
    if len(contacts) > 1 and len(contacts) >= len(members) / 2:
        said = _tr(
            "Several contacts of strip %1 agree: if the reading stands, mend “Live "
            "in” of the strip."
        )
    elif first.found == "dead":
        said = _tr(
            "Read it again. If it stands, the contact has no way from strip %1, or "
            "it is not on that strip: look from behind."
        )
    else:
        said = _tr(
            "Read it again. If it stands, it is fed from elsewhere than strip %1: "
            "take it off there."
        )
    return said.replace("%1", strip)
