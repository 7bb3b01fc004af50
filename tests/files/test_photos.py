"""Photos beside the map and in it, whatever somebody has put in their place.

Pictures are made and read back with Pillow. Orientation is Exif 2.32, 4.6.4, tag 274.
"""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from blockmap.files import photos
from blockmap.files.disk import Disk
from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.files.photos import (
    carry_photos,
    embedded,
    new_photo,
    photo_folder,
    put_beside,
    show_photo,
    sweep_photos,
)
from blockmap.files.pictures import head_of, kept_picture, small_picture
from blockmap.files.store import load, save
from blockmap.model.document import Block, Cavity, Map, Photo
from blockmap.model.edits import add_photos, change_photo, note_photo, remove_photo
from blockmap.model.errors import DocumentRefused, EditRefused, StoreFailed
from blockmap.model.map_photos import EMBEDDED_LIMIT, photos_of
from tests.pictures import (
    GREEN,
    RED,
    claimed_jpeg,
    claimed_png,
    picture,
    write_picture,
)


def one_cavity() -> Map:
    made = Cavity(
        id="p/F1",
        block="p",
        x_mm=20.0,
        y_mm=10.0,
        width_mm=19.1,
        height_mm=5.1,
        form="medium blade",
    )
    block = Block(id="p", width_mm=50.0, height_mm=30.0)
    return Map(blocks={"p": block}, cavities={made.id: made})


@pytest.fixture
def map_path(tmp_path: Path) -> Path:
    folder = tmp_path / "maps"
    folder.mkdir()
    return folder / "van.blockmap.yaml"


def close(a: object, b: tuple[int, int, int]) -> bool:
    """Tell whether two colours are alike; JPEG shifts them a little."""
    assert isinstance(a, tuple)
    return all(abs(x - y) < 40 for x, y in zip(a, b, strict=True))


# adding


def test_a_chosen_picture_is_copied_beside_the_map(map_path: Path) -> None:
    source = write_picture(map_path.parent / "IMG 1.jpg")
    photo = new_photo(source, map_path, note="melted", date="2024-05-31")
    assert photo_folder(map_path) == map_path.parent / "van.photos"
    kept = (map_path.parent / "van.photos" / photo.file).read_bytes()
    assert hashlib.sha256(kept).hexdigest() == photo.sha256
    assert photo.file == photo.sha256[:24] + ".jpg"
    assert (photo.note, photo.date, photo.embedded) == ("melted", "2024-05-31", False)
    source.unlink()
    assert show_photo(photo, map_path).data == kept
    assert Image.open(BytesIO(kept)).size == (80, 60)


def test_a_map_without_a_file_holds_the_picture_itself(tmp_path: Path) -> None:
    photo = new_photo(write_picture(tmp_path / "a.png", "PNG"), None)
    assert photo.embedded
    assert not photo.file
    document = add_photos(one_cavity(), "p/F1", "load", (photo,))
    read = read_map(map_text(document).encode()).document
    assert read == document
    (back,) = photos_of(read)
    assert Image.open(BytesIO(show_photo(back, None).data or b"")).size == (80, 60)


def test_a_large_picture_is_kept_smaller_and_without_what_the_camera_noted() -> None:
    exif = Image.Exif()
    exif[0x010F] = "camera"  # tag Make
    made = kept_picture(picture("JPEG", (4000, 1000), exif=exif), "a.jpg")
    image = Image.open(BytesIO(made.data))
    assert image.size == (made.width_px, made.height_px) == (2000, 500)
    assert not image.getexif()


def test_embedding_and_putting_beside_give_the_same_picture(map_path: Path) -> None:
    beside = new_photo(write_picture(map_path.parent / "a.jpg"), map_path)
    inside = embedded(beside, map_path)
    assert inside.embedded
    assert show_photo(inside, None).data == show_photo(beside, map_path).data
    (photo_folder(map_path) / beside.file).unlink()
    assert put_beside(inside, map_path) == beside
    assert show_photo(beside, map_path).data


# size: the picture is refused by its head, before anything is decoded


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (claimed_png(30_000, 30_000), "30,000 × 30,000"),
        (claimed_png(8_000, 8_000), "8,000 × 8,000"),
        (claimed_png(60_000, 60_000, 1, 0), "60,000 × 60,000"),
        (claimed_png(200_000, 100), "200,000 × 100"),
        (claimed_jpeg(9_000, 8_000), "9,000 × 8,000"),
    ],
    ids=["colour", "64 million", "one bit", "long", "jpeg"],
)
def test_too_many_pixels_are_refused_with_their_number(
    data: bytes, words: str, map_path: Path
) -> None:
    source = map_path.parent / "large.png"
    source.write_bytes(data)
    with pytest.raises(StoreFailed, match=words):
        new_photo(source, map_path)
    assert not photo_folder(map_path).exists()
    with pytest.raises(StoreFailed, match=words):
        small_picture(data, (480, 360), "a")
    text = base64.b64encode(data).decode()
    shown = show_photo(Photo(data=text), map_path)
    assert shown.data is None
    assert words in shown.words


@pytest.mark.skipif(sys.platform != "linux", reason="reads the peak of memory as Linux")
def test_a_refused_picture_takes_no_memory(tmp_path: Path) -> None:
    # A real one: 8,000 × 8,000 pixels of one colour pack into a small file.
    Image.new("1", (8_000, 8_000)).save(tmp_path / "a.png")
    code = f"""
import resource
from PIL import Image, ImageOps
from blockmap.files.pictures import small_picture
from blockmap.files.photos import new_photo
from blockmap.model.errors import StoreFailed
peak = lambda: resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
before = peak()
for work in (
    lambda: new_photo({str(tmp_path / "a.png")!r}, None),
    lambda: small_picture(open({str(tmp_path / "a.png")!r}, "rb").read(), (9, 9), "a"),
):
    try:
        work()
    except StoreFailed:
        continue
    raise SystemExit("taken")
print(peak() - before)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert int(done.stdout) < 64 * 1024  # kilobytes


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("size", [(1, 1), (17, 400), (640, 3)])
def test_the_head_says_what_another_reader_says(
    kind: str, size: tuple[int, int]
) -> None:
    data = picture(kind, size)
    head = head_of(data, "a")
    seen = Image.open(BytesIO(data))
    assert (head.kind.upper(), head.width_px, head.height_px) == (kind, *seen.size)


def test_the_head_of_a_progressive_jpeg_with_camera_data_is_read() -> None:
    exif = Image.Exif()
    exif[0x010E] = "x" * 30_000  # tag ImageDescription
    data = picture("JPEG", (123, 45), progressive=True, exif=exif)
    assert (head_of(data, "a").width_px, head_of(data, "a").height_px) == (123, 45)


# damaged or changed


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_cut_short_is_not_taken(kind: str, map_path: Path) -> None:
    whole = picture(kind, (300, 300))
    source = map_path.parent / "a"
    for length in (0, 3, 20, 40, len(whole) // 2, len(whole) - 60):
        source.write_bytes(whole[:length])
        with pytest.raises(StoreFailed, match=r"damaged|empty|no photo"):
            new_photo(source, map_path)


@pytest.mark.parametrize("harm", ["cut", "changed", "other"])
def test_a_changed_picture_is_told_by_its_checksum(harm: str, map_path: Path) -> None:
    photo = new_photo(write_picture(map_path.parent / "a.jpg"), map_path)
    file = photo_folder(map_path) / photo.file
    data = file.read_bytes()
    changed = {
        "cut": data[:-40],
        "changed": data[:-40] + bytes([data[-40] ^ 1]) + data[-39:],
        "other": picture("JPEG", (90, 90)),
    }[harm]
    file.write_bytes(changed)
    shown = show_photo(photo, map_path)
    assert shown.data is None
    assert "changed or is cut short" in shown.words


# by content, not by name


def test_a_png_named_jpg_is_taken_as_what_it_is(map_path: Path) -> None:
    photo = new_photo(write_picture(map_path.parent / "a.jpg", "PNG"), map_path)
    assert photo.file.endswith(".png")
    assert show_photo(photo, map_path).data


_SVG = b"""<?xml version="1.0"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">
<image xlink:href="file:///etc/hostname" width="9" height="9"/></svg>"""


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.jpg", b"only some words\n", "no photo"),
        ("a.svg", _SVG, "SVG"),
        ("a.png", b"  <svg/>", "SVG"),
        ("a.gif", picture("GIF", save_all=True), "moving picture"),
        ("a.jpg", picture("BMP"), "no photo"),
        ("a.jpg", picture("TIFF"), "no photo"),
        ("a.jpg", b"%PDF-1.7\n", "no photo"),
    ],
)
def test_other_content_is_refused_whatever_its_name(
    name: str, data: bytes, words: str, map_path: Path
) -> None:
    source = map_path.parent / name
    source.write_bytes(data)
    with pytest.raises(StoreFailed, match=words) as refused:
        new_photo(source, map_path)
    assert name in str(refused.value)
    assert not photo_folder(map_path).exists()


# odd things in the folder


@pytest.mark.skipif(sys.platform == "win32", reason="makes pipes and links")
@pytest.mark.parametrize("odd", ["missing", "pipe", "device", "loop", "folder"])
def test_what_is_no_file_leaves_words(odd: str, map_path: Path) -> None:
    folder = photo_folder(map_path)
    folder.mkdir()
    place = folder / "a.jpg"
    if odd == "pipe":
        os.mkfifo(place)  # opening it to read would wait for ever
    elif odd == "device":
        place.symlink_to("/dev/zero")
    elif odd == "loop":
        place.symlink_to(place)
    elif odd == "folder":
        place.mkdir()
    shown = show_photo(Photo(file="a.jpg"), map_path)
    assert shown.data is None
    assert shown.words.startswith("a.jpg: ")


# names that lead elsewhere: nothing is opened


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """What was opened to read."""
    found: list[object] = []
    real = Disk.open_to_read

    def watched(disk: Disk, path: str | os.PathLike[str]) -> int:
        found.append(path)
        return real(disk, path)

    monkeypatch.setattr(Disk, "open_to_read", watched)
    return found


@pytest.mark.parametrize(
    "name",
    [
        "../secret.jpg",
        "x/../../secret.jpg",
        "{folder}/secret.jpg",
        "C:secret.jpg",
        "C:\\secret.jpg",
        "\\\\host\\share\\secret.jpg",
        "//host/share/secret.jpg",
        "file:secret.jpg",
        "file:///{folder}/secret.jpg",
        "..\\secret.jpg",
        "a\0b.jpg",
        ".",
        "..",
        "~",
        "x" * 5000,
    ],
)
def test_a_name_that_leads_out_is_refused_and_nothing_opened(
    name: str, map_path: Path, opened: list[object]
) -> None:
    secret = write_picture(map_path.parent / "secret.jpg")
    photo_folder(map_path).mkdir()
    name = name.replace("{folder}", str(map_path.parent))
    # Without the look at the name it would be read: the file is there.
    assert secret.exists()
    shown = show_photo(Photo(file=name), map_path)
    assert shown.data is None
    assert "nothing was opened" in shown.words
    assert not opened


@pytest.mark.skipif(sys.platform == "win32", reason="makes links")
def test_a_link_out_of_the_folder_is_not_followed(
    map_path: Path, opened: list[object]
) -> None:
    secret = write_picture(map_path.parent / "secret.jpg")
    folder = photo_folder(map_path)
    folder.mkdir()
    (folder / "a.jpg").symlink_to(secret)
    shown = show_photo(Photo(file="a.jpg"), map_path)
    assert shown.data is None
    assert "leads out" in shown.words
    (folder / "a.jpg").unlink()
    folder.rmdir()
    other = map_path.parent / "other"
    other.mkdir()
    write_picture(other / "a.jpg")
    folder.symlink_to(other)
    assert show_photo(Photo(file="a.jpg"), map_path).data is None
    assert not opened
    with pytest.raises(StoreFailed, match="link"):
        new_photo(secret, map_path)


# orientation


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_stands_upright_by_what_the_camera_noted(
    orientation: int, map_path: Path
) -> None:
    upright = Image.open(BytesIO(picture("PNG", (160, 120))))
    # What a camera held so stores: the inverse of the turn that shows it upright.
    undo = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[orientation]
    stored = upright.transpose(undo) if undo is not None else upright
    exif = Image.Exif()
    exif[0x0112] = orientation
    source = map_path.parent / "a.jpg"
    stored.save(source, "JPEG", quality=95, exif=exif)
    photo = new_photo(source, map_path)
    beside = show_photo(photo, map_path).data or b""
    by_hand = small_picture(source.read_bytes(), (160, 120), "a").data
    for data in (beside, small_picture(beside, (160, 120), "a").data, by_hand):
        shown = Image.open(BytesIO(data))
        assert shown.size == (160, 120)
        assert close(shown.getpixel((20, 20)), RED)
        for corner in ((140, 20), (20, 100), (140, 100)):
            assert close(shown.getpixel(corner), GREEN)


# edits


def test_photos_are_added_noted_and_removed_and_the_log_tells() -> None:
    document = one_cavity()
    photo = Photo(file="a.jpg", date="2024-05-31")
    added = add_photos(document, "p/F1", "load", (photo,))
    cavity = added.cavities["p/F1"]
    condition = cavity.contact("load").condition
    assert condition is not None
    assert condition.photos == (photo,)
    assert [(e.date, e.text) for e in cavity.log] == [
        ("2024-05-31", "load: photo added")
    ]
    noted = note_photo(added, "p/F1", "load", 0, " burnt  edge ")
    (said,) = photos_of(noted)
    assert said.note == "burnt edge"
    assert note_photo(noted, "p/F1", "load", 0, "burnt edge") is noted
    gone = remove_photo(noted, "p/F1", "load", 0, "2024-06-01")
    assert not list(photos_of(gone))
    assert gone.cavities["p/F1"].log[-1].text == "load: photo removed: burnt edge"
    with pytest.raises(EditRefused):
        remove_photo(gone, "p/F1", "load", 0)
    with pytest.raises(EditRefused, match="has no"):
        add_photos(document, "p/F1", "nowhere", (photo,))


def test_more_than_eight_megabytes_do_not_stand_in_one_map() -> None:
    half = Photo(data="A" * (EMBEDDED_LIMIT * 4 // 3 // 2 // 4 * 4))
    document = add_photos(one_cavity(), "p/F1", "load", (half,))
    document = add_photos(document, "p/F1", "feed", (half, Photo(file="a.jpg")))
    with pytest.raises(EditRefused, match="8 MB is the most"):
        add_photos(document, "p/F1", "fuse", (Photo(data="AAAA" * 99),))
    with pytest.raises(EditRefused, match="8 MB is the most"):
        change_photo(document, "p/F1", "feed", 1, Photo(data="AAAA" * 99))
    text = map_text(document)
    assert read_map(text.encode()).document == document
    again = text.replace('file: "a.jpg"', f'data: "{half.data[:400]}"')
    with pytest.raises(DocumentRefused, match="8 MB is the most"):
        read_map(again.encode())


def test_text_that_is_no_base64_is_refused_with_its_place() -> None:
    document = add_photos(one_cavity(), "p/F1", "load", (Photo(data="AAAA"),))
    bad = map_text(document).replace('"AAAA"', '"AA*A"')
    with pytest.raises(DocumentRefused, match="base64"):
        read_map(bad.encode())


# saved elsewhere, and swept


def test_saving_elsewhere_takes_the_used_photos_along(
    map_path: Path, tmp_path: Path
) -> None:
    used = new_photo(write_picture(tmp_path / "a.jpg"), map_path)
    unused = new_photo(write_picture(tmp_path / "b.jpg", "PNG"), map_path)
    lost = Photo(file="lost.jpg")
    document = add_photos(one_cavity(), "p/F1", "load", (used, lost))
    elsewhere = tmp_path / "copy.blockmap.yaml"
    save(elsewhere, document)
    (note,) = carry_photos(document, map_path, elsewhere)
    assert note.startswith("1 photo was not copied to the folder copy.photos: lost.jpg")
    read = load(elsewhere).document
    first, second = photos_of(read)
    assert show_photo(first, elsewhere).data == show_photo(used, map_path).data
    assert show_photo(second, elsewhere).data is None
    assert not (tmp_path / "copy.photos" / unused.file).exists()
    assert carry_photos(document, map_path, map_path) == ()


def test_only_copies_that_nothing_uses_are_removed(
    map_path: Path, tmp_path: Path
) -> None:
    kept = [
        new_photo(write_picture(tmp_path / "x", size=(40 + n, 40)), map_path)
        for n in range(4)
    ]
    now, undone, earlier, orphan = kept
    folder = photo_folder(map_path)
    own = write_picture(folder / "my own.jpg")
    save(map_path, add_photos(one_cavity(), "p/F1", "load", (earlier,)))
    document = add_photos(one_cavity(), "p/F1", "load", (now,))
    before = add_photos(one_cavity(), "p/F1", "load", (undone,))
    save(map_path, document)  # the version before is now van.blockmap.yaml~
    assert sweep_photos(map_path, [document, before]) == 0  # just put there: not yet
    photos._awaited.clear()  # as when the program is started again
    assert sweep_photos(map_path, [document, before]) == 1
    assert not (folder / orphan.file).exists()
    assert own.exists()
    for photo in (now, undone, earlier):
        assert show_photo(photo, map_path).data
    (map_path.parent / "van.yaml").write_text("another map with this folder")
    assert sweep_photos(map_path, [dataclasses.replace(document, cavities={})]) == 0
