"""Contrast agrees with WCAG and with an independent library."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from blockmap.reference.contrast import contrast_ratio, relative_luminance

Rows = Callable[[str, str], list[list[Any]]]
_COLOURS = st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}")


def test_published_pairs(published: Rows) -> None:
    # Source: derived from the WCAG definitions, three decimals.
    for one, other, ratio in published("contrast", "ratios"):
        assert contrast_ratio(one, other) == pytest.approx(ratio, abs=0.0006)


@given(_COLOURS, _COLOURS)
def test_agrees_with_coloraide(one: str, other: str) -> None:
    # Oracle: coloraide, a general-purpose colour library; its constants are those of
    # the sRGB standard, which differ from WCAG's in the fourth figure.
    expected = Color(one).contrast(Color(other), method="wcag21")
    assert contrast_ratio(one, other) == pytest.approx(expected, rel=1e-3)
    assert contrast_ratio(one, other) == contrast_ratio(other, one)


@pytest.mark.parametrize("text", ["red", "#fff", "d2202c", "#d2202g"])
def test_text_that_is_no_colour_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"colour|base 16"):
        relative_luminance(text)
