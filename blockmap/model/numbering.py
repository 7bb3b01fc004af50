"""Counting the places of a row or grid: which is first, and what each is called."""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import StrEnum

from blockmap.model.errors import BadValue

__all__ = ["CountingOrder", "designations_from", "grid_order"]


class CountingOrder(StrEnum):
    """The way the count runs through a grid, as it is seen in the front view."""

    RIGHT = "left to right"
    LEFT = "right to left"
    RIGHT_FROM_BOTTOM = "left to right, bottom row first"
    LEFT_FROM_BOTTOM = "right to left, bottom row first"
    DOWN = "by columns, top to bottom"
    UP = "by columns, bottom to top"
    DOWN_LEFT = "by columns from the right"
    UP_LEFT = "by columns from the right, bottom to top"

    @property
    def by_columns(self) -> bool:
        """Whether a column is counted through before the next one."""
        return self in (self.DOWN, self.UP, self.DOWN_LEFT, self.UP_LEFT)

    @property
    def way(self) -> tuple[int, int]:
        """Where the count goes on: 1 to the right, 1 down; -1 the other way."""
        lefts = (self.LEFT, self.LEFT_FROM_BOTTOM, self.DOWN_LEFT, self.UP_LEFT)
        ups = (self.RIGHT_FROM_BOTTOM, self.LEFT_FROM_BOTTOM, self.UP, self.UP_LEFT)
        return -1 if self in lefts else 1, -1 if self in ups else 1

    @classmethod
    def of(cls, way: tuple[int, int], *, by_columns: bool = False) -> CountingOrder:
        """Return the order that goes a way."""
        return next(o for o in cls if (o.way, o.by_columns) == (way, by_columns))


def grid_order(
    columns: int, rows: int, order: CountingOrder
) -> Iterator[tuple[int, int]]:
    """Yield (column, row) of every place in counting order; 0, 0 is top left."""
    right, down = order.way
    across, along = range(columns)[::right], range(rows)[::down]
    if order.by_columns:
        yield from ((column, row) for column in across for row in along)
    else:
        yield from ((column, row) for row in along for column in across)


def designations_from(first: str, count: int, *, columns: int = 0) -> list[str]:
    """Return count designations that go on from the first.

    'F1' goes on F2, F3; 'A' goes on B, C; '5-6' goes on 7-8, 9-10; 'B3' goes on B4
    (a letter is a prefix); 'A1:' goes by grid, the letter counting rows of the
    given number of columns: A1 A2 A3, B1 B2 B3. '' gives empty names.
    Raises BadValue when the first name holds nothing that can be counted.
    """
    name = first.strip()
    if not name:
        return [""] * count
    if count == 1:
        return [name.rstrip(":")]
    if name.endswith(":"):
        return _by_grid(name[:-1], count, columns)
    pair = re.fullmatch(r"(\D*)(\d{1,6})-(\d{1,6})", name)
    if pair:
        prefix, low, high = pair[1], int(pair[2]), int(pair[3])
        step = high - low + 1
        if step < 1:
            raise BadValue(f"The pair {name} runs backwards; write it as {high}-{low}")
        return [f"{prefix}{low + i * step}-{high + i * step}" for i in range(count)]
    tail = re.fullmatch(r"(.*?)(\d{1,6})(\D{0,4})", name)
    if tail:
        start, width = int(tail[2]), len(tail[2]) if tail[2][0] == "0" else 0
        return [f"{tail[1]}{start + i:0{width}d}{tail[3]}" for i in range(count)]
    letter = re.fullmatch(r"(.*?)([A-Za-z])", name)
    if letter:
        return [letter[1] + _letters(letter[2], i) for i in range(count)]
    raise BadValue(
        f"“{name[:40]}” cannot be counted on; write a first name such as F1, A or 5-6"
    )


def _letters(first: str, steps: int) -> str:
    base = ord("a") if first.islower() else ord("A")
    number = ord(first) - base + steps
    text = ""
    while True:
        text = chr(base + number % 26) + text
        number = number // 26 - 1
        if number < 0:
            return text


def _by_grid(name: str, count: int, columns: int) -> list[str]:
    match = re.fullmatch(r"(.*?)([A-Za-z])(\d{1,6})", name)
    if not match or columns < 1:
        raise BadValue(
            f"“{name[:40]}:” is no grid name; write a letter and a number, such as A1:"
        )
    prefix, letter, first = match[1], match[2], int(match[3])
    return [
        f"{prefix}{_letters(letter, i // columns)}{first + i % columns}"
        for i in range(count)
    ]
