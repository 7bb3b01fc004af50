"""After a repair: the readings that prove it, and the ones to prove it by."""

from __future__ import annotations

from dataclasses import replace

from blockmap.analysis.isolation.isolate import Isolation, isolate
from blockmap.files.store import load
from blockmap.model.document import Reading
from blockmap.resources import layout
from tests.analysis.isolation.sample_cars import ladder_map, with_readings

# Worked by hand: 12.6 V over 2.1 + 1 Ω is 4.1 A, so 4.1 V lie across 1 Ω.
DIM = Reading(point="lamp 1", seen="dim", states=("RUN",))
TWIN = Reading(point="lamp 2", seen="works", states=("RUN",))
ACROSS = Reading(
    point="F1.b2", against="F1.load", value=4.0, states=("RUN",), load="lamp 1"
)
FEED = Reading(
    point="F1.feed", against="F1.b1", value=0.01, states=("RUN",), load="lamp 1"
)
BEFORE = [DIM, TWIN, FEED, ACROSS]


def after(*readings: Reading) -> Isolation:
    return isolate(with_readings(ladder_map(), readings))


def again(reading: Reading, **changed: object) -> Reading:
    return replace(reading, **changed)  # type: ignore[arg-type]


def test_one_suspect_left_names_the_reading_that_proves_its_repair() -> None:
    found = after(*BEFORE)
    assert found.settled
    assert not found.following
    assert found.next is not None
    assert (found.next.point, found.next.against) == ("F1.b2", "F1.load")
    assert found.next.expected_v is not None
    assert found.next.expected_v < 0.1


def test_the_same_reading_again_proves_the_repair() -> None:
    found = after(*BEFORE, again(ACROSS, value=0.02))
    assert not found.none_fits
    assert [text for _, text in found.since] == [
        "load end of fuse F1 against load contact of F1: 0.02 V (RUN, lamp 1)"
    ]
    assert found.suspects[0].elements == ("F1.load",)
    assert "fit a sound car" in found.sentence()
    assert found.next is None


def test_another_reading_that_only_a_sound_car_shows_proves_it_too() -> None:
    behind = Reading(point="lamp 1", value=12.4, states=("RUN",), load="lamp 1")
    found = after(*BEFORE, behind)
    assert found.since
    assert not found.none_fits


def test_a_reading_of_the_same_fault_proves_nothing() -> None:
    found = after(*BEFORE, again(ACROSS, value=3.9))
    assert not found.since
    assert found.suspects[0].elements == ("F1.load",)


def test_one_sound_reading_in_the_midst_of_a_search_is_no_repair() -> None:
    found = after(DIM, TWIN)
    assert not found.since
    assert found.next is not None


def test_a_sound_contact_of_some_milliohms_more_than_usual_is_no_fault() -> None:
    # 20 mV at 3.8 A are 5 mΩ; the allowed drop of a contact is many times that
    # (common practice, no source), and the usual one some 7 mV.
    car = load(layout("saloon-ceramic-row")).document
    low = ("HEAD LOW",)
    beams = "left low beam and right low beam"
    car = with_readings(
        car,
        [
            Reading(point="1.feed", against="1.load", value=48, unit="mV", states=low),
            Reading(point="left low beam", seen="works", states=low),
            Reading(point="1.load", value=11.8, states=low, load=beams),
            Reading(
                point="strip 56b",
                against="1.b1",
                value=20,
                unit="mV",
                states=low,
                load=beams,
            ),
        ],
    )
    assert not isolate(car).none_fits
