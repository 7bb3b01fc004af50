"""Tells which places lie on either side of a supply that lands amid a strip."""

from __future__ import annotations

from blockmap.model.document import Map
from blockmap.model.ids import CavityId, StripId, read_contact

__all__ = ["halves_of"]


def halves_of(document: Map, strip_id: StripId) -> tuple[tuple[CavityId, ...], ...]:
    """Return the cavities on each side of the landing; none when all lie on one side.

    Raises KeyError for a strip that the map has not.
    """
    strip = document.strips[strip_id]
    refs = [read_contact(text, strip.block) for text in strip.members]
    members = [ref for ref in refs if ref and ref.cavity in document.cavities]
    near = read_contact(strip.lands_at, strip.block) if strip.lands_at else None
    at = members.index(near) if near in members else None
    landing = strip.landing(at, len(members))
    if landing is None or not landing.between(len(members)):
        return ()
    both = (members[: landing.gap], members[landing.gap :])
    return tuple(tuple(dict.fromkeys(ref.cavity for ref in half)) for half in both)
