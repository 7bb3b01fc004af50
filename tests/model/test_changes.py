"""The difference of two maps, against a naive comparison of everything."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockmap.model.changes import Change, changes_between
from blockmap.model.document import Map
from tests.strategies import maps

SLOW = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
PARTS = (
    "blocks",
    "cavities",
    "strips",
    "readings",
    "repairs",
    "families",
    "odds",
    "accepted",
)


def copied(document: Map) -> Map:
    """Return an equal map that shares no record with the first."""
    parts: dict[str, Any] = {
        name: {k: dataclasses.replace(v) for k, v in getattr(document, name).items()}
        for name in PARTS
    }
    single = {
        name: dataclasses.replace(getattr(document, name))
        for name in ("car", "limits", "work")
    }
    return Map(**single, **parts)


@SLOW
@given(maps(), maps())
def test_the_difference_is_what_comparing_everything_finds(a: Map, b: Map) -> None:
    change = changes_between(a, b)
    assert change.car == (a.car != b.car)
    assert change.limits == (a.limits != b.limits)
    assert change.work == (a.work != b.work)
    for name in PARTS:
        before: Mapping[str, Any] = getattr(a, name)
        after: Mapping[str, Any] = getattr(b, name)
        part = getattr(change, name)
        assert part.added == set(after) - set(before)
        assert part.removed == set(before) - set(after)
        both = set(before) & set(after)
        assert part.altered == {k for k in both if before[k] != after[k]}
        patched = [k for k in before if k in after] + [
            k for k in after if k not in before
        ]
        assert part.reordered == (patched != list(after))


@SLOW
@given(maps())
def test_an_equal_map_shows_no_difference_even_when_nothing_is_shared(
    document: Map,
) -> None:
    assert changes_between(document, copied(document)) == Change()
    assert not changes_between(document, document)


@SLOW
@given(maps(), st.randoms(use_true_random=False))
def test_another_order_is_a_difference(document: Map, random: Any) -> None:
    ids = list(document.cavities)
    random.shuffle(ids)
    shuffled = dataclasses.replace(
        document, cavities={i: document.cavities[i] for i in ids}
    )
    change = changes_between(document, shuffled)
    assert bool(change) == (ids != list(document.cavities))
    assert not change.cavities.touched
