"""Label sheets measured back from the PDF: places, sizes, words, what is reported."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fontTools.ttLib import TTFont
from shapely import box as rectangle
from shapely import unary_union

from blockmap.drawing.primitives import Text, text_box
from blockmap.model.document import Car, Map
from blockmap.model.edits import Grid
from blockmap.model.geometry import Box as MapBox
from blockmap.model.geometry import Point, Size, View
from blockmap.resources import asset
from blockmap.sheets.labels import compose_labels
from blockmap.sheets.pages import Sheet
from blockmap.sheets.pdf import pdf_bytes
from blockmap.sheets.tiles import tiles_of
from tests.sheets.measuring import Box, Measured, measured, squeezed
from tests.sheets.sample_maps import LAYOUTS, grid_map, row_of, shipped

PANELS = [
    name
    for name in LAYOUTS
    if any(block.kind != "in-line holders" for block in shipped(name).blocks.values())
]


def measure(sheet: Sheet) -> tuple[Measured, ...]:
    return measured(pdf_bytes(sheet, "Test"))


def block_corner(page: Measured, size: Size) -> tuple[float, float]:
    """Return where the block's own outline has its top left corner on the page."""
    wide, high = size
    found = [
        shape
        for shape in page.shapes
        if shape.closed
        and abs(shape.width - wide) < 0.01
        and abs(shape.height - high) < 0.01
    ]
    assert found, "the outline of the block is not on the page at true size"
    return found[0].box[0], found[0].box[1]


def in_view(box: MapBox, size: Size, view: View) -> Box:
    """Place a box of the map by the rule of the trade: rear x' = width - x."""
    left, top, right, bottom = box
    if view is View.REAR:
        return size.width_mm - right, top, size.width_mm - left, bottom
    return left, top, right, bottom


@pytest.mark.parametrize("view", [View.FRONT, View.REAR])
@pytest.mark.parametrize("name", PANELS)
def test_each_cavity_is_printed_where_the_map_has_it(name: str, view: View) -> None:
    document = shipped(name)
    block = next(b for b in document.blocks.values() if b.kind != "in-line holders")
    page = measure(compose_labels(document, block.id, view=view))[0]
    x, y = block_corner(page, block.size)
    for cavity in document.cavities_of(block.id):
        left, top, right, bottom = in_view(cavity.bounds, block.size, view)
        wished = (x + left, y + top, x + right, y + bottom)
        assert page.fills(wished), cavity.designation


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("factors", [(1.0, 1.0), (1.01, 0.985)])
def test_rulers_measure_100_mm_times_the_correction(
    paper: str, factors: tuple[float, float]
) -> None:
    sheet = compose_labels(row_of(6, 20.0), "b", paper=paper, correction=factors)
    for page in measure(sheet):
        across = [s.width for s in page.shapes if s.height == 0]
        down = [s.height for s in page.shapes if s.width == 0]
        assert any(abs(length - 100 * factors[0]) < 0.001 for length in across)
        assert any(abs(length - 100 * factors[1]) < 0.001 for length in down)


def test_a_corrected_face_is_stretched_and_says_so() -> None:
    document = row_of(4, 20.0)
    sheet = compose_labels(document, "b", correction=(1.01, 0.99))
    (page,) = measure(sheet)
    size = document.blocks["b"].size
    x, y = block_corner(page, Size(size.width_mm * 1.01, size.height_mm * 0.99))
    for cavity in document.cavities.values():
        left, top, right, bottom = cavity.bounds
        assert page.fills(
            (x + left * 1.01, y + top * 0.99, x + right * 1.01, y + bottom * 0.99)
        )
    assert squeezed("across 1.01, down 0.99") in page.text


@pytest.mark.parametrize("factors", [(0.96, 1.0), (1.0, 1.04), (float("nan"), 1.0)])
def test_a_correction_that_is_no_printer_error_is_refused(
    factors: tuple[float, float],
) -> None:
    with pytest.raises(ValueError, match=r"0\.97"):
        compose_labels(row_of(2, 20.0), "b", correction=factors)


def cap_heights(page: Measured) -> list[tuple[str, float]]:
    """Return each character with the height of capitals of its setting.

    Source: the outline of the letter H, as fontTools reads it from the font.
    """
    shares: dict[str, float] = {}
    for path in asset("fonts/SOURCES.txt").parent.glob("*.ttf"):
        with TTFont(path) as font:
            name = font["name"].getDebugName(6)
            shares[name] = font["glyf"]["H"].yMax / font["head"].unitsPerEm
    return [
        (letter.text, letter.size * shares[letter.font.partition("+")[2]])
        for letter in page.letters
    ]


@pytest.mark.parametrize("distance_mm", [400.0, 700.0])
def test_no_letter_is_lower_than_can_be_read(distance_mm: float) -> None:
    # Source: NUREG-0700 revision 2, guideline 1.3.1-4: a height of 16 arc minutes is
    # 6.283 d 16 / 21600; the same 16 arc minutes are the least of ISO 9241-3. At
    # 700 mm this is the row of 3.26 mm in tests/data/standards/sheets.yaml.
    least = 6.283 * distance_mm * 16 / 21600
    car = Car(name="Test car", label_distance_mm=distance_mm)
    document = row_of(6, 30.0, "WIPER {}", car=car)
    page = measure(compose_labels(document, "b"))[0]
    tall = "".join(text for text, cap in cap_heights(page) if cap >= least - 1e-3)
    for number in range(1, 7):
        # On the face, on the strip and as a single label.
        assert squeezed(tall).count(f"WIPER{number}") == 3
    if distance_mm == 400.0:
        assert tall == "".join(text for text, _ in cap_heights(page))


def test_a_height_set_in_the_map_goes_before_the_rule() -> None:
    car = Car(name="Test car", label_height_mm=3.0)
    page = measure(compose_labels(row_of(4, 30.0, "WIPER {}", car=car), "b"))[0]
    caps = {round(cap, 3) for text, cap in cap_heights(page) if text == "W"}
    assert 3.0 in caps
    assert squeezed("3 mm: set in this map") in page.text


def test_the_source_of_the_least_height_stands_on_the_sheet() -> None:
    page = measure(compose_labels(row_of(4, 20.0), "b"))[-1]
    assert squeezed("Capitals at least 2 mm, read from 400 mm. Source:") in page.text


def test_strips_are_cut_half_way_between_neighbours() -> None:
    page = measure(compose_labels(row_of(5, 12.0), "b"))[0]
    strip = next(
        s for s in page.shapes if s.dashed and s.closed and abs(s.width - 60) < 0.01
    )
    cuts = sorted(
        s.box[0] - strip.box[0]
        for s in page.shapes
        if s.dashed
        and s.width == 0
        and s.box[1] >= strip.box[1] - 0.01
        and s.box[3] <= strip.box[3] + 0.01
    )
    # Pitch 12 mm, so the first cut is half a pitch after the first centre, which
    # itself is half a pitch after the strip's end.
    assert cuts == pytest.approx([12, 24, 36, 48], abs=0.001)


@pytest.mark.parametrize("name", PANELS)
def test_no_cut_line_goes_through_a_text(name: str) -> None:
    document = shipped(name)
    for block in document.blocks:
        for page in measure(compose_labels(document, block)):
            cuts = [s for s in page.shapes if s.dashed and 0 in (s.width, s.height)] + [
                s for s in page.shapes if s.dashed and s.closed
            ]
            for cut in cuts:
                for letter in page.letters:
                    if cut.closed:
                        assert not _crosses_frame(cut.box, letter.box), letter
                    else:
                        assert not _meets(cut.box, letter.box), letter


def _meets(line: Box, letter: Box) -> bool:
    left, _top, right, _bottom = letter
    middle = (letter[1] + letter[3]) / 2
    return (
        line[0] < right and left < line[2] + 1e-9 and line[1] <= middle <= line[3]
    ) or (line[1] == line[3] and left < line[0] < right and line[1] == middle)


def _crosses_frame(frame: Box, letter: Box) -> bool:
    """Tell whether a letter lies partly inside and partly outside, left or right."""
    middle = (letter[1] + letter[3]) / 2
    if not frame[1] < middle < frame[3]:
        return False
    inside_left = letter[0] >= frame[0] and letter[2] <= frame[2]
    outside = letter[2] <= frame[0] or letter[0] >= frame[2]
    return not (inside_left or outside)


def test_the_single_labels_say_designation_rating_and_text() -> None:
    text = measure(compose_labels(row_of(6, 20.0, "WIPER {}"), "b"))[0].text
    for number in range(1, 7):
        # Once on the strip and once as a single label.
        assert text.count(f"F{number}15AWIPER{number}") == 2


def test_the_longest_legible_text_is_taken() -> None:
    document = row_of(3, 30.0)
    cavities = {
        key: replace(
            cavity,
            legend_long="Instrument and dash lamps",
            legend="INST LPS",
            legend_short="IL",
        )
        for key, cavity in document.cavities.items()
    }
    wide = compose_labels(replace(document, cavities=cavities), "b")
    assert squeezed("Instrument and dash lamps") in measure(wide)[0].text
    large = replace(document.car, label_height_mm=5.0)
    shorter = replace(document, cavities=cavities, car=large)
    text = measure(compose_labels(shorter, "b"))[0].text
    assert squeezed("Instrument and dash lamps") not in text
    assert squeezed("INST LPS") in text


def test_what_does_not_fit_is_reported_and_not_cut_off() -> None:
    long = "UNBREAKABLE" * 6
    sheet = compose_labels(row_of(5, 10.0, long), "b")
    said = " ".join(sheet.notes)
    assert long in said
    for where in ("Label on the face", "Label strip", "Single label"):
        assert any(note.startswith(f"{where} of F3:") for note in sheet.notes)
    text = "".join(page.text for page in measure(sheet))
    assert text.count("UNBREAKABLE") == said.count("UNBREAKABLE")


def test_a_character_no_font_has_is_named_and_seen_as_a_box() -> None:
    sheet = compose_labels(row_of(1, 20.0, "CLOCK \U0001f697"), "b")
    assert any("F1" in note and "U+1F697" in note for note in sheet.notes)
    assert "\u25a1" in measure(sheet)[0].text


def test_many_missing_characters_of_one_text_are_one_remark() -> None:
    sheet = compose_labels(row_of(1, 60.0, "冷却风扇继电器与空调压缩机"), "b")
    (note,) = [note for note in sheet.notes if "not in the fonts" in note]
    assert note.startswith("Label of F1: U+51B7, U+5374, U+98CE, U+6247 and 9 more are")
    two = compose_labels(row_of(1, 60.0, "冷却"), "b")
    assert any("U+51B7 and U+5374 are not in the fonts" in note for note in two.notes)


def test_the_view_stands_on_each_page_in_words() -> None:
    document = row_of(3, 20.0)
    for view, words in (
        (View.FRONT, "Front view"),
        (View.REAR, "Rear view: mirrored"),
        (View.FLIPPED, "Rear view: flipped top to bottom"),
        (View.TURNED, "Front view: turned 180 degrees"),
    ):
        for page in measure(compose_labels(document, "b", view=view)):
            assert squeezed(words) in page.text


def test_the_date_is_the_maps_own() -> None:
    dated = Car(name="Test car", date="2019-03-04")
    page = measure(compose_labels(row_of(2, 20.0, car=dated), "b"))[0]
    assert "checked2019-03-04" in page.text
    page = measure(compose_labels(row_of(2, 20.0), "b"))[0]
    assert "datenotgiven" in page.text


def large_map() -> Map:
    grid = Grid(
        first=Point(20.0, 20.0),
        columns=14,
        rows=9,
        pitch_x_mm=26.0,
        pitch_y_mm=30.0,
        first_designation="F1",
    )
    return grid_map(Size(390.0, 290.0), grid)


@pytest.mark.parametrize("length", [181.0, 300.0, 951.5])
def test_tiles_cover_the_drawing_and_overlap(length: float) -> None:
    room = Size(180.0, 240.0)
    drawing = MapBox(-3.0, -2.0, length - 3.0, 498.0)
    tiles = tiles_of(drawing, room)
    shapes = [rectangle(*tile.box) for tile in tiles]
    # Source: shapely, a library of its own, for union and cover.
    assert unary_union(shapes).buffer(1e-6).covers(rectangle(*drawing))
    assert all(
        tile.box.width_mm <= room.width_mm + 1e-6
        and tile.box.height_mm <= room.height_mm + 1e-6
        for tile in tiles
    )
    by_name = {tile.name: tile.box for tile in tiles}
    assert by_name["A1"].right_mm - by_name["A2"].left_mm == pytest.approx(10)
    assert by_name["A1"].bottom_mm - by_name["B1"].top_mm == pytest.approx(10)


def test_a_large_block_is_printed_on_named_tiles() -> None:
    pages = measure(compose_labels(large_map(), "b"))
    text = [page.text for page in pages]
    for name in ("A1", "A2", "B1", "B2"):
        assert any(f"tile{name}of" in each for each in text)
    # Every label is whole on the tiles taken together: each designation is there.
    whole = "".join(each for each in text if "tile" in each)
    for number in range(1, 127):
        assert f"F{number}CIRCUIT" in whole


def test_a_wide_block_lies_on_its_side_before_it_is_parted() -> None:
    grid = Grid(first=Point(20.0, 20.0), columns=10, pitch_x_mm=22.0)
    pages = measure(compose_labels(grid_map(Size(240.0, 60.0), grid), "b"))
    assert pages[0].width > pages[0].height
    assert "tile" not in pages[0].text


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("name", LAYOUTS)
def test_no_text_lies_on_another(name: str, view: View) -> None:
    document = shipped(name)
    for block in document.blocks:
        for page in compose_labels(document, block, view=view).pages:
            # What the figure itself writes on a relay is the matter of its own tests.
            texts = [
                item
                for item in page.primitives
                if isinstance(item, Text) and item.text not in ("relay", "87a")
            ]
            boxes = [text_box(item).grown(-0.05) for item in texts]
            for number, box in enumerate(boxes):
                for other in range(number):
                    assert not box.meets(boxes[other]), (
                        texts[number].text,
                        texts[other].text,
                    )


@pytest.mark.parametrize("count", [1, 6])
def test_no_label_of_a_place_not_to_be_used_invites_to_use_it(count: int) -> None:
    # Face, label strip and single label: whoever cuts out one of them has no other.
    document = row_of(count, 20.0, "WIPER {}")
    (first, *_) = document.cavities
    barred = replace(document.cavities[first], do_not_use=True)
    document = replace(document, cavities={**document.cavities, first: barred})
    text = "".join(page.text for page in measure(compose_labels(document, "b")))
    labels = 2 if count == 1 else 3
    assert text.count("F1DONOTUSE:WIPER1") == labels
    assert "F115A" not in text


@pytest.mark.parametrize("view", list(View))
def test_no_label_lies_on_the_lead_of_an_in_line_holder(view: View) -> None:
    document = shipped("home-built-special")
    (block,) = document.blocks
    page = measure(compose_labels(document, block, view=view))[0]
    leads = [
        s.box
        for s in page.shapes
        if not s.closed and not s.dashed and abs(s.width - 3.8) < 0.01
    ]
    assert len(leads) == 6, "three holders with a lead at each end"
    for letter in page.letters:
        inner = rectangle(*letter.box).buffer(-0.2)
        assert not any(inner.intersects(rectangle(*lead)) for lead in leads), letter
