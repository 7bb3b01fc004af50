"""A figure tells its band, formula, documents, and what it rests on."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.analysis.numbers.figure import (
    SET_BY_YOU,
    Comparison,
    Figure,
    exact,
    from_reference,
    shown,
    sum_of,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, LIMIT_ROWS, Limits
from blockmap.reference.sources import Source, Sourced, Status

_AMPS = st.floats(0, 1e4)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (4.5833, "4.58"),
        (0.000123456, "0.000123"),
        (1234.5, "1234"),
        (12.0, "12"),
        (-0.5, "-0.5"),
        (0, "0"),
        (99.96, "100"),
        (math.inf, "∞"),
        (math.nan, "not a number"),
    ],
)
def test_numbers_are_shown_rounded_and_without_exponent(
    number: float, text: str
) -> None:
    assert shown(number) == text


@given(st.floats(1e-6, 1e6), st.integers(2, 6))
def test_a_shown_number_is_near(number: float, digits: int) -> None:
    assert float(shown(number, digits)) == pytest.approx(number, rel=10 ** (1 - digits))


@given(st.lists(_AMPS, max_size=8))
def test_a_sum_lists_its_summands_and_adds_their_bands(amps: list[float]) -> None:
    parts = [
        Figure(f"{n}", a, "A", a * 0.9, a * 1.1, "as drawn") for n, a in enumerate(amps)
    ]
    total = sum_of("Sum", parts, "A")
    assert total.value == pytest.approx(sum(amps))
    assert total.low == pytest.approx(0.9 * sum(amps))
    assert total.high == pytest.approx(1.1 * sum(amps))
    assert total.formula.count("+") == max(0, len(amps) - 1)
    assert total.inputs == tuple(parts)


def test_units_are_not_mixed() -> None:
    with pytest.raises(ValueError, match="not in A"):
        sum_of("Sum", [exact("drop", 1, "V")], "A")


@pytest.mark.parametrize("value", [math.nan, 3.0, -1.0])
def test_a_value_outside_its_band_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="band"):
        Figure("x", value, "A", 0.0, 2.0, "x")


def test_memory_and_own_limits_are_found_however_far_back() -> None:
    read = Source("A table")
    number = Sourced(7.0, "mΩ", Status.MEMORY, (), "from memory")
    deep = from_reference("cold", number)
    limit = Limits(continuous_share=0.7).figure("continuous_share")
    middle = Figure("m", 1, "A", 1, 1, "m", sources=(read,), inputs=(deep, limit))
    top = Figure("t", 1, "A", 1, 1, "t", inputs=(middle,))
    assert top.uses_memory
    assert top.set_by_you
    assert top.all_sources() == (read,)
    assert next(figure.name for figure in top.trail()) == "t"
    plain = exact("x", 1, "A")
    assert not plain.uses_memory
    assert not plain.set_by_you


def test_the_weakest_status_rules() -> None:
    assert weakest([Status.VERIFIED, Status.DERIVED]) is Status.DERIVED
    assert weakest([Status.COMMON_PRACTICE, Status.DERIVED]) is Status.COMMON_PRACTICE
    assert weakest(list(Status)) is Status.MEMORY


def test_a_formula_keeps_braces_that_people_write() -> None:
    figure = Figure("x", 1, "A", 1, 1, "{} is {:4} A", ("a {} b", 1.23456))
    assert figure.formula == "a {} b is 1.235 A"


def test_comparisons_say_how_near_the_limit_is() -> None:
    near = Comparison("c", exact("load", 21.5, "A"), exact("rating", 25, "A"))
    assert near.holds
    assert near.words == "21.5 A of 25 A, 86 %"
    dust = Comparison("c", exact("load", 0.1 + 0.2, "A"), exact("rating", 0.3, "A"))
    assert dust.holds
    spread = Figure("load", 26, "A", 20, 30, "x")
    doubtful = Comparison("c", spread, exact("rating", 25, "A"))
    assert not doubtful.holds
    assert not doubtful.surely_broken
    assert Comparison("c", spread, exact("rating", 15, "A")).surely_broken
    assert Comparison("c", exact("x", 1, "A"), exact("y", 0, "A")).share == math.inf


def test_every_limit_has_a_default_that_names_where_it_comes_from() -> None:
    for key, row in LIMIT_ROWS.items():
        figure = DEFAULT_LIMITS.figure(key)
        assert row.low <= figure.value <= row.high
        assert figure.sources or figure.note
        assert row.default.status is not Status.MEMORY
        assert not figure.set_by_you
        assert DEFAULT_LIMITS.value(key) == figure.value
    assert DEFAULT_LIMITS.set_by_you == ()


def test_a_limit_set_by_the_user_says_so_and_names_the_default() -> None:
    limits = Limits(drop_advice=0.03)
    figure = limits.figure("drop_advice")
    assert figure.value == 0.03
    assert SET_BY_YOU in figure.note
    assert "0.05" in figure.note
    assert limits.set_by_you == ("drop_advice",)


def test_setting_a_limit_to_its_default_still_counts_as_set() -> None:
    assert Limits(continuous_share=0.75).figure("continuous_share").set_by_you


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"continuous_share": 2.0}, "from 0.3 to 1"),
        ({"insulation_c": 100.0}, "60, 75, 80"),
        ({"bundled": 2.5}, "whole number"),
        ({"wire_c": math.nan}, "from"),
    ],
)
def test_limits_out_of_range_are_refused(limits: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Limits(**limits)
    with pytest.raises(KeyError):
        DEFAULT_LIMITS.figure("no limit")
