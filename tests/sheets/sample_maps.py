"""Maps for the sheets: the shipped ones, and some invented to be awkward."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from blockmap.files.map_reader import read_map
from blockmap.model.document import Block, Car, Map
from blockmap.model.edits import Grid, add_grid
from blockmap.model.geometry import Point, Size
from blockmap.resources import layout, layout_files

LAYOUTS = tuple(path.name.removesuffix(".blockmap.yaml") for path in layout_files())


@cache
def shipped(name: str) -> Map:
    """Return a shipped map."""
    path = layout(name)
    return read_map(path.read_bytes(), path.name).document


def grid_map(
    size: Size,
    grid: Grid,
    legend: str = "CIRCUIT {}",
    *,
    car: Car | None = None,
) -> Map:
    """Return a map of one block 'b' with a grid, each place with a legend."""
    block = Block(
        id="b", name="Panel", width_mm=size.width_mm, height_mm=size.height_mm
    )
    document = Map(car=car or Car(name="Test car"), blocks={"b": block})
    document = add_grid(document, "b", grid)
    cavities = {
        key: replace(cavity, legend=legend.format(number + 1))
        for number, (key, cavity) in enumerate(document.cavities.items())
    }
    return replace(document, cavities=cavities)


def row_of(
    count: int, pitch_mm: float, legend: str = "LAMP {}", *, car: Car | None = None
) -> Map:
    """Return one row of medium blades with ratings, designated F1, F2 and so on."""
    grid = Grid(
        first=Point(10.0, 20.0),
        columns=count,
        pitch_x_mm=pitch_mm,
        rating_a=15.0,
        first_designation="F1",
    )
    size = Size(20.0 + pitch_mm * (count - 1), 50.0)
    return grid_map(size, grid, legend, car=car)
