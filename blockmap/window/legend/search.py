"""Finding the cavities that a few words mean: 'clock', 'brn/wht', 'feul pmp'.

Every word must occur somewhere in what the map says of the cavity. Only when none
holds them all are contacts and strips looked at too, as wire flags name them ('F8
load', 'from F8 load', 'strip RUN'), and at last words that are spelt nearly so, and
that is said.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from blockmap.analysis.behind.singly import strip_name, strip_of
from blockmap.model.document import Cavity, Map, Wire
from blockmap.model.ids import BlockId, CavityId, ContactRef, read_contact
from blockmap.model.written import loads_text, wires_text
from blockmap.reference.circuits import CIRCUITS

__all__ = ["Found", "contact_meant", "find_cavities"]

_OF_FLAGS = frozenset(("from", "to", "at", "by", "jumper", "supply"))
"""Words that a wire flag says of no place."""

NEAR = 0.66
"""How alike two words must be, by difflib's ratio, to pass for a slip of the keys."""


@dataclass(frozen=True, slots=True)
class Found:
    """The cavities found, best first; nearest names the words taken for a slip."""

    ids: tuple[CavityId, ...] = ()
    nearest: str = ""


def find_cavities(document: Map, text: str, first: BlockId | None = None) -> Found:
    """Return the cavities that hold every word of the text.

    An exact designation comes first, then those of the first block, then the order
    of the map.
    """
    words = text.casefold().split()
    if not words:
        return Found()
    said = {c.id: _said(document, c) for c in document.cavities.values()}
    hits = [id_ for id_, line in said.items() if all(w in line for w in words)]
    nearest = ""
    if not hits and len(_parted(words)) > 1:
        hits = _as_flags_say(document, said, words)
    if not hits:
        hits, nearest = _nearly(said, words)
    wanted = " ".join(words)
    cavities = document.cavities

    def rank(id_: CavityId) -> tuple[bool, bool]:
        named = any(n.casefold() == wanted for n in cavities[id_].designations)
        return (cavities[id_].block != first, not named)

    return Found(tuple(sorted(hits, key=rank)), nearest)


def _as_flags_say(
    document: Map, said: dict[CavityId, str], words: list[str]
) -> list[CavityId]:
    """Return the cavities that the words of a wire flag mean.

    A designation among the words is meant as it is: F1 is not F11.
    """
    wanted = [word for word in _parted(words) if word not in _OF_FLAGS]
    hits = []
    for id_, line in said.items():
        cavity = document.cavities[id_]
        whole = f"{line}\n{_contacts_said(document, cavity)}"
        if wanted and all(word in whole for word in wanted):
            hits.append(id_)
    exact = [
        id_
        for id_ in hits
        if any(n.casefold() in wanted for n in document.cavities[id_].designations)
    ]
    return exact or hits


def _parted(words: list[str]) -> list[str]:
    """Return the words of a flag, 'f8.load' as two."""
    found = []
    for word in words:
        head, dot, tail = word.partition(".")
        two = dot and head and tail and not tail[:1].isdigit()
        found += [head, tail] if two else [word]
    return found


def _contacts_said(document: Map, cavity: Cavity) -> str:
    """Return what flags say of a cavity's contacts: names, strips and their wires."""
    code = document.car.colour_code
    parts = list(cavity.contact_names)
    for name in cavity.contact_names:
        ref = ContactRef(cavity.id, name)
        held = strip_of(document, ref)
        if held is None:
            continue
        strip = held[0]
        parts.append(strip_name(strip))
        wires = [
            Wire(colour=jumper.colour, gauge=jumper.gauge)
            for jumper in strip.jumpers
            if read_contact(jumper.to, strip.block) == ref
        ]
        if strip.lands_at and read_contact(strip.lands_at, strip.block) == ref:
            wires.append(Wire(colour=strip.supply_colour, gauge=strip.supply_gauge))
        parts.append(wires_text(wires, code))
    return "\n".join(parts).casefold()


def contact_meant(document: Map, id_: CavityId, text: str) -> str:
    """Return the contact of a cavity that words name, or whose wire they name.

    '' means that they name none, or more than one.
    """
    cavity = document.cavities[id_]
    names = cavity.contact_names
    words = _parted(text.casefold().split())
    named = [name for name in names if name.casefold() in words]
    if named:
        return named[0] if len(named) == 1 else ""
    code = document.car.colour_code
    hits = {}
    for name in names:
        wires = cavity.contact(name).wires
        colours = " ".join(wire.colour.words() for wire in wires if wire.colour)
        line = f"{wires_text(wires, code)} {colours}".casefold()
        hits[name] = sum(len(word) > 2 and word in line for word in words)
    most = max(hits.values(), default=0)
    best = [name for name, number in hits.items() if number == most]
    return best[0] if most and len(best) == 1 else ""


_ALSO = {c.long.casefold(): " ".join(c.also) for c in CIRCUITS}
_kept: dict[CavityId, tuple[Cavity, str, str]] = {}


def _said(document: Map, cavity: Cavity) -> str:
    """Return all that the map says of a cavity, in small letters; kept while it is."""
    code = document.car.colour_code
    kept = _kept.get(cavity.id)
    if kept and kept[0] is cavity and kept[1] == code:
        return kept[2]
    wires = [w for contact in cavity.contacts.values() for w in contact.wires]
    colours = (wire.colour.words() for wire in wires if wire.colour)
    line = "\n".join(
        (
            *cavity.designations,
            cavity.circuit,
            cavity.legend_long,
            cavity.legend,
            cavity.legend_short,
            loads_text(cavity.loads),
            wires_text(wires, code),
            *colours,
            *(condition.state for _, condition in cavity.conditions),
            cavity.notes,
            _ALSO.get(cavity.circuit.casefold(), ""),
        )
    ).casefold()
    if len(_kept) > 2 * len(document.cavities) + 100:
        _kept.clear()  # most of them are of cavities that are gone
    _kept[cavity.id] = (cavity, code, line)
    return line


def _nearly(said: dict[CavityId, str], words: list[str]) -> tuple[list[CavityId], str]:
    vocabulary = {id_: set(re.findall(r"[^\W_]+", line)) for id_, line in said.items()}
    known = sorted(set().union(*vocabulary.values())) if vocabulary else []
    hits, names = list(said), []
    for word in words:
        near = difflib.get_close_matches(word, known, n=6, cutoff=NEAR)
        near += [k for k in known if word in k and k not in near]
        hits = [id_ for id_ in hits if any(n in vocabulary[id_] for n in near)]
        names.append(near[0] if near else word)
    return hits, " ".join(names) if hits else ""
