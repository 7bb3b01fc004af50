"""What follows from a reading, and what a repeated one says beside its earlier one.

Outside sources: tests/data/stories.json, where a search was worked by hand, and the
allowed drops of service manuals in blockmap/reference/drops.py (rows VERIFIED).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.observations import observations
from blockmap.analysis.isolation.proved import Followed, follow_words, followed
from blockmap.model.document import Reading
from tests.analysis.isolation.sample_cars import bare, shipped, with_readings

STORIES = {
    story["id"]: story
    for story in json.loads(
        (Path(__file__).parents[2] / "data" / "stories.json").read_text("utf-8")
    )["stories"]
}
ON: dict[str, Any] = {"states": ("RUN",), "load": "blower, high"}


def of(*readings: Reading) -> dict[str, Followed]:
    return dict(followed(with_readings(bare(shipped("demo")), list(readings))))


def test_milliohms_and_watts_are_those_of_the_story() -> None:
    told = STORIES["T2"]["steps"][2]["reading"]
    assert told == "1.9 V = 106 milliohm = 34 W"
    (found,) = of(
        Reading(point="F7.feed", against="F11.b1", value=1.9, amps_a=18, **ON)
    ).values()
    assert found.loss is not None
    assert round(found.loss.resistance.value) == 106
    assert round(found.loss.heat.value) == 34


def test_a_repeated_reading_says_what_has_changed_and_whether_it_holds_now() -> None:
    # The limit: 0.1 V at a high-current connection, a service manual of 1999.
    ends: dict[str, Any] = {"point": "F11.feed", "against": "F11.b1"}
    readings = [
        Reading(**ends, value=1.9, date="2024-05-18", **ON),
        Reading(point="battery", value=12.3, **ON),
        Reading(**ends, value=40, unit="mV", amps_a=18, date="2024-06-02", **ON),
    ]
    document = with_readings(bare(shipped("demo")), readings)
    found = followed(document)
    before, after = found["r1"], found["r3"]
    assert (before.before, before.within) == ("", False)
    assert (after.before, after.within) == ("r1", True)
    assert after.change == pytest.approx(0.04 - 1.9)  # in the unit of the earlier one
    assert after.limit is not None
    assert after.limit.words() == "at most 0.1 V"
    assert after.limit.sources
    assert follow_words(document, after) == (
        "2.22 mΩ, 0.72 W; holds: at most 0.1 V; before on 2024-05-18 1.9 V: 1.86 V less"
    )
    assert follow_words(document, before) == "above the limit of 0.1 V"


def test_another_state_or_another_load_is_no_repetition() -> None:
    point: dict[str, Any] = {"point": "F11.load"}
    found = of(
        Reading(**point, value=9.5, **ON),
        Reading(**point, value=11.9, states=("ACC",), load="blower, high"),
        Reading(**point, value=11.9, states=("RUN",)),
        Reading(**point, value=11.9, out=("F5",), **ON),
    )
    assert all(not each.before for each in found.values())


def test_what_works_after_the_repair_is_a_pair_with_what_was_dead() -> None:
    found = of(Reading(point="horn", seen="dead"), Reading(point="Horn", seen="works"))
    assert found["r2"] == Followed(before="r1", within=True)
    assert found["r1"].within is False


def test_volts_under_load_are_held_against_the_battery_as_it_was_read() -> None:
    # 1.0 V in a 12 V circuit is a problem, two service manuals: at least 11.3 V.
    found = of(
        Reading(point="battery", value=12.3, **ON),
        Reading(point="F11.load", value=11.4, **ON),
        Reading(point="F7.feed", value=11.2, **ON),
        Reading(point="F8.feed", value=12.0, states=("RUN",)),
    )
    assert [found[f"r{n}"].within for n in (1, 2, 3, 4)] == [None, True, False, None]


def test_positive_ground_reads_negative_and_holds_all_the_same() -> None:
    ends: dict[str, Any] = {"point": "F11.b2", "against": "F11.load"}
    found = of(Reading(**ends, value=-0.45, **ON), Reading(**ends, value=-0.05, **ON))
    assert found["r1"].within is False
    assert found["r2"].within is True
    assert found["r2"].change == pytest.approx(-0.4)


def left_out(*readings: Reading) -> list[str]:
    document = with_readings(bare(shipped("demo")), list(readings))
    return [why for _, why in observations(network_of(document), document).unused]


def test_the_reading_taken_again_is_the_one_that_counts() -> None:
    ends: dict[str, Any] = {"point": "F11.feed", "against": "F11.b1"}
    unused = left_out(
        Reading(**ends, value=1.9, **ON), Reading(**ends, value=0.02, **ON)
    )
    assert unused == ["taken again later, as r2: that one counts"]


def test_the_draw_with_the_key_off_is_not_taken_for_a_fault() -> None:
    ends: dict[str, Any] = {
        "point": "F9.b1",
        "against": "F9.b2",
        "states": ("KEY OUT",),
    }
    assert left_out(Reading(**ends, value=3, unit="mV")) == [
        "it counts for the draw with the key off"
    ]
    assert left_out(Reading(**ends, value=12.3)) == []
