"""Says in words what hangs on a strip or contact, and whether it is replaced singly.

Words come with links to the places they name. Nothing here computes: the answers are
those of `blockmap.analysis.behind`.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QCoreApplication

from blockmap.analysis.behind.paths import Dies, Trace, node_words
from blockmap.analysis.behind.singly import (
    family_of,
    family_words,
    replaceable_singly,
    strip_of,
)
from blockmap.analysis.numbers.feeds import Node
from blockmap.model.document import Cavity, Map
from blockmap.model.ids import ContactRef
from blockmap.model.places import PlaceIndex
from blockmap.model.written import wire_text
from blockmap.window.behind.links import (
    cavity_link,
    cavity_links,
    plain,
    strip_link,
)

__all__ = ["contact_words", "dies_words", "trace_words"]


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def dies_words(document: Map, dies: Dies) -> str:
    """Return what a strip or contact needs and what dies with it, a line each."""
    return "<br>".join(_dies_lines(document, dies))


def _dies_lines(document: Map, dies: Dies) -> Iterator[str]:
    above = dict.fromkeys(feed.source for feed in dies.needs)
    if above:
        named = ", ".join(_node_link(document, node) for node in above)
        yield _tr("Needs, nearest first: %1").replace("%1", named)
    else:
        yield _tr("Nothing is noted above it")
    if dies.cavities:
        named = cavity_links(document, dies.cavities)
        yield _tr("Dead without it: %1").replace("%1", named)
    if dies.halves:
        one, other = (cavity_links(document, half) for half in dies.halves)
        text = _tr(
            "The supply lands between %1 and %2; metal that parts beside it loses one "
            "side only"
        )
        yield text.replace("%1", one).replace("%2", other)
    loads = dict.fromkeys(load.name for load in dies.loads)
    if loads:
        yield _tr("Loads dead: %1").replace("%1", plain(", ".join(loads)))
    for block in dies.connectors:
        part = document.blocks[block]
        yield _tr("Reaches the connector %1").replace("%1", plain(part.name or block))
    if dies.still_fed:
        named = cavity_links(document, dies.still_fed)
        yield _tr("Has another feed: %1").replace("%1", named)
    if dies.unswitched:
        named = cavity_links(document, dies.unswitched)
        yield _tr("Loses its coil: %1").replace("%1", named)


def _node_link(document: Map, node: Node, words: str = "") -> str:
    words = words or node_words(document, node)
    if node.kind == "strip":
        return strip_link(document, node.name, words)
    if node.kind == "contact":
        return cavity_link(document, node.name.rpartition(".")[0], words)
    return plain(words)


def trace_words(document: Map, trace: Trace) -> str:
    """Return the way from a contact up to its supply, step by step, with links."""
    steps = " ← ".join(
        _node_link(document, node, words)
        for node, words in zip(trace.nodes, trace.words, strict=True)
    )
    if trace.whole:
        return _tr("Up to the supply: %1").replace("%1", steps)
    return _tr("Up, as far as the map says: %1").replace("%1", steps)


def contact_words(document: Map, cavity: Cavity, name: str, index: PlaceIndex) -> str:
    """Return what is known behind one contact: strip, terminal, wires, their ends."""
    ref = ContactRef(cavity.id, name)
    heading = _tr("%1 contact").replace("%1", name[:1].upper() + name[1:])
    answer = replaceable_singly(document, ref)
    lines = [
        f'<a href="contact:{plain(ref.text())}"><b>{plain(heading)}</b></a>',
        _tr("Replaceable singly? %1: %2.")
        .replace("%1", f"<b>{plain(_tr(_ANSWERS[answer.word]))}</b>")
        .replace("%2", plain(answer.why)),
    ]
    held = strip_of(document, ref)
    if held is not None:
        link = strip_link(document, held[0].id)
        text = _tr("On strip %1") if held[1] else _tr("Joined by a wire to strip %1")
        lines.append(text.replace("%1", link))
    lines += _family_lines(document, ref)
    lines += _wire_lines(document, cavity, name, index)
    return "<br>".join(lines)


_ANSWERS = {"yes": "yes", "no": "no", "unknown": "not known"}


def _family_link(name: str, text: str) -> str:
    return f'<a href="family:{plain(name)}">{plain(text)}</a>'


def _family_lines(document: Map, ref: ContactRef) -> Iterator[str]:
    words = family_words(document, ref)
    family = family_of(document, ref)
    if family is None:
        held = strip_of(document, ref)
        if held is not None and held[1] and not words:
            return  # it is metal of the strip, and of no family
        said = plain(words) if words else _tr("family not noted")
        link = _family_link("", _tr("families…"))
        line = _tr("Terminal: %1 (%2)").replace("%1", said)
        yield line.replace("%2", link)
        return
    parts = [_family_link(family.name, words)]
    if family.released_from in ("front", "rear"):
        said = _tr("released from the %1").replace("%1", family.released_from)
        parts.append(plain(said))
    if family.leaves_to:
        said = _tr("leaves to the %1").replace("%1", family.leaves_to)
        parts.append(plain(said))
    if family.lock_first:
        parts.append(plain(_tr("first: %1").replace("%1", family.lock_first)))
    yield _tr("Terminal: %1").replace("%1", "; ".join(parts))


def _wire_lines(
    document: Map, cavity: Cavity, name: str, index: PlaceIndex
) -> Iterator[str]:
    code = document.car.colour_code
    contact = cavity.contact(name)
    for wire in contact.wires:
        text = plain(wire_text(wire, code))
        if wire.to:
            end = index.contact(wire.to, cavity.block)
            there = cavity_link(document, end.cavity, wire.to) if end else wire.to
            there = there if end else plain(there)
            yield (_tr("Wire %1 to %2").replace("%1", text).replace("%2", there))
        else:
            yield _tr("Wire %1").replace("%1", text)
    if contact.fed_from:
        source = index.contact(contact.fed_from, cavity.block)
        there = plain(contact.fed_from)
        if source is not None:
            there = cavity_link(document, source.cavity, contact.fed_from)
        yield _tr("Fed from %1").replace("%1", there)
    for end in _wires_to(document, ContactRef(cavity.id, name), index):
        yield _tr("A wire comes from %1").replace(
            "%1", cavity_link(document, end.cavity, _spoken(document, end))
        )


def _wires_to(
    document: Map, ref: ContactRef, index: PlaceIndex
) -> Iterator[ContactRef]:
    """Yield the contacts whose wires name this one as their other end."""
    for other in document.cavities.values():
        for name, contact in other.contacts.items():
            for wire in contact.wires:
                if wire.to and index.contact(wire.to, other.block) == ref:
                    yield ContactRef(other.id, name)


def _spoken(document: Map, ref: ContactRef) -> str:
    cavity = document.cavities[ref.cavity]
    words = f"{cavity.designation}.{ref.contact}"
    if len(document.blocks) > 1:
        block = document.blocks[cavity.block]
        words += f" ({block.name or block.id})"
    return words
