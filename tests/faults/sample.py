"""One small map for the tests of faults, and how it looks after n edits."""

from __future__ import annotations

from pathlib import Path

from blockmap.files.store import save
from blockmap.model.document import Map, empty_map
from blockmap.model.edits import Grid, add_block, add_grid, set_car_text, set_texts
from blockmap.model.geometry import Point, Size

__all__ = ["after", "panel", "saved_panel"]


def panel(cavities: int = 4) -> Map:
    """Return a block with a row of cavities F1 and on."""
    document, block = add_block(empty_map(), "Panel", Size(20.0 * cavities + 20, 60))
    grid = Grid(first=Point(20, 30), columns=cavities, rows=1, first_designation="F1")
    return set_car_text(add_grid(document, block, grid), "name", "Grey estate")


def after(document: Map, steps: int) -> Map:
    """Return the map after so many edits: the legend of F1 counts them."""
    if not steps:
        return document
    return set_texts(document, ["panel/F1"], "legend", f"STEP {steps}")


def saved_panel(folder: Path) -> Path:
    """Save the map into a folder and return its path."""
    path = folder / "car.blockmap.yaml"
    save(path, panel())
    return path
