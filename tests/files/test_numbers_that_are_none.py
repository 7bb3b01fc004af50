"""No field takes a number that is none, or one out of its range, however it comes in.

IEEE Std 754 has numbers that are none and some without end; JavaScript, Python and
YAML write them as below. A number of 5,000 digits is none that a computer counts with.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from blockmap.model.columns import COLUMNS
from blockmap.model.document import Block, Car
from blockmap.model.edits import set_block_text, set_car_text, set_texts
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.schema import Property, Shape, properties, read_value
from tests.faults.sample import panel
from tests.files.test_refusals import _with, refusal
from tests.files.test_refusals import rows as top_rows

NUMBERS = (Shape.NUMBER, Shape.LENGTH, Shape.INTEGER)
NEVER = (
    *("nan", ".nan", "NaN", "inf", "-inf", ".inf", "Infinity", "1e308", "-1e308"),
    *("1e99999", "9" * 5000, "0x1F", "1_000", "1:30", "yes", "true", "~", "1 2", "--1"),
    *("½", "1,2,3", "1.2.3", "+", "e5", "1e", "\u22125"),
)
"""Texts that no field for a number takes in a file."""


def every_row() -> Iterator[tuple[str, Property]]:
    """Yield the rows for numbers of every record, with a name."""
    waiting: list[type] = [kind for _, kind, _ in top_rows()]
    seen: set[type] = set()
    while waiting:
        kind = waiting.pop()
        if kind in seen:
            continue
        seen.add(kind)
        for row in properties(kind):
            if row.record is not None:
                waiting.append(row.record)
            if row.shape in NUMBERS:
                yield f"{kind.__name__}.{row.key}", row


def outside(row: Property) -> list[str]:
    """Return numbers just outside the range of a row, and a fraction of a whole one."""
    found = []
    if row.low is not None:
        found.append(f"{row.low - 0.01:.2f}")
        found += ["-12"] if row.low > -12 else []
        found += ["0"] if row.low > 0 else []
    if row.high is not None:
        found.append(f"{row.high + 0.01:.2f}")
    if row.shape is Shape.INTEGER:
        found.append("1.5")
    return found


ROWS = [pytest.param(row, id=name) for name, row in every_row()]


def test_there_are_many_and_all_have_a_range() -> None:
    assert len(ROWS) > 40
    for name, row in every_row():
        assert row.low is not None, name
        assert row.high is not None, name


@pytest.mark.parametrize("row", ROWS)
@pytest.mark.parametrize("typed", [False, True], ids=["file", "typed"])
def test_no_field_takes_them(row: Property, typed: bool) -> None:
    for text in (*NEVER, *outside(row)):
        with pytest.raises(BadValue) as refused:
            read_value(row, text, typed=typed)
        assert len(str(refused.value)) < 400, "a sentence, not the whole number"


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        pytest.param(kind, row, id=name)
        for name, kind, row in top_rows()
        if row.shape in NUMBERS
    ],
)
def test_a_file_that_holds_one_is_refused_with_line_and_key(
    kind: type, row: Property
) -> None:
    for value in ("nan", "-inf", "1e308", "9" * 5000, *outside(row)):
        text, line = _with(kind, row.key, value)
        sentences = refusal(text)
        assert any(
            said.startswith(f"f.yaml:{line}:") and row.key in said for said in sentences
        ), sentences


def _numeric(kind: type) -> list[str]:
    return [row.key for row in properties(kind) if row.shape in NUMBERS]


@pytest.mark.parametrize("text", ["nan", "inf", "1e308", "-3000", "9" * 5000, "yes"])
def test_no_edit_takes_them_and_the_map_stays(text: str) -> None:
    document = panel()
    columns = [c.key for c in COLUMNS if c.numeric and c.key not in ("x_mm", "y_mm")]
    assert len(columns) >= 2
    for key in columns:
        with pytest.raises(EditRefused):
            set_texts(document, ["panel/F1"], key, text)
    for key in set(_numeric(Block)) & {"width_mm", "height_mm"}:
        with pytest.raises(EditRefused):
            set_block_text(document, "panel", key, text)
    for key in _numeric(Car):
        with pytest.raises(EditRefused):
            set_car_text(document, key, text)
    assert document == panel()
