"""Body colours follow the published tables and carry a figure that can be read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from blockmap.reference.contrast import contrast_ratio
from blockmap.reference.forms import FORMS
from blockmap.reference.fuse_colours import (
    BODY_RGB,
    body_colour,
    standard_ratings,
    text_on,
)
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]


@pytest.mark.parametrize(
    ("form", "table"),
    [
        ("medium blade", "medium"),  # Source: selection guide and maker datasheet
        ("maxi blade", "maxi"),  # Source: trade article on maxi blade fuses
        ("ceramic 6 x 25", "torpedo"),  # Source: encyclopedia text, DIN 72581-1
    ],
)
def test_bodies_have_the_published_colour(
    published: Rows, form: str, table: str
) -> None:
    wrong = []
    for amps, word in published("fuses", table):
        found = body_colour(form, amps)
        # A document may give a second word in brackets: "blue (aqua)".
        if found is None or found.name != word.split(" (")[0]:
            wrong.append((amps, word, found))
        else:
            assert found.status is Status.VERIFIED
            assert found.sources
    assert wrong == []


def test_mini_shares_the_medium_colours_at_its_own_ratings(published: Rows) -> None:
    # Source: maker datasheet: the same rating has the same colour word in both.
    for amps, word in published("fuses", "medium"):
        found = body_colour("mini", amps)
        if 2 <= amps <= 30:
            assert found is not None
            assert found.name == word
        else:
            assert found is None


@pytest.mark.parametrize(
    ("form", "amps"),
    [
        ("maxi blade", 25),  # a datasheet says the series has no colour for it
        ("maxi blade", 35),
        ("medium blade", 12),
        ("ceramic 6 x 25", 40),
        ("glass 6.3 x 32", 10),
        ("relay 4-pin", 30),
        ("nothing known", 10),
    ],
)
def test_without_a_published_colour_a_body_stays_uncoloured(
    form: str, amps: float
) -> None:
    assert body_colour(form, amps) is None


def test_micro_colours_are_called_memory() -> None:
    found = body_colour("micro blade", 10)
    assert found is not None
    assert found.status is Status.MEMORY
    assert found.note


def test_the_figure_on_every_body_can_be_read() -> None:
    # Source: WCAG success criterion 1.4.3, at least 4.5 to 1.
    poor = {
        word: contrast_ratio(text_on(rgb), rgb)
        for word, rgb in BODY_RGB.items()
        if contrast_ratio(text_on(rgb), rgb) < 4.5
    }
    assert poor == {}


def test_colours_of_one_body_can_be_told_apart() -> None:
    from coloraide import Color

    # Oracle: coloraide's CIEDE2000; 10 is clearly more than a just noticeable step.
    words = [word for word in BODY_RGB if word != "white"]  # clear and white share
    near = [
        (one, other)
        for at, one in enumerate(words)
        for other in words[at + 1 :]
        if Color(BODY_RGB[one]).delta_e(BODY_RGB[other], method="2000") < 10
    ]
    assert near == []


def test_ratings_are_ascending_and_follow_the_tables(published: Rows) -> None:
    for name in FORMS:
        ratings = standard_ratings(name)
        assert list(ratings) == sorted(set(ratings)), name
    medium = tuple(amps for amps, _ in published("fuses", "medium"))
    assert standard_ratings("medium blade") == medium
    for amps, inches, _ in published("fuses", "glass_by_rating"):
        assert amps in standard_ratings(f"1/4 x {inches}")
    assert standard_ratings("tab 6.3") == ()
