"""Finding the cavities that a few words mean: 'clock', 'brn/wht', 'feul pmp'.

Every word must occur somewhere in what the map says of the cavity. Only when none
holds them all are words taken that are spelt nearly so, and that is said.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from blockmap.model.document import Cavity, Map
from blockmap.model.ids import BlockId, CavityId
from blockmap.model.written import loads_text, wires_text
from blockmap.reference.circuits import CIRCUITS

__all__ = ["Found", "find_cavities"]

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
    if not hits:
        hits, nearest = _nearly(said, words)
    wanted = " ".join(words)
    cavities = document.cavities

    def rank(id_: CavityId) -> tuple[bool, bool]:
        named = any(n.casefold() == wanted for n in cavities[id_].designations)
        return (cavities[id_].block != first, not named)

    return Found(tuple(sorted(hits, key=rank)), nearest)


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
