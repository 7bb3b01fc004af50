"""Opening times, millivolts, ratings, links: against rows and worked examples."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockmap.analysis.numbers.figure import exact
from blockmap.analysis.numbers.fuse_choice import (
    NONE_FITS,
    fitted_against_specified,
    fuse_against_loads,
    fuse_against_wire,
    suggested_rating,
    terminal_against_load,
)
from blockmap.analysis.numbers.fusible_link import link_against_wire
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.load_current import LoadSum, current_of, own_sum
from blockmap.analysis.numbers.meter_readings import (
    contact_loss,
    current_through_fuse,
    key_off_verdict,
)
from blockmap.analysis.numbers.opening_time import opening_time, seconds_text
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Cavity, Load
from blockmap.reference.fuse_curves import OPENING_POINTS, opening_points
from blockmap.reference.fuse_resistance import cold_resistance, known_ratings
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]
_UNITS: Any = pint.UnitRegistry()
_KNOWN = [
    (form, amps)
    for form in ("mini blade", "medium blade", "maxi blade", "glass 6.3 x 25")
    for amps in known_ratings(form)
]
_TIMED = [
    (form, float(amps))
    for form in OPENING_POINTS
    for amps in (1, 2, 3, 10, 20, 35, 40, 60)
    if opening_points(form, amps)
]


def _loads(continuous: float, more: float = 0.0, **known: Any) -> LoadSum:
    long = exact("long", continuous, "A")
    run = exact("run", continuous + more, "A")
    return LoadSum(long, run, run, **known)


def _cavity(**more: Any) -> Cavity:
    return Cavity(
        id="b/F1", block="b", x_mm=1, y_mm=1, width_mm=19, height_mm=5, **more
    )


@pytest.mark.parametrize("table", ["blades", "glass"])
def test_at_a_published_overload_the_band_is_the_published_one(
    published: Rows, table: str
) -> None:
    # Source: maker datasheets of blade and glass fuses; UL/CSA 248-14 test points.
    for form, amp_range, percent, least_s, most_s in published("fuse_times", table):
        amps = 20.0 if amp_range == "all" else float(amp_range.split("-")[1])
        figure = opening_time(form, amps, amps * percent / 100)
        assert figure is not None
        if least_s is not None:
            assert figure.low == least_s
        if most_s is not None:
            assert figure.high == most_s
        assert figure.sources


@given(st.sampled_from(_TIMED), st.floats(0.05, 12), st.floats(0.05, 12))
def test_more_amps_never_open_slower(
    fuse: tuple[str, float], one: float, other: float
) -> None:
    form, rating = fuse
    less, more = sorted((one, other))
    slow = opening_time(form, rating, rating * less)
    fast = opening_time(form, rating, rating * more)
    assert slow is not None
    assert fast is not None
    assert fast.high <= slow.high
    assert fast.low <= slow.low


def test_a_fuse_below_its_long_hold_is_never_said_to_open() -> None:
    # Source: mini blade datasheet: 100 h at 110 %.
    figure = opening_time("mini blade", 10, 7.5)
    assert figure is not None
    assert (figure.low, figure.high) == (360_000, math.inf)
    assert "no document" in figure.note
    assert "100 h" in figure.formula


def test_a_point_from_memory_narrows_the_band_only_when_asked_for() -> None:
    usual = opening_time("mini blade", 10, 17)
    more = opening_time("mini blade", 10, 17, with_memory=True)
    assert usual is not None
    assert more is not None
    assert usual.high == 600
    assert not usual.uses_memory
    assert more.high == 50
    assert more.uses_memory


def test_bodies_and_ratings_without_a_table_have_no_time() -> None:
    assert opening_time("ceramic 6 x 25", 8, 16) is None
    with pytest.raises(ValueError, match="above zero"):
        opening_time("mini blade", 10, 0)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.15, "0.15 s"), (120, "2 min"), (360_000, "100 h"), (math.inf, "no limit")],
)
def test_times_are_written_for_reading(seconds: float, text: str) -> None:
    assert seconds_text(seconds) == text


def test_worked_examples_of_millivolts(published: Rows) -> None:
    # Source: maker datasheet (10 A medium, 2.4 mV = 312 mA) and trade journal of June
    # 2017 (15 A mini, 0.1 mV = 22 mA); training page: 10 A medium, 1 mV = 130 mA.
    rows = published("fuse_resistance", "millivolts")
    for form, amps, mv, ma in [*rows, ("medium blade", 10, 1, 130)]:
        figure = current_through_fuse(form, amps, mv)
        assert figure is not None
        assert figure.value == pytest.approx(ma, abs=0.6)
        assert not figure.uses_memory


def test_millivolts_agree_with_a_units_library() -> None:
    # Oracle: pint; mini blade of 20 A, 3.21 mΩ by its datasheet.
    amps = (1.7 * _UNITS.millivolt / (3.21 * _UNITS.milliohm)).to("mA").magnitude
    figure = current_through_fuse("mini blade", 20, 1.7)
    assert figure is not None
    assert figure.value == pytest.approx(amps)


@given(st.sampled_from(_KNOWN), st.floats(-1, 1), st.floats(0.001, 1))
def test_one_step_of_the_meter_is_the_band(
    fuse: tuple[str, float], millivolts: float, step: float
) -> None:
    form, rating = fuse
    cold = cold_resistance(form, rating)
    assert cold is not None
    assume(abs(millivolts) / cold.value < 0.1 * rating)
    figure = current_through_fuse(form, rating, millivolts, Limits(meter_step_mv=step))
    assert figure is not None
    up, down = figure.high - figure.value, figure.value - figure.low
    assert up == pytest.approx(down)
    assert up == pytest.approx(1000 * step / cold.value)
    assert figure.uses_memory == (cold.status is Status.MEMORY)
    mirrored = current_through_fuse(form, rating, -millivolts)
    assert mirrored is not None
    assert mirrored.value == pytest.approx(-figure.value)


def test_a_warm_fuse_passes_less_than_computed() -> None:
    # Source: mini blade datasheet: 98 mV at 15 A in a 15 A fuse, 1.43 times cold.
    figure = current_through_fuse("mini blade", 15, 98)
    assert figure is not None
    assert figure.value > 15_000
    assert figure.low <= 15_000 <= figure.high
    assert "warm" in figure.note


def test_key_off_current_beside_its_limit() -> None:
    # Source: trade journal of June 2017: not over 50 mA.
    assert key_off_verdict(exact("draw", 50, "mA")).holds
    assert not key_off_verdict(exact("draw", 51, "mA")).holds
    with pytest.raises(ValueError, match="mA"):
        key_off_verdict(exact("draw", 0.05, "A"))


def test_the_same_drop_is_two_faults() -> None:
    # Physics: 0.4 V at 2 A is 200 mΩ and 0.8 W, at 18 A 22.2 mΩ and 7.2 W.
    light, heavy = contact_loss(0.4, 2), contact_loss(0.4, 18)
    assert light.resistance.value == pytest.approx(200)
    assert light.heat.value == pytest.approx(0.8)
    assert heavy.resistance.value == pytest.approx(22.22, abs=0.01)
    assert heavy.heat.value == pytest.approx(7.2)


def test_worked_example_of_heat() -> None:
    # Source: maker datasheet note: 4.36 A through 10.85 mΩ is about 0.21 W.
    loss = contact_loss(4.36 * 0.01085, 4.36)
    assert loss.heat.value == pytest.approx(0.206, abs=6e-4)
    assert loss.resistance.value == pytest.approx(10.85)


@given(st.floats(-20, 20), st.floats(0.01, 100), st.floats(0, 0.1))
def test_contact_loss_agrees_with_a_units_library(
    volts: float, amps: float, step: float
) -> None:
    # Oracle: pint.
    loss = contact_loss(volts, amps, step)
    drop, current = abs(volts) * _UNITS.volt, amps * _UNITS.ampere
    ohms = (drop / current).to("milliohm").magnitude
    assert loss.resistance.value == pytest.approx(ohms)
    assert loss.heat.value == pytest.approx((drop * current).to("watt").magnitude)
    assert loss.heat.low >= 0
    assert contact_loss(-volts, -amps, step) == loss


def test_without_current_a_contact_proves_nothing() -> None:
    with pytest.raises(ValueError, match="load the circuit"):
        contact_loss(0.0, 0.0)


@given(st.floats(0.1, 500), st.floats(1, 60))
def test_load_current_agrees_with_a_units_library(watts: float, volts: float) -> None:
    # Oracle: pint.
    figure = current_of(Load(name="x", watts_w=watts, at_volts=volts), 12)
    assert figure is not None
    expected = (watts * _UNITS.watt / (volts * _UNITS.volt)).to("A").magnitude
    assert figure.value == pytest.approx(expected)
    assert not figure.is_band


def test_load_current_says_how_it_was_found() -> None:
    entered = current_of(Load(name="horn", amps_a=5), 12)
    assert entered is not None
    assert (entered.text, entered.note) == ("5 A", "as entered")
    plain = current_of(Load(name="lamp", watts_w=55), 12)
    assert plain is not None
    assert plain.formula == "I = P / U = 55 W / 12 V = 4.58 A"
    # Source: trade article: 13.8 to 14.5 V charging.
    assert plain.low == pytest.approx(55 / 14.5)
    assert plain.high == pytest.approx(55 / 12 * 14.5 / 12)
    assert current_of(Load(name="unknown"), 12) is None
    six = current_of(Load(name="lamp", watts_w=55), 6)
    assert six is not None
    assert six.value == pytest.approx(2 * plain.value)


def test_sums_part_long_short_and_rush() -> None:
    cavity = _cavity(
        loads=(
            Load(name="blower", amps_a=18, duty="continuous"),
            Load(name="clutch", amps_a=3.5),
            Load(name="horn", amps_a=5, duty="intermittent"),
            Load(name="start of the motor", amps_a=40, duty="in-rush"),
            Load(name="clock"),
        )
    )
    total = own_sum(cavity, 12)
    assert total is not None
    assert total.continuous.value == pytest.approx(21.5)
    assert total.running.value == pytest.approx(26.5)
    assert total.worst.value == pytest.approx(66.5)
    assert total.unknown == ("clock",)
    assert "clock" in total.worst.note
    assert not total.complete
    assert own_sum(_cavity(), 12) is None


def test_the_suggestion_carries_the_load_at_three_quarters() -> None:
    # Source: maker guide: continuous load at most 75 % of the rating.
    suggestion = suggested_rating("medium blade", _loads(9), None)
    assert suggestion.rating is not None
    assert suggestion.rating.value == 15
    assert "9 A / 0.75 = 12 A" in suggestion.wanted.formula
    assert "never fit a larger fuse" in suggestion.rating.note
    looser = suggested_rating(
        "medium blade", _loads(9), None, Limits(continuous_share=0.9)
    )
    assert looser.rating is not None
    assert looser.rating.value == 10
    assert looser.rating.set_by_you


def test_short_loads_count_at_the_full_rating() -> None:
    suggestion = suggested_rating("medium blade", _loads(8, 10), None)
    assert suggestion.text == "20 A"


@pytest.mark.parametrize(
    ("form", "loads", "gauge", "why"),
    [
        ("medium blade", _loads(21.5), "16 AWG", "the wire bears 25 A"),
        ("medium blade", _loads(50), "", "the largest medium blade has 40 A"),
    ],
)
def test_when_none_fits_the_reason_is_given(
    form: str, loads: LoadSum, gauge: str, why: str
) -> None:
    suggestion = suggested_rating(form, loads, wire_amps(gauge))
    assert suggestion.rating is None
    assert suggestion.text == NONE_FITS
    assert why in suggestion.why


@pytest.mark.parametrize(
    ("form", "loads", "why"),
    [
        ("", _loads(5), "no form"),
        ("medium blade", _loads(5, unknown=("clock",)), "no current is known of clock"),
    ],
)
def test_what_is_not_known_is_not_said_to_fit_or_not(
    form: str, loads: LoadSum, why: str
) -> None:
    suggestion = suggested_rating(form, loads, None)
    assert suggestion.rating is None
    assert suggestion.text == "not known"
    assert why in suggestion.why


@given(st.floats(0.1, 40), st.floats(0, 40), st.sampled_from(["18", "14", "10", ""]))
def test_a_suggestion_keeps_its_promises(long: float, more: float, awg: str) -> None:
    wire = wire_amps(f"{awg} AWG") if awg else None
    suggestion = suggested_rating("medium blade", _loads(long, more), wire)
    if suggestion.rating is None:
        assert suggestion.why
        return
    amps = suggestion.rating.value
    assert amps * 0.75 >= long * (1 - 1e-9)
    assert amps >= (long + more) * (1 - 1e-9)
    assert wire is None or amps <= wire.value


def test_30_a_on_16_awg_is_too_much() -> None:
    # Source: 33 CFR 183.425, table 5: 16 AWG bears 25 A at 105 °C.
    wires = [wire_amps("12 AWG"), wire_amps("16 AWG")]
    check = fuse_against_wire(30, [wire for wire in wires if wire])
    assert check is not None
    assert not check.holds
    assert check.surely_broken
    assert check.words == "30 A of 25 A, 120 %"
    # Source: 33 CFR 183.455: 150 % of the amps is the most a boat may have.
    boats = fuse_against_wire(
        30, [wire for wire in wires if wire], Limits(fuse_over_wire=1.5)
    )
    assert boats is not None
    assert boats.holds
    assert boats.limit.set_by_you
    assert fuse_against_wire(30, []) is None


def test_loads_beside_rating_and_share() -> None:
    rating, share = fuse_against_loads(25, _loads(21.5))
    assert rating.holds
    assert not share.holds
    assert share.limit.value == 18.75
    assert share.limit.sources


def test_fitted_against_specified() -> None:
    check = fitted_against_specified(
        _cavity(rating_a=16, fitted_a=25, form="ceramic 6 x 25")
    )
    assert check.amps == "above"
    assert check.difference is not None
    assert check.difference.value == 9
    assert fitted_against_specified(_cavity(rating_a=16, fitted_a=16)).amps == "same"
    assert fitted_against_specified(_cavity(rating_a=16)).amps == "unknown"
    other = fitted_against_specified(
        _cavity(form="medium blade", fitted_form="mini blade")
    )
    assert other.form == "other"


def test_contact_beside_its_load() -> None:
    check = terminal_against_load("6.3 mm", "", exact("load", 35, "A"))
    assert check is not None
    assert not check.holds
    assert check.limit.status is Status.COMMON_PRACTICE
    assert terminal_against_load("", "glass 6.3 x 32", exact("load", 1, "A")) is None


@pytest.mark.parametrize(
    ("link", "wire", "verdict"),
    [
        ("14 AWG", "10 AWG", "right"),
        ("12 AWG", "10 AWG", "too thick"),
        ("18 AWG", "10 AWG", "too thin"),
        ("10 AWG", "10 AWG", "too thick"),
        ("2 mm2", "5 mm2", "right"),
        ("5 mm2", "5 mm2", "too thick"),
        ("2 AWG", "2/0 AWG", "too thick"),
        ("4 AWG", "1/0 AWG", "right"),
    ],
)
def test_links_are_four_numbers_thinner(link: str, wire: str, verdict: str) -> None:
    # Common practice, no source.
    check = link_against_wire(link, wire)
    assert check is not None
    assert check.verdict == verdict
    assert check.wanted.status is Status.COMMON_PRACTICE


def test_a_link_that_cannot_be_compared_has_no_verdict() -> None:
    assert link_against_wire("", "10 AWG") is None
    assert link_against_wire("24 SAE", "10 AWG") is None
