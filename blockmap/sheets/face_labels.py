"""The face of a block at true size, with a label beside each cavity.

Every outline stands exactly where the map has it, as seen in the view. A label lies in
free room beside its cavity, on the block if it can, else beyond the edge with a line
to it. What fits nowhere at the least height is remarked, never set smaller.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.drawing.fit import LINE_PITCH, Fitted
from blockmap.drawing.primitives import (
    Anchor,
    Face,
    Primitive,
    Text,
    bounds_of_primitives,
    line,
    rectangle,
)
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.document import Block, Map
from blockmap.model.geometry import Box, Point, View, bounds_of
from blockmap.sheets.label_pieces import not_fitting, turned_lines
from blockmap.sheets.label_words import LabelWords, fit_label, label_words
from blockmap.sheets.pages import Remarks
from blockmap.sheets.picture import FaceFigure, free_body
from blockmap.sheets.room import Region, Room, Side

__all__ = ["FaceDrawing", "draw_face"]

_HEAD = 1.25
_LINES = 3
_ORDER = {side: number for number, side in enumerate(Side)}


@dataclass(frozen=True, slots=True)
class FaceDrawing:
    """A block's face in millimetres of the view, and the box round all of it.

    block_box is the box round the outline alone, for crop marks.
    """

    items: tuple[Primitive, ...]
    bounds: Box
    block_box: Box


@dataclass(frozen=True, slots=True)
class _Choice:
    """A way to set one label: where, which wording, turned or on one line."""

    region: Region
    fit: Fitted | None
    turned: bool
    inline: bool
    rank: tuple[int, ...]


def draw_face(
    document: Map, block: Block, view: View, cap_mm: float, remarks: Remarks
) -> FaceDrawing:
    """Return the face with its labels; remarks gets what does not fit."""
    figure = FaceFigure(document, block, view, cap_mm)
    cavities = tuple(document.cavities_of(block.id))
    boxes = [view.apply_box(cavity.bounds, block.size) for cavity in cavities]
    said = [
        label_words(cavity, rated=not figure.shows_rating(cavity))
        for cavity in cavities
    ]
    over = [free_body(cavity, block, view) for cavity in cavities]
    edge = Box(0.0, 0.0, block.width_mm, block.height_mm)
    # What an in-line holder has besides its body, its two leads, is kept clear of.
    leads = [box for cavity in cavities for box in figure.leads(cavity)]
    chosen = _chosen(said, Room(edge, [*boxes, *leads]), over, cap_mm)
    whole = edge
    labels: list[Primitive] = []
    for words, box, choice in zip(said, boxes, chosen, strict=True):
        whole = whole.union(box)
        if choice is None or choice.rank[0]:
            remarks.add(not_fitting("Label on the face", words, cap_mm))
        if choice is not None:
            label, place = _set(choice, words, box, cap_mm)
            whole = whole.union(place)
            labels += label
    wordless = {
        cavity.id
        for cavity, choice in zip(cavities, chosen, strict=True)
        if choice is not None and choice.region.side is Side.OVER
    }
    drawn = figure.drawn(wordless=wordless)
    whole = whole.union(bounds_of_primitives(drawn) or whole)
    outline = bounds_of(view.apply(p, block.size) for p in block.outline_points)
    return FaceDrawing((*drawn, *labels), whole, outline)


def _chosen(
    said: Sequence[LabelWords], room: Room, over: Sequence[Box | None], cap_mm: float
) -> list[_Choice | None]:
    """Return how each label stands.

    First those that fit upright in their own cell, then the rest in what is left.
    """
    cells = [room.regions(number) for number in range(len(said))]
    favourite = _favourite(said, cells, over, cap_mm)
    chosen: list[_Choice | None] = [None] * len(said)
    for own_cell in (True, False):
        for number, words in enumerate(said):
            box = room.cavities[number]
            if chosen[number] is not None:
                continue
            regions = cells[number]
            if any(room.touches(region.box) for region in regions):
                regions = room.regions(number)
            if not own_cell:
                regions = [*regions, *room.regions(number, cells=False)]
            body = over[number]
            if body:
                regions = [*regions, Region(Side.OVER, body)]
            choice = _best(regions, words, cap_mm, favourite)
            if choice is None or (own_cell and any(choice.rank[:4])):
                continue
            chosen[number] = choice
            if choice.region.side is not Side.OVER:
                room.placed.append(_set(choice, words, box, cap_mm)[1])
    return chosen


def _favourite(
    said: Sequence[LabelWords],
    cells: Sequence[Sequence[Region]],
    over: Sequence[Box | None],
    cap_mm: float,
) -> Side:
    """Return the side on which most labels fit, so that labels stand alike."""
    votes: Counter[Side] = Counter()
    for words, regions, free in zip(said, cells, over, strict=True):
        for region in () if free else regions:
            choice = _choice(region, words, cap_mm, Side.BELOW, turned=False)
            if choice and not any(choice.rank[:2]):
                votes[region.side] += 1
    enough = 0.8 * max(votes.values(), default=0)
    return next(side for side in Side if votes[side] >= enough)


def _best(
    regions: Sequence[Region], words: LabelWords, cap_mm: float, favourite: Side
) -> _Choice | None:
    """Return the best way to set a label; turned only when none upright will do."""
    best: _Choice | None = None
    for turned in (False, True):
        for region in regions:
            choice = _choice(region, words, cap_mm, favourite, turned=turned)
            if choice and (best is None or choice.rank < best.rank):
                best = choice
        if best and not any(best.rank[:2]):
            break
    return best


def _choice(
    region: Region, words: LabelWords, cap_mm: float, favourite: Side, *, turned: bool
) -> _Choice | None:
    """Return how a label would stand in a region; None where even its name is wide."""
    wide, high = region.box.width_mm, region.box.height_mm
    if turned:
        wide, high = high, wide
    head = cap_mm * _HEAD
    head_wide = text_width_mm(words.head, Face.BOLD, head)
    if head_wide > wide or head > high:
        return None
    left_mm = high - head - (LINE_PITCH - 1) * cap_mm
    fit, inline = None, False
    if words.texts and left_mm >= cap_mm:
        fit = fit_label(words.texts, wide, left_mm, cap_mm, _LINES)
    if words.texts and fit is None and not turned:
        rest = wide - head_wide - cap_mm
        fit = fit_label(words.texts, rest, cap_mm, cap_mm, 1)
        inline = fit is not None
    wording = _wording(fit, words)
    rank = (
        int(bool(words.texts) and fit is None),
        int(region.outside),
        int(turned),
        int(inline),
        wording,
        int(region.side is not Side.OVER and region.side is not favourite),
        len(fit.lines) if fit else 0,
        _ORDER[region.side],
    )
    return _Choice(region, fit, turned, inline, rank)


def _wording(fit: Fitted | None, words: LabelWords) -> int:
    """Return which of the wordings was taken, their number when none was."""
    if fit is None:
        return len(words.texts)
    taken = "".join("".join(fit.lines).split())
    spelt = ["".join(text.split()) for text in words.texts]
    return spelt.index(taken) if taken in spelt else 0


def _set(
    choice: _Choice, words: LabelWords, around: Box, cap_mm: float
) -> tuple[list[Primitive], Box]:
    """Return the label's primitives, a line to its cavity if it lies off, its box."""
    head, fit = cap_mm * _HEAD, choice.fit
    head_wide = wide = text_width_mm(words.head, Face.BOLD, head)
    high = head
    if fit and choice.inline:
        wide += cap_mm + fit.width_mm
    elif fit:
        wide = max(wide, fit.width_mm)
        high += (LINE_PITCH - 1) * cap_mm + fit.height_mm
    if choice.turned:
        wide, high = high, wide
    place = _place(choice.region, around, wide, high)
    items: list[Primitive] = []
    if choice.region.outside:
        items.append(_lead(choice.region.side, around, place))
    if choice.turned:
        first = Point(place.left_mm + head, place.centre.y_mm)
        items.append(Text(words.head, first, head, Face.BOLD, turn_deg=-90.0))
        if fit:
            middle = place.right_mm - fit.height_mm / 2
            items += turned_lines(fit, Point(middle, place.centre.y_mm))
        return items, place
    if choice.inline and fit:
        at = Point(place.left_mm, place.bottom_mm)
        items.append(Text(words.head, at, head, Face.BOLD, "start"))
        after = Point(at.x_mm + head_wide + cap_mm, at.y_mm)
        items.append(Text(fit.lines[0], after, cap_mm, Face.REGULAR, "start"))
        return items, place
    anchor, x = _anchor(choice.region.side, place)
    if words.crossed and choice.region.side is Side.OVER:
        items.append(rectangle(place.grown(0.4), "body"))
    at = Point(x, place.top_mm + head)
    items.append(Text(words.head, at, head, Face.BOLD, anchor))
    if fit:
        middle = place.bottom_mm - fit.height_mm / 2
        items += fit.texts(Point(x, middle), anchor)
    return items, place


def _anchor(side: Side, place: Box) -> tuple[Anchor, float]:
    if side is Side.RIGHT:
        return "start", place.left_mm
    if side is Side.LEFT:
        return "end", place.right_mm
    return "middle", place.centre.x_mm


def _place(region: Region, around: Box, wide: float, high: float) -> Box:
    """Return where in its region a label of this size lies: close to its cavity."""
    free = region.box
    x = min(max(around.centre.x_mm - wide / 2, free.left_mm), free.right_mm - wide)
    y = min(max(around.centre.y_mm - high / 2, free.top_mm), free.bottom_mm - high)
    if region.side is Side.BELOW:
        y = free.top_mm
    elif region.side is Side.ABOVE:
        y = free.bottom_mm - high
    elif region.side is Side.RIGHT:
        x = free.left_mm
    elif region.side is Side.LEFT:
        x = free.right_mm - wide
    return Box(x, y, x + wide, y + high)


def _lead(side: Side, around: Box, place: Box) -> Primitive:
    """Return the thin line from a cavity to its label beyond the edge."""
    if side is Side.BELOW:
        ends = (around.bottom_mm, place.top_mm - 0.5)
    elif side is Side.ABOVE:
        ends = (around.top_mm, place.bottom_mm + 0.5)
    elif side is Side.RIGHT:
        ends = (around.right_mm, place.left_mm - 0.5)
    else:
        ends = (around.left_mm, place.right_mm + 0.5)
    if side in (Side.BELOW, Side.ABOVE):
        x = min(max(around.centre.x_mm, place.left_mm), place.right_mm)
        return line((Point(x, ends[0]), Point(x, ends[1])), "ink", 0.12)
    y = min(max(around.centre.y_mm, place.top_mm), place.bottom_mm)
    return line((Point(ends[0], y), Point(ends[1], y)), "ink", 0.12)
