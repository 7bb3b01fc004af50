"""Photos on the command line: printed from their folder, carried to another file."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from blockmap.__main__ import main
from blockmap.files.photos import new_photo, photo_folder
from blockmap.files.store import load, save
from blockmap.model.edits import add_photos
from blockmap.model.map_photos import photos_of
from blockmap.resources import layout
from tests.pictures import write_picture


@pytest.fixture
def map_path(tmp_path: Path) -> Path:
    """A map in a file, with one photo beside it."""
    path = tmp_path / "maps" / "van.blockmap.yaml"
    path.parent.mkdir()
    photo = new_photo(write_picture(tmp_path / "a.jpg"), path)
    document = load(layout("demo")).document
    save(path, add_photos(document, "panel/F3", "feed", (photo,)))
    return path


def test_the_condition_sheet_shows_the_photo(map_path: Path, tmp_path: Path) -> None:
    output = tmp_path / "condition.pdf"
    assert main(["print", "condition", str(map_path), "-o", str(output)]) == 0
    pages = PdfReader(BytesIO(output.read_bytes())).pages
    assert len([image for page in pages for image in page.images]) == 1


def test_filling_into_another_file_takes_the_photos_along(
    map_path: Path, tmp_path: Path
) -> None:
    table, output = tmp_path / "a.csv", tmp_path / "other.blockmap.yaml"
    assert main(["table", str(map_path), "-o", str(table)]) == 0
    assert main(["fill", str(map_path), str(table), "-o", str(output)]) == 0
    (photo,) = photos_of(load(output).document)
    assert (photo_folder(output) / photo.file).is_file()
