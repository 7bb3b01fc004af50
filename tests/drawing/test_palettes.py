"""Every text can be read on its ground, in light, dark and print."""

from __future__ import annotations

import pytest
from coloraide import Color

from blockmap.drawing.figure import FigureStyle, figure_key, figure_primitives
from blockmap.drawing.palette import (
    DARK,
    LIGHT,
    PRINT,
    TEXT_PAIRS,
    Palette,
    body_name,
)
from blockmap.drawing.primitives import Text
from blockmap.model.document import Map
from blockmap.model.geometry import View
from blockmap.reference.contrast import LEAST_FOR_TEXT, contrast_ratio
from blockmap.reference.fuse_colours import BODY_RGB

PALETTES = (LIGHT, DARK, PRINT)


@pytest.mark.parametrize("palette", PALETTES, ids=lambda p: p.name)
@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_text_on_its_ground(palette: Palette, ink: str, ground: str) -> None:
    a, b = palette.resolve(ink), palette.resolve(ground)
    # Oracle: coloraide, a general colour library. Source: WCAG 1.4.3, level AA.
    assert Color(a).contrast(b, method="wcag21") >= LEAST_FOR_TEXT
    assert contrast_ratio(a, b) >= LEAST_FOR_TEXT


@pytest.mark.parametrize("palette", PALETTES, ids=lambda p: p.name)
def test_a_body_keeps_the_hue_of_its_colour(palette: Palette) -> None:
    for word, rgb in BODY_RGB.items():
        tint, usual = Color(palette.resolve(body_name(word))), Color(rgb)
        if usual.convert("oklch")["chroma"] < 0.03:
            continue  # black, grey, white and clear have no hue to keep
        apart = abs(tint.convert("oklch")["hue"] - usual.convert("oklch")["hue"])
        assert min(apart, 360 - apart) < 12, word


def test_dark_body_colours_are_told_apart() -> None:
    words = [word for word in BODY_RGB if word not in ("clear", "white")]
    for number, word in enumerate(words):
        for other in words[:number]:
            a, b = DARK.resolve(body_name(word)), DARK.resolve(body_name(other))
            # Oracle: coloraide; 5 in this formula is a difference plainly seen.
            assert Color(a).delta_e(b, method="2000") > 5, (word, other)


def test_colours_by_name_or_by_value() -> None:
    assert LIGHT.resolve("#123456") == "#123456"
    with pytest.raises(KeyError):
        LIGHT.resolve("no such ink")


@pytest.mark.parametrize("view", list(View))
def test_every_colour_of_a_figure_is_in_every_palette(
    worn_panel: Map, view: View
) -> None:
    style = FigureStyle(worn_panel.blocks["P"].size, view)
    drawn = list(figure_primitives(worn_panel, "P", style))
    for entry in figure_key(worn_panel, "P", style):
        drawn += entry.primitives
    for item in drawn:
        names = [item.ink] if isinstance(item, Text) else [item.fill, item.stroke]
        for palette in PALETTES:
            for name in filter(None, names):
                assert palette.resolve(name).startswith("#")
