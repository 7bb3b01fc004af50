"""The survey and readings sheets, measured back from the PDF by another library."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from blockmap.model.document import Map, Reading
from blockmap.model.edits import add_reading
from blockmap.model.evidence import count_facts
from blockmap.reference.cautions import SHORT_CAUTION, caution_named
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES
from blockmap.resources import layout_files
from blockmap.sheets.catalogue import SheetOptions, sheet_named
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.measuring import (
    Measured,
    assert_letters_apart,
    ink_reaches,
    measured,
    squeezed,
)
from tests.sheets.sample_maps import shipped

LAYOUTS = [path.name.partition(".")[0] for path in layout_files()]
NAMES = ("survey", "readings")
EVERY = pytest.mark.parametrize(
    ("stem", "name", "paper"),
    [(s, n, p) for s in LAYOUTS for n in NAMES for p in ("a4", "letter")],
)


@cache
def printed(stem: str, name: str, paper: str = "a4") -> bytes:
    return made(shipped(stem), name, paper)


def made(document: Map, name: str, paper: str = "a4") -> bytes:
    kind = sheet_named(name)
    assert kind is not None
    return pdf_bytes(kind.compose(document, SheetOptions(paper=paper)), "Test")


def text_of(found: tuple[Measured, ...]) -> str:
    return "".join(page.text for page in found)


def boxes(found: tuple[Measured, ...]) -> int:
    """Count the boxes to write in: wider than a tick box, about 4.4 mm high."""
    return sum(
        1
        for page in found
        for shape in page.shapes
        if shape.closed and shape.width > 10 and 4.1 < shape.height < 4.7
    )


@EVERY
def test_every_page_says_car_caution_evidence_and_its_number_inside_the_margin(
    stem: str, name: str, paper: str
) -> None:
    found = measured(printed(stem, name, paper))
    document = shipped(stem)
    for number, page in enumerate(found, start=1):
        assert (page.width > page.height) is (name == "readings")
        for words in (
            document.car.name,
            SHORT_CAUTION,
            count_facts(document).words(),
            f"Page {number} of {len(found)}",
        ):
            assert squeezed(words) in page.text
    assert ink_reaches(printed(stem, name, paper), 5.0) == []
    assert squeezed(caution_named("female terminals").text) in found[0].text
    assert squeezed(caution_named("airbag").text) in found[0].text


@EVERY
def test_no_two_texts_are_printed_over_each_other(
    stem: str, name: str, paper: str
) -> None:
    for page in measured(printed(stem, name, paper)):
        assert_letters_apart(page)


def test_the_survey_has_a_box_for_every_contact_in_every_state() -> None:
    document = shipped("demo")
    (block,) = document.blocks
    found = measured(made(replace(document, readings={}), "survey"))
    contacts = sum(
        len(cavity.contact_names)
        for cavity in document.cavities_of(block)
        if cavity.kind != "blank"
    )
    states = len(KEY_STATES) + len(SWITCH_STATES) + len(document.car.states)
    assert boxes(found) == contacts * states
    for page in found:
        assert "Frontview" in page.text
    assert "F10INJfeed,left" in text_of(found)
    assert "blower,high;compressorclutch" in text_of(found)


def test_what_was_read_stands_in_its_box() -> None:
    document = replace(shipped("demo"), readings={})
    empty = boxes(measured(made(document, "survey")))
    run = {"states": ("RUN",), "load": "blower, high"}
    for reading in (
        Reading(point="F11.load", value=9.5, **run),  # type: ignore[arg-type]
        # No contact: it must not pass for a dead load contact.
        Reading(point="ground of blower, high", value=0.1, **run),  # type: ignore[arg-type]
        Reading(point="F7.feed", value=12.1, states=("RUN",)),
    ):
        document, _ = add_reading(document, reading)
    found = measured(made(document, "survey"))
    assert boxes(found) == empty - 2
    text = text_of(found)
    assert "load9.5V" in text
    assert "GAUGES-FLASHfeed,top12.1V" in text
    assert "dead" not in text.partition("Whichcontact")[2].partition("tested,")[0]


def test_an_airbag_circuit_gets_no_box() -> None:
    document = replace(shipped("demo"), readings={})
    before = boxes(measured(made(document, "survey")))
    cavity = document.cavities["panel/F12"]
    airbag = replace(cavity, circuit="Airbag", legend="AIRBAG")
    cavities = {**document.cavities, cavity.id: airbag}
    found = measured(made(replace(document, cavities=cavities), "survey"))
    states = len(KEY_STATES) + len(SWITCH_STATES) + len(document.car.states)
    assert boxes(found) == before - 2 * states
    assert "nottobeprobed" in text_of(found)


def blank_lines(page: Measured) -> int:
    """Count the lines to write on by the thin upright lines that part their columns."""
    upright = [s for s in page.shapes if s.width < 0.3 and 3 < s.height < 6]
    return len(upright) // 10


def test_readings_taken_stand_above_blank_lines_that_fill_the_page() -> None:
    document = replace(shipped("demo"), readings={})
    for value in range(60):
        reading = Reading(
            point="F11.load",
            against="F11.b2",
            states=("RUN", "HEAD LOW"),
            value=value + 0.5,
            unit="mV",
            date="2024-05-18",
            out=(f"F{value}",),
            note=f"note {value}",
        )
        document, _ = add_reading(document, reading)
    found = measured(made(document, "readings"))
    text = text_of(found)
    for value in range(60):
        assert (
            "F11loadF11loadtestpointRUN,HEADLOW"
            f"F{value}{value + 0.5}mV2024-05-18note{value}"
        ) in text
    assert blank_lines(found[-1]) >= 8
    assert not any(map(blank_lines, found[:-1])), "no few lines on a page of their own"
    # Nothing but a line's height is left free above the caution at the foot.
    lowest = max(s.box[3] for s in found[-1].shapes)
    assert found[-1].height - 13.0 - lowest < 5.5 + 2.0


def test_the_demo_and_its_readings_need_one_page() -> None:
    (page,) = measured(made(shipped("demo"), "readings"))
    assert blank_lines(page) >= 8


def test_a_place_not_to_be_used_says_so_where_it_would_be_probed_or_pulled() -> None:
    text = text_of(measured(made(shipped("demo"), "survey")))
    assert text.count("F11HTR-A/CDONOTUSE") == 2
    assert "F12CHOKEDONOTUSE" not in text


def test_a_grid_of_many_states_lies_on_its_side() -> None:
    document = shipped("demo")
    upright = measured(made(document, "survey"))[0]
    assert upright.width < upright.height
    more = replace(document.car, states=("TOWING", "TRAILER", "ROOF OPEN"))
    lying = measured(made(replace(document, car=more), "survey"))[0]
    assert lying.width > lying.height


def test_a_reading_repeated_after_the_repair_is_printed_beside_its_earlier_one() -> (
    None
):
    document = replace(shipped("demo"), readings={})
    for value, date in ((1.9, "2024-05-18"), (0.04, "2024-06-02")):
        reading = Reading(
            point="F11.feed",
            against="F11.b1",
            value=value,
            load="blower, high",
            date=date,
        )
        document, _ = add_reading(document, reading)
    text = text_of(measured(made(document, "readings")))
    assert squeezed("above the limit of 0.1 V") in text
    assert squeezed("holds: at most 0.1 V; before on 2024-05-18 1.9 V") in text
    assert squeezed("1.86 V less") in text


def test_what_was_set_aside_is_printed_as_before_the_repair() -> None:
    document = replace(shipped("demo"), readings={})
    for aside, value in ((True, 9.5), (False, 11.9)):
        reading = Reading(
            point="F11.load", value=value, states=("RUN",), load="fan", aside=aside
        )
        document, _ = add_reading(document, reading)
    text = squeezed(text_of(measured(made(document, "readings"))))
    assert text.count(squeezed("set aside: before")) == 1
    assert squeezed("before 9.5 V: 2.4 V more") in text


def test_a_map_without_readings_or_places_prints_what_there_is() -> None:
    assert b"%PDF" in made(Map(), "readings")[:8]
    with pytest.raises(ValueError, match="no block yet"):
        made(Map(), "survey")
    document = shipped("demo")
    bare = replace(document, cavities={}, strips={}, readings={})
    assert "hasnoplacesyet" in text_of(measured(made(bare, "survey")))
