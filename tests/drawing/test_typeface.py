"""Widths of texts equal those of general font libraries; gaps in the fonts are told."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont as PdfFont

from blockmap.drawing.primitives import Face
from blockmap.drawing.typeface import (
    cap_to_em,
    font_file,
    fonts_of,
    line_extent,
    missing_characters,
    printed,
    read_font,
    runs,
    text_width_mm,
    unprintable,
)

TEXTS = (
    "STOP-HAZ",
    "20?",
    "7.5 A",
    "Zündung, Ölstand",
    "0O 1lI",
    "≠ × µ° – “ok”",
)
MIXED = "5 Ω → Свет ▲ Φώς"


@pytest.mark.parametrize("face", list(Face))
def test_font_tables_equal_those_of_a_font_library(face: Face) -> None:
    # Oracle: fontTools, a general library for TrueType files.
    for font in fonts_of(face):
        oracle = TTFont(font.path)
        em = oracle["head"].unitsPerEm
        cmap, widths = oracle.getBestCmap(), oracle["hmtx"]
        assert set(font.advances) == set(cmap)
        for code in cmap:
            assert font.advances[code] * em == pytest.approx(widths[cmap[code]][0])
    first = TTFont(font_file(face))
    cap = first["OS/2"].sCapHeight / first["head"].unitsPerEm
    assert cap_to_em(face) == pytest.approx(1 / cap)
    ascent = first["hhea"].ascent / first["OS/2"].sCapHeight
    assert line_extent(face)[0] == pytest.approx(ascent)


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("text", [*TEXTS, MIXED])
def test_widths_equal_those_of_the_pdf_writer(face: Face, text: str) -> None:
    # Oracle: reportlab, which sets the prints.
    size = cap_to_em(face)
    expected = 0.0
    for part, path in runs(text, face):
        name = path.stem
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(PdfFont(name, str(path)))
        expected += pdfmetrics.stringWidth(part, name, size)
    # reportlab rounds each advance to a thousandth of the em.
    assert text_width_mm(text, face, 1.0) == pytest.approx(expected, rel=2e-3)


def test_the_letters_of_the_first_font_stand_as_high_as_asked() -> None:
    # Oracle: fontTools, the outline of the letter H.
    for face in Face:
        font = TTFont(font_file(face))
        high = font["glyf"][font.getBestCmap()[ord("H")]].yMax
        assert high / font["head"].unitsPerEm * cap_to_em(face) == pytest.approx(1.0)


def test_characters_fall_back_one_by_one() -> None:
    parts = runs("A▲B")
    assert [text for text, _ in parts] == ["A", "▲", "B"]
    assert parts[0][1] == parts[2][1] == font_file(Face.REGULAR)
    assert parts[1][1] != parts[0][1]


def test_the_ohm_sign_stays_in_the_first_font_though_composing_changes_it() -> None:
    for text in ("\u2126", "\u03a9"):
        ((shown, path),) = runs(text)
        assert path == font_file(Face.REGULAR)
        assert missing_characters(shown) == ""


def test_a_letter_and_its_accent_are_set_as_one() -> None:
    assert printed("A\u0308") == "Ä"
    assert text_width_mm("A\u0308", Face.BOLD, 2) == text_width_mm("Ä", Face.BOLD, 2)
    # q with a diaeresis has no composed form: the mark takes no room.
    assert text_width_mm("q\u0308", Face.BOLD, 2) == text_width_mm("q", Face.BOLD, 2)


def test_missing_characters_are_told_once_and_seen_as_squares() -> None:
    assert missing_characters("a漢b漢🔌") == "漢🔌"
    assert printed("a漢b") == "a□b"
    assert missing_characters("a\u202eb") == "\u202e"
    assert missing_characters("Plain text, 20 A") == ""
    assert text_width_mm("漢", Face.REGULAR, 1) == text_width_mm("□", Face.REGULAR, 1)


def test_right_to_left_text_is_reported_though_the_letters_are_there() -> None:
    assert missing_characters("אב") == ""
    assert unprintable("lamp אב 漢") == "אב漢"


def test_a_file_that_is_no_font_is_refused() -> None:
    path = font_file(Face.REGULAR).parent / "SOURCES.txt"
    with pytest.raises(ValueError, match=r"SOURCES\.txt is no TrueType font"):
        read_font(path)
