"""Checking again after an edit: the same findings, and only what changed computed."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockmap.analysis.finding import READS
from blockmap.analysis.findings import RULES, check, checked, counting
from blockmap.files.map_reader import read_map
from blockmap.model.document import Cavity, Load, Map, Repair
from blockmap.model.edits import (
    accept_finding,
    delete_cavities,
    set_limit,
    set_texts,
    withdraw_acceptance,
)
from blockmap.resources import layout_files
from tests.analysis.test_findings import fuse, panel
from tests.strategies import maps

QUICK = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
SHIPPED = tuple(path.name for path in layout_files())


@cache
def shipped(name: str) -> Map:
    """Return a shipped map, read once."""
    path = next(path for path in layout_files() if path.name == name)
    return read_map(path.read_bytes(), name).document


@QUICK
@given(maps(), maps())
def test_checking_after_any_change_is_checking_from_the_start(a: Map, b: Map) -> None:
    assert checked(b, checked(a)).findings == check(b)


_EDITS = (
    ("rating_a", "7.5"),
    ("rating_a", "30"),
    ("fitted_a", "25"),
    ("loads", "pump 18 A"),
    ("wires", "black 18 AWG"),
    ("own", "twice"),
    ("feed_side", ""),
    ("circuit", "lights"),
    ("form", "mini blade"),
    ("x_mm", "10"),
    ("do_not_use", "yes"),
    ("fed_from", "9.load"),
    ("off_panel", "yes"),
    ("load_condition", "annealed 3"),
)


@QUICK
@given(
    st.sampled_from(SHIPPED),
    st.lists(
        st.tuples(st.integers(0, 99), st.sampled_from(_EDITS)), min_size=1, max_size=6
    ),
    st.booleans(),
)
def test_a_row_of_edits_checked_one_by_one_ends_at_the_same_findings(
    name: str, edits: list[tuple[int, tuple[str, str]]], delete: bool
) -> None:
    document = shipped(name)
    result = checked(document)
    for number, (key, text) in edits:
        ids = list(document.cavities)
        document = set_texts(document, [ids[number % len(ids)]], key, text)
        result = checked(document, result)
        assert result.findings == check(document)
    if delete:
        document = delete_cavities(document, [next(iter(document.cavities))])
    document = set_limit(document, "continuous_share", "50")
    assert checked(document, result).findings == check(document)


def test_a_new_repair_or_another_colour_code_is_seen() -> None:
    for name in SHIPPED:
        document = shipped(name)
        result = checked(document)
        repaired = dataclasses.replace(
            document,
            repairs={"R": Repair(at=next(iter(document.cavities)))},
            car=dataclasses.replace(document.car, colour_code="german"),
        )
        assert checked(repaired, result).findings == check(repaired)


class Watched(Cavity):
    """A cavity that notes which of its fields are looked at."""

    seen: set[str]

    def __getattribute__(self, name: str) -> Any:
        if name in _FIELDS:
            _LOOKED_AT.add(name)
        return super().__getattribute__(name)


_FIELDS = frozenset(each.name for each in dataclasses.fields(Cavity))
_LOOKED_AT: set[str] = set()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_a_rule_looks_at_no_field_that_it_does_not_name(rule: Any) -> None:
    looks = READS[rule]
    _LOOKED_AT.clear()
    for name in SHIPPED:
        document = shipped(name)
        watched = {
            key: Watched(**{field: getattr(cavity, field) for field in _FIELDS})
            for key, cavity in document.cavities.items()
        }
        list(rule(dataclasses.replace(document, cavities=watched)))
    assert _LOOKED_AT - {"id", "block"} <= set(looks.fields)


def test_only_what_an_edit_concerns_is_computed_again() -> None:
    many = panel(*(fuse(n % 13, own=f"N{n}") for n in range(13)))
    first = checked(many)
    edited = set_texts(many, ["p/F3"], "notes", "seen by lamp")
    again = checked(edited, first)
    assert again.computed == 1
    assert again.figures.cavities["p/F4"] is first.figures.cavities["p/F4"]
    renamed = checked(set_texts(edited, ["p/F3"], "own", "N4"), again)
    assert 1 < renamed.computed <= 1 + len(RULES)
    assert [finding.code for finding in renamed.findings] == ["designation-double"]
    assert checked(edited, again).computed == 0


LONG = fuse(1, loads=(Load(name="fan", amps_a=16.0),))


def accepted(document: Map) -> Map:
    """Return the map with its first finding accepted."""
    finding = check(document)[0]
    return accept_finding(
        document, finding.code, finding.objects, finding.what, "measured 14 A"
    )[0]


def test_an_accepted_finding_is_still_told_and_no_longer_counts() -> None:
    document = accepted(panel(LONG, fuse(2, fitted_a=30.0)))
    codes = [finding.code for finding in check(document)]
    assert codes == ["loads-above-share", "fitted-above-rating"]
    first, last = check(document)
    assert first.accepted is None
    assert last.accepted is not None
    assert last.accepted.reason == "measured 14 A"
    assert counting(check(document)) == (first,)
    (key,) = document.accepted
    back = withdraw_acceptance(document, key)
    assert len(counting(check(back))) == 2


def test_an_acceptance_ends_when_the_finding_says_something_else() -> None:
    document = accepted(panel(LONG))
    assert counting(check(document)) == ()
    worse = set_texts(document, ["p/F1"], "loads", "fan 17 A")
    (found,) = check(worse)
    assert found.accepted is None
    assert found.acceptance in worse.accepted
    assert checked(worse).lapsed == (found.acceptance,)
    gone = set_texts(document, ["p/F1"], "loads", "fan 5 A")
    assert check(gone) == ()
    assert len(checked(gone).lapsed) == 1


def test_accepting_is_seen_without_running_any_rule_again() -> None:
    before = panel(LONG)
    first = checked(before)
    after = checked(accepted(before), first)
    assert after.computed == 0
    assert after.findings[0].accepted is not None
