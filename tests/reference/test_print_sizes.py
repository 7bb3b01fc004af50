"""Sheets, cards and heights of type have their published sizes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from blockmap.reference.legibility import (
    LEGIBILITY_RULES,
    cap_height_at_angle_mm,
    least_cap_height_mm,
)
from blockmap.reference.paper import CARD_ID1, PAPERS, paper_named
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]


def test_the_bank_card_size(published: Rows) -> None:
    # Source: ISO/IEC 7810 as quoted on a standards mailing list.
    sizes = {name: size for name, *size in published("sheets", "cards")}
    assert [CARD_ID1.width_mm, CARD_ID1.height_mm] == sizes["ID-1"]


def test_a_sizes_follow_from_the_rule_of_halving(published: Rows) -> None:
    # Source: ISO 216: halve the long side, round down, from 841 x 1189.
    width_mm, height_mm = 841, 1189
    expected = {}
    for step in range(1, 9):
        width_mm, height_mm = height_mm // 2, width_mm
        expected[f"a{step}"] = (width_mm, height_mm)
    listed = {name: paper for name, paper in PAPERS.items() if name in expected}
    assert set(listed) >= {"a4", "a6"}
    for name, paper in listed.items():
        assert (paper.width_mm, paper.height_mm) == expected[name]
    for name, *size in published("sheets", "sheets"):
        assert list(expected[name.lower()]) == size


def test_inch_sizes_are_whole_sixteenths() -> None:
    # Source: definition of the inch, 25.4 mm exactly.
    card = PAPERS["card 3 x 5 in"]
    assert (card.width_mm, card.height_mm) == pytest.approx((5 * 25.4, 3 * 25.4))
    letter = PAPERS["letter"]
    assert (letter.width_mm, letter.height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert letter.status is Status.MEMORY


def test_papers_are_found_by_name_or_title() -> None:
    assert paper_named(" A4 ") is PAPERS["a4"]
    assert paper_named("Index card 3 × 5 in") is PAPERS["card 3 x 5 in"]
    assert paper_named("foolscap") is None


def test_heights_at_published_angles(published: Rows) -> None:
    # Source: derived from NUREG-0700 rev 2, guideline 1.3.1-4, two decimals.
    for distance_mm, arcmin, height_mm in published("sheets", "cap_heights"):
        found = cap_height_at_angle_mm(distance_mm, arcmin)
        assert found == pytest.approx(height_mm, abs=0.006)
        # The same guideline's own formula.
        assert found == pytest.approx(6.283 * distance_mm * arcmin / 21600, rel=1e-4)


def test_rules_carry_their_published_angles(published: Rows) -> None:
    # Source: ISO 9241-3 as quoted, NUREG-0700 rev 2 and 3; "15 (0.004 x distance)".
    rows = {name: cells for name, *cells in published("sheets", "char_height")}
    for row, least, preferred in (
        ("ISO 9241-3 (screen text)", "ISO 9241-3 least", "ISO 9241-3 preferred"),
        (
            "NUREG-0700 11.4.1.5-1 panel labels",
            "NUREG-0700 labels least",
            "NUREG-0700 labels preferred",
        ),
    ):
        for cell, start in zip(rows[row], (least, preferred), strict=True):
            arcmin = int(str(cell).split()[0].split("-")[0])
            rule = next(r for n, r in LEGIBILITY_RULES.items() if n.startswith(start))
            assert rule.arcmin == arcmin
            assert f"{arcmin} arcmin" in rule.name


def test_the_default_is_a_two_hundredth_of_the_distance() -> None:
    # Source: book abstract, aviation rule: distance / 200.
    assert least_cap_height_mm(700).value == pytest.approx(3.5)
    assert least_cap_height_mm(400).value == pytest.approx(2.0)
    assert least_cap_height_mm(400).sources


def test_a_distance_or_rule_that_cannot_be_used_is_refused() -> None:
    for distance_mm in (0, -1, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="reading distance"):
            least_cap_height_mm(distance_mm)
    with pytest.raises(ValueError, match="no legibility rule"):
        least_cap_height_mm(400, "by eye")
