"""The survey grid, the draw with the key off, and the lamp in the fuse's place."""

from __future__ import annotations

import pytest

from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.observations import observations
from blockmap.analysis.isolation.parasitic import Parasitic, parasitic_draw
from blockmap.analysis.isolation.places import Places
from blockmap.analysis.isolation.short_finding import branches, steps
from blockmap.analysis.isolation.survey import Survey, survey_of
from blockmap.model.document import Map, Reading
from blockmap.model.ids import ContactRef
from tests.analysis.isolation.sample_cars import bare, shipped, with_readings


def surveyed(document: Map) -> Survey:
    network = network_of(document)
    return survey_of(document, network, observations(network, document).used)


def probed(point: str, states: dict[str, str]) -> list[Reading]:
    return [
        Reading(point=point, seen=word, states=(state,), meter="test lamp")
        for state, word in states.items()
    ]


RUN_ONLY = {"OFF": "dead", "ACC": "dead", "RUN": "live"}
ACC_RUN = {"OFF": "dead", "ACC": "live", "RUN": "live"}
ALWAYS = {"OFF": "live", "ACC": "live", "RUN": "live"}


def test_contacts_of_one_pattern_are_grouped_and_named() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            *probed("F7.feed", RUN_ONLY),
            *probed("F8.feed", RUN_ONLY),
            *probed("F4.feed", ACC_RUN),
            *probed("F1.feed", ALWAYS),
        ],
    )
    survey = surveyed(document)
    named = {each.name: each for each in survey.classes}
    assert set(named) == {"RUN", "ACC and RUN", "always"}
    run = named["RUN"]
    assert {c.cavity for c in run.contacts} == {"panel/F7", "panel/F8"}
    assert run.strips == ("panel/RUN",)
    assert "START" in run.untested
    assert not survey.contradictions
    assert survey.tested == 12
    feeds = [
        c
        for c in document.cavities.values()
        if c.kind != "blank" and {"feed", "30"} & set(c.contact_names)
    ]
    # KEY OUT, OFF, ACC, RUN, START, PARK, HEAD LOW, HEAD HIGH and BRAKE.
    assert survey.untested == 9 * len(feeds) - 12


def test_what_contradicts_the_map_is_named() -> None:
    document = with_readings(bare(shipped("demo")), probed("F4.feed", RUN_ONLY))
    (wrong,) = surveyed(document).contradictions
    assert wrong.contact == ContactRef("panel/F4", "feed")
    assert (wrong.state, wrong.found, wrong.expected) == ("ACC", "dead", "live")


def test_what_stopped_with_a_fuse_out_belongs_to_it() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            Reading(point="radio", seen="stopped", states=("RUN",), out=("F5",)),
            Reading(point="wiper", seen="works", states=("RUN",), out=("F5",)),
        ],
    )
    (pulled,) = surveyed(document).pulled
    assert pulled.cavity == "panel/F5"
    assert pulled.stopped == ("radio",)
    assert pulled.still == ("wiper",)


def drawn(readings: list[Reading]) -> Parasitic:
    document = with_readings(bare(shipped("demo")), readings)
    return parasitic_draw(document, Places(network_of(document), document))


def test_millivolts_across_fuses_add_up_to_the_battery_reading() -> None:
    # Worked by hand with the cold resistance of the maker's tables in
    # reference/fuse_resistance.py: a medium blade of 10 A has 7.7 mΩ, one of 25 A
    # 2.52 mΩ. 0.2 mV / 7.7 mΩ = 25.97 mA; 0.1 mV / 2.52 mΩ = 39.68 mA.
    off = ("KEY OUT",)
    found = drawn(
        [
            Reading(point="F9.b1", against="F9.b2", value=0.2, unit="mV", states=off),
            Reading(point="F4.b1", against="F4.b2", value=0.1, unit="mV", states=off),
            Reading(point="battery", value=90.0, unit="mA", states=off),
            Reading(
                point="F1.b1", against="F1.b2", value=3.0, unit="mV", states=("RUN",)
            ),
        ]
    )
    assert found.total is not None
    assert found.total.value == pytest.approx(25.97 + 39.68, abs=0.01)
    assert found.rest_ma == pytest.approx(90 - 65.65, abs=0.01)
    assert {each.cavity for each in found.drawn} == {"panel/F9", "panel/F4"}
    assert "panel/F1" in found.unread
    assert found.verdict is not None


def test_nothing_read_draws_nothing_and_says_so() -> None:
    found = drawn([])
    assert found.total is None
    assert found.verdict is None
    assert found.rest_ma is None


def test_the_branches_below_a_fuse_are_unplugged_one_by_one() -> None:
    network = network_of(bare(shipped("demo")))
    fuse = network.by_name["F7 fuse"]
    names = [branch.name for branch in branches(network, fuse)]
    assert "gauges" in names
    assert "warning lamps" in names
    assert "radio" not in names
    told = steps(network, fuse)
    assert told[0].do.startswith("Pull F7 fuse")
    assert any("Unplug gauges" in step.do for step in told)
