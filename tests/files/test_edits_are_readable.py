"""Whatever an edit lets into a map can be saved and read back as it is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import pytest

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.files.store import load
from blockmap.model.columns import COLUMNS
from blockmap.model.document import Map, Strip
from blockmap.model.edits import (
    add_block,
    remove_block,
    set_block_text,
    set_car_text,
    set_cells,
    set_outline,
    set_strip,
)
from blockmap.model.edits.tagging import CellEdit
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point, Size
from blockmap.resources import layout
from tests.strategies import TRAPS

DEMO = load(layout("demo")).document
BLOCK = next(iter(DEMO.blocks))
CAVITY = next(iter(DEMO.cavities))
ODD = (*TRAPS, "a\x01b", "a  b", " lead\nnew ", "x" * 10_500, "\u200b", "1; 2", "-1")


def read_back(document: Map) -> Map:
    """Return the map as it is after saving and loading."""
    return read_map(map_text(document).encode()).document


@pytest.mark.parametrize("key", [one.key for one in COLUMNS if one.write])
def test_a_typed_cell_is_refused_or_reads_back(key: str) -> None:
    for text in ODD:
        with suppress(EditRefused):
            changed = set_cells(DEMO, [CellEdit(CAVITY, key, text)])
            assert read_back(changed) == changed, text


EDITS: dict[str, Callable[[str], Map]] = {
    "block": lambda text: add_block(DEMO, text, Size(50, 50))[0],
    "block name": lambda text: set_block_text(DEMO, BLOCK, "name", text),
    "block notes": lambda text: set_block_text(DEMO, BLOCK, "notes", text),
    "car": lambda text: set_car_text(DEMO, "name", text),
    "states": lambda text: set_car_text(DEMO, "states", text),
    "strip": lambda text: set_strip(
        DEMO, Strip(id=f"{BLOCK}/S9", block=BLOCK, name=text, note=text)
    ),
    "strip member": lambda text: set_strip(
        DEMO, Strip(id=f"{BLOCK}/S9", block=BLOCK, members=(f"{CAVITY}.{text}",))
    ),
}


@pytest.mark.parametrize("edit", EDITS.values(), ids=EDITS.keys())
def test_a_typed_text_is_refused_or_reads_back(edit: Callable[[str], Map]) -> None:
    for text in ODD:
        with suppress(EditRefused):
            changed = edit(text)
            assert read_back(changed) == changed, text


def test_an_outline_that_rounding_spoils_is_refused() -> None:
    points = [Point(0, 0), Point(100.0001, 0), Point(100.0002, 0.0001), Point(0, 50)]
    with pytest.raises(EditRefused):
        set_outline(DEMO, BLOCK, points)


def test_removing_a_block_leaves_no_strip_without_its_cavities() -> None:
    two, key = add_block(DEMO, "Second", Size(50, 50))
    strip = Strip(id=f"{key}/S", block=key, members=(f"{CAVITY}.feed",))
    left = remove_block(set_strip(two, strip), BLOCK)
    assert read_back(left) == left
    assert left.strips[strip.id].members == ()
