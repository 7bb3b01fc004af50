"""The columns of table, CSV and paste, and the short written forms in them."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockmap.model.columns import COLUMNS, Column, column, column_for_heading
from blockmap.model.document import Cavity, Condition, Contact, Load, Map, Wire
from blockmap.model.edits import CellEdit, set_cells
from blockmap.model.errors import BadValue
from blockmap.model.written import (
    condition_text,
    loads_text,
    read_condition,
    read_loads,
    read_wires,
    wires_text,
)
from blockmap.reference.trade_words import CONDITIONS
from blockmap.reference.wire_colours import CODES, RGB, WireColour
from tests.strategies import maps

FUSE = Cavity(
    id="p/F1", block="p", x_mm=10, y_mm=10, width_mm=19.1, height_mm=5.1, own="F1"
)
WRITABLE = [one for one in COLUMNS if one.write is not None]

names = st.sampled_from(sorted(RGB))
colours = st.builds(
    WireColour, base=names, stripes=st.lists(names, max_size=1).map(tuple)
)
gauges = st.sampled_from(["", "16 AWG", "16 SAE", "18", "2/0", "1.5 mm2", "14/0.30"])
wires = st.builds(
    Wire,
    colour=st.none() | colours,
    gauge=gauges,
    length_m=st.none() | st.just(2.0),
    note=st.sampled_from(["", "to the horn"]),
)
words = st.from_regex(r"[a-z]{2,6}( [a-z]{2,6})?", fullmatch=True)
amounts = st.none() | st.integers(0, 9999).map(lambda n: n / 100)
loads = st.builds(
    Load, name=words, amps_a=amounts, duty=st.sampled_from([None, "continuous"])
)
conditions = st.builds(
    Condition,
    state=st.sampled_from(CONDITIONS),
    severity=st.sampled_from([None, 1, 2, 3]),
    judged=st.sampled_from(["", "grip test"]),
    note=st.sampled_from(["", "by a test lead", "0.4 V at 2 A: 3 weeks ago"]),
)


def write(cavity: Cavity, key: str, text: str, code: str = "words") -> Cavity:
    """Return the cavity with a text written into a column that takes one."""
    into = column(key)
    assert into.write is not None
    return into.write(cavity, text, code)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(maps())
def test_writing_back_what_every_column_shows_is_no_edit(document: Map) -> None:
    code = document.car.colour_code
    cells = [
        CellEdit(cavity.id, one.key, one.read(cavity, code))
        for cavity in document.cavities.values()
        for one in WRITABLE
    ]
    assert set_cells(document, cells) is document


@st.composite
def cavities(draw: st.DrawFn) -> Cavity:
    """Draw a fuse cavity whose texts the short forms can hold."""
    contacts = {
        name: Contact(
            wires=tuple(draw(st.lists(wires, max_size=3))),
            condition=draw(st.none() | conditions),
            fed_from=draw(st.sampled_from(["", "F7.load"])),
        )
        for name in ("feed", "load")
    }
    return dataclasses.replace(
        FUSE,
        turn_deg=draw(st.sampled_from([0.0, 30.0, 90.0])),
        feed_end=draw(st.sampled_from(["start", "finish", "unknown"])),
        form=draw(st.sampled_from(["", "medium blade", "ceramic 6 x 25"])),
        rating_a=draw(st.none() | st.sampled_from([7.5, 20.0])),
        loads=tuple(draw(st.lists(loads, max_size=3, unique_by=lambda x: x.name))),
        contacts={name: c for name, c in contacts.items() if c != Contact()},
        fuse=draw(st.none() | conditions),
        notes=draw(st.sampled_from(["", "two\nlines"])),
    )


@settings(max_examples=150, deadline=None)
@given(cavities(), st.sampled_from(WRITABLE), st.sampled_from(CODES))
def test_every_column_reads_what_it_writes(
    cavity: Cavity, one: Column, code: str
) -> None:
    # Without the short cut of an edit: the text itself must carry everything.
    assert one.write is not None
    again = one.write(cavity, one.read(cavity, code), code)
    assert again == cavity


@given(st.lists(wires, max_size=4), st.sampled_from(CODES))
def test_wires_survive_the_trip_through_text(found: list[Wire], code: str) -> None:
    plain = [dataclasses.replace(w, length_m=None, note="") for w in found]
    assert list(read_wires(wires_text(plain, code), code)) == plain
    kept = read_wires(wires_text(found, code), code, found)
    assert list(kept) == found


@pytest.mark.parametrize(
    ("text", "code", "expected"),
    [
        ("brown/white 16 AWG", "words", [("brown/white", "16 AWG")]),
        (
            "BRN/WHT 16 AWG; BRN",
            "north american",
            [("brown/white", "16 AWG"), ("brown", "")],
        ),
        ("red 1.5 mm2", "words", [("red", "1.5 mm2")]),
        ("red 1,5mm²", "words", [("red", "1,5mm²")]),
        ("red 14/0.30", "words", [("red", "14/0.30")]),
        ("red 2/0", "words", [("red", "2/0")]),
        ("red", "words", [("red", "")]),
        ("16 RED", "north american", [("red", "16")]),
        ("14 AWG DK GRN/WHT", "north american", [("dark green/white", "14 AWG")]),
        ("RED 16 gauge", "north american", [("red", "16 gauge")]),
        ("RED #16", "north american", [("red", "#16")]),
        ("BLK 2.5 sq mm", "north american", [("black", "2.5 sq mm")]),
    ],
)
def test_a_wire_is_its_colour_then_its_gauge_as_written(
    text: str, code: str, expected: list[tuple[str, str]]
) -> None:
    found = [
        (wire.colour.words() if wire.colour else "", wire.gauge)
        for wire in read_wires(text, code)
    ]
    assert found == expected


@given(st.lists(loads, max_size=4, unique_by=lambda load: load.name))
def test_loads_survive_the_trip_through_text(found: list[Load]) -> None:
    assert list(read_loads(loads_text(found), found)) == found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("horn 5 A, wiper 4 A", [("horn", 5, None), ("wiper", 4, None)]),
        ("horn 5A; clock 20 mA", [("horn", 5, None), ("clock", 0.02, None)]),
        ("lamp 55 W", [("lamp", None, 55)]),
        ("left tail, park", [("left tail, park", None, None)]),
        ("fan 7,5 A", [("fan", 7.5, None)]),
        ("fan 22 amps, horn 1 amp", [("fan", 22, None), ("horn", 1, None)]),
        ("lamp 2 x 21w", [("lamp", None, 42)]),
        ("5 A horn, 2 A clock", [("horn", 5, None), ("clock", 2, None)]),
        (
            "pump 25 A for short times, lamp 2 A",
            [("pump", 25, None), ("lamp", 2, None)],
        ),
        (
            "tail 5 A, marker, plate 1 A",
            [("tail", 5, None), ("marker, plate", 1, None)],
        ),
        ("", []),
    ],
)
def test_loads_are_read_as_people_list_them(
    text: str, expected: list[tuple[str, float | None, float | None]]
) -> None:
    found = [(load.name, load.amps_a, load.watts_w) for load in read_loads(text)]
    assert found == expected


@pytest.mark.parametrize(
    ("text", "duty", "shown"),
    [
        ("pump 25 A for short times", "intermittent", "pump 25 A for short times"),
        ("locks 10 A intermittent", "intermittent", "locks 10 A for short times"),
        ("fan 30 A at switching on", "in-rush", "fan 30 A at switching on"),
        ("fan 30 A", None, "fan 30 A"),
        ("for short times", None, "for short times"),
    ],
)
def test_how_a_load_draws_is_read_and_shown(
    text: str, duty: str | None, shown: str
) -> None:
    (load,) = read_loads(text)
    assert load.duty == duty
    assert loads_text([load]) == shown


def test_words_of_the_duty_that_are_taken_away_take_it_away() -> None:
    before = read_loads("pump 25 A for short times; lamp 5 W")
    lamp = dataclasses.replace(before[1], duty="continuous")
    pump, still = read_loads("pump 25 A; lamp 5 W", (before[0], lamp))
    assert pump.duty is None
    assert still.duty == "continuous", "which the text never says"


@given(conditions)
def test_conditions_survive_the_trip_through_text(found: Condition) -> None:
    assert read_condition(condition_text(found), found) == found


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("wires", "octarine"),
        ("loads", "5 A"),
        ("load_condition", "worn 2"),
        ("load_condition", "spread 4"),
        ("feed_side", "left"),
        ("rating_a", "0"),
        ("form", "spud"),
        ("x_mm", "3000"),
    ],
)
def test_what_a_column_cannot_take_is_refused(key: str, text: str) -> None:
    upright = dataclasses.replace(FUSE, turn_deg=90.0)
    with pytest.raises(BadValue):
        write(upright, key, text)


@pytest.mark.parametrize(
    ("turn_deg", "text", "end"),
    [
        (0.0, "left", "start"),
        (0.0, "r", "finish"),
        (90.0, "top", "start"),
        (90.0, "Bottom", "finish"),
        (180.0, "left", "finish"),
        (90.0, "", "unknown"),
    ],
)
def test_the_feed_side_is_typed_as_it_is_seen(
    turn_deg: float, text: str, end: str
) -> None:
    turned = dataclasses.replace(FUSE, turn_deg=turn_deg)
    assert write(turned, "feed_side", text).feed_end == end


def test_a_new_form_brings_its_size_unless_the_size_was_set_by_hand() -> None:
    # Sizes: 6 x 25 mm after DIN 72581-1; encyclopedia text of 2007.
    blade = dataclasses.replace(FUSE, form="medium blade")
    assert write(blade, "form", "ceramic").size == (25, 6)
    own = dataclasses.replace(blade, width_mm=22.0)
    assert write(own, "form", "ceramic").size == (22, 5.1)
    assert write(blade, "form", "5-pin relay").kind == "relay"


def test_the_wires_of_a_relay_carry_the_name_of_their_contact() -> None:
    relay = write(FUSE, "form", "5-pin relay")
    wired = write(relay, "wires", "red 10 AWG; 85: black 18 AWG")
    assert [w.gauge for w in wired.contact("87").wires] == ["10 AWG"]
    assert [w.gauge for w in wired.contact("85").wires] == ["18 AWG"]
    shown = column("wires").read(wired, "words")
    assert shown == "red 10 AWG; 85: black 18 AWG"


def test_the_first_designation_given_is_the_one_that_is_renamed() -> None:
    moulded = dataclasses.replace(FUSE, own="", moulded="7")
    renamed = write(moulded, "designation", "8")
    assert (renamed.own, renamed.moulded) == ("", "8")


@pytest.mark.parametrize(
    ("heading", "key"),
    [
        ("Amps", "rating_a"),
        ("rating (A)", "rating_a"),
        ("rating_a", "rating_a"),
        ("Position", "designation"),
        ("wire color", "wires"),
        ("Label", "legend"),
        ("x", "x_mm"),
        ("x (mm)", "x_mm"),
        ("Fuse type", "form"),
    ],
)
def test_headings_people_use_find_their_column(heading: str, key: str) -> None:
    found = column_for_heading(heading)
    assert found is not None
    assert found.key == key


def test_a_heading_that_means_nothing_finds_nothing() -> None:
    assert column_for_heading("weather") is None


def test_every_column_has_a_key_a_label_and_help_of_its_own() -> None:
    seen: list[Any] = [one.key for one in COLUMNS]
    assert len(set(seen)) == len(seen)
    assert all(one.label and one.help for one in COLUMNS)
    for one in COLUMNS:
        assert column_for_heading(one.key) is one
