"""Whatever text a cell takes, the saved map can be read again, and holds it.

A text that is taken and then refused on reading would cost the whole file.
"""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.columns import COLUMNS
from blockmap.model.document import Block, Car
from blockmap.model.edits import (
    Grid,
    add_grid,
    set_block_text,
    set_car_text,
    set_texts,
)
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point
from blockmap.model.schema import SCALARS, Shape, properties
from tests.faults.sample import panel

CONTROLS = ["\x11", "\x00", "\x7f", "\x85", "\u2028", "\ufeff", "\ud800", "\uffff"]
HUGE = ["9" * 30, "99999999999", "1e300", "20 x 999999999", "9" * 400, "0.0000000001"]
PIECES = [
    *("spread 2: by a lead", "lamp ", " A", " W", " mA", "16 AWG", "BLK", "; ", ", "),
    *(
        ": ",
        "\n",
        "(",
        ")",
        "?",
        "heat-marked 3",
        "medium blade",
        "5",
        "-",
        "2024-05-31",
    ),
    *CONTROLS,
    *HUGE,
]
TEXTS = st.one_of(
    st.lists(st.sampled_from(PIECES), min_size=1, max_size=5).map("".join),
    st.text(max_size=40),
    st.sampled_from(["x" * 9_999, "x" * 10_001, "spread: " + "x" * 10_001]),
)


def reads_back(document: object) -> bool:
    """Tell whether a map is read as it was written."""
    return read_map(map_text(document).encode()).document == document  # type: ignore[arg-type]


@pytest.mark.parametrize("key", [column.key for column in COLUMNS])
@given(text=TEXTS)
@example(text="spread 2: by a lead\x11")  # found: the saved file could not be read
@example(text="spread: " + "x" * 10_001)
@example(text="lamp 99999999999 A")
@example(text="lamp 20 x 999999999 W")
@settings(max_examples=40, deadline=None)
def test_in_a_cell_of_the_table(key: str, text: str) -> None:
    try:
        document = set_texts(panel(), ["panel/F1"], key, text)
    except EditRefused:
        return
    assert reads_back(document)


def _rows(kind: type) -> list[str]:
    shapes = SCALARS - {Shape.PICTURE}
    return [row.key for row in properties(kind) if row.shape in shapes]


@pytest.mark.parametrize("key", _rows(Car))
@given(text=TEXTS)
@settings(max_examples=25, deadline=None)
def test_in_a_field_of_the_car(key: str, text: str) -> None:
    try:
        document = set_car_text(panel(), key, text)
    except EditRefused:
        return
    assert reads_back(document)


@pytest.mark.parametrize("key", _rows(Block))
@given(text=TEXTS)
@settings(max_examples=25, deadline=None)
def test_in_a_field_of_a_block(key: str, text: str) -> None:
    try:
        document = set_block_text(panel(), "panel", key, text)
    except EditRefused:
        return
    assert reads_back(document)


@given(text=TEXTS)
@example(text="a\x11b")  # found: keys and designations that no file takes
@example(text="a\u2028b")
@example(text="x" * 9_999 + "9")
@settings(max_examples=60, deadline=None)
def test_as_the_first_designation_of_a_row(text: str) -> None:
    grid = Grid(first=Point(20, 20), columns=3, rows=1, first_designation=text)
    try:
        document = add_grid(panel(), "panel", grid)
    except EditRefused:
        return
    assert reads_back(document)


@pytest.mark.parametrize("key", ["housing_condition", "feed_condition"])
def test_a_long_note_is_cut_in_the_log_and_whole_in_its_place(key: str) -> None:
    text = "spread: " + "x" * 9_995  # found: its line in the log was too long
    document = set_texts(panel(), ["panel/F1"], key, text)
    document = set_texts(document, ["panel/F1"], key, "spread: " + "y" * 9_995)
    assert reads_back(document)
    assert "y" * 9_995 in map_text(document)
