"""One name for one contact on all sheets: as it is said, not as it is typed."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from blockmap.model.document import Jumper, Map, Reading, Repair, Strip
from blockmap.sheets.catalogue import SHEETS, SheetOptions
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.measuring import measured, squeezed
from tests.sheets.sample_maps import LAYOUTS, row_of, shipped

TYPED = re.compile(r"\w\.(feed|load|pin|b1|b2|fuse|housing)")


def spelt(document: Map, sheet: str) -> str:
    """Return all characters of a sheet with their spaces."""
    kind = next(kind for kind in SHEETS if kind.name == sheet)
    made = measured(pdf_bytes(kind.compose(document, SheetOptions()), "Test"))
    return "".join(letter.text for page in made for letter in page.letters)


def text_of(document: Map, sheet: str) -> str:
    return squeezed(spelt(document, sheet))


@pytest.mark.parametrize("name", LAYOUTS)
@pytest.mark.parametrize("sheet", [kind.name for kind in SHEETS])
def test_no_sheet_of_a_shipped_map_names_a_contact_as_it_is_typed(
    name: str, sheet: str
) -> None:
    text = spelt(shipped(name), sheet)
    # The readings sheet tells how a point is typed, once.
    text = text.replace("(typed F11.load)", "").replace("(typed F11.b2)", "")
    assert TYPED.search(text) is None


def renamed() -> Map:
    """Return a row whose second place was renamed, so that key and name differ."""
    document = row_of(3, 20.0)
    _, second, _ = document.cavities
    cavities = {
        **document.cavities,
        second: replace(document.cavities[second], own="Fan"),
    }
    strip = Strip(
        id="b/S1",
        block="b",
        name="S1",
        members=("F1.feed",),
        jumpers=(Jumper(to="F2.feed", gauge="14 AWG"),),
        lands_at="F1.feed",
    )
    reading = Reading(point="Fan.load", against="Fan.b2", value=12.0, unit="mV")
    return replace(
        document,
        cavities=cavities,
        strips={strip.id: strip},
        readings={"r1": reading},
        repairs={"w1": Repair(at="Fan.load wire", what="new end", stage="ordered")},
    )


@pytest.mark.parametrize(
    ("sheet", "said"),
    [
        ("readings", "FanloadFanloadtestpoint"),
        ("condition", "Fanloadwirenewend"),
        ("card", "Fanloadwireordered"),
        ("rear", "F1feedFanfeed"),
        ("flags", "jumpertoFanfeed"),
    ],
)
def test_a_renamed_place_bears_its_name_on_every_sheet(sheet: str, said: str) -> None:
    text = text_of(renamed(), sheet)
    assert said in text
    assert "F2" not in text


def test_the_one_contact_of_a_tab_is_called_by_the_tab_alone() -> None:
    document = shipped("demo")
    assert "jumpertoT3" in text_of(document, "flags")
    for sheet in ("flags", "worklist"):
        assert "T3pin" not in text_of(document, sheet)


def test_a_block_is_named_where_the_map_has_several() -> None:
    document = row_of(2, 20.0)
    other = replace(document.blocks["b"], id="c", name="Second panel")
    copies = {
        f"c/{key.partition('/')[2]}": replace(
            cavity, id=f"c/{key.partition('/')[2]}", block="c"
        )
        for key, cavity in document.cavities.items()
    }
    document = replace(
        document,
        blocks={**document.blocks, "c": other},
        cavities={**document.cavities, **copies},
        readings={"r1": Reading(point="c/F1.load", value=1.0, unit="V")},
    )
    assert "SecondpanelF1load" in text_of(document, "readings")
