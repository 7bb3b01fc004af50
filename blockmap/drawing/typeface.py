"""The one type family: its files, the widths of its texts, and what it cannot print.

Reads the shipped TrueType files itself (head, hhea, hmtx, cmap, OS/2) and lays text
out the way a plain PDF writer does: one advance per character, no kerning and no
ligatures. A character that the first font lacks is set in the fallback; one that
both lack is set as a hollow square, so that it is seen to be missing, and reported.

Text is composed first (NFC). A combining mark that stays takes no room. Right-to-left
scripts are not reordered and not joined: `unprintable` reports them.
"""

from __future__ import annotations

import struct
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path

from blockmap.resources import asset

__all__ = [
    "Face",
    "Font",
    "cap_to_em",
    "font_file",
    "fonts_of",
    "line_extent",
    "missing_characters",
    "printed",
    "read_font",
    "runs",
    "text_width_mm",
    "unprintable",
]


class Face(StrEnum):
    """The cuts of the one type family."""

    REGULAR = "regular"
    BOLD = "bold"
    ITALIC = "italic"


_FILES: dict[Face, tuple[str, str]] = {
    Face.REGULAR: ("IBMPlexSansCondensed-Regular", "DejaVuSansCondensed"),
    Face.BOLD: ("IBMPlexSansCondensed-SemiBold", "DejaVuSansCondensed-Bold"),
    Face.ITALIC: ("IBMPlexSansCondensed-Italic", "DejaVuSansCondensed"),
}

_SAME_LOOK = {"\u03a9": "\u2126", "\u2126": "\u03a9", "\u03bc": "\u00b5"}
"""Ohm and omega, mu and micro: composing the ohm sign gives the letter, which a font
may lack though it has the sign."""

MISSING = "\u25a1"
_CONTROL = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


@dataclass(frozen=True, slots=True)
class Font:
    """What is needed of one TrueType file; lengths in parts of the em."""

    path: Path
    cap: float
    ascent: float
    descent: float
    advances: dict[int, float]

    def has(self, character: str) -> bool:
        """Tell whether the font draws the character."""
        return ord(character) in self.advances


def read_font(path: Path) -> Font:
    """Return the metrics of a TrueType file.

    Raises ValueError when the file is not one that can be read.
    Source: OpenType specification, tables head, hhea, hmtx, cmap and OS/2.
    """
    data = path.read_bytes()
    try:
        return _read(path, data)
    except (struct.error, KeyError, IndexError) as problem:
        raise ValueError(f"{path.name} is no TrueType font") from problem


def _read(path: Path, data: bytes) -> Font:
    count = struct.unpack_from(">H", data, 4)[0]
    tables: dict[str, int] = {}
    for number in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * number)
        tables[tag.decode("latin-1")] = offset
    em = struct.unpack_from(">H", data, tables["head"] + 18)[0]
    ascent, descent = struct.unpack_from(">hh", data, tables["hhea"] + 4)
    measured = struct.unpack_from(">H", data, tables["hhea"] + 34)[0]
    metrics = struct.unpack_from(f">{2 * measured}H", data, tables["hmtx"])[::2]
    last = measured - 1
    advances = {
        code: metrics[min(glyph, last)] / em
        for code, glyph in _characters(data, tables["cmap"]).items()
    }
    os2 = tables["OS/2"]
    # Old OS/2 tables lack the height: only the fallback has one, and it is never
    # set by its own capitals.
    has_cap = struct.unpack_from(">H", data, os2)[0] >= 2
    cap = struct.unpack_from(">h", data, os2 + 88)[0] if has_cap else 0.729 * em
    return Font(path, cap / em, ascent / em, -descent / em, advances)


def _characters(data: bytes, cmap: int) -> dict[int, int]:
    """Return glyph numbers by character from the widest Unicode subtable."""
    best: dict[int, int] = {}
    for number in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        platform, _, offset = struct.unpack_from(">HHI", data, cmap + 4 + 8 * number)
        if platform not in (0, 3):
            continue
        at = cmap + offset
        kind = struct.unpack_from(">H", data, at)[0]
        found = {4: _segments, 12: _groups}.get(kind)
        if found:
            table = found(data, at)
            best = table if len(table) > len(best) else best
    return best


def _segments(data: bytes, at: int) -> dict[int, int]:
    n = struct.unpack_from(">H", data, at + 6)[0] // 2
    ends = struct.unpack_from(f">{n}H", data, at + 14)
    starts = struct.unpack_from(f">{n}H", data, at + 16 + 2 * n)
    deltas = struct.unpack_from(f">{n}H", data, at + 16 + 4 * n)
    ranges_at = at + 16 + 6 * n
    ranges = struct.unpack_from(f">{n}H", data, ranges_at)
    found: dict[int, int] = {}
    for i in range(n):
        for code in range(starts[i], min(ends[i], 0xFFFE) + 1):
            glyph = code
            if ranges[i]:
                place = ranges_at + 2 * i + ranges[i] + 2 * (code - starts[i])
                glyph = struct.unpack_from(">H", data, place)[0]
                if not glyph:
                    continue
            glyph = (glyph + deltas[i]) & 0xFFFF
            if glyph:
                found[code] = glyph
    return found


def _groups(data: bytes, at: int) -> dict[int, int]:
    found: dict[int, int] = {}
    for number in range(struct.unpack_from(">I", data, at + 12)[0]):
        start, end, glyph = struct.unpack_from(">III", data, at + 16 + 12 * number)
        found.update(
            zip(
                range(start, end + 1),
                range(glyph, glyph + end - start + 1),
                strict=True,
            )
        )
    return found


@cache
def _font(name: str) -> Font:
    return read_font(asset(f"fonts/{name}.ttf"))


def fonts_of(face: Face) -> tuple[Font, Font]:
    """Return the first font of a face and its fallback."""
    first, second = _FILES[face]
    return _font(first), _font(second)


@cache
def font_file(face: Face) -> Path:
    """Return the file of the first font of a face."""
    return asset(f"fonts/{_FILES[face][0]}.ttf")


@cache
def cap_to_em(face: Face) -> float:
    """Return the em, which is the font size, that belongs to capitals of height 1.

    The fallback is set at the same em. Source: OS/2 table, sCapHeight.
    """
    return 1.0 / _font(_FILES[face][0]).cap


def line_extent(face: Face) -> tuple[float, float]:
    """Return ascent and descent of a line for capitals of height 1."""
    font = _font(_FILES[face][0])
    return font.ascent / font.cap, font.descent / font.cap


@cache
def _setting(character: str, face: Face) -> tuple[str, int, float]:
    """Return the character as it is set, which font sets it, and its advance in em."""
    first, second = _FILES[face]
    wished = [character]
    if character in _SAME_LOOK:
        wished.append(_SAME_LOOK[character])
    if unicodedata.category(character) not in _CONTROL:
        for number, name in enumerate((first, second)):
            font = _font(name)
            for candidate in wished:
                if font.has(candidate):
                    mark = unicodedata.category(candidate) == "Mn"
                    advance = 0.0 if mark else font.advances[ord(candidate)]
                    return candidate, number, advance
    fallback = _font(second)
    return MISSING, 1, fallback.advances[ord(MISSING)]


def _composed(text: str) -> str:
    return text if text.isascii() else unicodedata.normalize("NFC", text)


@lru_cache(maxsize=16384)
def _width_em(text: str, face: Face) -> float:
    return sum(_setting(character, face)[2] for character in _composed(text))


def text_width_mm(text: str, face: Face, cap_mm: float) -> float:
    """Return the width in millimetres of a line with capitals of this height."""
    return _width_em(text, face) * cap_mm * cap_to_em(face)


def runs(text: str, face: Face = Face.REGULAR) -> tuple[tuple[str, Path], ...]:
    """Return the text as printed, cut where the font changes, with each font's file."""
    settings = [_setting(character, face) for character in _composed(text)]
    return tuple(
        (
            "".join(setting[0] for setting in part),
            _font(_FILES[face][number]).path,
        )
        for number, part in groupby(settings, key=lambda setting: setting[1])
    )


def printed(text: str, face: Face = Face.REGULAR) -> str:
    """Return the text as it is set: composed, with a hollow square for what lacks."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_setting(character, face)[0] for character in _composed(text))


def missing_characters(text: str, face: Face = Face.REGULAR) -> str:
    """Return each character that no shipped font draws, once, in order."""
    if text.isascii() and text.isprintable():
        return ""
    return "".join(
        dict.fromkeys(
            character
            for character in _composed(text)
            if character != MISSING and _setting(character, face)[0] == MISSING
        )
    )


def unprintable(text: str, face: Face = Face.REGULAR) -> str:
    """Return each character that would not be printed, or not in its right order.

    These are the missing ones and those of scripts written from right to left.
    """
    missing = missing_characters(text, face)
    return "".join(
        dict.fromkeys(
            character
            for character in _composed(text)
            if character in missing
            or unicodedata.bidirectional(character) in ("R", "AL", "AN")
        )
    )
