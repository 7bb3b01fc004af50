"""Tables as a reader meets them: whole where they are short, nothing said twice."""

from __future__ import annotations

import pytest

from blockmap.model.document import Map
from blockmap.sheets.catalogue import SHEETS, SheetOptions
from blockmap.sheets.pdf import pdf_bytes
from blockmap.sheets.work_pages import TableColumn, WorkPages
from tests.sheets.measuring import Measured, measured
from tests.sheets.sample_maps import LAYOUTS, shipped

COLUMNS = (TableColumn(title="Place", width_mm=20), TableColumn(title="x", width_mm=30))


def pages_of(document: Map, sheet: str) -> tuple[Measured, ...]:
    kind = next(kind for kind in SHEETS if kind.name == sheet)
    return measured(pdf_bytes(kind.compose(document, SheetOptions()), "Test"))


def filled(lines: int, rows: int) -> list[str]:
    """Return the text of each page of so many lines with a table of rows below."""
    pages = WorkPages(shipped("demo"), "x", "Sheet")
    pages.new_page()
    for _ in range(lines):
        pages.paragraph("A line.")
    body = [(f"R{number}", "said") for number in range(rows)]
    pages.table(COLUMNS, body, title="Short table")
    return [page.text for page in measured(pdf_bytes(pages.sheet(), "Test"))]


@pytest.mark.parametrize("lines", range(44, 66, 2))
def test_a_short_table_stays_whole_with_its_title(lines: int) -> None:
    texts = filled(lines, 7)
    holding = [text for text in texts if "Shorttable" in text]
    assert len(holding) == 1
    assert all(f"R{number}said" in holding[0] for number in range(7))


def test_a_long_table_is_parted_and_fills_its_page() -> None:
    texts = filled(30, 60)
    assert "R5said" in texts[0]
    assert "R59said" in texts[-1]


@pytest.mark.parametrize("sheet", ["rear", "worklist", "flags", "survey"])
@pytest.mark.parametrize("name", LAYOUTS)
def test_the_head_of_a_sheet_names_its_block_once(name: str, sheet: str) -> None:
    document = shipped(name)
    (block,) = document.blocks.values()
    for page in pages_of(document, sheet):
        head = "".join(letter.text for letter in page.letters if letter.box[3] < 17.5)
        assert head.count(block.name or block.id) == 1


def test_a_finding_does_not_repeat_the_place_that_stands_beside_it() -> None:
    text = "".join(page.text for page in pages_of(shipped("demo"), "numbers"))
    assert "F11itsloadsforlongusecometo21.5A" in text


@pytest.mark.parametrize("name", ["demo", "hatchback-right-to-left"])
def test_the_sums_of_the_strips_stand_on_the_page_of_their_places(name: str) -> None:
    first, *_ = pages_of(shipped(name), "numbers")
    document = shipped(name)
    sums = first.text.partition("Stripsandsupplies")[2]
    assert sums
    for strip in document.strips.values():
        assert strip.name in sums
