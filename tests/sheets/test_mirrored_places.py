"""Places and feed sides as seen from behind, over random blocks and on the sheet."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.drawing.contacts import contact_spots
from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.strips import contact_place
from blockmap.model.document import Block, Cavity
from blockmap.model.geometry import Point, Size, View
from blockmap.sheets.rear_sheet import behind, contact_side
from tests.sheets.sample_maps import shipped

eighths = st.integers(8, 2400).map(lambda n: n / 8)  # exact sums, exact equality
OPPOSITE = {"left": "right", "right": "left"}


@st.composite
def placed(draw: st.DrawFn) -> tuple[Block, Cavity]:
    """Draw a block with one fuse somewhere on it, turned by quarter turns."""
    block = Block(id="b", width_mm=draw(eighths) + 10, height_mm=draw(eighths) + 10)
    cavity = Cavity(
        id="b/1",
        block="b",
        form="medium blade",
        x_mm=draw(eighths),
        y_mm=draw(eighths),
        width_mm=draw(st.integers(8, 320)) / 8 + 2,
        height_mm=draw(st.integers(8, 160)) / 8 + 2,
        turn_deg=draw(st.sampled_from([0.0, 90.0, 180.0, 270.0])),
        feed_end=draw(st.sampled_from(["start", "finish"])),
    )
    return block, cavity


def spots(block: Block, cavity: Cavity, view: View) -> dict[str, Point]:
    """Return where each contact of a cavity is drawn in a view."""
    style = FigureStyle(block.size, view)
    return {n: contact_place(cavity, n, style) for n in cavity.contact_names}


@settings(deadline=None)
@given(placed())
def test_a_contact_behind_is_as_far_from_the_right_as_in_front_from_the_left(
    drawn: tuple[Block, Cavity],
) -> None:
    block, cavity = drawn
    front, rear = (spots(block, cavity, v) for v in (View.FRONT, View.REAR))
    for name, (x, y) in front.items():
        assert rear[name][0] == pytest.approx(block.width_mm - x, abs=1e-9)
        assert rear[name][1] == pytest.approx(y, abs=1e-9)


@settings(deadline=None)
@given(placed(), st.sampled_from(View))
def test_seen_twice_the_same_way_is_not_seen_at_all(
    drawn: tuple[Block, Cavity], view: View
) -> None:
    block, cavity = drawn
    for name, place in spots(block, cavity, view).items():
        back = view.apply(place, block.size)
        front = spots(block, cavity, View.FRONT)[name]
        assert back == pytest.approx(front, abs=1e-9)


@settings(deadline=None)
@given(placed())
def test_the_feed_side_swaps_left_and_right_and_keeps_top_and_bottom(
    drawn: tuple[Block, Cavity],
) -> None:
    block, cavity = drawn
    for name in ("feed", "load"):
        front = contact_side(cavity, name, block, View.FRONT)
        rear = contact_side(cavity, name, block, View.REAR)
        assert rear == OPPOSITE.get(front, front)
    assert contact_side(cavity, "feed", block, View.FRONT) == cavity.feed_side


@settings(deadline=None)
@given(placed())
def test_flipping_and_turning_are_not_mirroring(drawn: tuple[Block, Cavity]) -> None:
    block, cavity = drawn
    front = contact_side(cavity, "feed", block, View.FRONT)
    flipped = contact_side(cavity, "feed", block, View.FLIPPED)
    turned = contact_side(cavity, "feed", block, View.TURNED)
    rear = contact_side(cavity, "feed", block, View.REAR)
    if front in ("left", "right"):
        assert (rear, flipped, turned) == (OPPOSITE[front], front, OPPOSITE[front])
    else:
        other = {"top": "bottom", "bottom": "top"}[front]
        assert (rear, flipped, turned) == (front, other, other)
    middle = cavity.centre
    seen = {view: view.apply(middle, block.size) for view in View}
    if middle.y_mm * 2 != block.height_mm:
        assert seen[View.REAR] != seen[View.TURNED]
        assert seen[View.REAR] != seen[View.FLIPPED]


@settings(deadline=None)
@given(placed())
def test_the_ends_are_told_apart_by_the_same_metal_in_every_view(
    drawn: tuple[Block, Cavity],
) -> None:
    block, cavity = drawn
    own = contact_spots(cavity, "blade")["feed"]
    for view in View:
        frame = frame_of(cavity, FigureStyle(block.size, view))
        assert spots(block, cavity, view)["feed"] == frame.at(own.u, own.v)


def test_the_place_55_mm_from_the_left_in_front_is_at_80_mm_behind() -> None:
    document = shipped("demo")
    size = document.blocks["panel"].size
    found = [c for c in document.cavities.values() if c.x_mm == 55]
    assert {c.designation for c in found} == {"F3", "F8", "F13"}
    for cavity in found:
        assert View.REAR.apply(cavity.centre, size).x_mm == 80


def test_a_connector_is_shown_from_its_wire_side() -> None:
    plain = Block(id="p", width_mm=50, height_mm=30)
    sides = {
        face: Block(id="c", kind="connector", width_mm=50, height_mm=30, face=face)
        for face in ("mating face", "wire side", None)
    }
    assert behind(plain) is View.REAR
    assert behind(sides["mating face"]) is View.REAR
    assert behind(sides["wire side"]) is View.FRONT
    assert behind(sides[None]) is View.REAR
    assert Size(*plain.size) == (50, 30)
