"""Lists the sheets, cards and label sizes that prints are made for, in millimetres.

A sheet is listed upright and a card lying, width by height. A printer's own margins
are not known here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from blockmap.reference.sources import MEMORY_NOTE, Source, Status

__all__ = ["CARD_ID1", "LEAST_MARGIN_MM", "PAPERS", "Paper", "paper_named"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet or card by its name, sizes in mm, with how the size is known."""

    name: str
    title: str
    width_mm: float
    height_mm: float
    status: Status
    sources: tuple[Source, ...] = ()
    note: str = ""


_ISO_216 = Source(
    "ISO 216: halve the long side and round down to whole mm, from 841 x 1189"
)
_ISO_7810 = Source("Standards mailing list on ISO/IEC 7810 card and A-series sizes")
_INCH = Source("Exact by definition of the inch, 25.4 mm")
_ANSI = f"ANSI A, {MEMORY_NOTE}"

CARD_ID1 = Paper(
    "card id-1",
    "Bank card size (ID-1)",
    85.6,
    53.98,
    Status.VERIFIED,
    (_ISO_7810,),
    "landscape, as such cards are held",
)

_ALL = (
    Paper("a4", "A4", 210, 297, Status.DERIVED, (_ISO_216,)),
    Paper("letter", "Letter", 215.9, 279.4, Status.MEMORY, (), _ANSI),
    Paper("a3", "A3", 297, 420, Status.DERIVED, (_ISO_216,)),
    Paper("a5", "A5", 148, 210, Status.DERIVED, (_ISO_216,)),
    Paper("a6", "A6", 105, 148, Status.DERIVED, (_ISO_216,)),
    Paper("a7", "A7", 74, 105, Status.VERIFIED, (_ISO_7810,)),
    Paper("legal", "Legal", 215.9, 355.6, Status.MEMORY, (), MEMORY_NOTE),
    Paper("tabloid", "Tabloid", 279.4, 431.8, Status.MEMORY, (), MEMORY_NOTE),
    Paper("card 3 x 5 in", "Index card 3 x 5 in", 127, 76.2, Status.DERIVED, (_INCH,)),
    CARD_ID1,
)

PAPERS: Mapping[str, Paper] = MappingProxyType({paper.name: paper for paper in _ALL})
"""Every sheet and card by its name, the usual ones first."""

LEAST_MARGIN_MM: Final = 5.0
"""Nothing is printed nearer to the edge: common practice, no source."""


def paper_named(text: str) -> Paper | None:
    """Return the sheet or card of this name, case ignored; None when there is none."""
    words = " ".join(text.casefold().replace("×", " x ").split())
    if words in PAPERS:
        return PAPERS[words]
    return next((each for each in _ALL if each.title.casefold() == words), None)
