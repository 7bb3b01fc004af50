"""Computes the contrast of two colours by the formula of WCAG.

It judges screen colours only; it knows nothing of paper, lamps or colour blindness.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "LEAST_FOR_GRAPHICS",
    "LEAST_FOR_LARGE_TEXT",
    "LEAST_FOR_TEXT",
    "contrast_ratio",
    "relative_luminance",
]

LEAST_FOR_TEXT: Final = 4.5
"""Source: WCAG success criterion 1.4.3, level AA."""
LEAST_FOR_LARGE_TEXT: Final = 3.0
"""Source: WCAG success criterion 1.4.3, level AA, large text."""
LEAST_FOR_GRAPHICS: Final = 3.0
"""From memory, not checked: WCAG success criterion 1.4.11, level AA."""


def _channel(digits: str) -> float:
    share = int(digits, 16) / 255
    return float(
        share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4
    )


def relative_luminance(rgb: str) -> float:
    """Return the relative luminance of '#rrggbb', 0 for black to 1 for white.

    Raises ValueError when the text is not '#' and six hexadecimal digits.
    Source: WCAG 2.0, definition of relative luminance.
    """
    if len(rgb) != 7 or rgb[0] != "#":
        raise ValueError(f'"{rgb}" is no colour; write it as "#d2202c"')
    red, green, blue = (_channel(rgb[at : at + 2]) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_ratio(a: str, b: str) -> float:
    """Return the contrast of two colours '#rrggbb', 1 (equal) to 21.

    Source: WCAG, definition of contrast ratio.
    """
    lighter, darker = sorted((relative_luminance(a), relative_luminance(b)))[::-1]
    return (lighter + 0.05) / (darker + 0.05)
