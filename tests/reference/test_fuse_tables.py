"""Fuse tables hold the published rows, and only those under their name."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from blockmap.reference.british_fuses import BRITISH_FUSES, continuous_of_printed
from blockmap.reference.forms import FORMS
from blockmap.reference.fuse_curves import HOLDS_S, OPENING_POINTS, opening_points
from blockmap.reference.fuse_load_rules import (
    ALLOWED_BY_AMBIENT,
    BLADE_AMBIENT_SLOPE,
    CONTINUOUS_SHARE,
    allowed_at,
)
from blockmap.reference.fuse_resistance import (
    HOT_OVER_COLD,
    cold_resistance,
    drop_at_rating,
    known_ratings,
)
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]


def _span(text: str) -> tuple[float, float]:
    if text == "all":
        return 0.0, 60.0
    low, high = text.split("-")
    return (1 / 16 if low == "1/16" else float(low)), float(high)


@pytest.mark.parametrize("table", ["blades", "glass"])
def test_opening_times_are_the_published_ones(published: Rows, table: str) -> None:
    # Source: maker datasheets of blade and glass fuses; guide to UL/CSA 248-14.
    rows = published("fuse_times", table)
    for form, amp_range, percent, least_s, most_s in rows:
        low_a, high_a = _span(amp_range)
        for amps in (max(low_a, 0.1), high_a):
            found = [
                (point.least_s, point.most_s)
                for point in opening_points(form, amps)
                if point.percent == percent
            ]
            assert (least_s, most_s) in found, (form, amps, percent)
    read = [
        point
        for form in {row[0] for row in rows}
        for point in OPENING_POINTS[form]
        if point.status is Status.VERIFIED
    ]
    assert len(read) == len(rows)


def test_opening_points_stand_in_order_and_get_faster() -> None:
    for form, points in OPENING_POINTS.items():
        assert [p.percent for p in points] == sorted(p.percent for p in points)
        for rating in (1, 10, 40):
            held = opening_points(form, rating, with_memory=True)
            for bound in ("least_s", "most_s"):
                times = [getattr(p, bound) for p in held if getattr(p, bound)]
                assert times == sorted(times, reverse=True), (form, rating, bound)
            for point in held:
                if point.least_s is not None and point.most_s is not None:
                    assert point.least_s < point.most_s
    assert HOLDS_S == 100 * 60 * 60


def test_points_from_memory_wait_until_they_are_asked_for() -> None:
    usual = opening_points("mini blade", 10)
    more = opening_points("mini blade", 10, with_memory=True)
    assert {p.percent for p in more} - {p.percent for p in usual} == {160}
    assert all(point.sources for point in usual)


def test_bodies_without_a_table_have_no_times() -> None:
    for form in ("micro blade", "ceramic 6 x 25", "glass 6.3 x 29", "nothing"):
        assert opening_points(form, 10) == ()
    assert opening_points("maxi blade", 100) == ()


@pytest.mark.parametrize(
    ("form", "table"),
    [
        ("mini blade", "mini"),
        ("medium blade", "medium"),
        ("maxi blade", "maxi"),
        ("glass 6.3 x 25", "glass_25"),
    ],
)
def test_cold_resistances_are_the_published_ones(
    published: Rows, form: str, table: str
) -> None:
    # Source: maker datasheets, typical values.
    assert form in FORMS
    rows = published("fuse_resistance", table)
    for amps, mohm, *drop in rows:
        cold = cold_resistance(form, amps)
        assert cold is not None
        assert (cold.value, cold.status) == (mohm, Status.VERIFIED)
        assert cold.sources
        if drop and drop[0] is not None:
            lost = drop_at_rating(form, amps)
            assert lost is not None
            assert lost.value == drop[0]
    read = [
        amps
        for amps in known_ratings(form)
        if (cold_resistance(form, amps) or CONTINUOUS_SHARE).status is Status.VERIFIED
    ]
    assert read == [row[0] for row in rows]


def test_larger_fuses_resist_less() -> None:
    for form in ("mini blade", "medium blade", "maxi blade", "glass 6.3 x 25"):
        ohms = [cold_resistance(form, amps) for amps in known_ratings(form)]
        values = [each.value for each in ohms if each]
        assert values == sorted(values, reverse=True)
        assert list(known_ratings(form)) == sorted(known_ratings(form))


def test_a_resistance_from_memory_says_so() -> None:
    cold = cold_resistance("medium blade", 15)
    assert cold is not None
    assert cold.status is Status.MEMORY
    assert "memory" in cold.note
    assert cold.sources == ()
    assert cold_resistance("medium blade", 20) is None


def test_hot_over_cold_is_the_most_of_the_mini_table(published: Rows) -> None:
    # Source: maker datasheet of mini blades: hot resistance = drop / rated current.
    ratios = [
        drop / (amps * mohm)
        for amps, mohm, drop in published("fuse_resistance", "mini")
    ]
    assert max(ratios) == pytest.approx(HOT_OVER_COLD.value, abs=0.05)
    assert min(ratios) == pytest.approx(1.3, abs=0.05)


def test_doubtful_drops_are_marked() -> None:
    doubted = drop_at_rating("mini blade", 4)
    assert doubted is not None
    assert "slip" in doubted.note


def test_allowed_amps_by_ambient(published: Rows) -> None:
    # Source: maker datasheets of blade fuses.
    rows = published("fuse_times", "allowed_by_ambient")
    for form, amps, ambient_c, allowed_a in rows:
        found = allowed_at(form, amps, ambient_c)
        assert found is not None
        assert (found.value, found.status) == (allowed_a, Status.VERIFIED)
    assert sum(len(points) for points, _ in ALLOWED_BY_AMBIENT.values()) == len(rows)
    between = allowed_at("maxi blade", 40, 75)
    assert between is not None
    assert between.status is Status.DERIVED
    assert 30 < between.value < 34
    assert allowed_at("maxi blade", 40, 200) is None
    assert allowed_at("micro blade", 10, 20) is None


def test_ambient_slope_follows_from_the_two_points_read() -> None:
    # Source: maker's curve of a mini blade of 25 A: 92.4 % at 76.25 °C, 91.0 % at
    # 85.41 °C.
    slope = (0.910 - 0.924) / (85.41 - 76.25)
    assert BLADE_AMBIENT_SLOPE.value == pytest.approx(slope, abs=2e-6)


def test_british_labels_print_twice_what_they_carry(published: Rows) -> None:
    # Source: owners' mailing list, club article (35 A = 17.5 A), owner's readings.
    rows = published("fuse_times", "british_glass")
    found = [
        [fuse.colour, fuse.continuous_a, fuse.at_once_a, fuse.printed_a]
        for fuse in BRITISH_FUSES
    ]
    assert found == rows
    for _, continuous_a, _, printed_a in rows:
        assert continuous_of_printed(printed_a).value == continuous_a
    assert continuous_of_printed(20).status is Status.DERIVED


def test_no_text_of_the_tables_names_a_catalogue_code() -> None:
    texts = " ".join(
        source.title
        for points in OPENING_POINTS.values()
        for point in points
        for source in point.sources
    )
    assert not re.search(r"\b[A-Z]{3}\b(?!/)", texts.replace("CSA", ""))
