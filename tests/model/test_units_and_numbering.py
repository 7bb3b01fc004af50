"""Numbers, lengths and designations as people type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.model.errors import BadValue
from blockmap.model.numbering import CountingOrder, designations_from, grid_order
from blockmap.model.units import number_text, read_length_mm, read_number


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # 1 inch is 25.4 mm exactly: international yard and pound agreement, 1959.
        ("1 in", 25.4),
        ("3/8 in", 9.525),
        ('1-1/4"', 31.75),
        ("1 1/4 inches", 31.75),
        ("0.5″", 12.7),
        ("9,5", 9.5),
        ("9.5 mm", 9.5),
        ("1.2 cm", 12),
        ("0.1 m", 100),
        ("-3", -3),
        ("-1/2 in", -12.7),
    ],
)
def test_lengths_are_read_in_the_units_people_write(text: str, mm: float) -> None:
    assert read_length_mm(text) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "mm", "five", "1/0 in", "1..2", "3 ft", "nan", "inf", "1e400", "--1"]
)
def test_what_is_no_length_is_refused_with_words(text: str) -> None:
    with pytest.raises(BadValue, match="“"):
        read_length_mm(text)


def test_a_file_takes_only_the_decimal_dot() -> None:
    assert read_number("7.5") == 7.5
    assert read_number("7,5", typed=True) == 7.5
    for text in ("7,5", "1/2", "1 000"):
        with pytest.raises(BadValue):
            read_number(text)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_back_from_its_text(value: float) -> None:
    text = number_text(value)
    assert "e" not in text
    if len(text) <= 40:
        assert read_number(text) == value


@pytest.mark.parametrize(
    ("value", "text"), [(20.0, "20"), (7.5, "7.5"), (0.1, "0.1"), (-0.0, "0")]
)
def test_numbers_are_shown_short(value: float, text: str) -> None:
    assert number_text(value) == text


@pytest.mark.parametrize(
    ("first", "expected"),
    [
        ("F1", ["F1", "F2", "F3"]),
        ("F09", ["F09", "F10", "F11"]),
        ("9", ["9", "10", "11"]),
        ("5-6", ["5-6", "7-8", "9-10"]),
        ("A", ["A", "B", "C"]),
        ("Y", ["Y", "Z", "AA"]),
        ("y", ["y", "z", "aa"]),
        ("B3", ["B3", "B4", "B5"]),
        ("F1a", ["F1a", "F2a", "F3a"]),
        ("", ["", "", ""]),
    ],
)
def test_the_count_goes_on_from_the_first_name(first: str, expected: list[str]) -> None:
    assert designations_from(first, 3) == expected


def test_a_grid_name_counts_rows_by_letter_and_places_by_number() -> None:
    assert designations_from("A1:", 6, columns=3) == [
        "A1",
        "A2",
        "A3",
        "B1",
        "B2",
        "B3",
    ]


def test_a_single_place_keeps_any_name() -> None:
    assert designations_from("horn!", 1) == ["horn!"]


@pytest.mark.parametrize("first", ["6-5", "!", "AB:", "1:"])
def test_a_name_that_cannot_be_counted_on_is_refused(first: str) -> None:
    with pytest.raises(BadValue):
        designations_from(first, 3, columns=3)


@given(st.sampled_from(["F1", "A", "5-6", "B3", "07"]), st.integers(2, 300))
def test_no_name_comes_twice(first: str, count: int) -> None:
    names = designations_from(first, count)
    assert len(set(names)) == count


@pytest.mark.parametrize(
    ("order", "cells"),
    [
        (CountingOrder.RIGHT, [(0, 0), (1, 0), (0, 1), (1, 1)]),
        (CountingOrder.LEFT, [(1, 0), (0, 0), (1, 1), (0, 1)]),
        (CountingOrder.DOWN, [(0, 0), (0, 1), (1, 0), (1, 1)]),
        (CountingOrder.UP, [(0, 1), (0, 0), (1, 1), (1, 0)]),
        (CountingOrder.DOWN_LEFT, [(1, 0), (1, 1), (0, 0), (0, 1)]),
        (CountingOrder.UP_LEFT, [(1, 1), (1, 0), (0, 1), (0, 0)]),
        (CountingOrder.RIGHT_FROM_BOTTOM, [(0, 1), (1, 1), (0, 0), (1, 0)]),
        (CountingOrder.LEFT_FROM_BOTTOM, [(1, 1), (0, 1), (1, 0), (0, 0)]),
    ],
)
def test_each_counting_order_runs_as_its_name_says(
    order: CountingOrder, cells: list[tuple[int, int]]
) -> None:
    assert list(grid_order(2, 2, order)) == cells


@given(st.sampled_from(CountingOrder), st.integers(1, 9), st.integers(1, 9))
def test_every_order_visits_each_place_once(
    order: CountingOrder, columns: int, rows: int
) -> None:
    cells = list(grid_order(columns, rows, order))
    assert sorted(cells) == [(c, r) for c in range(columns) for r in range(rows)]
