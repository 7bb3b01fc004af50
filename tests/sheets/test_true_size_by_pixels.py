"""The labels' outline measured as a scanner would: by the pixels of a rendered page."""

from __future__ import annotations

from typing import Any

import pytest

from blockmap.sheets.labels import compose_labels
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.sample_maps import shipped

DPI = 1200.0
MM = 25.4 / DPI
"""A pixel, by the definition of the inch."""


def strokes(dark: Any, least_mm: float) -> list[float]:
    """Return the middles in mm of the lines in which at least so much is dark."""
    import numpy as np

    lines = np.flatnonzero(dark >= least_mm / MM)
    parts = np.split(lines, np.flatnonzero(np.diff(lines) > 2) + 1)
    return [(part[0] + part[-1] + 1) / 2 * MM for part in parts if len(part)]


@pytest.mark.parametrize(
    "name",
    ["demo", "hatchback-right-to-left", "pickup-power-box", "van-two-columns"],
)
def test_the_outline_measures_what_the_map_says_to_a_tenth_of_a_millimetre(
    name: str,
) -> None:
    import pypdfium2

    document = shipped(name)
    (block,) = document.blocks.values()
    pdf = pypdfium2.PdfDocument(pdf_bytes(compose_labels(document, block.id), "Test"))
    page = pdf[0].render(scale=DPI / 72, grayscale=True).to_numpy()
    pdf.close()
    dark = page.reshape(page.shape[0], -1) < 128
    upright = strokes(dark.sum(axis=0), 0.97 * block.height_mm)
    lying = strokes(dark.sum(axis=1), 0.97 * block.width_mm)
    for found, length in ((upright, block.width_mm), (lying, block.height_mm)):
        spans = [b - a for a in found for b in found if b > a]
        assert min(abs(span - length) for span in spans) < 0.1
