"""Labels and strips laid anew where something changed stand as in a fresh layout."""

from __future__ import annotations

import itertools
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.drawing.figure import FigureStyle, layout_labels, strip_pictures
from blockmap.drawing.label_layout import LabelLayout
from blockmap.drawing.strip_layout import StripLayout
from blockmap.drawing.strips import seen_strip
from blockmap.model.document import Condition, Map, Strip, empty_map
from blockmap.model.edits import (
    Grid,
    add_block,
    add_grid,
    delete_cavities,
    move_cavities,
    set_condition,
    set_outline,
    set_texts,
)
from blockmap.model.geometry import Point, Size, View
from blockmap.model.ids import key_of

BLOCK = "panel"
Edit = tuple[str, int, int]


def crowded() -> Map:
    """Return a block of thirty fuses so close that their labels want the same room."""
    document, _ = add_block(empty_map(), "Panel", Size(140.0, 110.0))
    grid = Grid(
        first=Point(12, 16),
        columns=6,
        rows=5,
        pitch_x_mm=22,
        pitch_y_mm=19,
        first_designation="F1",
    )
    document = add_grid(document, BLOCK, grid)
    for number, id_ in enumerate(document.cavities):
        text = ("horn", "instrument lamps and clock", "wiper motor")[number % 3]
        document = set_texts(document, [id_], "legend", text)
    ids = list(document.cavities)
    strips = {
        f"{BLOCK}/{name}": Strip(
            id=f"{BLOCK}/{name}",
            block=BLOCK,
            name=name,
            members=tuple(f"{key_of(i)}.feed" for i in part),
            lands_at=f"{key_of(part[0])}.feed",
        )
        for name, part in (("A", ids[:8]), ("B", ids[8:20]), ("C", ids[20:]))
    }
    return replace(document, strips=strips)


def edited(document: Map, edit: Edit) -> Map:
    """Return the map with something done to one of its cavities or strips."""
    what, number, by = edit
    ids = list(document.cavities)
    if not ids:
        return document
    id_ = ids[number % len(ids)]
    cavity = document.cavities[id_]
    if what == "move":
        place = Point(cavity.x_mm + by, cavity.y_mm - by / 2)
        return move_cavities(document, {id_: place})
    if what == "say":
        return set_texts(document, [id_], "legend", "a long legend " * (by % 4))
    if what == "damage":
        worn = Condition(state="spread", severity=2) if by % 2 else None
        return set_condition(document, id_, "load", worn)
    if what == "delete":
        return delete_cavities(document, [id_])
    if what == "narrow":
        width = 138.0 + by
        corners = [Point(0, 0), Point(width, 0), Point(width, 110), Point(0, 110)]
        return set_outline(document, BLOCK, corners)
    if what == "swap":
        order = dict(document.cavities)
        order[ids[0]] = order.pop(ids[0])  # the first one becomes the last
        return replace(document, cavities=order)
    strips = dict(document.strips)
    for key in list(strips)[number % 3 : number % 3 + 1]:
        strips[key] = replace(strips[key], members=strips[key].members[: by % 6])
    return replace(document, strips=strips)


kinds = ("move", "say", "damage", "delete", "narrow", "swap", "strip")
edits = st.tuples(st.sampled_from(kinds), st.integers(0, 40), st.integers(-12, 12))
histories = st.lists(
    st.tuples(st.lists(edits, min_size=1, max_size=4), st.none() | st.integers(0, 20)),
    min_size=1,
    max_size=5,
)


@settings(deadline=None, max_examples=60)
@given(histories, st.sampled_from(View), st.sampled_from((0.8, 1.6)))
def test_labels_end_as_in_a_fresh_layout_wherever_a_pass_is_left(
    history: list[tuple[list[Edit], int | None]], view: View, least_cap: float
) -> None:
    document = crowded()
    style = FigureStyle(Size(140, 110), view, least_cap_mm=least_cap)
    layout = LabelLayout(style)
    for several, steps in [([], None), *history, ([], None)]:
        for edit in several:
            document = edited(document, edit)
        outline = document.blocks[BLOCK].outline_points
        layout.take(tuple(document.cavities_of(BLOCK)), outline)
        layout.take_strips(strip_pictures(document, BLOCK, style))
        for _ in itertools.islice(layout.steps(), steps):
            pass  # a pass that is left after so many steps
    assert layout.done
    assert layout.places() == layout_labels(document, BLOCK, style)
    assert list(layout.places()) == list(layout_labels(document, BLOCK, style))


@settings(deadline=None, max_examples=60)
@given(histories, st.sampled_from(View))
def test_strips_end_as_in_a_fresh_layout_wherever_a_pass_is_left(
    history: list[tuple[list[Edit], int | None]], view: View
) -> None:
    document = crowded()
    style = FigureStyle(Size(140, 110), view)
    layout = StripLayout(style.line_mm)
    for several, steps in [([], None), *history, ([], None)]:
        for edit in several:
            document = edited(document, edit)
        layout.take(document, BLOCK)
        for _ in itertools.islice(layout.steps(), steps and steps // 5):
            pass
    assert layout.done
    seen = {i: seen_strip(one, style) for i, one in layout.pictures().items()}
    assert seen == strip_pictures(document, BLOCK, style)


def test_a_label_is_left_alone_where_nothing_near_it_changed() -> None:
    document = crowded()
    layout = LabelLayout(FigureStyle(Size(140, 110)))
    outline = document.blocks[BLOCK].outline_points
    layout.take(tuple(document.cavities_of(BLOCK)), outline)
    assert len(list(layout.steps())) == 30
    rated = set_texts(document, list(document.cavities)[:9], "rating_a", "15")
    layout.take(tuple(rated.cavities_of(BLOCK)), outline)
    assert not list(layout.steps())
    worn = set_condition(rated, f"{BLOCK}/F1", "load", Condition(state="spread"))
    layout.take(tuple(worn.cavities_of(BLOCK)), outline)
    assert 1 <= len(list(layout.steps())) < 15
