"""The rear sheet, line by line: each wire beside what it is joined to, none wasted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blockmap.model.document import (
    Condition,
    Contact,
    Evidence,
    Jumper,
    Map,
    Strip,
    Wire,
)
from blockmap.reference.wire_colours import read_colour
from blockmap.sheets.catalogue import SHEETS, SheetOptions
from blockmap.sheets.condition_sheet import compose_condition
from blockmap.sheets.pdf import pdf_bytes
from blockmap.sheets.rear_sheet import compose_rear
from tests.sheets.measuring import Measured, measured
from tests.sheets.sample_maps import row_of, shipped


def pages_of(document: Map) -> tuple[Measured, ...]:
    (block,) = document.blocks
    return measured(pdf_bytes(compose_rear(document, block), "Test"))


def lines_of(pages: tuple[Measured, ...]) -> list[str]:
    """Return the words of every baseline, from left to right."""
    rows: dict[tuple[int, float], list[tuple[float, str]]] = {}
    for number, page in enumerate(pages):
        for letter in page.letters:
            key = (number, round(letter.box[3], 1))
            rows.setdefault(key, []).append((letter.box[0], letter.text))
    return [
        "".join(t for _, t in sorted(row)).replace(" ", "") for row in rows.values()
    ]


def wired(*wires: Wire) -> Map:
    """Return a row whose first place has these wires at its load contact."""
    document = row_of(2, 20.0, "LAMP {}")
    (first, _) = document.cavities
    cavity = replace(document.cavities[first], contacts={"load": Contact(wires=wires)})
    return replace(document, cavities={**document.cavities, first: cavity})


def wire(colour: str, gauge: str, to: str = "") -> Wire:
    return Wire(colour=read_colour(colour), gauge=gauge, to=to)


def test_each_of_several_wires_stands_beside_its_own_other_end() -> None:
    document = wired(
        wire("brown", "16 AWG", "horn"),
        wire("red/white", "0.75 mm2", "F2.load"),
        wire("black", "14 AWG"),
    )
    lines = lines_of(pages_of(document))
    assert any("brown16AWG?tohorn" in line for line in lines)
    assert any("red/white0.75mm2?toF2load" in line for line in lines)
    # No other end is noted of the last: its circuit stands there, known from no test.
    assert any("black14AWG?LAMP1?" in line for line in lines)


def test_supply_and_jumper_of_a_strip_stand_where_they_are_seen() -> None:
    document = row_of(3, 20.0)
    strip = Strip(
        id="b/S1",
        block="b",
        name="ACC",
        members=("F1.feed", "F2.feed"),
        jumpers=(Jumper(to="F3.feed", colour=read_colour("pink"), gauge="14 AWG"),),
        lands_at="F2.feed",
        supply_colour=read_colour("orange"),
        supply_gauge="10 AWG",
    )
    lines = lines_of(pages_of(replace(document, strips={strip.id: strip})))
    assert any("orange10AWGstripACC:itssupplylandshere" in line for line in lines)
    assert any("pink14AWGstripACC,byjumper" in line for line in lines)
    assert sum("10AWG" in line for line in lines) == 2, "at the contact, and the strip"


@pytest.mark.parametrize("name", ["demo", "van-two-columns"])
def test_the_rear_sheet_of_a_panel_needs_a_figure_page_and_a_list_page(
    name: str,
) -> None:
    assert len(pages_of(shipped(name))) == 2


def test_a_key_takes_no_more_rows_than_its_words_ask_for() -> None:
    first = measured(pdf_bytes(compose_condition(shipped("demo")), "Test"))[0]
    text = "".join(letter.text for letter in first.letters)
    tops = [
        first.letters[text.index(heading)].box[1]
        for heading in ("Marks of the figure", "Damage in Fuse panel")
    ]
    # Nineteen marks: seven rows of three took 46 mm, as wide as the longest words.
    assert tops[1] - tops[0] < 38


@pytest.mark.parametrize("sheet", ["flags", "worklist", "rear"])
def test_a_wire_nobody_has_seen_is_in_doubt_wherever_it_is_named(sheet: str) -> None:
    document = wired(wire("brown", "16 AWG"))
    (first, _) = document.cavities
    cavity = document.cavities[first]
    worn = replace(
        cavity.contact("load"), condition=Condition(state="spread", severity=2)
    )
    cavity = replace(cavity, contacts={"load": worn})
    seen = replace(cavity, evidence={"wires": Evidence(how="seen", test="by eye")})
    kind = next(kind for kind in SHEETS if kind.name == sheet)
    for each, text, italic in (
        (cavity, "brown16AWG?", True),
        (seen, "brown16AWG", False),
    ):
        held = replace(document, cavities={**document.cavities, first: each})
        made = measured(pdf_bytes(kind.compose(held, SheetOptions()), "Test"))
        letters = [x for page in made for x in page.letters if x.text.strip()]
        at = "".join(x.text for x in letters).index(text)
        assert all(("Italic" in x.font) is italic for x in letters[at : at + len(text)])
        assert ("16AWG?" in "".join(x.text for x in letters)) is italic
