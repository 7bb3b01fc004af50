"""Rules about what a map says of its places: names, circuits, feed ends, colours."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from blockmap.analysis.finding import Finding, Level, reads
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import CavityId, read_contact
from blockmap.reference.wire_colours import WireColour, show_colour

__all__ = [
    "double_designations",
    "equal_wire_colours",
    "unknown_feed_ends",
    "untagged_places",
]

_TWO_ENDED = ("fuse", "breaker", "link")

_Wanted = Callable[[Cavity], bool]


@reads("own", "moulded", "manual")
def double_designations(document: Map) -> Iterator[Finding]:
    """Find designations that two places of one block share.

    Names of one sort must differ, and so must those shown. A manual may count the
    other way than the moulded numbers do, so across sorts a name may come twice.
    """
    first: dict[tuple[str, str, str], CavityId] = {}
    for cavity in document.cavities.values():
        told: set[CavityId] = set()
        for sort, name in _sorted_names(cavity):
            other = first.setdefault((cavity.block, sort, name), cavity.id)
            if other != cavity.id and other not in told:
                told.add(other)
                yield Finding(
                    code="designation-double",
                    level=Level.ERROR,
                    objects=(cavity.id, other),
                    what=f"Two places of one block are called {name}",
                    why="a count or a print cannot tell them apart",
                    todo="rename one of them",
                )


def _sorted_names(cavity: Cavity) -> Iterator[tuple[str, str]]:
    yield "shown", cavity.designation
    if cavity.own:
        yield "own", cavity.own
    if cavity.moulded:
        yield "moulded", cavity.moulded
    if cavity.manual:
        yield "manual", cavity.manual


@reads("kind", "circuit", "legend", "own", "moulded", "manual")
def untagged_places(document: Map) -> Iterator[Finding]:
    """List the fuse places that have neither legend nor circuit, block by block."""
    bare = _by_block(
        document, lambda c: c.kind in _TWO_ENDED and not (c.circuit or c.legend)
    )
    for ids in bare.values():
        one = len(ids) == 1
        places = f"{_first_names(document, ids)} {'has' if one else 'have'}"
        yield Finding(
            code="place-untagged",
            level=Level.INFORMATION,
            objects=tuple(ids),
            what=f"{places} neither legend nor circuit",
            why="a label, a card or a search can say nothing of such a place",
            todo="enter what it protects, or a question mark while nobody knows",
        )


@reads("kind", "feed_end", "own", "moulded", "manual")
def unknown_feed_ends(document: Map) -> Iterator[Finding]:
    """List the places of which nobody knows the supply side, block by block."""
    open_ = _by_block(
        document, lambda c: c.kind in _TWO_ENDED and c.feed_end == "unknown"
    )
    for ids in open_.values():
        yield Finding(
            code="feed-end-unknown",
            level=Level.INFORMATION,
            objects=tuple(ids),
            what=f"The feed side of {_first_names(document, ids)} is not known",
            why="with the fuse pulled only the feed contact may be live",
            todo="pull it, probe both contacts in each key position, and enter which "
            "one is live",
        )


def _by_block(document: Map, wanted: _Wanted) -> dict[str, list[CavityId]]:
    found: dict[str, list[CavityId]] = {}
    for cavity in document.cavities.values():
        if wanted(cavity):
            found.setdefault(cavity.block, []).append(cavity.id)
    return found


def _first_names(document: Map, ids: list[CavityId]) -> str:
    names = [document.cavities[i].designation for i in ids]
    if len(names) == 1:
        return names[0]
    if len(names) <= 4:
        return f"{', '.join(names[:-1])} and {names[-1]}"
    return f"{', '.join(names[:3])} and {len(names) - 3} more"


@reads("circuit", "contacts", "loads", "own", "moulded", "manual", parts=("car",))
def equal_wire_colours(document: Map) -> Iterator[Finding]:
    """Find wires of one colour that leave one block for different circuits.

    Places that serve one load, or of which one feeds the other, are one circuit.
    """
    users: dict[tuple[str, WireColour], dict[CavityId, None]] = {}
    for cavity in document.cavities.values():
        if not cavity.circuit:
            continue
        for name, contact in cavity.contacts.items():
            if name == "feed":
                continue
            for wire in contact.wires:
                if wire.colour is not None:
                    key = (cavity.block, wire.colour)
                    users.setdefault(key, {})[cavity.id] = None
    for (_, colour), ids in users.items():
        cavities = [document.cavities[i] for i in ids]
        if len(cavities) < 2 or _one_circuit(cavities):
            continue
        shown = show_colour(colour, document.car.colour_code)
        yield Finding(
            code="wires-alike",
            level=Level.INFORMATION,
            objects=tuple(ids),
            what=f"Wires of the colour {shown} leave {_first_names(document, [*ids])} "
            "for different circuits",
            why="behind the panel the colour alone does not tell them apart",
            todo="flag both ends before a terminal is released",
        )


def _one_circuit(cavities: list[Cavity]) -> bool:
    """Tell whether the places hang together by circuit, load or feed."""
    sharers: dict[str, list[Cavity]] = {}
    for cavity in cavities:
        for tie in _ties(cavity):
            sharers.setdefault(tie, []).append(cavity)
    reached = {cavities[0].id}
    waiting = [cavities[0]]
    while waiting:
        for tie in _ties(waiting.pop()):
            for other in sharers.pop(tie, ()):
                if other.id not in reached:
                    reached.add(other.id)
                    waiting.append(other)
    return len(reached) == len(cavities)


def _ties(cavity: Cavity) -> set[str]:
    """Return what a place shares with others of its circuit, each told by its sort."""
    feeds = (
        read_contact(contact.fed_from, cavity.block)
        for contact in cavity.contacts.values()
    )
    return {
        f"circuit {cavity.circuit}",
        f"place {cavity.id}",
        *(f"load {load.name}" for load in cavity.loads),
        *(f"place {ref.cavity}" for ref in feeds if ref),
    }
