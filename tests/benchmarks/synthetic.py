"""A map of any number of tagged cavities, the same in every run."""

from __future__ import annotations

import dataclasses

from blockmap.model.document import Map, Strip, empty_map
from blockmap.model.edits import CellEdit, Grid, add_block, add_grid, set_cells
from blockmap.model.geometry import Point, Size
from blockmap.model.ids import key_of

__all__ = ["fed_map", "synthetic_map"]

_RATINGS = ("5", "7.5", "10", "15", "20", "25", "30")
_WIRES = ("brown 16 AWG", "dark green/white 14 AWG", "yellow/black 1.5 mm2")


def synthetic_map(count: int) -> Map:
    """Return a block of count medium blade cavities, each with legend and wire."""
    columns = 25 if count >= 25 else count
    rows = -(-count // columns)
    size = Size(columns * 20.0 + 10, rows * 28.0 + 10)
    document, block = add_block(empty_map(), "Large panel", size)
    grid = Grid(
        first=Point(15, 20),
        columns=columns,
        rows=rows,
        pitch_x_mm=20,
        pitch_y_mm=28,
        first_designation="F1",
    )
    document = add_grid(document, block, grid)
    cells = []
    for number, id_ in enumerate(document.cavities):
        cells += [
            CellEdit(id_, "rating_a", _RATINGS[number % len(_RATINGS)]),
            CellEdit(id_, "legend", f"CIRC {number}"),
            CellEdit(id_, "circuit", f"Circuit number {number}"),
            CellEdit(id_, "wires", _WIRES[number % len(_WIRES)]),
            CellEdit(id_, "loads", f"lamp {number} 3.5 A"),
            CellEdit(id_, "feed_side", "top"),
        ]
    return set_cells(document, cells)


def fed_map(count: int) -> Map:
    """Return the same map with strips of ten fed places, so that sums reach far."""
    document = synthetic_map(count)
    ids = list(document.cavities)
    strips = {}
    for number in range(0, count, 10):
        first = document.cavities[ids[number]]
        strip = Strip(
            id=f"{first.block}/S{number}",
            block=first.block,
            name=f"S{number}",
            members=tuple(f"{key_of(i)}.feed" for i in ids[number : number + 10]),
            lands_at=f"{key_of(ids[number])}.feed",
            fed_from="battery",
            supply_gauge="10 AWG",
        )
        strips[strip.id] = strip
    return dataclasses.replace(document, strips=strips)
