"""Views, turns and outlines of a block; shapely judges what is a simple outline."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LinearRing

from blockmap.model.document import Cavity
from blockmap.model.geometry import (
    Box,
    Point,
    Size,
    View,
    corners,
    end_points,
    is_simple,
    rotated,
    side_word,
)

SIZE = Size(135.0, 105.0)
# Multiples of 1/8 mm: sums of them are exact, so equality can be asked for.
eighths = st.integers(-4000, 4000).map(lambda n: n / 8)
points = st.builds(Point, eighths, eighths)


@given(st.sampled_from(View), points)
def test_each_view_undoes_itself(view: View, point: Point) -> None:
    assert view.apply(view.apply(point, SIZE), SIZE) == point


@given(points)
def test_the_rear_mirrors_left_and_right_about_the_width(point: Point) -> None:
    assert View.REAR.apply(point, SIZE) == (135.0 - point.x_mm, point.y_mm)


@given(points)
def test_flipping_turning_and_mirroring_are_three_things(point: Point) -> None:
    rear, flipped = View.REAR.apply(point, SIZE), View.FLIPPED.apply(point, SIZE)
    assert flipped == (point.x_mm, 105.0 - point.y_mm)
    assert View.FLIPPED.apply(rear, SIZE) == View.TURNED.apply(point, SIZE)
    assert View.REAR.mirrored
    assert View.FLIPPED.mirrored
    assert not View.TURNED.mirrored


@given(st.sampled_from(View), points, points)
def test_a_box_seen_is_the_box_of_its_corners_seen(
    view: View, a: Point, b: Point
) -> None:
    box = Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
    seen = view.apply_box(box, SIZE)
    assert seen.left_mm <= seen.right_mm
    assert seen.top_mm <= seen.bottom_mm
    assert view.apply_box(seen, SIZE) == box
    assert seen.holds(view.apply(box.centre, SIZE))


def test_every_view_has_its_own_words() -> None:
    assert len({view.words for view in View}) == len(View)
    assert "mirrored" in View.REAR.words.lower()


@given(points, points, st.sampled_from([0, 90, 180, 270, -90, 450]))
def test_quarter_turns_are_exact(point: Point, about: Point, turn: int) -> None:
    back = rotated(rotated(point, about, turn), about, -turn)
    assert back == point


@given(points, points, st.floats(-720, 720))
def test_a_turn_keeps_the_distance_from_its_centre(
    point: Point, about: Point, turn: float
) -> None:
    turned = rotated(point, about, turn)
    assert math.dist(turned, about) == pytest.approx(math.dist(point, about), abs=1e-9)


@pytest.mark.parametrize(
    ("turn", "start_side"), [(0, "left"), (90, "top"), (180, "right"), (270, "bottom")]
)
def test_turns_count_clockwise_as_seen(turn: float, start_side: str) -> None:
    centre = Point(50, 50)
    start, finish = end_points(centre, 20, turn)
    opposite = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
    assert side_word(centre, start) == start_side
    assert side_word(centre, finish) == opposite[start_side]


@given(points, st.floats(1, 50), st.floats(1, 50), st.floats(-360, 360))
def test_a_turned_cavity_keeps_its_sides(
    centre: Point, width: float, height: float, turn: float
) -> None:
    a, b, c, d = corners(centre, Size(width, height), turn)
    sides = [math.dist(a, b), math.dist(b, c), math.dist(c, d), math.dist(d, a)]
    assert sides == pytest.approx([width, height, width, height], abs=1e-9)


@pytest.mark.parametrize(
    ("turn", "end", "side"),
    [
        (0, "start", "left"),
        (0, "finish", "right"),
        (90, "start", "top"),
        (90, "finish", "bottom"),
        (180, "start", "right"),
        (30, "start", "left"),
        (60, "start", "top"),
        (90, "unknown", "unknown"),
    ],
)
def test_the_feed_side_follows_the_feed_end_and_the_turn(
    turn: float, end: str, side: str
) -> None:
    cavity = Cavity(
        id="p/1",
        block="p",
        x_mm=10,
        y_mm=10,
        width_mm=19.1,
        height_mm=5.1,
        turn_deg=turn,
        feed_end=end,
    )
    assert cavity.feed_side == side


SQUARE = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]


@pytest.mark.parametrize(
    ("outline", "simple"),
    [
        (SQUARE, True),
        (SQUARE[::-1], True),
        (SQUARE[:3], True),
        ([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], False),  # bow-tie
        (SQUARE[:2], False),
        ([Point(0, 0), Point(5, 5), Point(10, 10)], False),  # on one line
        ([*SQUARE, SQUARE[0]], False),  # a corner twice
        ([Point(math.nan, 0), *SQUARE[1:]], False),
        ([Point(0, 0), Point(math.inf, 0), Point(0, 10)], False),
    ],
)
def test_outlines_that_are_no_outline_are_told(
    outline: list[Point], simple: bool
) -> None:
    assert is_simple(outline) is simple


@given(
    st.lists(
        st.tuples(st.integers(0, 12), st.integers(0, 12)),
        min_size=3,
        max_size=9,
        unique=True,
    )
)
def test_what_is_simple_is_what_a_geometry_library_calls_simple(
    coordinates: list[tuple[int, int]],
) -> None:
    ring = LinearRing(coordinates)
    outline = [Point(float(x), float(y)) for x, y in coordinates]
    assert is_simple(outline) == bool(ring.is_simple and ring.is_valid)
