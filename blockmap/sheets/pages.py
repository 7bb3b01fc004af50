"""Pages in millimetres, and the furniture that every sheet carries.

A page is a list of primitives, y down from the paper's top left corner. Furniture is
what stands on every sheet whatever it shows: what it is, whose car, the view in words,
the map's own date, how much was seen on the car, page n of m, the caution line, and
the words about printing without scaling. Nothing here knows a PDF, and nothing reads
the clock: the same map gives the same pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from blockmap.drawing.primitives import Face, Primitive, Text, line
from blockmap.drawing.typeface import missing_characters, text_width_mm, unprintable
from blockmap.model.document import Block, Map
from blockmap.model.evidence import count_facts
from blockmap.model.geometry import Box, Point, Size
from blockmap.reference.cautions import SHORT_CAUTION
from blockmap.reference.paper import Paper, paper_named

__all__ = [
    "GRID_MM",
    "MARGIN_MM",
    "SMALL_CAP_MM",
    "TEXT_CAP_MM",
    "TITLE_CAP_MM",
    "Clipped",
    "Draft",
    "Page",
    "PageItem",
    "Picture",
    "Remarks",
    "Sheet",
    "content_area",
    "cut_to_width",
    "facts_line",
    "finished",
    "oriented",
    "paper_of",
]

GRID_MM = 4.0
"""Distance of the baselines of running text."""
SMALL_CAP_MM = 2.0
TEXT_CAP_MM = 2.3
TITLE_CAP_MM = 3.6
MARGIN_MM = 7.0
"""Free edge of the paper; office printers reach to about 5 mm."""

_TOP_MM = 19.0
_FOOT_MM = 23.0
_LEFT_MM = 17.0
_MOST_CODES = 4
"""Characters that a remark names by their codes; of more it tells how many."""


@dataclass(frozen=True, slots=True)
class Clipped:
    """Primitives of which only the part inside a box is printed."""

    box: Box
    primitives: tuple[Primitive, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """The bytes of a JPEG or PNG picture, stretched over a box."""

    box: Box
    data: bytes

    def moved(self, dx_mm: float, dy_mm: float) -> Picture:
        """Return the picture in another place."""
        left, top, right, bottom = self.box
        box = Box(left + dx_mm, top + dy_mm, right + dx_mm, bottom + dy_mm)
        return Picture(box, self.data)


PageItem = Primitive | Clipped | Picture


@dataclass(frozen=True, slots=True)
class Page:
    """One page of paper with what is printed on it."""

    width_mm: float
    height_mm: float
    primitives: tuple[PageItem, ...]
    title: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """Finished pages, with what the person must know before printing.

    notes name each text that did not fit and each character no font has.
    """

    name: str
    title: str
    pages: tuple[Page, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A page that does not yet know its number."""

    size: Size
    items: tuple[PageItem, ...]
    title: str
    view: str = ""
    details: str = ""
    say: tuple[str, ...] = ()
    slim: bool = False


@dataclass(slots=True)
class Remarks:
    """Gathers what the person must know, each thing once."""

    found: dict[str, None] = field(default_factory=dict)

    def add(self, sentence: str) -> None:
        """Keep a sentence."""
        self.found[sentence] = None

    def check(self, where: str, text: str) -> None:
        """Keep a sentence for what of a text cannot be printed, however much it is."""
        missing = missing_characters(text)
        wrong = dict.fromkeys(unprintable(text))
        boxed = [each for each in wrong if each in missing]
        apart = [each for each in wrong if each not in missing]
        if boxed:
            said, are = _named(boxed)
            stand = "an empty box stands" if are == "is" else "empty boxes stand"
            self.add(f"{where}: {said} {are} not in the fonts; {stand}")
        if apart:
            said, are = _named(apart)
            self.add(f"{where}: {said} {are} printed left to right and not joined")

    def sentences(self) -> tuple[str, ...]:
        """Return what was kept, in the order it came up."""
        return tuple(self.found)


def _named(characters: Sequence[str]) -> tuple[str, str]:
    """Return characters by their codes, the first few of many, and "is" or "are"."""
    codes = [f"U+{ord(character):04X}" for character in characters]
    if len(codes) == 1:
        return codes[0], "is"
    if len(codes) <= _MOST_CODES:
        return f"{', '.join(codes[:-1])} and {codes[-1]}", "are"
    return (
        f"{', '.join(codes[:_MOST_CODES])} and {len(codes) - _MOST_CODES} more",
        "are",
    )


def paper_of(name: str) -> Paper:
    """Return the paper of this name.

    Raises ValueError when there is none.
    """
    paper = paper_named(name)
    if paper is None:
        raise ValueError(f"“{name}” is no paper size; write a4 or letter")
    return paper


def oriented(paper: Paper, *, lying: bool = False) -> Size:
    """Return the paper's size, upright or lying on its long side."""
    short, long = sorted((paper.width_mm, paper.height_mm))
    return Size(long, short) if lying else Size(short, long)


def content_area(size: Size) -> Box:
    """Return what the furniture and the rulers leave free on a page."""
    return Box(_LEFT_MM, _TOP_MM, size.width_mm - MARGIN_MM, size.height_mm - _FOOT_MM)


def facts_line(document: Map, block: Block | None = None) -> str:
    """Return car, block, date and evidence count as one line."""
    car = document.car
    whose = " ".join(part for part in (car.name or "Car not named", car.year) if part)
    parts = [whose]
    if block is not None:
        parts.append(block.name or block.id)
    parts.append(f"checked {car.date}" if car.date else "date not given")
    parts.append(count_facts(document).words())
    return "  ·  ".join(parts)


def cut_to_width(text: str, width_mm: float, face: Face, cap_mm: float) -> str:
    """Return the text, shortened with an ellipsis where it is wider than allowed."""
    if text_width_mm(text, face, cap_mm) <= width_mm:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        shown = text[:middle].rstrip() + "…"
        if text_width_mm(shown, face, cap_mm) <= width_mm:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def finished(
    name: str, title: str, drafts: Sequence[Draft], notes: Iterable[str]
) -> Sheet:
    """Number the pages and put the furniture on each."""
    pages = tuple(
        Page(
            draft.size.width_mm,
            draft.size.height_mm,
            (*_furniture(draft, number, len(drafts)), *draft.items),
            draft.title,
        )
        for number, draft in enumerate(drafts, start=1)
    )
    return Sheet(name, title, pages, tuple(dict.fromkeys(notes)))


def _furniture(draft: Draft, number: int, count: int) -> list[Primitive]:
    return (_slim if draft.slim else _full)(draft, f"Page {number} of {count}")


def _full(draft: Draft, page: str) -> list[Primitive]:
    width, height = draft.size
    left, right = MARGIN_MM, width - MARGIN_MM
    small, bold = SMALL_CAP_MM, Face.BOLD
    view_width = text_width_mm(draft.view, bold, TITLE_CAP_MM)
    title = cut_to_width(draft.title, right - left - view_width - 6, bold, TITLE_CAP_MM)
    page_width = text_width_mm(page, Face.REGULAR, small)
    details = cut_to_width(
        draft.details, right - left - page_width - 6, Face.REGULAR, small
    )
    items: list[Primitive] = [
        Text(title, Point(left, 10.8), TITLE_CAP_MM, bold, "start"),
        Text(draft.view, Point(right, 10.8), TITLE_CAP_MM, bold, "end"),
        Text(details, Point(left, 15.2), small, Face.REGULAR, "start"),
        Text(page, Point(right, 15.2), small, Face.REGULAR, "end"),
        line((Point(left, 17.0), Point(right, 17.0)), "ink", 0.2),
        Text(SHORT_CAUTION, Point(left, height - MARGIN_MM), small, bold, "start"),
    ]
    start = _LEFT_MM + 100 * 1.03 + 12
    for row, sentence in enumerate(reversed(draft.say)):
        y = height - MARGIN_MM - GRID_MM * (row + 1)
        shown = cut_to_width(sentence, right - start, Face.REGULAR, small)
        items.append(Text(shown, Point(start, y), small, Face.REGULAR, "start"))
    return [item for item in items if not isinstance(item, Text) or item.text]


def _slim(draft: Draft, page: str) -> list[Primitive]:
    """Lay out the furniture for pages whose cards need nearly all the paper."""
    width, height = draft.size
    left, right = MARGIN_MM, width - MARGIN_MM
    small = SMALL_CAP_MM
    head = "  ·  ".join(p for p in (draft.title, draft.view, draft.details) if p)
    room = right - left - text_width_mm(page, Face.REGULAR, small) - 6
    items: list[Primitive] = [
        Text(
            cut_to_width(head, room, Face.REGULAR, small),
            Point(left, 8.4),
            small,
            Face.REGULAR,
            "start",
        ),
        Text(page, Point(right, 8.4), small, Face.REGULAR, "end"),
        Text(SHORT_CAUTION, Point(left, height - 6.4), small, Face.BOLD, "start"),
    ]
    start = _LEFT_MM + 100 * 1.03 + 12
    for row, sentence in enumerate(reversed(draft.say)):
        y = height - 6.4 - GRID_MM * row
        shown = cut_to_width(sentence, right - start, Face.REGULAR, small)
        items.append(Text(shown, Point(start, y), small, Face.REGULAR, "start"))
    return items
