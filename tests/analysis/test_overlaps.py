"""Overlaps and places off the outline, with shapely as the independent judge."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from blockmap.analysis.overlaps import OVERLAP_LIMIT, off_outline, overlapping_pairs
from blockmap.model.document import Block, Cavity
from blockmap.model.geometry import Point

CLEAR_MM2 = 0.6
"""Overlaps of less ground may be shallower than a hundredth of a millimetre."""


def place(number: int, x: float, y: float, **more: Any) -> Cavity:
    """Return a cavity of 10 x 4 mm about a centre."""
    fields = {"width_mm": 10.0, "height_mm": 4.0, **more}
    return Cavity(id=f"p/{number}", block="p", x_mm=x, y_mm=y, **fields)


def pairs(*cavities: Cavity) -> set[tuple[str, str]]:
    """Return the keys of the overlapping pairs."""
    found = overlapping_pairs(cavities)
    assert not found.more
    return {(a.removeprefix("p/"), b.removeprefix("p/")) for a, b in found.pairs}


halves = st.integers(0, 120).map(lambda n: n / 2)
turns = st.one_of(st.sampled_from([0.0, 90.0, 180.0, 270.0]), st.floats(-180, 180))
sizes = st.sampled_from([2.0, 5.1, 19.1, 28.0, 45.0])


@st.composite
def crowds(draw: st.DrawFn) -> list[Cavity]:
    """Draw cavities of several sizes on little ground."""
    count = draw(st.integers(2, 14))
    return [
        place(
            number,
            draw(halves),
            draw(halves),
            width_mm=draw(sizes),
            height_mm=draw(sizes),
            turn_deg=draw(turns),
        )
        for number in range(count)
    ]


@settings(max_examples=300, deadline=None)
@given(crowds())
def test_the_pairs_are_those_a_geometry_library_finds(crowd: list[Cavity]) -> None:
    told = set(overlapping_pairs(crowd).pairs)
    grounds = [Polygon(cavity.corners) for cavity in crowd]
    for i, one in enumerate(crowd):
        for j in range(i + 1, len(crowd)):
            shared_mm2 = grounds[i].intersection(grounds[j]).area
            pair = (one.id, crowd[j].id)
            if pair in told:
                assert shared_mm2 > 0
            else:
                assert shared_mm2 < CLEAR_MM2


def test_one_inside_another_is_an_overlap() -> None:
    assert pairs(place(1, 20, 20, width_mm=30.0), place(2, 22, 20, width_mm=2.0)) == {
        ("1", "2")
    }


def test_shared_edges_are_no_overlap() -> None:
    assert pairs(place(1, 10, 10), place(2, 20, 10), place(3, 10, 14)) == set()


def test_the_dust_of_decimal_sums_is_no_overlap() -> None:
    # 0.1 + 0.2 is a little more than 0.3, so the boxes overlap by that dust.
    left = place(1, 0.1 + 0.2, 5, width_mm=2.2)
    right = place(2, 0.3 + 2.2, 5, width_mm=2.2)
    assert left.bounds.meets(right.bounds)
    assert pairs(left, right) == set()


def test_turned_neighbours_overlap_only_where_they_do() -> None:
    # The boxes round both overlap, the turned bodies themselves do not.
    leaning = place(1, 10, 10, width_mm=20.0, height_mm=2.0, turn_deg=45.0)
    beside = place(2, 16, 5, width_mm=4.0, height_mm=4.0)
    assert leaning.bounds.meets(beside.bounds)
    assert pairs(leaning, beside) == set()
    assert pairs(leaning, place(3, 14, 14, width_mm=4.0)) == {("1", "3")}


def test_twenty_thousand_on_one_place_give_a_short_list() -> None:
    crowd = [place(number, 50, 50) for number in range(20_000)]
    found = overlapping_pairs(crowd)
    assert len(found.pairs) == OVERLAP_LIMIT
    assert found.more


def test_a_list_that_just_fits_is_not_called_short() -> None:
    apart = [place(n, 30 * (n // 2), 0) for n in range(2 * OVERLAP_LIMIT)]
    found = overlapping_pairs(apart)
    assert len(found.pairs) == OVERLAP_LIMIT
    assert not found.more


def off(block: Block, *cavities: Cavity) -> dict[str, bool]:
    """Return which cavities are off the outline, and whether wholly."""
    return {each.cavity: each.wholly for each in off_outline(block, cavities)}


PLAIN = Block(id="p", width_mm=60.0, height_mm=40.0)


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (5, 2, None),  # in the corner, edge on edge
        (55.0, 38.0, None),
        (4.9, 20, False),
        (-5, 20, True),  # touches from outside
        (30, 60, True),
        (60, 20, False),
    ],
)
def test_a_plain_block_holds_what_lies_on_it(
    x: float, y: float, expected: bool | None
) -> None:
    assert off(PLAIN, place(1, x, y)).get("p/1") is expected


NOTCHED = Block(
    id="p",
    width_mm=60.0,
    height_mm=40.0,
    outline=(
        Point(0, 0),
        Point(20, 0),
        Point(20, 20),
        Point(40, 20),
        Point(40, 0),
        Point(60, 0),
        Point(60, 40),
        Point(0, 40),
    ),
)


def test_a_notch_in_the_outline_counts_as_outside() -> None:
    assert off(NOTCHED, place(1, 30, 10)) == {"p/1": True}
    assert off(NOTCHED, place(1, 30, 20)) == {"p/1": False}
    # All four corners lie on metal, the middle lies over the notch.
    assert off(NOTCHED, place(1, 30, 10, width_mm=36.0)) == {"p/1": False}
    assert off(NOTCHED, place(1, 30, 30), place(2, 10, 10)) == {}


@settings(max_examples=200, deadline=None)
@given(st.floats(-10, 70), st.floats(-10, 50), turns, st.sampled_from([PLAIN, NOTCHED]))
def test_what_is_off_the_outline_is_what_a_geometry_library_says(
    x: float, y: float, turn_deg: float, block: Block
) -> None:
    cavity = place(1, x, y, turn_deg=turn_deg)
    outside_mm2 = Polygon(cavity.corners).difference(Polygon(block.outline_points)).area
    told = off(block, cavity)
    if "p/1" not in told:
        assert outside_mm2 < CLEAR_MM2
    elif told["p/1"]:
        assert outside_mm2 > 40 - CLEAR_MM2
    else:
        assert outside_mm2 > 0
