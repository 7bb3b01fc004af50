"""The tables for reading: every row says how it is known, and none is left out."""

from __future__ import annotations

import pytest

from blockmap.reference.published import PUBLISHED, PublishedTable
from blockmap.reference.sources import Status

TABLES = {table.title: table for table in PUBLISHED}


@pytest.mark.parametrize("table", PUBLISHED, ids=lambda table: table.title)
def test_every_row_fills_its_columns_and_says_how_it_is_known(
    table: PublishedTable,
) -> None:
    rows = table.rows()
    assert rows
    for row in rows:
        assert len(row.cells) == len(table.columns)
        assert row.cells[0]
        if row.status in (Status.VERIFIED, Status.DERIVED):
            assert row.sources
        if row.status is Status.MEMORY:
            assert "memory" in row.note


@pytest.mark.parametrize(
    ("title", "cells"),
    [
        # Sources: guide of blade fuse colours; maker datasheet of mini blades; the
        # law for boats, table 5; GOST 28763-90; battery maker's table; DIN 72552.
        ("Fuse body colours", ("medium blade", "15", "blue")),
        ("Fuse resistance and drop", ("mini blade", "10", "7.42", "108")),
        ("Amps of a wire by its insulation", ("16 AWG", "15", "15", "20", "25", "25")),
        ("Wire area and resistance", ("1.5 mm²", "1.5", "13.3")),
        ("Wire colour letters", ("iec 60757", "GY", "grey")),
        ("Battery at rest", ("75", "12.45")),
        ("Terminal numbers", ("15", "switched supply from the ignition switch")),
        ("Old terminal names", ("30/51", "30, 87, 88 (relay)")),
    ],
)
def test_published_rows_stand_there(title: str, cells: tuple[str, ...]) -> None:
    found = [row.cells[: len(cells)] for row in TABLES[title].rows()]
    assert cells in found
