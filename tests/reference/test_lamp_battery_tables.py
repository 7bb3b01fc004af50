"""Lamps, batteries, drops, flash rates: published rows stand as they were read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from blockmap.reference.batteries import (
    REST_TABLES,
    SPECIFIC_GRAVITY,
    VOLTS_PER_DEGREE,
)
from blockmap.reference.drops import ALLOWED_DROPS, allowed_drop
from blockmap.reference.flash_rates import FLASH_LIMITS, ON_SHARE
from blockmap.reference.lamps import LAMPS, lamp_named, lamps_matching
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]


def test_trade_numbers_draw_what_is_published(published: Rows) -> None:
    # Source: comparison table, trade articles, SAE J573d (1968).
    rows = published("lamps", "trade_numbers")
    for name, volts, amps in rows:
        lamp = lamp_named(name)
        assert lamp is not None, name
        assert (lamp.test_v, lamp.amps_a, lamp.status) == (volts, amps, Status.VERIFIED)
    categories = published("lamps", "categories")
    read = [lamp for lamp in LAMPS if lamp.status is Status.VERIFIED]
    assert len(read) == len(rows) + len(categories)


def test_categories_draw_current_at_their_test_voltage(published: Rows) -> None:
    # Source: Directive 97/24/EC, annex 15; UNECE GRE/2012/34.
    for name, test_v, most_w, amps in published("lamps", "categories"):
        lamp = lamp_named(name)
        assert lamp is not None
        assert lamp.test_v == test_v
        assert lamp.amps_a == pytest.approx(amps, abs=6e-3)
        assert lamp.watts_w * (1 + lamp.tolerance) == pytest.approx(most_w)


def test_a_lamp_draws_more_than_its_rated_watts_over_12_v() -> None:
    # Source: Directive 97/24/EC: a 21 W filament takes 25 W at 13.5 V, 1.85 A.
    lamp = lamp_named("p21/5w HIGH")
    assert lamp is not None
    assert lamp.rated_w is not None
    assert lamp.amps_a > lamp.rated_w / 12


def test_remembered_lamps_say_so() -> None:
    for lamp in LAMPS:
        assert (lamp.status is Status.MEMORY) == (not lamp.sources)
        assert ("memory" in lamp.note) == (lamp.status is Status.MEMORY)
        assert 0 < lamp.amps_a < 7
    assert [lamp.title for lamp in lamps_matching("1157")] == ["1157 low", "1157 high"]
    assert len({lamp.title for lamp in LAMPS}) == len(LAMPS)
    assert lamp_named("no lamp") is None


def test_resting_volts_are_the_published_ones(published: Rows) -> None:
    # Source: battery maker's table; magazine, mailing list, hobby page.
    rows = published("batteries", "rest")
    maker, *others = REST_TABLES
    assert list(maker.points) == [(percent, volts) for percent, volts, _ in rows]
    assert list(SPECIFIC_GRAVITY) == [(percent, sg) for percent, _, sg in rows]
    found = [(p, v) for table in others for p, v in table.points]
    elsewhere = published("batteries", "rest_elsewhere")
    assert found == [(percent, volts) for _, percent, volts in elsewhere]
    for table in REST_TABLES:
        assert list(table.points) == sorted(table.points, reverse=True)


def test_temperature_correction_per_degree() -> None:
    # Source: battery maker's table: 0.024 V per 10 °F, which are 5.56 °C.
    assert VOLTS_PER_DEGREE.value * 5.56 == pytest.approx(0.024, rel=1e-3)


def test_allowed_drops_are_the_published_ones(published: Rows) -> None:
    # Source: service manuals of 1997, 1999 and 2001; trade pages.
    read = [
        [drop.least_v, drop.most_v]
        for drop in ALLOWED_DROPS
        if drop.status is Status.VERIFIED
    ]
    assert read == published("batteries", "drops")
    weak = allowed_drop("ground")
    assert weak is not None
    assert weak.status is Status.COMMON_PRACTICE
    assert allowed_drop("somewhere") is None


def test_flash_limits() -> None:
    # Source: interpretation on SAE J945; Australian Design Rule 19/00; UN R53.
    found = [(limit.least_per_min, limit.most_per_min) for limit in FLASH_LIMITS]
    assert found == [(60, 120), (90, 120), (60, 120)]
    assert all(each.status is Status.MEMORY for each in ON_SHARE)
