"""Rows pasted into an empty block become cavities, one each, or nothing at all."""

from __future__ import annotations

import pytest

from blockmap.model.document import Map, empty_map
from blockmap.model.edits import add_block, add_rows
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Size

ROWS = [["F1", "20", "STOP-HAZ"], ["F2", "15", "CTSY-CLK"], ["F3", "5", "INST"]]


@pytest.fixture
def empty_block() -> Map:
    document, _ = add_block(empty_map(), "Dash", Size(120, 80))
    return document


def test_each_row_becomes_a_cavity_in_order(empty_block: Map) -> None:
    made = add_rows(empty_block, "dash", ["designation", "rating_a", "legend"], ROWS)
    cavities = list(made.cavities.values())
    assert [c.designation for c in cavities] == ["F1", "F2", "F3"]
    assert [c.rating_a for c in cavities] == [20, 15, 5]
    assert [c.legend for c in cavities] == ["STOP-HAZ", "CTSY-CLK", "INST"]


def test_they_stand_inside_the_block_and_apart(empty_block: Map) -> None:
    rows = [[f"F{n}"] for n in range(1, 25)]
    made = add_rows(empty_block, "dash", ["designation"], rows)
    boxes = [c.bounds for c in made.cavities.values()]
    assert all(b.left_mm >= 0 and b.right_mm <= 120 for b in boxes)
    assert not any(a.meets(b) for n, a in enumerate(boxes) for b in boxes[n + 1 :])


def test_places_in_the_list_are_kept(empty_block: Map) -> None:
    keys = ["moulded", "x_mm", "y_mm", "form"]
    made = add_rows(empty_block, "dash", keys, [["7", "81", "24", "ceramic 6 x 25"]])
    (cavity,) = made.cavities.values()
    assert (cavity.x_mm, cavity.y_mm) == (81, 24)
    assert (cavity.moulded, cavity.own, cavity.id) == ("7", "", "dash/7")
    assert (cavity.width_mm, cavity.height_mm) == (25, 6)


def test_one_bad_text_refuses_the_whole_list(empty_block: Map) -> None:
    rows = [["F1", "20"], ["F2", "twenty"]]
    with pytest.raises(EditRefused, match=r"F2.*twenty"):
        add_rows(empty_block, "dash", ["designation", "rating_a"], rows)


def test_empty_rows_make_nothing(empty_block: Map) -> None:
    with pytest.raises(EditRefused):
        add_rows(empty_block, "dash", ["designation"], [[""], ["  "]])
