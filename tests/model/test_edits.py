"""Edits: what they change, what they share with the map before, what they refuse."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.model import edits
from blockmap.model.document import (
    Contact,
    Evidence,
    Jumper,
    Load,
    Map,
    Strip,
    Wire,
    empty_map,
)
from blockmap.model.edits import CellEdit, Direction, Edge, Grid
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point, Size, bounds_of
from blockmap.model.numbering import CountingOrder


def panel() -> Map:
    """Return two blocks, six fuses F1 to F6 in the first, and a strip over three."""
    document, panel_id = edits.add_block(empty_map(), "Panel", Size(135, 105))
    document, _ = edits.add_block(document, "Box", Size(60, 60), kind="power box")
    assert panel_id == "panel"
    grid = Grid(
        first=Point(15, 15),
        columns=3,
        rows=2,
        first_designation="F1",
        rating_a=20.0,
    )
    document = edits.add_grid(document, "panel", grid)
    strip = Strip(
        id="panel/BAT",
        block="panel",
        members=("F1.feed", "F2.feed"),
        jumpers=(Jumper(to="F3.feed"),),
        lands_at="F1.feed",
    )
    return edits.add_strip(document, strip)


PANEL = panel()
ONE, TWO, THREE = "panel/F1", "panel/F2", "panel/F3"


def test_a_grid_places_names_and_sizes_its_cavities() -> None:
    names = [c.designation for c in PANEL.cavities.values()]
    assert names == ["F1", "F2", "F3", "F4", "F5", "F6"]
    places = [(c.x_mm, c.y_mm) for c in PANEL.cavities.values()]
    assert places == [(15, 15), (35, 15), (55, 15), (15, 40), (35, 40), (55, 40)]
    # Medium blade, 19.1 x 5.1 mm: encyclopedia text of 2007 and maker datasheets.
    assert {c.size for c in PANEL.cavities.values()} == {(19.1, 5.1)}
    assert {c.rating_a for c in PANEL.cavities.values()} == {20}


def test_a_grid_counted_from_the_right_starts_at_the_right() -> None:
    grid = Grid(
        first=Point(10, 10),
        columns=3,
        pitch_x_mm=10,
        first_designation="1",
        order=CountingOrder.LEFT,
    )
    made = edits.grid_cavities(PANEL, "box", grid)
    assert [(c.designation, c.x_mm) for c in made] == [("1", 30), ("2", 20), ("3", 10)]


def test_new_cavities_stay_with_those_of_their_block() -> None:
    box = edits.new_cavity(PANEL, "box", Point(10, 10), designation="U1")
    both = edits.add_cavities(PANEL, [box])
    late = edits.new_cavity(both, "panel", Point(100, 90), designation="F7")
    ids = list(edits.add_cavities(both, [late]).cavities)
    assert ids[-2:] == ["panel/F7", "box/U1"]


# Each edit below changes F1 or nothing but what stands beside it; the rest is shared.
CHANGES: dict[str, Callable[[Map], Map]] = {
    "move": lambda m: edits.move_cavities(m, {ONE: Point(16, 15)}),
    "resize": lambda m: edits.resize_cavities(m, {ONE: (Point(15, 15), Size(20, 6))}),
    "turn": lambda m: edits.turn_cavities(m, [ONE], 90),
    "arrange": lambda m: edits.arrange_cavities(
        m, [dataclasses.replace(m.cavities[ONE], x_mm=1.0)]
    ),
    "text": lambda m: edits.set_texts(m, [ONE], "legend", "STOP"),
    "property": lambda m: edits.set_property(m, [ONE], "do_not_use", True),
    "evidence": lambda m: edits.set_evidence(m, [ONE], "form", Evidence(how="seen")),
    "paste": lambda m: edits.paste_rows(m, [ONE], ["legend"], [["STOP"]]),
}
NOTHING: dict[str, Callable[[Map], Map]] = {
    "move": lambda m: edits.move_cavities(m, {ONE: Point(15, 15)}),
    "resize": lambda m: edits.resize_cavities(
        m, {ONE: (Point(15, 15), Size(19.1, 5.1))}
    ),
    "turn": lambda m: edits.turn_cavities(m, [ONE], 360),
    "arrange": lambda m: edits.arrange_cavities(m, [m.cavities[ONE]]),
    "text": lambda m: edits.set_texts(m, [ONE], "rating_a", "20 A"),
    "same text": lambda m: edits.set_texts(m, [ONE], "rating_a", "20"),
    "property": lambda m: edits.set_property(m, [ONE], "do_not_use", False),
    "evidence": lambda m: edits.set_evidence(m, [ONE], "form", None),
    "paste": lambda m: edits.paste_rows(m, [ONE], ["own", None], [["F1", "x"]]),
    "add": lambda m: edits.add_cavities(m, []),
    "delete": lambda m: edits.delete_cavities(m, ["panel/F99"]),
    "align": lambda m: edits.align_cavities(m, [ONE, TWO], Edge.TOP),
    "distribute": lambda m: edits.distribute_cavities(
        m, [ONE, TWO, THREE], Direction.ACROSS
    ),
    "block": lambda m: edits.set_block_text(m, "panel", "name", "Panel"),
    "car": lambda m: edits.set_car_text(m, "volts", "12"),
    "car list": lambda m: edits.set_car_text(m, "states", ""),
    "outline": lambda m: edits.set_outline(m, "panel", ()),
    "strip": lambda m: edits.set_strip(m, m.strips["panel/BAT"]),
    "remove strip": lambda m: edits.remove_strip(m, "panel/RUN"),
    "remove block": lambda m: edits.remove_block(m, "boot"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_an_edit_of_one_cavity_shares_all_the_rest(name: str) -> None:
    kept = dataclasses.replace(PANEL)
    after = CHANGES[name](PANEL)
    assert kept == PANEL
    assert after.cavities[ONE] != PANEL.cavities[ONE]
    assert list(after.cavities) == list(PANEL.cavities)
    for identity, cavity in PANEL.cavities.items():
        assert identity == ONE or after.cavities[identity] is cavity
    assert after.car is PANEL.car
    assert after.blocks is PANEL.blocks
    assert after.strips is PANEL.strips


@pytest.mark.parametrize("name", NOTHING)
def test_an_edit_that_changes_nothing_returns_the_very_map(name: str) -> None:
    assert NOTHING[name](PANEL) is PANEL


REFUSED: dict[str, Callable[[Map], object]] = {
    "far away": lambda m: edits.move_cavities(m, {ONE: Point(2500, 0)}),
    "nowhere": lambda m: edits.move_cavities(m, {ONE: Point(math.nan, 0)}),
    "too thin": lambda m: edits.resize_cavities(m, {ONE: (Point(9, 9), Size(20, 0.5))}),
    "unknown column word": lambda m: edits.set_texts(m, [ONE], "kind", "fuze"),
    "computed column": lambda m: edits.set_texts(m, [ONE], "block", "box"),
    "no number": lambda m: edits.set_texts(m, [ONE], "rating_a", "many"),
    "wire nobody knows": lambda m: edits.set_texts(m, [ONE], "wires", "octarine 16"),
    "too many rows": lambda m: edits.paste_rows(m, [ONE], ["own"], [["a"], ["b"]]),
    "one to align": lambda m: edits.align_cavities(m, [ONE], Edge.LEFT),
    "two to distribute": lambda m: edits.distribute_cavities(
        m, [ONE, TWO], Direction.DOWN
    ),
    "a name twice": lambda m: edits.add_grid(
        m, "panel", Grid(first=Point(9, 9), first_designation="F3")
    ),
    "no columns": lambda m: edits.add_grid(
        m, "panel", Grid(first=Point(9, 9), columns=0)
    ),
    "unknown form": lambda m: edits.new_cavity(m, "panel", Point(9, 9), form="spud"),
    "key taken": lambda m: edits.add_cavities(m, [m.cavities[ONE]]),
    "no such block": lambda m: edits.add_cavities(
        m, [dataclasses.replace(m.cavities[ONE], id="boot/F1", block="boot")]
    ),
    "block of no size": lambda m: edits.add_block(m, "b", Size(1, 50)),
    "strip taken": lambda m: edits.add_strip(m, m.strips["panel/BAT"]),
    "strip on nothing": lambda m: edits.add_strip(
        m, Strip(id="panel/X", block="panel", members=("F9.feed",))
    ),
    "strip without contact": lambda m: edits.add_strip(
        m, Strip(id="panel/X", block="panel", members=("F1",))
    ),
    "crossed outline": lambda m: edits.set_outline(
        m, "panel", [Point(0, 0), Point(50, 50), Point(50, 0), Point(0, 50)]
    ),
    "endless outline": lambda m: edits.set_outline(
        m, "panel", [Point(0, 0), Point(math.inf, 0), Point(0, 50)]
    ),
    "outline of very many corners": lambda m: edits.set_outline(
        m, "panel", [Point(float(i), float(i * i)) for i in range(5000)]
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_makes_no_sense_is_refused_in_words(name: str) -> None:
    with pytest.raises(EditRefused, match=r"\w+ \w+"):
        REFUSED[name](PANEL)


def test_more_cavities_than_a_map_takes_are_refused() -> None:
    grid = Grid(first=Point(0, 0), columns=100, rows=51)
    with pytest.raises(EditRefused, match="5000"):
        edits.add_grid(PANEL, "box", grid)


def test_a_refusal_names_the_cell_and_leaves_all_as_it_was() -> None:
    cells = [CellEdit(ONE, "legend", "STOP"), CellEdit(TWO, "rating_a", "many")]
    with pytest.raises(EditRefused, match="F2"):
        edits.set_cells(PANEL, cells)
    assert PANEL.cavities[ONE].legend == ""


@pytest.mark.parametrize("by_deg", [90, 180, 270])
def test_turning_takes_the_feed_contact_along(by_deg: float) -> None:
    known = edits.set_property(PANEL, [ONE], "feed_end", "start")
    turned = edits.turn_cavities(known, [ONE], by_deg)
    sides = ["top", "right", "bottom", "left"]
    assert known.cavities[ONE].feed_side == "top"
    assert turned.cavities[ONE].feed_side == sides[int(by_deg) // 90]
    assert turned.cavities[ONE].feed_end == "start"


eighths = st.integers(-300, 300).map(lambda n: n / 8)


@settings(deadline=None)
@given(eighths, eighths)
def test_a_new_outline_moves_no_cavity_against_the_metal(dx: float, dy: float) -> None:
    outline = [
        Point(dx, dy),
        Point(dx + 80, dy),
        Point(dx + 80, dy + 30),
        Point(dx + 40, dy + 60),
        Point(dx, dy + 60),
    ]
    after = edits.set_outline(PANEL, "panel", outline)
    block = after.blocks["panel"]
    assert block.size == (80, 60)
    corner = bounds_of(block.outline)
    assert (corner.left_mm, corner.top_mm) == (0, 0)
    for identity, cavity in PANEL.cavities.items():
        for old, new in zip(outline, block.outline, strict=True):
            moved = after.cavities[identity]
            assert moved.x_mm - new.x_mm == cavity.x_mm - old.x_mm
            assert moved.y_mm - new.y_mm == cavity.y_mm - old.y_mm


def test_an_outline_moves_no_cavity_of_another_block() -> None:
    box = edits.new_cavity(PANEL, "box", Point(10, 10), designation="U1")
    document = edits.add_cavities(PANEL, [box])
    outline = [Point(5, 5), Point(50, 5), Point(50, 50)]
    after = edits.set_outline(document, "panel", outline)
    assert after.cavities["box/U1"] is document.cavities["box/U1"]


def test_a_block_with_an_outline_takes_its_size_from_it() -> None:
    outline = [Point(0, 0), Point(50, 0), Point(50, 50)]
    shaped = edits.set_outline(PANEL, "panel", outline)
    with pytest.raises(EditRefused, match="outline"):
        edits.set_block_text(shaped, "panel", "width_mm", "80")
    plain = edits.set_outline(shaped, "panel", ())
    assert edits.set_block_text(plain, "panel", "width_mm", "80").blocks[
        "panel"
    ].size == (80, 50)


def test_deleting_takes_the_contacts_off_the_strips() -> None:
    after = edits.delete_cavities(PANEL, [ONE, THREE])
    assert list(after.cavities) == ["panel/F2", "panel/F4", "panel/F5", "panel/F6"]
    strip = after.strips["panel/BAT"]
    assert (strip.members, strip.jumpers, strip.lands_at) == (("F2.feed",), (), "")


def test_deleting_what_is_on_no_strip_leaves_the_strips_alone() -> None:
    assert edits.delete_cavities(PANEL, ["panel/F6"]).strips is PANEL.strips


def test_removing_a_block_takes_all_that_is_in_it_and_on_it() -> None:
    box = edits.new_cavity(PANEL, "box", Point(10, 10), designation="U1")
    document = edits.add_cavities(PANEL, [box])
    across = Strip(id="box/A", block="box", members=("U1.feed", "panel/F1.feed"))
    after = edits.remove_block(edits.add_strip(document, across), "panel")
    assert list(after.blocks) == ["box"]
    assert list(after.cavities) == ["box/U1"]
    assert after.strips["box/A"].members == ("U1.feed",)
    assert list(after.strips) == ["box/A"]


def test_a_copy_keeps_the_body_and_forgets_what_was_found() -> None:
    found = dataclasses.replace(
        PANEL.cavities[ONE],
        circuit="horn",
        feed_end="start",
        loads=(Load(name="horn"),),
        contacts={"load": Contact(wires=(Wire(gauge="16 AWG"),))},
        evidence={"form": Evidence(how="seen")},
    )
    document = dataclasses.replace(PANEL, cavities={**PANEL.cavities, ONE: found})
    after, ids = edits.duplicate_cavities(document, [ONE, TWO], 0, 50)
    copy = after.cavities[ids[0]]
    assert (copy.x_mm, copy.y_mm) == (15, 65)
    kept = (copy.form, copy.size, copy.turn_deg, copy.rating_a, copy.feed_end)
    assert kept == ("medium blade", (19.1, 5.1), 90, 20, "start")
    assert (copy.circuit, copy.loads, copy.contacts, copy.evidence) == ("", (), {}, {})
    assert len(after.cavities) == len(document.cavities) + 2
    assert after.cavities[ONE] is found


mixed = st.lists(
    st.tuples(eighths, eighths, st.sampled_from([0.0, 90.0, 30.0])),
    min_size=3,
    max_size=6,
)


@settings(deadline=None)
@given(mixed, st.sampled_from(Edge))
def test_aligned_cavities_share_the_line(
    places: list[tuple[float, float, float]], edge: Edge
) -> None:
    document, ids = scattered(places)
    boxes = [
        c.bounds for c in edits.align_cavities(document, ids, edge).cavities.values()
    ]
    lines = {
        Edge.LEFT: [b.left_mm for b in boxes],
        Edge.RIGHT: [b.right_mm for b in boxes],
        Edge.TOP: [b.top_mm for b in boxes],
        Edge.BOTTOM: [b.bottom_mm for b in boxes],
        Edge.MIDDLE_X: [b.centre.x_mm for b in boxes],
        Edge.MIDDLE_Y: [b.centre.y_mm for b in boxes],
    }[edge]
    assert max(lines) - min(lines) <= 0.0011  # places are kept to a micrometre


@settings(deadline=None)
@given(mixed, st.sampled_from(Direction))
def test_distributed_cavities_are_evenly_apart_and_the_outer_two_stay(
    places: list[tuple[float, float, float]], direction: Direction
) -> None:
    document, ids = scattered(places)
    after = edits.distribute_cavities(document, ids, direction)
    axis = "x_mm" if direction is Direction.ACROSS else "y_mm"
    before = sorted(getattr(c, axis) for c in document.cavities.values())
    line = sorted(getattr(c, axis) for c in after.cavities.values())
    assert (line[0], line[-1]) == (before[0], before[-1])
    gaps = [b - a for a, b in pairwise(line)]
    assert max(gaps) - min(gaps) <= 0.0021


def scattered(places: list[tuple[float, float, float]]) -> tuple[Map, list[str]]:
    """Return a map with a cavity at each place and turn, and their ids."""
    document, block = edits.add_block(empty_map(), "b", Size(500, 500))
    for x, y, turn in places:
        cavity = edits.new_cavity(document, block, Point(x, y), turn_deg=turn)
        document = edits.add_cavities(document, [cavity])
    return document, list(document.cavities)


def test_moving_drops_the_dust_of_decimal_sums() -> None:
    after = edits.move_cavities(PANEL, {ONE: Point(0.1 + 0.2, 7.0)})
    assert after.cavities[ONE].x_mm == 0.3


def test_evidence_can_be_given_and_forgotten() -> None:
    seen = Evidence(how="seen", test="pulled one at a time", date="2024-05-18")
    known = edits.set_evidence(PANEL, [ONE, TWO], "circuit", seen)
    assert known.cavities[TWO].evidence == {"circuit": seen}
    forgotten = edits.set_evidence(known, [ONE, TWO], "circuit", None)
    assert forgotten.cavities[TWO] == PANEL.cavities[TWO]


def test_states_of_the_car_are_typed_with_semicolons() -> None:
    after = edits.set_car_text(PANEL, "states", " FOG ;; WORK  LAMP ")
    assert after.car.states == ("FOG", "WORK LAMP")
