"""The PDF itself: bytes, fonts, preferences, free edges, and grey."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from pypdf import PdfReader

from blockmap.drawing.palette import PRINT, TEXT_PAIRS
from blockmap.drawing.primitives import Ellipse, Face, Text, rectangle
from blockmap.model.document import Map
from blockmap.model.geometry import Box, Point, View
from blockmap.sheets.card import CARD_FORMS
from blockmap.sheets.catalogue import SHEETS, SheetOptions, sheet_named
from blockmap.sheets.pages import Clipped, Page, Sheet
from blockmap.sheets.pdf import pdf_bytes
from blockmap.sheets.proof import compose_proof
from tests.sheets.measuring import ink_reaches, measured
from tests.sheets.sample_maps import LAYOUTS, row_of, shipped
from tests.strategies import maps

DATA = Path(__file__).parents[1] / "data" / "standards"
# Common practice, no source: office printers leave about 5 mm free.
EDGE_MM = 5.0


def every_sheet(document: Map, **options: Any) -> list[Sheet]:
    """Return each kind of sheet, each block and each form of card."""
    found = [
        kind.compose(document, SheetOptions(block=block, **options))
        for kind in SHEETS
        if kind.name == "labels"
        for block in document.blocks
    ]
    card = sheet_named("card")
    assert card
    found += [
        card.compose(document, SheetOptions(form=form, **options))
        for form in CARD_FORMS
    ]
    return found


@pytest.mark.parametrize(
    ("name", "paper"), [*((name, "a4") for name in LAYOUTS), ("demo", "letter")]
)
def test_nothing_is_printed_near_the_edge(name: str, paper: str) -> None:
    for sheet in every_sheet(shipped(name), paper=paper, view=View.REAR):
        data = pdf_bytes(sheet, "Test")
        assert ink_reaches(data, EDGE_MM) == []
        for page in measured(data):
            boxes = [s.box for s in page.shapes] + [c.box for c in page.letters]
            for left, top, right, bottom in boxes:
                assert left >= EDGE_MM - 1e-6
                assert right <= page.width - EDGE_MM + 1e-6
                # A letter's box has the whole height of its line, ink or not.
                assert top >= EDGE_MM - 1.5
                assert bottom <= page.height - EDGE_MM + 1.5


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(document=maps(most=2))
def test_any_map_can_be_printed(document: Map) -> None:
    for sheet in every_sheet(document):
        for page in sheet.pages[:6]:
            one = replace(sheet, pages=(page,))
            assert ink_reaches(pdf_bytes(one, "Test"), EDGE_MM) == []


def test_paper_sizes_are_those_of_the_standards() -> None:
    # Source: ISO 216, A4 = 841 x 1189 halved four times; Letter by the inch,
    # 8.5 x 11 in (from memory, not an oracle of the reference tables).
    a4 = measured(pdf_bytes(compose_proof("a4"), "Test"))[0]
    assert (a4.width, a4.height) == pytest.approx((210, 297), abs=0.001)
    letter = measured(pdf_bytes(compose_proof("letter"), "Test"))[0]
    assert (letter.width, letter.height) == pytest.approx((215.9, 279.4), abs=0.001)


def test_the_same_map_gives_the_same_bytes() -> None:
    document = shipped("demo")
    labels, card = (sheet_named(name) for name in ("labels", "card"))
    assert labels
    assert card
    first = pdf_bytes(labels.compose(document, SheetOptions()), "Test")
    # Another sheet between, with characters of the second font, must change nothing.
    odd = row_of(2, 20.0, "ΩЖ→ {}")
    pdf_bytes(card.compose(odd, SheetOptions()), "Other")
    assert pdf_bytes(labels.compose(document, SheetOptions()), "Test") == first


def test_fonts_are_embedded_as_subsets() -> None:
    data = pdf_bytes(every_sheet(row_of(3, 20.0, "Ж Ω {}"))[0], "Test")
    names = set()
    for page in PdfReader(BytesIO(data)).pages:
        resources: Any = page["/Resources"]
        for reference in resources["/Font"].values():
            font = reference.get_object()
            assert "/FontDescriptor" in font, font
            assert "/FontFile2" in font["/FontDescriptor"].get_object(), font
            names.add(str(font["/BaseFont"]))
    assert any("DejaVu" in name for name in names)
    # Source: ISO 32000-1, 9.6.4: a subset's name starts with six capitals and a plus.
    assert all(name[1:7].isupper() and name[7] == "+" for name in names)


def test_viewers_are_asked_not_to_scale() -> None:
    # Source: ISO 32000-1, 12.2, table 150: PrintScaling None, DisplayDocTitle.
    reader = PdfReader(BytesIO(pdf_bytes(compose_proof(), "Fuses of the test car")))
    root: Any = reader.trailer["/Root"]
    wishes = root["/ViewerPreferences"]
    assert wishes["/PrintScaling"] == "/None"
    assert wishes["/DisplayDocTitle"]
    assert root["/Lang"] == "en-GB"
    assert reader.metadata
    assert reader.metadata.title == "Fuses of the test car"


def test_shapes_are_drawn_to_a_hundredth_of_a_millimetre() -> None:
    shapes = (
        rectangle(Box(20.0, 30.0, 70.0, 42.5), "", "ink"),
        Ellipse(Point(100.0, 100.0), 15.0, 7.0, "", "ink"),
    )
    sheet = Sheet("x", "X", (Page(210.0, 297.0, shapes, "x"),))
    found = measured(pdf_bytes(sheet, "Test"))[0].shapes
    boxes = [shape.box for shape in found]
    assert boxes[0] == pytest.approx((20, 30, 70, 42.5), abs=0.001)
    assert boxes[1] == pytest.approx((85, 93, 115, 107), abs=0.001)


def test_text_is_read_back_as_it_was_written() -> None:
    texts = ["F1  STOP-HAZ", "äöü ßÆ", "ЖΩ → 7.5 A", "O0 1lI", "a (b) c\\d) ("]
    items = tuple(
        Text(text, Point(20.0, 20.0 + 10 * row), 3.0, Face.REGULAR, "start")
        for row, text in enumerate(texts)
    )
    sheet = Sheet("x", "X", (Page(210.0, 297.0, items, "x"),))
    page = measured(pdf_bytes(sheet, "Test"))[0]
    read = "".join(letter.text for letter in page.letters)
    # The ohm sign stands for the letter omega, which the font lacks; Unicode calls
    # them the same (NFC).
    assert unicodedata.normalize("NFC", read) == "".join(texts)


def test_anchored_and_turned_text_stands_where_it_is_put() -> None:
    def box_of(item: Text) -> tuple[float, float, float, float]:
        sheet = Sheet("x", "X", (Page(210.0, 297.0, (item,), "x"),))
        boxes = [each.box for each in measured(pdf_bytes(sheet, "x"))[0].letters]
        lefts, tops, rights, bottoms = zip(*boxes, strict=True)
        return min(lefts), min(tops), max(rights), max(bottoms)

    at = Point(100.0, 100.0)
    left, _, right, _ = box_of(Text("BLOWER", at, 3.0))
    assert (left + right) / 2 == pytest.approx(100.0, abs=0.05)
    _, _, right, _ = box_of(Text("BLOWER", at, 3.0, anchor="end"))
    assert right == pytest.approx(100.0, abs=0.05)
    left, top, right, bottom = box_of(
        Text("BLOWER", at, 3.0, anchor="start", turn_deg=-90.0)
    )
    # Turned a quarter against the clock the text runs upwards from the point.
    assert bottom == pytest.approx(100.0, abs=0.05)
    assert bottom - top > 3 * (right - left)


def test_what_lies_outside_a_window_is_not_printed() -> None:
    dark = rectangle(Box(0.0, 0.0, 210.0, 297.0), "ink")
    window = Clipped(Box(50.0, 60.0, 90.0, 80.0), (dark,))
    after = rectangle(Box(100.0, 200.0, 110.0, 210.0), "ink")
    sheet = Sheet("x", "X", (Page(210.0, 297.0, (window, after), "x"),))
    data = pdf_bytes(sheet, "Test")
    assert ink_reaches(data, 49.0) == []
    assert ink_reaches(data, 51.0) == [1]


@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_letters_stand_out_when_printed_in_grey(ink: str, ground: str) -> None:
    # Source: coloraide, for the luma of a grey print (Rec. 601 weights as printers'
    # own grey modes use them) and the contrast of WCAG 2.1, at least 4.5.
    def grey(name: str) -> Color:
        red, green, blue = Color(PRINT.resolve(name)).coords()
        luma = 0.299 * red + 0.587 * green + 0.114 * blue
        return Color("srgb", [luma, luma, luma])

    assert grey(ink).contrast(grey(ground), method="wcag21") >= 4.5


def test_the_proof_page_has_rulers_and_a_square() -> None:
    page = measured(pdf_bytes(compose_proof("letter"), "Test"))[0]
    assert any(
        shape.closed
        and shape.width == pytest.approx(50, abs=0.001)
        and shape.height == pytest.approx(50, abs=0.001)
        for shape in page.shapes
    )
    assert any(abs(s.width - 100) < 0.001 and s.height == 0 for s in page.shapes)
    assert any(abs(s.height - 100) < 0.001 and s.width == 0 for s in page.shapes)


def test_a_block_the_map_has_not_is_refused() -> None:
    labels = sheet_named("labels")
    assert labels
    with pytest.raises(ValueError, match="no block"):
        labels.compose(row_of(1, 20.0), SheetOptions(block="boot"))
    with pytest.raises(ValueError, match="no block"):
        labels.compose(Map(), SheetOptions())
    with pytest.raises(ValueError, match="paper size"):
        labels.compose(row_of(1, 20.0), SheetOptions(paper="napkin"))
