"""Edits of the readings notebook."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import Car, Map, Reading
from blockmap.model.edits import (
    add_reading,
    note_again,
    reading_text,
    remove_reading,
    set_aside,
    set_reading_text,
    weigh_again,
)
from blockmap.model.errors import EditRefused
from tests.strategies import TRAPS


@pytest.fixture
def noted() -> Map:
    """Return a map with one reading, M1."""
    reading = Reading(point="F11.load", states=("RUN",), value=9.5)
    return add_reading(Map(car=Car(states=("ALARM SET",))), reading)[0]


def test_a_reading_is_filed_below_the_others_and_found_in_the_file(noted: Map) -> None:
    document, key = add_reading(noted, Reading(point="battery", value=12.3))
    assert list(document.readings) == ["M1", "M2"]
    assert key == "M2"
    again = read_map(map_text(document).encode()).document
    assert again.readings == document.readings


def test_a_freed_key_is_not_given_to_another_place_in_the_order(noted: Map) -> None:
    document, _ = add_reading(noted, Reading(point="battery"))
    document, key = add_reading(remove_reading(document, "M1"), Reading(point="F1"))
    assert (list(document.readings), key) == (["M2", "M3"], "M3")


@pytest.mark.parametrize(
    ("field", "typed", "held"),
    [
        ("states", "run, head low", ("RUN", "HEAD LOW")),
        ("states", "alarm set", ("ALARM SET",)),
        ("states", "", ()),
        ("out", "F5; F6", ("F5", "F6")),
        ("value", "11,9", 11.9),
        ("value", "-0.2", -0.2),
        ("value", "", None),
        ("unit", "mv", "mV"),
        ("seen", "dim", "dim"),
        ("amps_a", "18 A", 18.0),
        ("date", "2024-05-18", "2024-05-18"),
        ("against", " F11.b1 ", "F11.b1"),
    ],
)
def test_a_typed_text_is_held(noted: Map, field: str, typed: str, held: object) -> None:
    changed = set_reading_text(noted, "M1", field, typed)
    assert getattr(changed.readings["M1"], field) == held
    shown = reading_text(changed.readings["M1"], field)
    assert set_reading_text(changed, "M1", field, shown) is changed


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [("450 mV", 450, "mV"), ("0,45v", 0.45, "V"), ("3 Ω", 3, "ohm"), ("2 mA", 2, "mA")],
)
def test_a_value_may_carry_its_unit(
    noted: Map, typed: str, value: float, unit: str
) -> None:
    reading = set_reading_text(noted, "M1", "value", typed).readings["M1"]
    assert (reading.value, reading.unit) == (value, unit)


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("states", "RUM", "“RUM” is no key or switch state"),
        ("states", "RUM", "nearest is “RUN”"),
        ("point", " ", "Point is missing"),
        ("value", "nine", "not a number"),
        ("value", "1e9", "Value must be from"),
        ("unit", "kg", "Unit cannot be “kg”"),
        ("date", "18.5.24", "year-month-day"),
        ("note", "a\x00b", "control character"),
        ("out", "F5\x07", "control character"),
    ],
)
def test_what_cannot_be_held_is_refused_with_a_sentence(
    noted: Map, field: str, typed: str, says: str
) -> None:
    with pytest.raises(EditRefused) as refused:
        set_reading_text(noted, "M1", field, typed)
    assert says in str(refused.value)


def test_a_reading_that_is_not_there_is_refused_and_not_removed(noted: Map) -> None:
    with pytest.raises(EditRefused, match="There is no reading “M9”"):
        set_reading_text(noted, "M9", "value", "1")
    assert remove_reading(noted, "M9") is noted
    assert not remove_reading(noted, "M1").readings


@settings(max_examples=80, deadline=None)
@given(
    field=st.sampled_from(["point", "against", "load", "out", "seen", "meter", "note"]),
    text=st.one_of(st.sampled_from(TRAPS), st.text(max_size=40)),
)
def test_whatever_is_typed_is_refused_or_comes_back_from_a_file(
    field: str, text: str
) -> None:
    document, key = add_reading(Map(), Reading(point="F1"))
    try:
        document = set_reading_text(document, key, field, text)
    except EditRefused:
        return
    again = read_map(map_text(document).encode()).document
    assert again.readings == document.readings


def test_a_test_of_the_same_day_is_noted_once_and_of_another_day_beside() -> None:
    tried: dict[str, Any] = {"point": "blower", "states": ("RUN",)}
    document = note_again(Map(), Reading(**tried, seen="dead", date="2024-05-18"))
    document = note_again(document, Reading(**tried, seen="dim", date="2024-05-18"))
    assert [r.seen for r in document.readings.values()] == ["dim"]
    document = note_again(document, Reading(**tried, seen="works", date="2024-06-02"))
    assert [r.seen for r in document.readings.values()] == ["dim", "works"]
    again = Reading(**tried, seen="works", date="2024-06-02")
    assert note_again(document, again) is document


def test_another_point_state_or_lamp_is_another_test() -> None:
    document = note_again(
        Map(),
        Reading(point="F1 fuse", seen="bright"),
        Reading(point="F1 fuse", seen="bright", meter="lamp in place"),
        Reading(point="F1 fuse", seen="bright", states=("RUN",)),
        Reading(point="F1.b1", against="F1.b2", value=1, unit="mV"),
        Reading(point="F1.b1", against="F1.b2", value=0.002, unit="V"),
    )
    assert len(document.readings) == 4
    assert document.readings["M4"].value == 0.002


def test_what_was_read_before_a_repair_is_not_written_over_the_same_day() -> None:
    dead = Reading(point="horn", seen="dead", date="2024-05-18")
    document = set_aside(note_again(Map(), dead), "M1")
    document = note_again(document, Reading(point="horn", seen="works", date=dead.date))
    assert [(r.seen, r.aside) for r in document.readings.values()] == [
        ("dead", True),
        ("works", False),
    ]
    back = weigh_again(document, "M1", "M2")
    assert not any(reading.aside for reading in back.readings.values())
    assert set_aside(document, "M1", "M9") is document
