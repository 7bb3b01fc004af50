"""The survey grid, the draw with the key off, and the lamp in the fuse's place."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from blockmap.analysis.isolation.assumptions import SHORT
from blockmap.analysis.isolation.build import network_of
from blockmap.analysis.isolation.faults import Fault
from blockmap.analysis.isolation.network import State
from blockmap.analysis.isolation.observations import observations
from blockmap.analysis.isolation.parasitic import Drawn, Parasitic, parasitic_draw
from blockmap.analysis.isolation.short_finding import (
    Hunt,
    Shown,
    branches,
    hunt,
    lamp_share,
)
from blockmap.analysis.isolation.survey import Survey, survey_of
from blockmap.analysis.numbers.limits import Limits
from blockmap.model.document import Load, Map, Reading
from blockmap.model.edits import set_work
from blockmap.model.ids import ContactRef
from tests.analysis.isolation.sample_cars import bare, shipped, with_readings


def surveyed(document: Map) -> Survey:
    return survey_of(document, network_of(document))


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
    titles = [each.title for each in survey.classes]
    assert sorted(titles) == ["accessory feed", "battery feed", "run feed"]
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


def test_a_contact_tested_in_fewer_states_is_not_put_into_a_class() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            *probed("F7.feed", RUN_ONLY),
            *probed("F1.feed", ALWAYS),
            *probed("F8.feed", {"RUN": "live"}),
        ],
    )
    survey = surveyed(document)
    assert {len(each.contacts) for each in survey.classes} == {1}
    (open_one,) = survey.undecided
    assert open_one.contacts == (ContactRef("panel/F8", "feed"),)
    assert set(open_one.fits) == {"battery feed", "run feed"}
    assert open_one.test == "OFF"


def test_without_the_key_off_nothing_is_called_a_feed_or_offered() -> None:
    live = {"RUN": "live", "START": "live"}
    document = with_readings(
        replace(bare(shipped("demo")), strips={}),
        [*probed("F7.feed", live), *probed("F8.feed", live)],
    )
    (run,) = surveyed(document).classes
    assert (run.name, run.title, run.offers) == ("RUN and START", "", ())


def test_a_coil_contact_stands_in_the_survey_though_no_circuit_weighs_it() -> None:
    document = with_readings(bare(shipped("demo")), probed("R1.85", {"RUN": "live"}))
    assert surveyed(document).grid[ContactRef("panel/R1", "85")]["RUN"].word == "live"
    ((_, why),) = observations(network_of(document), document).unused
    assert why == "the map has no point “R1.85”"


def test_live_with_the_key_off_alone_is_not_yet_always() -> None:
    document = with_readings(bare(shipped("demo")), probed("F1.feed", {"OFF": "live"}))
    (found,) = surveyed(document).classes
    assert (found.name, found.title, found.offers) == ("OFF", "", ())


def test_loose_contacts_of_a_class_are_offered_as_a_strip() -> None:
    document = with_readings(
        bare(shipped("demo")),
        [
            *probed("F7.feed", RUN_ONLY),
            *probed("F8.feed", RUN_ONLY),
            *probed("F3.feed", RUN_ONLY),
            # By the map a wire from F7.load feeds it.
            *probed("FL1.feed", RUN_ONLY),
        ],
    )
    strips = {"panel/RUN": document.strips["panel/RUN"]}
    bare_strips = replace(document, strips={})
    (run,) = surveyed(bare_strips).classes
    assert run.title == "run feed"
    (offer,) = run.offers
    assert ContactRef("panel/FL1", "feed") in run.contacts
    assert {c.cavity for c in offer.contacts} == {"panel/F7", "panel/F8", "panel/F3"}
    (run,) = surveyed(replace(document, strips=strips)).classes
    joined = next(offer for offer in run.offers if offer.strip)
    assert joined.strip == "panel/RUN"
    assert "panel/F7" not in {c.cavity for c in joined.contacts}


def test_a_column_of_two_states_is_named_by_the_one_that_makes_it_live() -> None:
    beam = {"OFF": "dead", "RUN": "dead", "RUN, HEAD LOW": "live"}
    readings = [
        Reading(point="F8.feed", seen=word, states=tuple(state.split(", ")))
        for state, word in beam.items()
    ]
    (found,) = surveyed(with_readings(bare(shipped("demo")), readings)).classes
    assert found.live == ("HEAD LOW",)


def test_volts_are_told_live_or_dead_by_the_supply_of_the_state() -> None:
    # 9.8 V while cranking is a sound 12 V battery; with the key off it is not live.
    # Common practice, no source.
    document = with_readings(
        bare(shipped("demo")),
        [
            Reading(point="F9.b1", value=9.8, states=("START",)),
            Reading(point="F9.b1", value=9.8, states=("OFF",)),
            Reading(point="F9.b1", value=300, unit="mV", states=("ACC",)),
            Reading(point="F9.b1", value=12.5, states=("RUN",)),
            Reading(point="F9.b1", value=8.0, states=("RUN",), load="coil"),
        ],
    )
    row = surveyed(document).grid[ContactRef("panel/F9", "feed")]
    words = {state: found.word for state, found in row.items()}
    assert words == {"START": "live", "OFF": "dim", "ACC": "dead", "RUN": "live"}
    assert row["RUN"].text() == "12.5 V"


def test_what_the_map_does_not_say_is_not_contradicted() -> None:
    document = with_readings(
        replace(bare(shipped("demo")), strips={}), probed("F4.feed", RUN_ONLY)
    )
    assert surveyed(document).contradictions == ()


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
    return parasitic_draw(document)


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


def replayed(fuse: str, fault: str) -> tuple[Hunt, list[str]]:
    """Search with an oracle that shows what a lamp would, until nothing is left."""
    network = network_of(bare(shipped("demo")))
    at = network.by_name[fuse]
    touch = Fault(network.by_name[fault], SHORT)
    answers: list[Shown] = []
    done: list[str] = []
    for _ in range(60):
        found = hunt(network, at, answers)
        if not found.to_come:
            return found, done
        step = found.to_come[0]
        done.append(step.do)
        share = lamp_share(network, at, step.state, touch)
        seen = "bright" if share >= 0.85 else "dim" if share >= 0.2 else "dead"
        answers.append(Shown(step.state, seen))
    raise AssertionError("the search did not end")


def below(fuse: str) -> list[str]:
    """Return the parts below a fuse of the demo whose touch of ground opens it."""
    network = network_of(bare(shipped("demo")))
    at = network.by_name[fuse]
    kinds = ("wire", "load", "control", "connector", "contact")
    return [
        network.elements[k].name
        for k in sorted(network.below(at))
        if network.elements[k].kind in kinds and network.protector(k) == at
    ]


@pytest.mark.parametrize("fuse", ["F7 fuse", "F5 fuse", "F2 fuse", "F11 fuse"])
def test_wherever_the_touch_of_ground_is_the_lamp_leads_there(fuse: str) -> None:
    # Source: "lamp in place of the fuse, branch by branch"; common practice. The
    # oracle answers as a lamp in series would: full brightness into a dead short.
    for fault in below(fuse):
        found, done = replayed(fuse, fault)
        network = network_of(bare(shipped("demo")))
        names = [network.elements[k].name for k in found.left]
        assert fault in names, (fault, done)
        assert len(names) < len(below(fuse)), (fault, done)
        assert len(done) <= len(below(fuse))


def test_a_branch_that_ends_the_light_is_where_the_touch_was() -> None:
    found, done = replayed("F7 fuse", "gauges")
    network = network_of(bare(shipped("demo")))
    assert [network.elements[k].name for k in found.left] == ["gauges"]
    assert found.verdict == "The touch of ground is in gauges."
    assert done[0] == "Everything off"


def test_a_lamp_that_never_lights_says_that_nothing_touches_now() -> None:
    network = network_of(bare(shipped("demo")))
    at = network.by_name["F7 fuse"]
    answers: list[Shown] = []
    while (found := hunt(network, at, answers)).to_come:
        step = found.to_come[0]
        assert step.sound in ("dim", "dark")
        answers.append(Shown(step.state, "dim" if step.sound == "dim" else "dead"))
    assert found.verdict.startswith("Nothing touches ground now")
    assert not found.left


def test_answers_that_no_single_touch_gives_are_said_to_be_so() -> None:
    network = network_of(bare(shipped("demo")))
    at = network.by_name["F7 fuse"]
    first = hunt(network, at, ()).to_come[0].state
    found = hunt(network, at, [Shown(first, "bright"), Shown(first, "dead")])
    assert found.verdict.startswith("No single touch of ground fits")


def test_the_branches_below_a_fuse_are_unplugged_one_by_one() -> None:
    network = network_of(bare(shipped("demo")))
    fuse = network.by_name["F7 fuse"]
    names = [branch.name for branch in branches(network, fuse)]
    assert "gauges" in names
    assert "warning lamps" in names
    assert "radio" not in names
    # The plug of the gauges is one plug, not one of the wire and one of the load.
    assert "wire to gauges" not in names


@pytest.mark.parametrize("watts", [5.0, 21.0, 55.0])
def test_the_lamp_of_the_map_takes_its_share_of_the_volts(watts: float) -> None:
    # Two resistors in series share the volts as their ohms (Ohm's law); a lamp of so
    # many watts has volts squared over watts.
    document = set_work(bare(shipped("demo")), "lamp_w", f"{watts:g}")
    network = network_of(document)
    load = network.loads["gauges"]
    lamp_ohm = network.volts**2 / watts
    wanted = lamp_ohm / (lamp_ohm + network.elements[load.element].ohms)
    state = State(frozenset(("RUN",)), frozenset(("gauges",)))
    fuse = network.by_name["F7 fuse"]
    assert lamp_share(network, fuse, state) == pytest.approx(wanted)
    steps = hunt(network, fuse, ()).to_come
    sound = next((s.sound for s in steps if s.do == "Only gauges on"), "bright")
    assert sound == ("bright" if wanted >= 0.85 else "dim" if wanted >= 0.2 else "dark")


def test_a_current_names_the_load_that_draws_as_much_or_the_fewest_together() -> None:
    document = bare(shipped("demo"))
    cavity = document.cavities["panel/F9"]
    loads = (
        Load(name="clock", amps_a=0.02),
        Load(name="memory", amps_a=0.006),
        Load(name="pump", amps_a=8),
        Load(name="module"),
    )
    fed = {**document.cavities, cavity.id: replace(cavity, loads=loads)}
    ends: dict[str, Any] = {"point": "F9.b1", "against": "F9.b2", "unit": "mV"}

    def found(millivolts: float) -> Drawn:
        reading = Reading(value=millivolts, **ends)
        (drawn,) = parasitic_draw(
            with_readings(replace(document, cavities=fed), [reading]),
            Limits(meter_step_mv=0.01),
        ).drawn
        return drawn

    # 7.7 mΩ of a medium blade of 10 A: 0.2 mV is 26 mA, 0.77 mV 100 mA.
    assert [match.loads for match in found(0.2).matches] == [("clock", "memory")]
    assert found(0.2).unsized == ("module",)
    assert found(0.77).matches == ()
    # Less than one step of the meter says of no load that it draws.
    assert found(0.0).matches == ()
    assert found(0.0).unsized == ()


def test_airbag_fuses_are_not_asked_for() -> None:
    document = bare(shipped("demo"))
    cavity = replace(document.cavities["panel/F9"], legend="SRS")
    barred = replace(document, cavities={**document.cavities, cavity.id: cavity})
    found = parasitic_draw(barred)
    assert found.barred == ("panel/F9",)
    assert "panel/F9" not in found.unread


def test_a_rating_that_no_table_has_is_taken_between_its_neighbours() -> None:
    # Worked by hand: a medium blade of 15 A has 4.8 mΩ (72 mV at 15 A), one of 25 A
    # 2.52 mΩ (63 mV). At 20 A that is 3.6 and 3.15 mΩ, 3.375 in the middle:
    # 0.3 mV / 3.375 mΩ = 88.9 mA; the band is 0.2 / 3.6 to 0.4 / 3.15.
    (drawn,) = drawn_by_fuse(Reading(point="F7.b1", against="F7.b2", value=0.3e-3))
    assert drawn.current is not None
    assert drawn.current.value == pytest.approx(88.9, abs=0.1)
    assert drawn.current.low == pytest.approx(55.6, abs=0.1)
    assert drawn.current.high == pytest.approx(127.0, abs=0.1)
    assert "taken between 15 A and 25 A" in drawn.current.note
    assert drawn.current.uses_memory


def drawn_by_fuse(*readings: Reading) -> tuple[Drawn, ...]:
    return drawn(list(readings)).drawn
