"""What a drag or typed numbers make of a row or grid: counts, order, next name.

No outside source: the expected counts and places are plain sums.
"""

from __future__ import annotations

import pytest

from blockmap.model.edits import Grid, add_grid
from blockmap.model.geometry import Point, Size
from blockmap.model.numbering import CountingOrder
from blockmap.window.canvas.row_plan import RowPlan, free_first, next_first
from tests.window.canvas.conftest import bare_map, six_map


def plan(**values: object) -> RowPlan:
    """Return a plan with a pitch of 20 by 25 mm."""
    start: dict[str, object] = {
        "form": "medium blade",
        "size": Size(19.1, 5.1),
        "pitch_x_mm": 20.0,
        "pitch_y_mm": 25.0,
    }
    return RowPlan(**(start | values))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("finish", "columns", "rows", "order", "corner"),
    [
        ((160, 150), 4, 3, CountingOrder.RIGHT, (100, 100)),
        ((40, 150), 4, 3, CountingOrder.LEFT, (40, 100)),
        ((160, 50), 4, 3, CountingOrder.RIGHT_FROM_BOTTOM, (100, 50)),
        ((40, 50), 4, 3, CountingOrder.LEFT_FROM_BOTTOM, (40, 50)),
        ((100, 150), 1, 3, CountingOrder.DOWN, (100, 100)),
        ((100, 50), 1, 3, CountingOrder.UP, (100, 50)),
        ((101, 99), 1, 1, CountingOrder.RIGHT, (100, 100)),
        ((129, 100), 2, 1, CountingOrder.RIGHT, (100, 100)),
        ((131, 100), 3, 1, CountingOrder.RIGHT, (100, 100)),
    ],
)
def test_the_drag_says_count_corner_and_order(
    finish: tuple[float, float],
    columns: int,
    rows: int,
    order: CountingOrder,
    corner: tuple[float, float],
) -> None:
    grid = plan().drawn(Point(100, 100), Point(*finish), single_line=False)
    assert (grid.columns, grid.rows, grid.order) == (columns, rows, order)
    assert grid.first == corner


def test_a_row_keeps_to_the_longer_way() -> None:
    across = plan().drawn(Point(0, 0), Point(60, 30), single_line=True)
    assert (across.columns, across.rows) == (4, 1)
    down = plan().drawn(Point(0, 0), Point(25, 80), single_line=True)
    assert (down.columns, down.rows) == (1, 4)


def test_a_chosen_order_stands_whatever_the_drag() -> None:
    grid = plan(order=CountingOrder.DOWN).drawn(
        Point(100, 100), Point(40, 150), single_line=False
    )
    assert grid.order is CountingOrder.DOWN


@pytest.mark.parametrize(
    ("order", "corner"),
    [
        (None, (100, 100)),
        (CountingOrder.RIGHT, (100, 100)),
        (CountingOrder.LEFT, (60, 100)),
        (CountingOrder.UP, (100, 75)),
        (CountingOrder.DOWN_LEFT, (60, 100)),
        (CountingOrder.UP_LEFT, (60, 75)),
        (CountingOrder.RIGHT_FROM_BOTTOM, (100, 75)),
        (CountingOrder.LEFT_FROM_BOTTOM, (60, 75)),
    ],
)
def test_typed_places_run_on_from_the_first(
    order: CountingOrder | None, corner: tuple[float, float]
) -> None:
    grid = plan(order=order, columns=3, rows=2).typed(Point(100, 100))
    assert grid.first == corner


def test_typed_places_run_right_as_a_mirrored_view_sees_it() -> None:
    grid = plan(columns=3).typed(Point(100, 100), seen_right=-1)
    assert grid.first == (60, 100)
    assert grid.order is CountingOrder.LEFT


@pytest.mark.parametrize(
    ("first", "following"),
    [("F1", "F7"), ("A", "G"), ("5-6", "17-18"), ("A1:", "C1:"), ("", ""), ("?", "")],
)
def test_the_count_goes_on_after_a_grid(first: str, following: str) -> None:
    grid = plan(columns=3, rows=2, first_designation=first).typed(Point(0, 0))
    assert next_first(grid) == following


def test_the_first_free_designation_of_each_kind() -> None:
    assert free_first(bare_map(), "panel", "medium blade") == "F1"
    assert free_first(six_map(), "panel", "medium blade") == "F7"
    assert free_first(six_map(), "panel", "relay 4-pin") == "R1"


def test_counting_goes_on_as_the_block_is_numbered() -> None:
    grid = Grid(first=Point(15, 15), columns=3, first_designation="1")
    document = add_grid(bare_map(), "panel", grid)
    assert free_first(document, "panel", "medium blade") == "4"
    assert free_first(document, "panel", "relay 4-pin") == "R1"
    holder = Grid(first=Point(15, 60), form="glass 6.3 x 32", first_designation="I1")
    document = add_grid(document, "panel", holder)
    assert free_first(document, "panel", "glass 6.3 x 32") == "I2"
    relay = Grid(first=Point(60, 60), form="relay 4-pin", first_designation="U11")
    document = add_grid(document, "panel", relay)
    assert free_first(document, "panel", "relay 5-pin") == "U12"
