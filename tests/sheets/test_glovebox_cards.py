"""Glovebox cards measured back from the PDF: panels, folds, and what stands on them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
import yaml

from blockmap.drawing.figure import view_heading
from blockmap.drawing.primitives import (
    Path,
    Text,
    bounds_of_primitives,
    text_box,
)
from blockmap.model.document import (
    Car,
    Condition,
    Contact,
    InterimMeasure,
    Load,
    Map,
)
from blockmap.model.evidence import count_facts
from blockmap.model.geometry import View
from blockmap.sheets.card import compose_card
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.measuring import Measured, measured, squeezed
from tests.sheets.sample_maps import LAYOUTS, row_of, shipped
from tests.sheets.test_label_sheets import cap_heights
from tests.sheets.test_pdf_writing import DATA


def card(document: Map, **options: Any) -> tuple[Measured, ...]:
    return measured(pdf_bytes(compose_card(document, **options), "Test"))


def all_text(pages: tuple[Measured, ...]) -> str:
    return "".join(page.text for page in pages)


def iso_216_a6() -> tuple[int, int]:
    # Source: ISO 216: halve the long side and round down, from 841 x 1189.
    short, long = 841, 1189
    for _ in range(6):
        short, long = long // 2, short
    return short, long


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_fold_panels_are_as_large_as_a_bank_card(paper: str) -> None:
    # Source: ISO/IEC 7810 ID-1, as listed in tests/data/standards/sheets.yaml.
    rows = yaml.safe_load((DATA / "sheets.yaml").read_text("utf-8"))["cards"]["rows"]
    wide, high = next(row[1:] for row in rows if row[0] == "ID-1")
    for page in card(shipped("demo"), paper=paper):
        strips = [s for s in page.shapes if s.closed and abs(s.width - wide) < 0.005]
        assert strips
        for strip in strips:
            panels = strip.height / high
            assert panels == pytest.approx(round(panels), abs=0.001)
            folds = sorted(
                s.box[1] - strip.box[1]
                for s in page.shapes
                if s.dashed
                and s.height == 0
                and abs(s.width - wide) < 0.005
                and abs(s.box[0] - strip.box[0]) < 0.005
            )
            wished = [high * number for number in range(1, round(panels))]
            assert folds == pytest.approx(wished, abs=0.01)


def test_a6_panels_follow_iso_216() -> None:
    wide, high = iso_216_a6()
    for page in card(shipped("demo"), form="a6"):
        strips = [s for s in page.shapes if s.closed and abs(s.height - high) < 0.01]
        assert strips
        for strip in strips:
            assert (strip.width / wide) % 1 == pytest.approx(0, abs=0.001)


def test_index_cards_are_3_by_5_inches() -> None:
    for page in card(shipped("demo"), form="3x5"):
        assert any(
            s.closed
            and s.width == pytest.approx(5 * 25.4, abs=0.005)
            and s.height == pytest.approx(3 * 25.4, abs=0.005)
            for s in page.shapes
        )


@pytest.mark.parametrize("form", ["fold", "a6", "3x5"])
@pytest.mark.parametrize("name", LAYOUTS)
def test_every_load_is_on_the_card_with_its_place(name: str, form: str) -> None:
    document = shipped(name)
    text = all_text(card(document, form=form))
    for cavity in document.cavities.values():
        for load in cavity.loads:
            found = text.casefold().find(squeezed(load.name).casefold())
            assert found >= 0, load.name
    for cavity in document.cavities.values():
        assert squeezed(cavity.designation) in text


def test_a_load_is_led_to_the_fuses_that_feed_it() -> None:
    document = row_of(3, 20.0, "")
    cavities = {
        key: replace(cavity, loads=(Load(name="horn"), Load(name=f"lamp {number}")))
        for number, (key, cavity) in enumerate(document.cavities.items())
    }
    text = all_text(card(replace(document, cavities=cavities)))
    assert "hornF1,F2,F3" in text
    assert "lamp0F1lamp1F2lamp2F3" in text


def test_spares_are_counted_by_rating_and_form() -> None:
    document = shipped("demo")
    fuses = Counter(
        cavity.rating_a
        for cavity in document.cavities.values()
        if cavity.kind == "fuse" and cavity.form == "medium blade" and cavity.rating_a
    )
    text = all_text(card(document))
    for rating, count in fuses.items():
        row = f"{rating:g}A"
        assert any(
            f"{row}{colour}{count}×carry" in text
            for colour in ("", "violet", "tan", "red", "blue", "yellow", "clear")
        ), row


def test_damage_patches_and_warnings_stand_on_the_card() -> None:
    document = row_of(3, 20.0, "FAN {}")
    first, second, third = document.cavities.values()
    broken = Condition(
        state="heat-marked", severity=3, note="plug end brown", date="2020-01-02"
    )
    cavities = {
        first.id: replace(first, contacts={"feed": Contact(condition=broken)}),
        second.id: replace(
            second,
            interim=InterimMeasure(
                what="sealed holder",
                where="behind the block",
                since="2020-03-04",
                until="the donor block comes",
            ),
        ),
        third.id: replace(third, off_panel=True, notes="behind the radio"),
    }
    car = Car(name="Test car", volts=6.0, polarity="positive ground")
    text = all_text(card(replace(document, car=car, cavities=cavities)))
    for said in (
        "F1 DO NOT USE",
        "feed: heat-marked, do not use as is (2020-01-02). plug end brown",
        "Patched since 2020-03-04 until the donor block comes: sealed holder",
        "Away from the panel",
        "behind the radio",
        "6 V, positive ground",
    ):
        assert squeezed(said) in text, said


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_card_says_how_much_was_seen(name: str) -> None:
    document = shipped(name)
    assert squeezed(count_facts(document).words()) in all_text(card(document))


def test_letters_are_as_high_as_the_distance_asks() -> None:
    # Source: aviation rule, 1/200 of the distance: 2.0 mm at 400 mm, 3.0 at 600; see
    # char_height in tests/data/standards/sheets.yaml.
    for page in card(shipped("demo")):
        assert min(cap for _, cap in cap_heights(page)) >= 400 / 200 - 0.001
    document = row_of(3, 20.0, "WIPER {}", car=Car(name="X", card_distance_mm=600.0))
    caps = [
        cap
        for page in card(document)
        for text, cap in cap_heights(page)
        if text in "WR"
    ]
    assert max(caps) >= 600 / 200 - 0.001


def test_letters_too_large_for_a_card_are_reported() -> None:
    document = row_of(2, 20.0, car=Car(name="X", card_distance_mm=3000.0))
    sheet = compose_card(document)
    assert any("3000 mm" in note for note in sheet.notes)


def test_long_lists_flow_on_to_more_panels() -> None:
    document = row_of(60, 8.0, "CIRCUIT {}")
    text = all_text(card(document))
    for number in range(1, 61):
        assert f"CIRCUIT{number}" in text
    assert "Whichfuseisit?(continued)" in text


def test_an_unknown_form_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="fold, a6, 3x5"):
        compose_card(row_of(1, 20.0), form="poster")


def test_a_load_of_a_place_not_to_be_used_warns_where_it_is_looked_up() -> None:
    document = row_of(2, 20.0, "")
    first, second = document.cavities.values()
    patch = InterimMeasure(what="holder")
    cavities = {
        first.id: replace(
            first, do_not_use=True, interim=patch, loads=(Load(name="fan"),)
        ),
        second.id: replace(second, interim=patch, loads=(Load(name="horn"),)),
    }
    text = all_text(card(replace(document, cavities=cavities)))
    assert "fanF1(donotuse,patched)" in text
    assert "hornF2(patched)" in text


def test_what_was_noted_of_several_parts_alike_is_said_once() -> None:
    document = row_of(1, 20.0, "FAN")
    (only,) = document.cavities.values()
    note = "melted beside the  loom"
    burnt = Condition(state="heat-marked", severity=3, note=note, date="2020-01-02")
    soft = replace(burnt, state="annealed")
    cavity = replace(only, housing=burnt, contacts={"feed": Contact(condition=soft)})
    text = all_text(card(replace(document, cavities={only.id: cavity})))
    said = (
        "feed: annealed, do not use as is; housing: heat-marked, do not use as is "
        "(2020-01-02). melted beside the loom"
    )
    assert squeezed(said) in text
    assert text.count("meltedbesidetheloom") == 1


@pytest.mark.parametrize("form", ["fold", "a6", "3x5"])
@pytest.mark.parametrize("view", list(View))
def test_neither_block_nor_view_is_shortened_on_the_card(form: str, view: View) -> None:
    document = row_of(3, 20.0)
    name = "Fuse and relay box beside the battery"
    block = replace(document.blocks["b"], name=name)
    document = replace(document, blocks={"b": block})
    text = all_text(card(document, form=form, view=view))
    assert squeezed(name) in text
    assert squeezed(view_heading(view, block)).lower() in text.lower()


def test_the_card_of_the_demo_needs_one_page_of_paper() -> None:
    assert len(card(shipped("demo"))) == 1


@pytest.mark.parametrize("form", ["fold", "a6", "3x5"])
@pytest.mark.parametrize("view", list(View))
def test_no_name_hides_the_cross_of_a_place_not_to_be_used(
    form: str, view: View
) -> None:
    sheet = compose_card(shipped("demo"), form=form, view=view)
    items = [item for page in sheet.pages for item in page.primitives]
    crosses = [
        bounds_of_primitives((item,))
        for item in items
        if isinstance(item, Path) and item.stroke == "stop"
    ]
    assert len(crosses) == 4, "F11 and T3, two lines each"
    names = [
        text_box(item)
        for item in items
        if isinstance(item, Text) and item.text in ("F11", "T3", "F12", "T2")
    ]
    assert len(names) >= 4
    for cross in crosses:
        assert cross is not None
        assert not any(cross.grown(-0.2).meets(name) for name in names)


def test_each_way_of_numbering_is_told_with_its_block() -> None:
    document = shipped("demo")
    (first,) = document.blocks.values()
    other = replace(first, id="other", name="Second panel", numbering="A to F")
    document = replace(document, blocks={first.id: first, other.id: other})
    text = all_text(card(document))
    assert "Numbering:Secondpanel:AtoF" in text
    assert "Numbering:Fusepanel:manualusesnamesonly" in text


def test_a_load_keeps_its_name_together_before_long_places() -> None:
    document = row_of(1, 20.0, "")
    (only,) = document.cavities.values()
    cavity = replace(
        only,
        do_not_use=True,
        interim=InterimMeasure(what="holder"),
        loads=(Load(name="add-on lamp, boot"), Load(name="horn")),
    )
    (page, *_) = card(replace(document, cavities={only.id: cavity}))
    letters = "".join(letter.text for letter in page.letters)
    at = letters.index("add-on lamp, boot")
    baselines = {round(each.box[3], 1) for each in page.letters[at : at + 17]}
    assert len(baselines) == 1
