"""Release cards: one for each terminal family that the map uses.

Each says what is opened first, where the tool goes in, which way the terminal leaves,
how it is stripped and sealed, and how its grip is tried before and after. The picture
shows the sides only; it is no drawing of a real terminal.
"""

from __future__ import annotations

from blockmap.analysis.behind.singly import families_used
from blockmap.drawing.primitives import (
    Anchor,
    Face,
    Path,
    Primitive,
    Text,
    line,
    moved,
    rectangle,
)
from blockmap.model.document import Map
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.terminals import NOT_SINGLY, TerminalFamily
from blockmap.model.units import number_text
from blockmap.reference.cautions import caution_named
from blockmap.sheets.card_lines import wrapped
from blockmap.sheets.pages import TEXT_CAP_MM, Sheet
from blockmap.sheets.work_pages import WorkPages, tick_box

__all__ = ["compose_release"]

_PAD_MM = 3.5
_PICTURE = Size(76.0, 26.0)
_GAP_MM = 4.0
_BOX_MM = 3.4


def compose_release(document: Map, *, paper: str = "a4") -> Sheet:
    """Return a card for each terminal family used in a map.

    Raises ValueError for a paper that is not known.
    """
    pages = WorkPages(document, "release", "Release cards", paper)
    pages.new_page()
    pages.paragraph(
        f"{caution_named('battery').text} The service manual of the car goes before "
        "these cards."
    )
    pages.y += 2.0
    used = families_used(document)
    width = (pages.area.width_mm - _GAP_MM) / 2
    cards = [_card(family, _places(document, ids), width) for family, ids in used]
    for first in range(0, len(cards), 2):
        pair = cards[first : first + 2]
        height = max(high for _, high in pair)
        for items, _ in pair:
            frame = rectangle(Box(0, 0, width, height), "", "ink", 0.3)
            pages.shelf((frame, *items), Size(width, height), _GAP_MM)
        pages.end_shelf()
    if not used:
        pages.paragraph(
            "No contact of this map names a terminal family yet. Name one in the "
            "block's or the contact's properties, then print this sheet again."
        )
    return pages.sheet()


def _places(document: Map, ids: tuple[str, ...]) -> str:
    several = len(document.blocks) > 1
    by_block: dict[str, list[str]] = {}
    for id_ in ids:
        cavity = document.cavities[id_]
        by_block.setdefault(cavity.block, []).append(cavity.designation)
    parts = []
    for key, names in by_block.items():
        block = document.blocks[key]
        shown = ", ".join(names)
        parts.append(f"{block.name or key}: {shown}" if several else shown)
    return "; ".join(parts)


class _Writer:
    """Sets the lines of a card from the top down."""

    def __init__(self, width_mm: float) -> None:
        self.items: list[Primitive] = []
        self.width = width_mm - 2 * _PAD_MM
        self.y = _PAD_MM

    def text(
        self,
        text: str,
        *,
        face: Face = Face.REGULAR,
        cap: float = TEXT_CAP_MM,
        indent: float = 0.0,
        head: str = "",
    ) -> None:
        """Set a text in the width; the head stands bold before its first line."""
        pitch = cap * 1.72
        for number, row in enumerate(wrapped(text, self.width - indent, face, cap)):
            y = self.y + cap
            if head and number == 0:
                at = Point(_PAD_MM, y)
                self.items.append(Text(head, at, cap, Face.BOLD, "start"))
            at = Point(_PAD_MM + indent, y)
            self.items.append(Text(row, at, cap, face, "start"))
            self.y += pitch
        self.y += 0.6

    def fact(self, head: str, text: str) -> None:
        """Set a fact with its name before it; nothing when it is not known."""
        if text:
            self.text(text, head=head, indent=23.0)


def _card(
    family: TerminalFamily, places: str, width_mm: float
) -> tuple[list[Primitive], float]:
    """Return a card about its top left corner, and its height."""
    writer = _Writer(width_mm)
    writer.text(family.name, face=Face.BOLD, cap=3.0)
    if family.released_from == NOT_SINGLY:
        writer.text("NOT RELEASED SINGLY: donor part or whole block.", face=Face.BOLD)
    picture = _picture(family)
    shift = (width_mm - _PICTURE.width_mm) / 2
    writer.items += moved(picture, shift, writer.y)
    writer.y += _PICTURE.height_mm + 1.5
    writer.fact("Lock first", family.lock_first)
    writer.fact("Tool", family.tool)
    if family.released_from != NOT_SINGLY:
        writer.fact("From the", family.released_from or "")
        writer.fact("Leaves to the", family.leaves_to or "")
    if family.strip_mm is not None:
        writer.fact("Strip", f"{number_text(family.strip_mm)} mm of insulation")
    writer.fact("Seal", family.seal or "none")
    if family.capacity_a is not None:
        writer.fact("Carries about", f"{number_text(family.capacity_a)} A when sound")
    writer.fact("Figures from", family.known)
    writer.y += 1.0
    for number, step in enumerate(family.steps.splitlines(), start=1):
        if step.strip():
            writer.text(step, head=f"{number}", indent=5.0)
    if family.grip_test:
        writer.y += 0.6
        writer.fact("Grip test", family.grip_test)
        _tests(writer)
    writer.fact("Notes", " ".join(family.notes.split()))
    writer.fact("Used at", places)
    return writer.items, writer.y + _PAD_MM - 1.0


def _tests(writer: _Writer) -> None:
    x = _PAD_MM + 23.0
    for words in ("grip before", "grip after"):
        y = writer.y + _BOX_MM
        writer.items.append(tick_box(Point(x, y)))
        at = Point(x + _BOX_MM + 1.0, y - 0.5)
        writer.items.append(Text(words, at, TEXT_CAP_MM, Face.REGULAR, "start"))
        x += 27.0
    writer.y += _BOX_MM + 2.0


def _picture(family: TerminalFamily) -> list[Primitive]:
    """Return the housing from the side: front left, rear right, two arrows."""
    housing = Box(22.0, 7.0, 48.0, 20.0)
    middle = housing.centre.y_mm
    below = housing.bottom_mm + 4.0
    items: list[Primitive] = [
        rectangle(housing, "block", "ink", 0.35),
        Text("front", Point(22.0, below), TEXT_CAP_MM, anchor="start"),
        Text("rear", Point(48.0, below), TEXT_CAP_MM, anchor="end"),
        rectangle(Box(28.0, middle - 1.6, 42.0, middle + 1.6), "metal", "ink", 0.2),
        line((Point(42.0, middle), Point(66.0, middle)), "ink", 0.9),
        Text(
            "wire", Point(67.5, middle + TEXT_CAP_MM / 2), TEXT_CAP_MM, anchor="start"
        ),
    ]
    above = middle - 4.6
    if family.released_from in ("front", "rear") and not _by_hand(family):
        front = family.released_from == "front"
        y = above if front or family.leaves_to != "rear" else middle + 5.0
        tip, start = (27.0, 3.0) if front else (43.0, 66.0)
        items += _arrow(Point(start, y), Point(tip, y), 0.35)
        at = Point(start, y - 1.8)
        items.append(
            Text("tool", at, TEXT_CAP_MM, Face.BOLD, "start" if front else "end")
        )
    if family.leaves_to:
        start_at, tip_at, at, anchor = _LEAVES[family.leaves_to]
        items += _arrow(start_at, tip_at, 0.8)
        items.append(Text("leaves", at, TEXT_CAP_MM, Face.BOLD, anchor))
    return items


def _by_hand(family: TerminalFamily) -> bool:
    return family.tool.lower().startswith("none")


_LEAVES: dict[str, tuple[Point, Point, Point, Anchor]] = {
    "front": (Point(20.0, 18.5), Point(3.0, 18.5), Point(3.0, 16.5), "start"),
    "rear": (Point(50.0, 8.9), Point(66.0, 8.9), Point(66.0, 6.9), "end"),
    "top": (Point(35.0, 6.0), Point(35.0, 0.5), Point(37.0, 3.0), "start"),
    "bottom": (Point(35.0, 21.0), Point(35.0, 26.0), Point(37.0, 25.5), "start"),
}
"""For each side: where the arrow starts and ends, and its word."""


def _arrow(start: Point, tip: Point, width_mm: float) -> list[Primitive]:
    length = ((tip[0] - start[0]) ** 2 + (tip[1] - start[1]) ** 2) ** 0.5
    ux, uy = (tip[0] - start[0]) / length, (tip[1] - start[1]) / length
    back = Point(tip[0] - 2.6 * ux, tip[1] - 2.6 * uy)
    head = (
        tip,
        Point(back[0] - 1.2 * uy, back[1] + 1.2 * ux),
        Point(back[0] + 1.2 * uy, back[1] - 1.2 * ux),
    )
    return [line((start, back), "ink", width_mm), Path(head, True, "ink")]
