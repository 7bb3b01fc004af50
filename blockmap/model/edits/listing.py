"""Edits that make cavities out of a list: rows pasted into a block that has none."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

from blockmap.model.document import Block, Cavity, Map
from blockmap.model.edits.placing import add_cavities, new_cavity
from blockmap.model.edits.tagging import CellEdit, set_cells
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point
from blockmap.model.ids import BlockId
from blockmap.reference.forms import form_named

__all__ = ["add_rows"]

NAMING = ("designation", "own", "moulded", "manual")
"""Columns that name a place; the first of them that is there gives its key."""


def add_rows(
    document: Map,
    block: BlockId,
    columns: Sequence[str | None],
    rows: Sequence[Sequence[str]],
) -> Map:
    """Add one cavity for each row of texts; None skips a column.

    Places come from the columns x_mm and y_mm; without them the cavities stand in a
    grid over the block, in the order of the rows, to be moved where they belong.
    Raises EditRefused when a text cannot be taken, and then adds nothing.
    """
    keys = list(columns)
    part = document.blocks[block]
    naming = next((keys.index(key) for key in NAMING if key in keys), None)
    form_at = keys.index("form") if "form" in keys else None
    cells: list[CellEdit] = []
    for number, row in enumerate(rows):
        name = _cell(row, naming)
        if not any(text.strip() for text in row):
            continue
        form = form_named(_cell(row, form_at)) or form_named("medium blade")
        cavity = new_cavity(
            document,
            block,
            _grid_place(part, number, len(rows)),
            form=form.name if form else "medium blade",
            designation=name,
        )
        document = add_cavities(document, [_unnamed(cavity, naming, keys)])
        cells += [
            CellEdit(cavity.id, key, text)
            for key, text in zip(keys, row, strict=False)
            if key not in (None, "block", "form") and text.strip()
        ]
    if not cells:
        raise EditRefused("The rows hold nothing that a cavity could be made of")
    return set_cells(document, cells)


def _cell(row: Sequence[str], at: int | None) -> str:
    return " ".join(row[at].split()) if at is not None and at < len(row) else ""


def _unnamed(cavity: Cavity, naming: int | None, keys: Sequence[str | None]) -> Cavity:
    """Leave the naming to the row's own columns; the key stays made from the name."""
    if naming is None or keys[naming] == "designation":
        return cavity
    return dataclasses.replace(cavity, own="")


def _grid_place(part: Block, number: int, count: int) -> Point:
    columns = max(1, math.ceil(math.sqrt(count * part.width_mm / part.height_mm)))
    lines = math.ceil(count / columns)
    column, line = number % columns, number // columns
    return Point(
        round(part.width_mm * (column + 0.5) / columns, 1),
        round(part.height_mm * (line + 0.5) / lines, 1),
    )
