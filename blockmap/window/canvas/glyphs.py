"""Lines of text as glyphs at exact places, so that the screen sets them as paper does.

The shipped fonts are used by file, whatever fonts the desktop has. Glyphs stand side
by side without kerning, as the widths of blockmap.drawing.typeface assume. Nothing
here draws or fits.
"""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

from PySide6.QtGui import QFont, QRawFont

from blockmap.drawing.primitives import Face, Text
from blockmap.drawing.typeface import cap_to_em, runs, text_width_mm
from blockmap.model.geometry import Point, rotated

__all__ = ["UNITS_PER_MM", "GlyphStyle", "font_of", "glyphs_of"]

UNITS_PER_MM = 16.0
"""Glyphs are set on a grid this much finer than a millimetre, to stay sharp."""

_CAP_STEP_MM = 0.02
"""Letter heights are rounded down to this, so that few fonts serve a figure."""

_MASTER_PX = 256.0

GlyphStyle = tuple[Path, float, float]
"""Font file, height of capitals in millimetres, turn in degrees."""


@cache
def _master(file: Path) -> QRawFont:
    return QRawFont(str(file), _MASTER_PX, QFont.HintingPreference.PreferNoHinting)


@lru_cache(maxsize=256)
def font_of(file: Path, cap_mm: float, face_em: float) -> QRawFont:
    """Return a font whose capitals are so high in the finer units."""
    font = QRawFont(_master(file))  # one read from the file would hold all of it again
    font.setPixelSize(cap_mm * face_em * UNITS_PER_MM)
    return font


@lru_cache(maxsize=8192)
def _set(text: str, file: Path) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Return glyph numbers and their advances in em."""
    font = _master(file)
    glyphs = font.glyphIndexesForString(text)
    advances = font.advancesForGlyphIndexes(glyphs)
    return tuple(glyphs), tuple(a.x() / _MASTER_PX for a in advances)


def held_cap(cap_mm: float) -> float:
    """Return the height of capitals that is really set."""
    return max(_CAP_STEP_MM, int(cap_mm / _CAP_STEP_MM + 1e-6) * _CAP_STEP_MM)


def em_of(face: Face) -> float:
    """Return the em for capitals of height 1."""
    return cap_to_em(face)


def glyphs_of(item: Text) -> list[tuple[Path, tuple[int, ...], tuple[float, ...]]]:
    """Return the glyphs of a line, and x and y of each in the finer units.

    A turned line comes back in axes turned with it: turn the painter by turn_deg
    about the origin before drawing.
    """
    cap = held_cap(item.cap_mm)
    em = cap * cap_to_em(item.face) * UNITS_PER_MM
    x, y = item.at
    if item.turn_deg:
        x, y = rotated(item.at, Point(0.0, 0.0), -item.turn_deg)
    if item.anchor != "start":
        width = text_width_mm(item.text, item.face, cap)
        x -= width / 2 if item.anchor == "middle" else width
    at, base = x * UNITS_PER_MM, y * UNITS_PER_MM
    found: list[tuple[Path, tuple[int, ...], tuple[float, ...]]] = []
    for part, file in runs(item.text, item.face):
        numbers, advances = _set(part, file)
        places: list[float] = []
        for advance in advances:
            places += (at, base)
            at += advance * em
        found.append((file, numbers, tuple(places)))
    return found
