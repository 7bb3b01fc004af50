"""Sets the key of a figure's marks in columns, each as wide as its own words.

It reads down the columns and takes the fewest rows that fit the width.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from blockmap.drawing.key import KEY_BOX, KeyEntry
from blockmap.drawing.primitives import Face, Primitive, Text, moved
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Point, Size
from blockmap.sheets.pages import SMALL_CAP_MM

__all__ = ["key_grid"]

_START_MM = KEY_BOX.width_mm + 1.5
_BETWEEN_MM = 5.0
_PITCH_MM = KEY_BOX.height_mm + 1.2
_MOST_COLUMNS = 6


def key_grid(
    entries: Sequence[KeyEntry], width_mm: float
) -> tuple[tuple[Primitive, ...], Size]:
    """Return the key about its top left corner, and its size."""
    for count in range(_MOST_COLUMNS, 0, -1):
        rows = -(-len(entries) // count)
        columns = [entries[n : n + rows] for n in range(0, len(entries), rows or 1)]
        widths = [max(map(_width, column)) for column in columns]
        whole = sum(widths) + _BETWEEN_MM * (len(columns) - 1)
        if whole <= width_mm or count == 1:
            break
    items: list[Primitive] = []
    x = 0.0
    for column, width in zip(columns, widths, strict=True):
        for row, entry in enumerate(column):
            items += moved(tuple(_drawn(entry)), x, row * _PITCH_MM)
        x += width + _BETWEEN_MM
    return tuple(items), Size(whole, rows * _PITCH_MM)


def _width(entry: KeyEntry) -> float:
    return _START_MM + text_width_mm(entry.words, Face.REGULAR, SMALL_CAP_MM)


def _drawn(entry: KeyEntry) -> Iterator[Primitive]:
    yield from entry.primitives
    at = Point(_START_MM, KEY_BOX.height_mm / 2 + SMALL_CAP_MM / 2)
    yield Text(entry.words, at, SMALL_CAP_MM, Face.REGULAR, "start")
