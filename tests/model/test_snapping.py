"""Snapping: what a moving box comes to rest on, and the guides that say why.

No outside source: the expected places are plain sums of the boxes written here.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.model.geometry import Box, Point
from blockmap.model.snapping import Guide, GuideKind, SnapField, Snapped, stepped

OUTLINE = (Point(0, 0), Point(135, 0), Point(135, 105), Point(0, 105))


def box_at(x: float, y: float, width: float = 5.0, height: float = 19.0) -> Box:
    """Return a box of this size about a centre."""
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def kinds(snapped: Snapped) -> set[GuideKind]:
    """Return the kinds of guide shown."""
    return {guide.kind for guide in snapped.guides}


def test_centre_of_a_neighbour_attracts_within_reach() -> None:
    field = SnapField([box_at(20, 20, 8, 8)])
    found = field.snap_box(box_at(20.8, 60), reach_mm=1, step_mm=0.5)
    assert found.applied(Point(20.8, 60)) == pytest.approx((20, 60))
    assert GuideKind.CENTRE in kinds(found)


def test_beyond_reach_the_centre_goes_to_the_step() -> None:
    field = SnapField([box_at(20, 20, 8, 8)])
    found = field.snap_box(box_at(30.3, 60.1), reach_mm=1, step_mm=0.5)
    assert found.applied(Point(30.3, 60.1)) == pytest.approx((30.5, 60.0))
    assert found.guides == ()


def test_edges_line_up_with_edges() -> None:
    field = SnapField([box_at(20, 20, 10, 10)])  # edges at 15 and 25
    found = field.snap_box(box_at(22.0, 60, 5, 19), reach_mm=0.6, step_mm=0)
    # right edge 24.5 comes to 25
    assert found.dx_mm == pytest.approx(0.5)
    assert found.guides[0].kind is GuideKind.EDGE
    assert found.guides[0].start.x_mm == pytest.approx(25)


def test_a_guide_spans_the_neighbour_and_the_moving_box() -> None:
    field = SnapField([box_at(20, 20, 8, 8)])
    found = field.snap_box(box_at(20.4, 60, 5, 20), reach_mm=1, step_mm=0)
    guide = next(g for g in found.guides if g.kind is GuideKind.CENTRE)
    assert guide == Guide(GuideKind.CENTRE, Point(20, 16), Point(20, 70))


def test_equal_spacing_beside_two_neighbours() -> None:
    field = SnapField([box_at(20, 20), box_at(40, 20)])
    found = field.snap_box(box_at(59.3, 25), reach_mm=1, step_mm=0.5)
    assert found.dx_mm == pytest.approx(0.7)
    spacing = [g for g in found.guides if g.kind is GuideKind.SPACING]
    assert [(g.start.x_mm, g.finish.x_mm) for g in spacing] == [(20, 40), (40, 60)]
    assert all(g.distance_mm == pytest.approx(20) for g in spacing)


def test_equal_spacing_between_and_before() -> None:
    field = SnapField([box_at(20, 20), box_at(50, 20)])
    between = field.snap_box(box_at(34.4, 25), reach_mm=1, step_mm=0)
    assert between.dx_mm == pytest.approx(0.6)
    before = SnapField([box_at(40, 20), box_at(60, 20)])
    assert before.snap_box(
        box_at(20.4, 25), reach_mm=1, step_mm=0
    ).dx_mm == pytest.approx(-0.4)


def test_spacing_works_down_a_column_too() -> None:
    field = SnapField([box_at(20, 15), box_at(20, 40)])
    found = field.snap_box(box_at(20, 64.5), reach_mm=1, step_mm=0.5)
    assert found.dy_mm == pytest.approx(0.5)
    assert GuideKind.SPACING in kinds(found)


def test_outline_attracts_edges_and_its_middle_centres() -> None:
    field = SnapField([], OUTLINE)
    at_edge = field.snap_box(box_at(132, 50), reach_mm=1, step_mm=0.5)
    assert at_edge.dx_mm == pytest.approx(0.5)  # right edge 134.5 to 135
    middle = field.snap_box(box_at(67.2, 30), reach_mm=1, step_mm=0)
    assert middle.dx_mm == pytest.approx(0.3)
    assert kinds(middle) == {GuideKind.OUTLINE}


def test_a_slanting_side_of_the_outline_does_not_attract() -> None:
    field = SnapField([], (Point(0, 0), Point(50, 10), Point(0, 20)))
    found = field.snap_point(Point(49.4, 4.9), reach_mm=1, step_mm=0)
    assert found == Snapped(0, 0)


def test_the_nearest_line_wins_over_the_finer_kind() -> None:
    field = SnapField([box_at(20, 20, 10, 10), box_at(21.2, 80, 2, 2)])
    found = field.snap_box(box_at(20.9, 50, 3, 3), reach_mm=2, step_mm=0)
    assert found.applied(Point(20.9, 50)).x_mm == pytest.approx(21.2)


def test_no_reach_and_no_step_move_nothing() -> None:
    field = SnapField([box_at(20, 20)], OUTLINE)
    assert field.snap_box(box_at(20.1, 33.33), reach_mm=0, step_mm=0) == Snapped(0, 0)


def test_a_point_comes_to_the_edge_of_a_neighbour() -> None:
    field = SnapField([box_at(20, 20, 10, 10)])
    found = field.snap_point(Point(24.6, 40), reach_mm=1, step_mm=0.5)
    assert found.applied(Point(24.6, 40)) == pytest.approx((25, 40))


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [(7.26, 0.5, 7.5), (-0.1, 0.5, 0.0), (7.26, 0, 7.26), (12.4, 1, 12.0)],
)
def test_a_measure_goes_to_the_nearest_step(
    value: float, step: float, expected: float
) -> None:
    assert stepped(value, step) == expected


coordinate = st.floats(-200, 200, allow_nan=False)


@given(
    st.lists(st.tuples(coordinate, coordinate), max_size=6),
    st.tuples(coordinate, coordinate),
    st.floats(0, 5),
)
def test_a_snap_moves_no_further_than_its_reach(
    others: list[tuple[float, float]], at: tuple[float, float], reach: float
) -> None:
    field = SnapField([box_at(*p) for p in others], OUTLINE)
    first = field.snap_box(box_at(*at), reach_mm=reach, step_mm=0)
    assert abs(first.dx_mm) <= reach + 1e-9
    assert abs(first.dy_mm) <= reach + 1e-9
