"""Photos on the condition sheet, read back with pypdf and measured with pdfplumber."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image
from pypdf import PdfReader

from blockmap.files.photos import embedded, new_photo, photo_folder
from blockmap.files.store import save
from blockmap.model.document import Map, Photo
from blockmap.model.edits import add_photos, note_photo
from blockmap.sheets.catalogue import SheetOptions, sheet_named
from blockmap.sheets.pages import Sheet
from blockmap.sheets.pdf import pdf_bytes
from tests.pictures import RED, claimed_png, picture, write_picture
from tests.sheets.measuring import MM
from tests.sheets.sample_maps import row_of


def condition_sheet(document: Map, map_path: Path | None) -> tuple[Sheet, bytes]:
    kind = sheet_named("condition")
    assert kind is not None
    sheet = kind.compose(document, SheetOptions(map_file=map_path))
    return sheet, pdf_bytes(sheet, "Condition")


def words_of(data: bytes) -> str:
    pages = PdfReader(BytesIO(data)).pages
    return " ".join("\n".join(page.extract_text() for page in pages).split())


@pytest.fixture
def map_path(tmp_path: Path) -> Path:
    return tmp_path / "van.blockmap.yaml"


def with_photos(*photos: Photo) -> Map:
    return add_photos(row_of(3, 10.0), "b/F2", "load", photos)


def test_each_photo_stands_beside_its_words(map_path: Path) -> None:
    wide = new_photo(
        write_picture(map_path.parent / "a.jpg", size=(1600, 1200)), map_path
    )
    tall = new_photo(
        write_picture(map_path.parent / "b.png", "PNG", size=(300, 900)), map_path
    )
    document = with_photos(wide, embedded(tall, map_path))
    document = note_photo(document, "b/F2", "load", 0, "edge melted back 4 mm")
    save(map_path, document)
    sheet, data = condition_sheet(document, map_path)
    assert sheet.notes == ()
    assert "edge melted back 4 mm" in words_of(data)
    images = [i for page in PdfReader(BytesIO(data)).pages for i in page.images]
    assert len(images) == 2
    for image in images:
        assert image.image is not None
        seen = image.image.convert("RGB").getpixel((8, 8))
        assert isinstance(seen, tuple)
        assert all(abs(a - b) < 40 for a, b in zip(seen, RED, strict=True))
    with pdfplumber.open(BytesIO(data)) as pdf:
        placed = [i for page in pdf.pages for i in page.images]
        sizes = [(i["width"] * MM, i["height"] * MM) for i in placed]
        words = [w for page in pdf.pages for w in page.extract_words()]
    assert sizes[0] == pytest.approx((40.0, 30.0), abs=0.05)
    assert sizes[1] == pytest.approx((10.0, 30.0), abs=0.05)
    melted = next(w for w in words if w["text"] == "melted")
    assert placed[0]["top"] <= melted["top"] <= placed[0]["bottom"]
    assert melted["x0"] > placed[0]["x1"]


def test_the_same_map_gives_the_same_bytes(map_path: Path) -> None:
    photo = new_photo(write_picture(map_path.parent / "a.jpg"), map_path)
    document = with_photos(photo)
    assert condition_sheet(document, map_path) == condition_sheet(document, map_path)


@pytest.mark.parametrize("harm", ["missing", "changed", "large", "no map file"])
def test_a_picture_that_cannot_be_shown_leaves_words(harm: str, map_path: Path) -> None:
    photo = new_photo(write_picture(map_path.parent / "a.jpg"), map_path)
    file = photo_folder(map_path) / photo.file
    if harm == "missing":
        file.unlink()
    elif harm == "changed":
        file.write_bytes(picture(size=(50, 50)))
    elif harm == "large":
        photo = Photo(file="large.png")
        (file.parent / "large.png").write_bytes(claimed_png(30_000, 30_000))
    words = {
        "missing": "the picture is missing",
        "changed": "The picture has changed",
        "large": "30,000 × 30,000 pixels",
        "no map file": "this map has no file yet",
    }[harm]
    path = None if harm == "no map file" else map_path
    sheet, data = condition_sheet(with_photos(photo), path)
    assert "NO PICTURE" in words_of(data)
    (note,) = sheet.notes
    assert note.startswith("F2 load: no picture: ")
    assert words in note
    assert not [i for page in PdfReader(BytesIO(data)).pages for i in page.images]


@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_paper_shows_a_picture_upright(orientation: int, map_path: Path) -> None:
    # Exif 2.32, 4.6.4, tag 274; a file that was put there by hand keeps its tag.
    turn = {
        3: Image.Transpose.ROTATE_180,
        6: Image.Transpose.ROTATE_90,
        8: Image.Transpose.ROTATE_270,
    }[orientation]
    exif = Image.Exif()
    exif[0x0112] = orientation
    folder = photo_folder(map_path)
    folder.mkdir()
    upright = Image.open(BytesIO(picture(size=(160, 120))))
    upright.transpose(turn).save(folder / "a.jpg", "JPEG", exif=exif)
    _, data = condition_sheet(with_photos(Photo(file="a.jpg")), map_path)
    (image,) = [i for page in PdfReader(BytesIO(data)).pages for i in page.images]
    assert image.image is not None
    assert image.image.size == (160, 120)
    seen = image.image.convert("RGB").getpixel((20, 20))
    assert isinstance(seen, tuple)
    assert all(abs(a - b) < 40 for a, b in zip(seen, RED, strict=True))


def test_many_photos_go_on_over_pages(map_path: Path) -> None:
    photo = embedded(
        new_photo(write_picture(map_path.parent / "a.jpg"), map_path), map_path
    )
    _, data = condition_sheet(with_photos(*[photo] * 30), None)
    with pdfplumber.open(BytesIO(data)) as pdf:
        placed = [(p, i) for p in pdf.pages for i in p.images]
    assert len(placed) == 30
    for page, image in placed:
        assert image["bottom"] <= float(page.height) - 10 / MM
        assert image["x1"] <= float(page.width) - 7 / MM + 0.1
