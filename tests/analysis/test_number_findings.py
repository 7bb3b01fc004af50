"""Findings on numbers: at which number they begin, and what they say of its origin."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.analysis.finding import Finding, Level
from blockmap.analysis.findings import check, checked
from blockmap.model.document import (
    Car,
    Cavity,
    Contact,
    Load,
    Map,
    Strip,
    TerminalFamily,
    Wire,
)
from blockmap.model.edits import set_family, set_limit
from tests.analysis.test_findings import fuse, only, panel, told, wired


def draws(amps_a: float, duty: str | None = "continuous") -> tuple[Load, ...]:
    """Return one load of so many amps."""
    return (Load(name="fan", amps_a=amps_a, duty=duty),)


def one_of(document: Map, code: str) -> Finding:
    """Return the only finding of a code."""
    (found,) = (f for f in check(document) if f.code == code)
    return found


def test_a_fuse_below_the_bound_but_above_its_noted_insulation_is_advice() -> None:
    # Source: 33 CFR 183.425 Table 5: 16 AWG bears 25 A at 105 °C and 15 A at 60 °C.
    wires = wired(Wire(gauge="16 AWG", insulation="60 °C"))
    found = only(panel(fuse(1, rating_a=20.0, contacts=wires)))
    assert (found.code, found.level) == ("fuse-above-wire-limit", Level.ADVICE)
    assert "183.425" in found.why
    assert "15 A" in found.what


def test_a_limit_set_by_the_user_is_said_with_the_finding() -> None:
    # Source: the same table: 16 AWG bears 20 A at 80 °C.
    document = panel(fuse(1, rating_a=25.0, contacts=wired(Wire(gauge="16 AWG"))))
    assert check(document) == ()
    found = only(set_limit(document, "insulation_c", "80"))
    assert (found.code, found.level) == ("fuse-above-wire-limit", Level.ADVICE)
    assert "limit set by you" in found.why
    # Boats allow a fuse of 150 % of the wire: then 25 A may guard 20 A.
    wider = set_limit(
        set_limit(document, "insulation_c", "80"), "fuse_over_wire", "150"
    )
    assert check(wider) == ()


def test_the_share_for_long_use_names_formula_and_source() -> None:
    found = only(panel(fuse(1, loads=draws(16))))
    assert found.code == "loads-above-share"
    assert "20 A × 0.75 = 15 A" in found.why
    assert "75 % of the rating" in found.why
    load, limit = found.figures
    assert (load.value, limit.value) == (16, 15)
    lowered = set_limit(panel(fuse(1, loads=draws(14))), "continuous_share", "60")
    found = only(lowered)
    assert "20 A × 0.6 = 12 A" in found.why
    assert "limit set by you" in found.why


def test_loads_above_the_smaller_fuse_that_is_fitted_are_advice() -> None:
    found = check(panel(fuse(1, fitted_a=10.0, loads=draws(12))))
    assert [f.code for f in found] == ["loads-above-fitted", "fitted-below-rating"]
    assert "fit 20 A" in found[0].todo


def wire_of(length_m: float, amps_a: float) -> Map:
    """Return a fuse with one load at the end of a wire of 1.5 mm²."""
    wires = wired(Wire(gauge="1.5 mm2", length_m=length_m))
    return panel(fuse(1, rating_a=20.0, loads=draws(amps_a), contacts=wires))


@pytest.mark.parametrize(
    ("length_m", "expected"),
    [
        # IEC 60228: 13.3 mΩ/m at most, so 10 A lose 0.133 V a metre. Of 12 V 5 % are
        # 0.6 V and a twelfth is 1.0 V, the limits of tester and service manuals. Good
        # copper loses 11.4 mΩ/m at least, which is 1.0 V at 8.8 m.
        (4.0, []),
        (5.0, [("advice", "drop-above-advice")]),
        (8.0, [("advice", "drop-above-advice")]),
        (9.5, [("error", "drop-above-fault")]),
    ],
)
def test_a_long_wire_is_advice_and_a_very_long_one_an_error(
    length_m: float, expected: list[tuple[str, str]]
) -> None:
    assert told(wire_of(length_m, 10.0)) == expected


def test_the_drop_says_what_is_left_how_and_by_whom() -> None:
    found = only(wire_of(9.5, 10.0))
    assert "left at the load" in found.what
    assert "U = R × I" in found.why
    assert "IEC 60228" in found.why
    assert found.figures[0].unit == "V"


def test_wires_that_share_the_current_are_never_an_error_of_one() -> None:
    wires = wired(*[Wire(gauge="1.5 mm2", length_m=9.5)] * 2)
    document = panel(fuse(1, rating_a=20.0, loads=draws(10), contacts=wires))
    assert {f.level for f in check(document)} == {Level.ADVICE}


def test_a_contact_beyond_its_width_is_advice_without_a_source() -> None:
    # A blade of 2.8 mm carries about 15 A: common practice, no source.
    contacts = {"load": Contact(terminal="2.8 mm tab")}
    document = panel(fuse(1, rating_a=30.0, loads=draws(16), contacts=contacts))
    found = only(document)
    assert (found.code, found.level) == ("load-above-contact", Level.ADVICE)
    assert "common practice, no source" in found.why


def test_a_terminal_family_of_the_map_says_what_its_contacts_bear() -> None:
    # Above, 2.8 mm without a family of the map's own bears 15 A.
    contacts = {"load": Contact(terminal="special clip")}
    document = panel(fuse(1, rating_a=30.0, loads=draws(16), contacts=contacts))
    assert check(document) == ()
    clip = TerminalFamily(name="special clip", capacity_a=12.0, known="its datasheet")
    first = checked(document)
    described = set_family(document, "clip", clip)
    (found,) = checked(described, first).findings
    assert found.code == "load-above-contact"
    assert "12 A" in found.what
    assert "its datasheet" in found.why
    larger = dataclasses.replace(clip, capacity_a=20.0)
    again = checked(described, first)
    assert checked(set_family(described, "clip", larger), again).findings == ()


@pytest.mark.parametrize(
    ("link", "expected"),
    [
        # Four gauge numbers: common practice, no source.
        ("16 AWG", []),
        ("14 AWG", [("advice", "link-too-thick")]),
        ("20 AWG", [("information", "link-too-thin")]),
    ],
)
def test_a_link_is_held_against_its_wire(
    link: str, expected: list[tuple[str, str]]
) -> None:
    contacts = {
        "feed": Contact(wires=(Wire(gauge=link),)),
        "load": Contact(wires=(Wire(gauge="12 AWG"),)),
    }
    place = fuse(1, kind="link", form="", rating_a=None, contacts=contacts)
    assert told(panel(place)) == expected


def tab(fed_from: str = "", amps_a: float = 0.0) -> Cavity:
    """Return a tab with something added at it."""
    loads = draws(amps_a) if amps_a else ()
    return fuse(
        3,
        kind="tab",
        form="tab 6.3",
        rating_a=None,
        loads=loads,
        contacts={"pin": Contact(fed_from=fed_from)},
    )


def test_something_added_at_a_tab_without_a_fuse_is_advice() -> None:
    found = only(panel(tab("battery", 5)))
    assert (found.code, found.level) == ("tab-not-fused", Level.ADVICE)
    assert told(panel(tab("battery"))) == []
    assert told(panel(fuse(1), tab("F1.load", 5))) == []


def test_an_add_on_beyond_the_room_of_its_fuse_is_advice_at_both() -> None:
    document = panel(fuse(1, loads=draws(11)), tab("F1.load", 6))
    assert told(document) == [
        ("advice", "loads-above-share"),
        ("advice", "add-on-above-fuse"),
    ]
    assert one_of(document, "add-on-above-fuse").objects == ("p/F3", "p/F1")


def strip_of(*amps: float, duty: str = "continuous") -> Map:
    """Return a strip with loads and a supply wire of 18 AWG, which bears 20 A."""
    places = [fuse(n, loads=draws(a, duty)) for n, a in enumerate(amps)]
    strip = Strip(
        id="p/BAT",
        block="p",
        name="BAT",
        members=tuple(f"F{n}.feed" for n in range(len(amps))),
        supply_gauge="18 AWG",
    )
    return panel(*places, strips={strip.id: strip})


def test_a_strip_beyond_its_supply_wire_is_found() -> None:
    # Source: 33 CFR 183.425 Table 5: 18 AWG bears 20 A at 105 °C.
    assert check(strip_of(9, 10)) == ()
    found = only(strip_of(9, 12))
    assert (found.code, found.level) == ("strip-above-supply", Level.ADVICE)
    assert found.objects == ("p/BAT",)
    assert "183.425" in found.why
    at_once = only(strip_of(9, 12, duty="intermittent"))
    assert at_once.code == "strip-perhaps-above-supply"
    assert at_once.level is Level.INFORMATION


def test_a_missing_rating_says_what_the_loads_ask_for() -> None:
    # 11 A all the time want 11 / 0.75 = 14.7 A: the next usual medium blade is 15 A.
    found = only(panel(fuse(1, rating_a=None, loads=draws(11))))
    assert found.code == "rating-missing"
    assert "15 A" in found.todo
    assert "11 A / 0.75 = 14.7 A" in found.why
    large = panel(fuse(1, rating_a=None, loads=draws(60)))
    none_fits = one_of(large, "rating-missing")
    assert "no rating follows" in none_fits.todo


@given(
    st.sampled_from((5.0, 10.0, 15.0, 20.0, 25.0, 30.0)),
    st.floats(0.01, 40),
    st.floats(0, 50),
)
def test_no_amps_and_no_length_make_a_figure_leave_its_band(
    rating_a: float, amps_a: float, length_m: float
) -> None:
    wires = wired(Wire(gauge="2.5 mm2", length_m=length_m))
    check(panel(fuse(1, rating_a=rating_a, loads=draws(amps_a), contacts=wires)))


def test_loads_without_amps_or_watts_give_no_alarm() -> None:
    assert check(panel(fuse(1, loads=(Load(name="fan"),)), car=Car(volts=6))) == ()
