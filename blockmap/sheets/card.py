"""The glovebox card: panels to cut out and fold, with all a person needs at night.

Picture with designations, which fuse is it, by place, spares, what is away from the
panel, what is damaged or patched. It takes as many panels as the map needs; it leaves
nothing out and sets nothing smaller than can be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from blockmap.drawing.primitives import (
    Face,
    Primitive,
    Text,
    line,
    moved,
    rectangle,
)
from blockmap.model.document import Map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.reference.legibility import least_cap_height_mm
from blockmap.reference.paper import CARD_ID1, PAPERS, Paper
from blockmap.sheets.card_lists import card_sections, title_section
from blockmap.sheets.card_panels import PAD_MM, CardType, Panel, PanelFiller
from blockmap.sheets.card_picture import BlockPicture
from blockmap.sheets.label_words import LEAST_PRINTED_MM
from blockmap.sheets.pages import (
    Draft,
    Remarks,
    Sheet,
    facts_line,
    finished,
    oriented,
    paper_of,
)
from blockmap.sheets.rulers import Correction, ruler_across, ruler_down

__all__ = ["CARD_FORMS", "CardForm", "compose_card"]

_TOP_MM = 10.4
_FOOT_MM = 16.6
_LEFT_MM = 17.0
_EDGE_MM = 6.0
_GOOD_ENOUGH = 0.85
"""A picture may be this much smaller when it needs no panel of its own."""
_LEAST_LINES, _LEAST_LETTERS = 13, 24
"""A panel is at least this many heights of a capital high and wide."""
_WORTH_TWO = 1.8
"""A picture takes two panels when that makes it this much larger."""


@dataclass(frozen=True, slots=True)
class CardForm:
    """A kind of card: the size of a panel, and how panels hang together.

    size names the panel's size in few words. down tells whether a strip of panels
    runs down the paper; apart, whether each panel is a card of its own instead of
    part of a folded strip.
    """

    name: str
    title: str
    size: str
    panel: Size
    down: bool
    apart: bool


def _lying(paper: Paper) -> Size:
    return Size(paper.width_mm, paper.height_mm)


CARD_FORMS = {
    form.name: form
    for form in (
        CardForm(
            "fold",
            "Fold card, bank card size",
            "bank card size",
            _lying(CARD_ID1),
            True,
            False,
        ),
        CardForm("a6", "Folded card A6", "A6", _lying(PAPERS["a6"]), False, False),
        CardForm(
            "3x5",
            "Index cards 3 x 5 in",
            "3 x 5 in",
            _lying(PAPERS["card 3 x 5 in"]),
            True,
            True,
        ),
    )
}
"""The forms by name. Sizes: ISO/IEC 7810 ID-1, ISO 216, and inches."""


def compose_card(
    document: Map,
    *,
    form: str = "fold",
    paper: str = "a4",
    view: View = View.FRONT,
    correction: tuple[float, float] = (1.0, 1.0),
) -> Sheet:
    """Return the card of a whole map.

    Raises ValueError for a form or paper that is not known and for a correction
    outside 0.97 to 1.03.
    """
    if form not in CARD_FORMS:
        raise ValueError(f"“{form}” is no card; write one of {', '.join(CARD_FORMS)}")
    kind, stock = CARD_FORMS[form], paper_of(paper)
    factors = Correction.of(correction)
    remarks = Remarks()
    _check_characters(document, remarks)
    panels = _panels(document, kind, view, remarks)
    layout = _layout(kind, stock, factors)
    title = f"Glovebox card, {kind.size}"
    details = facts_line(document)
    if not factors.plain:
        details = f"{factors.words()}  ·  {details}"
    drafts = [
        Draft(
            size=layout.size,
            items=(*_rulers(layout.size, factors), *items),
            title=title,
            view=view.words,
            details=details,
            say=_how(kind),
            slim=True,
        )
        for items in layout.pages(panels, factors)
    ]
    return finished("card", title, drafts, remarks.sentences())


def _check_characters(document: Map, remarks: Remarks) -> None:
    remarks.check("Car", f"{document.car.name} {document.car.year}")
    for block in document.blocks.values():
        remarks.check("Block", block.name)
    for cavity in document.cavities.values():
        where = cavity.designation
        remarks.check(f"Card, {where}", where)
        for text in (cavity.legend_long, cavity.circuit, cavity.legend):
            remarks.check(f"Card, legend of {where}", text)
        for load in cavity.loads:
            remarks.check(f"Card, load of {where}", load.name)
        for _, condition in cavity.conditions:
            remarks.check(f"Card, condition of {where}", condition.note)
        remarks.check(f"Card, notes of {where}", " ".join(cavity.notes.split()))


def _panels(document: Map, kind: CardForm, view: View, remarks: Remarks) -> list[Panel]:
    """Fill the panels and number them."""
    rule = least_cap_height_mm(document.car.card_distance_mm)
    least = max(rule.value, LEAST_PRINTED_MM)
    most = min(
        kind.panel.height_mm / _LEAST_LINES, kind.panel.width_mm / _LEAST_LETTERS
    )
    if least > most:
        remarks.add(
            f"Card read from {document.car.card_distance_mm:.0f} mm: capitals of "
            f"{least:.3g} mm leave no room on a card; it is set with {most:.3g} mm"
        )
        least = most
    filler = PanelFiller(kind.panel, CardType.for_least(least))
    filler.title(title_section(document))
    for block in document.blocks.values():
        on_it = any(True for _ in document.cavities_of(block.id))
        if block.kind != "in-line holders" and on_it:
            picture = BlockPicture(document, block, view, filler.type)
            _put_picture(filler, picture, kind, remarks)
    for section in card_sections(document, filler.type.list_mm):
        filler.section(section)
    total = sum(panel.span for panel in filler.panels)
    number = 1
    small = filler.type.small_mm
    for panel in filler.panels:
        at = Point(kind.panel.width_mm - PAD_MM, PAD_MM + small)
        panel.items.append(Text(f"{number}/{total}", at, small, Face.REGULAR, "end"))
        number += panel.span
    return filler.panels


def _put_picture(
    filler: PanelFiller, picture: BlockPicture, kind: CardForm, remarks: Remarks
) -> None:
    """Put a picture where it comes out largest for the fewest panels."""
    said = picture.name, picture.view_words
    alone = picture.scale_in(filler.room_new(*said))
    if picture.scale_in(filler.room_left(*said)) >= _GOOD_ENOUGH * alone:
        room = filler.picture_room(*said)
    else:
        span = 1
        if kind.down and not kind.apart:
            double = picture.scale_in(filler.room_new(*said, 2))
            span = 2 if double > _WORTH_TWO * alone else 1
        room = filler.picture_room(*said, span=span)
    filler.drawn_to(*picture.drawn(room, remarks))


def _how(kind: CardForm) -> tuple[str, ...]:
    cut = (
        "Cut each card out on its solid line."
        if kind.apart
        else "Cut on the solid lines, fold zigzag on the dashed lines."
    )
    return ("Print at 100 % (actual size); both rulers measure 100 mm.", cut)


def _rulers(size: Size, factors: Correction) -> tuple[Primitive, ...]:
    across, down = Point(_LEFT_MM, size.height_mm - 9.6), Point(13.2, 16.0)
    return (
        *factors.applied(ruler_across(across), across),
        *factors.applied(ruler_down(down), down),
    )


@dataclass(frozen=True, slots=True)
class _Layout:
    """How panels stand on a page: strips beside or below each other."""

    kind: CardForm
    size: Size
    strips: int
    length: int
    gap_mm: float

    def pages(
        self, panels: Sequence[Panel], factors: Correction
    ) -> list[tuple[Primitive, ...]]:
        """Return what is drawn on each page."""
        strips = _split(panels, self.length)
        found = []
        for first in range(0, len(strips), self.strips):
            items: list[Primitive] = []
            for number, strip in enumerate(strips[first : first + self.strips]):
                items += self._strip(number, strip, factors)
            found.append(tuple(items))
        return found

    def _strip(
        self, number: int, panels: Sequence[Panel], factors: Correction
    ) -> list[Primitive]:
        """Draw one strip: its panels, its cut line and its folds."""
        wide, high = self.kind.panel
        start = self._start(number, factors)
        items: list[Primitive] = []
        x = y = 0.0
        for place, panel in enumerate(panels):
            if self.kind.apart and place:
                y += self.gap_mm
            items += moved(panel.items, x, y)
            if self.kind.apart:
                items.append(_cut(Box(x, y, x + wide, y + high * panel.span)))
            elif place:
                items += self._fold(x, y)
            if self.kind.down:
                items += [
                    mark
                    for part in range(1, panel.span)
                    for mark in _fold_ticks(wide, y + part * high)
                ]
                y += high * panel.span
            else:
                x += wide
        if not self.kind.apart:
            whole = Box(0, 0, wide, y) if self.kind.down else Box(0, 0, x, high)
            items.append(_cut(whole))
        placed = moved(items, start.x_mm, start.y_mm)
        return list(factors.applied(placed, start))

    def _start(self, number: int, factors: Correction) -> Point:
        wide = self.kind.panel.width_mm * factors.across
        high = self.kind.panel.height_mm * factors.down
        if self.kind.down:
            whole = self.strips * wide + (self.strips - 1) * self.gap_mm
            left = max(_LEFT_MM, (self.size.width_mm - whole) / 2)
            return Point(left + number * (wide + self.gap_mm), _TOP_MM)
        whole = self.length * wide
        left = max(_LEFT_MM, (self.size.width_mm - whole) / 2)
        return Point(left, _TOP_MM + number * (high + self.gap_mm))

    def _fold(self, x: float, y: float) -> list[Primitive]:
        wide, high = self.kind.panel
        if self.kind.down:
            ends = (Point(0.0, y), Point(wide, y))
        else:
            ends = (Point(x, 0.0), Point(x, high))
        return [line(ends, "faint", 0.15, (1.6, 1.2))]


def _fold_ticks(wide: float, y: float) -> list[Primitive]:
    """Mark a fold that goes through a picture, at both edges only."""
    return [
        line((Point(0.0, y), Point(3.0, y)), "faint", 0.15, (1.6, 1.2)),
        line((Point(wide - 3.0, y), Point(wide, y)), "faint", 0.15, (1.6, 1.2)),
    ]


def _cut(box: Box) -> Primitive:
    return replace(rectangle(box, "", "ink", 0.15))


def _split(panels: Sequence[Panel], length: int) -> list[list[Panel]]:
    """Return strips of at most so many panels; a wide picture is never parted."""
    strips: list[list[Panel]] = []
    free = 0
    for panel in panels:
        if panel.span > free:
            strips.append([])
            free = length
        strips[-1].append(panel)
        free -= panel.span
    return strips


def _layout(kind: CardForm, stock: Paper, factors: Correction) -> _Layout:
    """Return the layout with the most panels on a page, upright paper first."""
    best: _Layout | None = None
    wide = kind.panel.width_mm * factors.across
    high = kind.panel.height_mm * factors.down
    gap = 2.0 if kind.apart else 4.0
    within = gap if kind.apart else 0.0
    for lying in (False, True):
        size = oriented(stock, lying=lying)
        room_x = size.width_mm - _LEFT_MM - _EDGE_MM
        room_y = size.height_mm - _TOP_MM - _FOOT_MM
        if kind.down:
            strips = int((room_x + gap) // (wide + gap))
            length = int((room_y + within + 1e-6) // (high + within))
        else:
            strips = int((room_y + gap) // (high + gap))
            length = int(room_x // wide)
        if strips < 1 or length < 1:
            continue
        layout = _Layout(kind, size, strips, length, gap)
        if best is None or strips * length > best.strips * best.length:
            best = layout
    if best is None:
        raise ValueError(f"{kind.title} does not fit on {stock.title} paper")
    return best
