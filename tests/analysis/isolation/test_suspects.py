"""Suspects and next readings: what a person would be told, on whole cars."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blockmap.analysis.isolation.answering import reading_for
from blockmap.analysis.isolation.isolate import isolate
from blockmap.analysis.isolation.trials import trials
from blockmap.analysis.isolation.weighing import Stopped
from blockmap.model.document import Condition, Load, Map, Reading, empty_map
from blockmap.model.geometry import View
from tests.analysis.isolation.sample_cars import (
    bare,
    ladder_map,
    shipped,
    with_readings,
)

DEAD = Reading(point="lamp 1", seen="dead", states=("RUN",))
TWIN = Reading(point="lamp 2", seen="works", states=("RUN",))


def chances(document: Map) -> dict[tuple[str, str], float]:
    found = isolate(document, most=200)
    return {
        (name, suspect.fault): suspect.probability
        for suspect in found.suspects
        for name in suspect.elements
    }


def test_a_twin_that_works_clears_all_that_is_shared() -> None:
    # Source: "a twin that works is a free reference", rule of the trade.
    alone = chances(with_readings(ladder_map(), [DEAD]))
    with_twin = chances(with_readings(ladder_map(), [DEAD, TWIN]))
    shared = ("switch of strip S", "open")
    assert alone[shared] > 0.03
    assert with_twin.get(shared, 0.0) < 0.01
    assert with_twin["F1 fuse", "open"] > alone["F1 fuse", "open"]


def test_volts_before_and_none_behind_leave_the_fuse_alone() -> None:
    found = isolate(
        with_readings(
            ladder_map(),
            [
                DEAD,
                Reading(point="F1.b1", value=12.5, states=("RUN",), load="lamp 1"),
                Reading(point="F1.b2", value=0.0, states=("RUN",), load="lamp 1"),
                Reading(point="F1", seen="blown"),
            ],
        )
    )
    first = found.suspects[0]
    assert first.elements == ("F1 fuse",)
    assert first.fault == "open"
    others = {s.fault for s in found.suspects[1:] if s.probability > 0.01}
    assert others == {"short to ground"}
    assert found.next is not None
    assert found.next.kind == "in place"


def test_positive_ground_reads_the_same_with_a_minus() -> None:
    def readings(sign: float) -> list[Reading]:
        return [
            DEAD,
            TWIN,
            Reading(point="F1.b2", value=sign * 12.3, states=("RUN",), load="lamp 1"),
        ]

    plain = isolate(with_readings(ladder_map(), readings(1)))
    turned = isolate(with_readings(ladder_map("positive ground"), readings(-1)))
    for one, other in zip(plain.suspects[:6], turned.suspects[:6], strict=True):
        assert one.elements == other.elements
        assert one.probability == pytest.approx(other.probability, rel=1e-6)
    assert plain.next is not None
    assert turned.next is not None
    if plain.next.expected_v is not None and turned.next.expected_v is not None:
        assert turned.next.expected_v == pytest.approx(-plain.next.expected_v)


def test_a_reading_that_fits_nothing_is_named() -> None:
    found = isolate(
        with_readings(
            ladder_map(),
            [
                Reading(point="lamp 1", seen="works", states=("RUN",)),
                Reading(point="F1.b2", value=12.4, states=("RUN",), load="lamp 1"),
                Reading(point="F1.b1", value=3.0, states=("RUN",), load="lamp 1"),
            ],
        )
    )
    assert found.none_fits
    assert [key for key, _ in found.contradicted] == ["r3"]
    assert "feed end of fuse F1" in found.sentence()


def test_what_cannot_be_used_is_named_and_left_out() -> None:
    found = isolate(
        with_readings(
            ladder_map(), [Reading(point="F9.b1", value=1.0), Reading(point="F1.b1")]
        )
    )
    assert [key for key, _ in found.unused] == ["r1", "r2"]
    assert not found.belief.observed


def test_two_faults_are_found_when_no_single_one_fits() -> None:
    # Worked by hand: 12.6 V over 2.15 + 0.5 + 1 Ω is 3.42 A; with it 1.74 V lie
    # across the fuse, 3.43 V across the ground, and 10.7 V are behind the fuse.
    readings = [
        Reading(point="lamp 1", seen="dim", states=("RUN",)),
        Reading(point="F1.b1", value=12.45, states=("RUN",), load="lamp 1"),
        Reading(
            point="F1.b1", against="F1.b2", value=1.74, states=("RUN",), load="lamp 1"
        ),
        Reading(point="ground of lamp 1", value=3.43, states=("RUN",), load="lamp 1"),
    ]
    # One reading against the rest may be a slip: that is said, both ways.
    doubtful = isolate(with_readings(ladder_map(), readings))
    likely = [s for s in doubtful.suspects if s.probability > 0.1]
    assert doubtful.none_fits or any(s.second for s in likely)
    behind = Reading(point="F1.b2", value=10.72, states=("RUN",), load="lamp 1")
    found = isolate(with_readings(ladder_map(), [*readings, behind]))
    assert not found.none_fits
    first = found.suspects[0]
    assert {*first.elements, *first.second} == {"F1 fuse", "ground of lamp 1"}
    assert first.ohms is not None
    assert first.ohms[0] == pytest.approx(0.5, rel=0.1)


def test_a_recorded_condition_makes_its_contact_likelier() -> None:
    document = with_readings(ladder_map(), [DEAD, TWIN])
    plain = chances(document)
    cavity = document.cavities["p/F1"]
    contact = replace(
        cavity.contact("load"), condition=Condition(state="backed out", severity=3)
    )
    noted = replace(cavity, contacts={**cavity.contacts, "load": contact})
    worse = chances(replace(document, cavities={**document.cavities, "p/F1": noted}))
    assert worse["F1.load", "open"] > 4 * plain["F1.load", "open"]


def test_airbag_circuits_are_never_proposed() -> None:
    document = ladder_map()
    cavity = replace(
        document.cavities["p/F1"],
        circuit="Airbag",
        loads=(Load(name="airbag unit", amps_a=1.0),),
    )
    document = replace(document, cavities={**document.cavities, "p/F1": cavity})
    dead = Reading(point="airbag unit", seen="dead", states=("RUN",))
    found = isolate(with_readings(document, [dead]))
    for trial in trials(found.belief):
        for point in (trial.point, trial.against):
            assert point is None or point.cavity != "p/F1"
        assert trial.kind != "in place" or trial.element < 0
    for proposed in found.following:
        assert not proposed.point.startswith("F1.")
        assert proposed.place[0] != "p/F1" or proposed.kind in ("load", "looked")


def test_what_lies_behind_is_shown_in_the_rear_view_with_its_cautions() -> None:
    found = isolate(with_readings(bare(shipped("demo")), []))
    behind = [p for p in found.following if p.access == "block down"]
    dim = Reading(point="blower, high", seen="dim", states=("RUN",))
    for _ in range(6):
        found = isolate(with_readings(bare(shipped("demo")), [dim]), most=3)
        behind += [p for p in found.following if p.access == "block down"]
    front = [p for p in found.following if p.access == "front"]
    assert front
    assert all(p.view is View.FRONT for p in front)
    assert all(p.view is View.REAR and p.warnings for p in behind)
    metered = [p for p in found.following if p.kind in ("volts", "drop")]
    assert metered
    assert all(any("female terminal" in w for w in p.warnings) for p in metered)


def test_the_answer_taken_up_becomes_a_reading_of_the_map() -> None:
    document = with_readings(bare(shipped("demo")), [])
    dim = Reading(point="blower, high", seen="dim", states=("RUN",))
    document = with_readings(document, [dim])
    for _ in range(4):
        found = isolate(document)
        if found.next is None:
            break
        metered = found.next.expected_v is not None
        answer = reading_for(
            found.next,
            value_v=found.next.expected_v if metered else None,
            seen="" if metered else "whole" if found.next.kind == "looked" else "works",
        )
        key = f"a{len(document.readings)}"
        document = replace(document, readings={**document.readings, key: answer})
        after = isolate(document)
        assert not after.unused
        assert len(after.belief.observed) == len(document.readings)
        proposed = (found.next.point, found.next.against, found.next.state)
        repeated = [(p.point, p.against, p.state) for p in after.following]
        assert proposed not in repeated


@pytest.mark.parametrize(
    "document",
    [
        empty_map(),
        shipped("blade-grid"),
        shipped("connector-round"),
        shipped("demo"),
    ],
)
def test_any_map_has_an_answer(document: Map) -> None:
    found = isolate(document)
    assert found.suspects
    assert found.sentence()


def test_the_search_stops_when_the_person_goes_on() -> None:
    with pytest.raises(Stopped):
        isolate(with_readings(ladder_map(), [DEAD]), stop=lambda: True)


def test_a_ring_of_feeds_and_a_fuse_that_feeds_itself_do_no_harm() -> None:
    document = ladder_map()
    one, two = document.cavities["p/F1"], document.cavities["p/F2"]
    turned = {
        "p/F1": replace(
            one,
            contacts={"feed": replace(one.contact("feed"), fed_from="F2.load")},
        ),
        "p/F2": replace(
            two,
            contacts={"feed": replace(two.contact("feed"), fed_from="F1.load")},
        ),
    }
    document = replace(document, cavities=turned, strips={})
    found = isolate(with_readings(document, [DEAD, TWIN]))
    assert found.suspects


LAMPS = "rear lamps and trailer lamps"


def lamp(seen: str, *, on: bool = True, out: tuple[str, ...] = ()) -> Reading:
    """Return what a lamp in the place of the fuse showed."""
    return Reading(
        point="U6 fuse", meter="lamp in place", seen=seen, states=("OFF",),
        load=LAMPS if on else "", out=out,
    )  # fmt: skip


def test_a_fuse_that_is_seen_blown_is_asked_about_before_damage_noted_elsewhere() -> (
    None
):
    # Story T7 of tests/data/stories.json: the fuse blows, and the search is at it.
    document = shipped("pickup-power-box")  # with its noted damage
    blown = Reading(point="U6 fuse", seen="blown on bumps")
    found = isolate(with_readings(document, [blown]))
    assert found.suspects[0].elements == ("U6 fuse",)
    assert found.next is not None
    assert LAMPS in found.next.do


def test_a_touch_of_ground_is_proved_gone_by_the_lamp_that_showed_it() -> None:
    # Source of the order of tests: story T7 of tests/data/stories.json. A lamp of the
    # watts of the loads is dim in series with them, bright against a touch of ground
    # (Ohm's law).
    document = bare(shipped("pickup-power-box"))
    found = isolate(
        with_readings(
            document,
            [
                Reading(point="U6 fuse", seen="blown on bumps"),
                Reading(point=LAMPS, seen="dead", states=("OFF",)),
                lamp("bright"),
                lamp("dark", on=False),
                lamp("dark", out=(LAMPS,)),
            ],
        )
    )
    assert found.suspects[0].words() == f"{LAMPS}, short to ground"
    assert f"the likeliest, 98 %: {LAMPS}, short to ground" in found.sentence()
    assert found.following == ()
    assert found.next is not None
    assert found.next.kind == "in place"
    assert found.next.do.startswith("Put a 55 W lamp in the place of fuse U6, key OFF")
    assert found.next.expected == "dim"
