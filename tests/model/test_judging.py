"""Limits of a map and acceptances: what is kept, what is refused, what undo needs."""

from __future__ import annotations

import dataclasses

import pytest

from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits, limits_of
from blockmap.model.document import Map, OwnLimits
from blockmap.model.edits import (
    accept_finding,
    limit_text,
    set_limit,
    withdraw_acceptance,
)
from blockmap.model.errors import EditRefused
from blockmap.model.schema import properties
from blockmap.reference.limit_rows import LIMIT_ROWS


def test_a_map_can_keep_every_limit_there_is() -> None:
    assert [row.key for row in properties(OwnLimits)] == list(LIMIT_ROWS)
    assert [each.name for each in dataclasses.fields(Limits)] == list(LIMIT_ROWS)


def test_a_map_without_limits_of_its_own_has_the_defaults() -> None:
    assert limits_of(Map()) == DEFAULT_LIMITS


@pytest.mark.parametrize("text", ["60", "60 %", "60%", " 60,0 "])
def test_a_share_is_typed_in_percent(text: str) -> None:
    document = set_limit(Map(), "continuous_share", text)
    assert document.limits.continuous_share == 0.6
    assert limits_of(document).value("continuous_share") == 0.6
    assert limit_text("continuous_share", 0.6) == "60"


def test_other_limits_are_typed_in_their_unit() -> None:
    document = set_limit(Map(), "wire_c", "40 °C")
    assert limits_of(document).value("wire_c") == 40
    assert limit_text("wire_c", document.limits.wire_c) == "40"


def test_an_empty_text_goes_back_to_the_default() -> None:
    document = set_limit(Map(), "bundled", "7")
    assert set_limit(document, "bundled", "") == Map()
    assert set_limit(Map(), "bundled", " ") == Map()


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("continuous_share", "120", "from 30 to 100 %"),
        ("insulation_c", "100", "one of 60, 75, 80, 90, 105, 125, 200 °C"),
        ("bundled", "2.5", "whole number"),
        ("link_steps", "many", "not a number"),
        ("drop_fault", "lots", "not a number"),
    ],
)
def test_a_limit_out_of_range_is_refused_with_what_may_be_written(
    key: str, text: str, said: str
) -> None:
    with pytest.raises(EditRefused, match=said):
        set_limit(Map(), key, text)


def test_setting_the_same_limit_again_changes_nothing() -> None:
    document = set_limit(Map(), "wire_c", "40")
    assert set_limit(document, "wire_c", "40.0") is document


def accepted() -> Map:
    """Return a map with one acceptance."""
    return accept_finding(
        Map(), "loads-above-share", ["p/F1"], "F1: 17 A", "measured 14 A", "2024-05-31"
    )[0]


def test_an_acceptance_keeps_what_was_said_and_why() -> None:
    (held,) = accepted().accepted.values()
    assert (held.finding, held.at) == ("loads-above-share", ("p/F1",))
    assert (held.said, held.reason) == ("F1: 17 A", "measured 14 A")
    assert held.date == "2024-05-31"


@pytest.mark.parametrize("reason", ["", "  "])
def test_nothing_is_accepted_without_a_reason(reason: str) -> None:
    with pytest.raises(EditRefused, match="why"):
        accept_finding(Map(), "x", ["p/F1"], "F1", reason)


def test_accepting_again_replaces_the_earlier_acceptance() -> None:
    document, key = accept_finding(
        accepted(), "loads-above-share", ["p/F1"], "F1: 19 A", "only in summer"
    )
    assert list(document.accepted) == [key]
    assert document.accepted[key].said == "F1: 19 A"
    other, second = accept_finding(document, "x", ["p/F1"], "F1", "known")
    assert list(other.accepted) == [key, second]


def test_withdrawing_forgets_it_and_nothing_else() -> None:
    document = accepted()
    (key,) = document.accepted
    assert withdraw_acceptance(document, key) == Map()
    assert withdraw_acceptance(document, "A9") is document
