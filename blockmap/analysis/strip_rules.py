"""Rules about strips and feeds: every contact they name exists, and only once."""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.finding import Finding, Level, reads
from blockmap.model.document import Map, Strip
from blockmap.model.ids import ContactRef, StripId, key_of, read_contact

__all__ = ["feeds_from_nowhere", "shared_contacts", "strip_contacts"]


def _name(strip: Strip) -> str:
    return f"Strip {strip.name or key_of(strip.id)}"


def _exists(document: Map, ref: ContactRef) -> bool:
    cavity = document.cavities.get(ref.cavity)
    return cavity is not None and ref.contact in cavity.contact_names


@reads("kind", "form", "contacts", parts=("strips",))
def strip_contacts(document: Map) -> Iterator[Finding]:
    """Find contacts that a strip names but no cavity has."""
    for strip in document.strips.values():
        named = [*strip.members, *(jumper.to for jumper in strip.jumpers)]
        if strip.lands_at:
            named.append(strip.lands_at)
        for text in dict.fromkeys(named):
            ref = read_contact(text, strip.block)
            if ref is None or not _exists(document, ref):
                cavity = ref.cavity if ref else ""
                objects = (cavity,) if cavity in document.cavities else ()
                yield Finding(
                    code="strip-contact-missing",
                    level=Level.ERROR,
                    objects=(*objects, strip.id),
                    what=f"{_name(strip)} names the contact {text}, which is not there",
                    why="what a strip feeds cannot be followed past such a name",
                    todo="correct the name, such as F1.feed, or take it off the strip",
                )


@reads("own", "moulded", "manual", parts=("strips",))
def shared_contacts(document: Map) -> Iterator[Finding]:
    """Find contacts that two strips claim."""
    held: dict[ContactRef, StripId] = {}
    for strip in document.strips.values():
        for ref in dict.fromkeys(strip.contact_refs()):
            first = held.setdefault(ref, strip.id)
            if first == strip.id or ref.cavity not in document.cavities:
                continue
            other = document.strips[first]
            cavity = document.cavities[ref.cavity]
            yield Finding(
                code="contact-on-two-strips",
                level=Level.ERROR,
                objects=(ref.cavity, strip.id, first),
                what=f"The {ref.contact} contact of {cavity.designation} is on "
                f"{_name(other).lower()} and on {_name(strip).lower()}",
                why="metal on two strips would join them into one",
                todo="take it off one of them, or make the two one strip",
            )


@reads("kind", "form", "contacts", "own", "moulded", "manual")
def feeds_from_nowhere(document: Map) -> Iterator[Finding]:
    """Find contacts fed from a contact that no cavity has; words are left alone."""
    for cavity in document.cavities.values():
        for name, contact in cavity.contacts.items():
            ref = read_contact(contact.fed_from, cavity.block)
            if ref is None or " " in contact.fed_from or _exists(document, ref):
                continue
            yield Finding(
                code="feed-from-missing",
                level=Level.ERROR,
                objects=(cavity.id,),
                what=f"The {name} contact of {cavity.designation} is fed from "
                f"{contact.fed_from}, which is not there",
                why="a feed cannot be followed past such a name",
                todo="correct the name, such as F7.load",
            )
