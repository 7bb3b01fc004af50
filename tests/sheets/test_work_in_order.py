"""The work list, read as a person works it off: in order, and every count comes out."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from blockmap.model.document import InterimMeasure, Map
from blockmap.sheets.pdf import pdf_bytes
from blockmap.sheets.worklist_sheet import compose_worklist
from tests.sheets.measuring import (
    Measured,
    assert_letters_apart,
    measured,
    squeezed,
)
from tests.sheets.sample_maps import row_of, shipped

BOX_MM = 3.4


def pages_of(document: Map) -> tuple[Measured, ...]:
    (block,) = document.blocks
    return measured(pdf_bytes(compose_worklist(document, block), "Test"))


def text_of(document: Map) -> str:
    return "".join(page.text for page in pages_of(document))


def barred(document: Map, *designations: str) -> Map:
    """Return the map with some places that must not be used."""
    cavities = {
        key: replace(cavity, do_not_use=cavity.designation in designations)
        for key, cavity in document.cavities.items()
    }
    return replace(document, cavities=cavities)


def boxes_on_the_line_of(page: Measured, word: str) -> int:
    """Return how many boxes to tick stand left of a word that begins a tally."""
    letters = "".join(letter.text for letter in page.letters)
    first = page.letters[letters.index(word)]
    left, top, _, bottom = first.box
    return sum(
        abs(s.width - BOX_MM) < 0.01 and s.box[1] < bottom and s.box[3] > top
        for s in page.shapes
        if s.closed and left - 12 < s.box[0] < left
    )


def test_fuses_come_out_before_the_block_is_taken_down() -> None:
    text = text_of(shipped("demo"))
    order = (
        "Disconnect the battery",
        "Photograph the block from the front",
        "Take out 14 fuses, 2 breakers, 1 relay and 2 flashers",
        "F13  20 A",
        "Take the block down",
        "Photograph the block from the rear",
        "One terminal at a time",
        "Count, before the battery is connected",
    )
    places = [text.index(squeezed(words)) for words in order]
    assert places == sorted(places)


def test_the_steps_are_numbered_without_a_gap() -> None:
    for document in (shipped("demo"), row_of(3, 20.0)):
        numbers = [
            int(found)
            for found in re.findall(
                r"(\d)(?:Before|Outbefore|Behind|Oneterm|Workthat|Count)",
                text_of(document),
            )
        ]
        assert numbers == list(range(1, len(numbers) + 1))
        assert len(numbers) >= 5


def test_what_is_not_to_be_used_is_not_counted_back() -> None:
    document = barred(row_of(5, 20.0), "F2", "F4")
    page, *_ = pages_of(document)
    assert "Out:____of5" in page.text
    assert "Back,eachofthespecifiedrating:3fuses.Back:____of3" in page.text
    assert boxes_on_the_line_of(page, "F1 15 A") == 2
    assert boxes_on_the_line_of(page, "F2 DO NOT") == 1


def test_one_fuse_is_not_called_fuses() -> None:
    text = text_of(row_of(1, 20.0))
    assert "Takeout1fuse,onebyone" in text
    assert "1fuses" not in text


def test_a_patch_is_on_the_list_with_what_it_waits_for() -> None:
    document = row_of(2, 20.0)
    (key, *_) = document.cavities
    patch = InterimMeasure(
        what="in-line holder", where="beside the block", until="a donor block comes"
    )
    cavity = replace(document.cavities[key], interim=patch)
    text = text_of(replace(document, cavities={**document.cavities, key: cavity}))
    said = "F1, patched: in-line holder (beside the block). Until: a donor block comes."
    assert squeezed(said) in text


@pytest.mark.parametrize("letters", [8, 45, 200])
def test_long_designations_stand_apart_in_the_tally(letters: int) -> None:
    document = row_of(6, 20.0)
    cavities = {
        key: replace(cavity, own=f"F{number}" + "W" * letters)
        for number, (key, cavity) in enumerate(document.cavities.items())
    }
    for page in pages_of(replace(document, cavities=cavities)):
        assert_letters_apart(page)
        right = max(letter.box[2] for letter in page.letters)
        assert right <= page.width - 6.9
