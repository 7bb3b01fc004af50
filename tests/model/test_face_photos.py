"""Photos of a block to draw over: one a side, with corners that go round."""

from __future__ import annotations

import pytest

from blockmap.model.document import Block, FacePhoto, Map
from blockmap.model.edits import remove_face_photo, set_face_photo
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point
from blockmap.model.map_photos import EMBEDDED_LIMIT, photos_of

SQUARE = (Point(10, 10), Point(90, 12), Point(88, 80), Point(12, 85))


def panel() -> Map:
    block = Block(id="panel", name="Panel", width_mm=120, height_mm=80)
    return Map(blocks={"panel": block})


def test_each_side_has_one_photo_and_a_new_one_takes_its_place() -> None:
    front = FacePhoto(file="a.jpg", corners=SQUARE)
    rear = FacePhoto(file="b.jpg", side="rear")
    document = set_face_photo(panel(), "panel", rear)
    document = set_face_photo(document, "panel", front)
    assert document.blocks["panel"].photos == (front, rear)
    assert document.blocks["panel"].photo_of("rear") is rear
    other = FacePhoto(file="c.jpg")
    document = set_face_photo(document, "panel", other)
    assert [photo.file for photo in photos_of(document)] == ["c.jpg", "b.jpg"]
    assert set_face_photo(document, "panel", other) is document
    document = remove_face_photo(document, "panel", "front")
    assert document.blocks["panel"].photos == (rear,)
    assert remove_face_photo(document, "panel", "front") is document


@pytest.mark.parametrize(
    "corners",
    [
        (SQUARE[1], SQUARE[0], SQUARE[2], SQUARE[3]),
        tuple(reversed(SQUARE)),
        SQUARE[:3],
        (Point(0, 0), Point(50, 0), Point(100, 0), Point(0, 100)),
        (Point(0, 0), Point(100, 0), Point(20, 20), Point(0, 100)),
    ],
    ids=["crossed", "mirrored", "three", "in line", "dented"],
)
def test_corners_that_are_no_block_are_refused(corners: tuple[Point, ...]) -> None:
    with pytest.raises(EditRefused, match="clockwise from the top left"):
        set_face_photo(panel(), "panel", FacePhoto(file="a.jpg", corners=corners))


def test_a_photo_without_corners_fills_the_block() -> None:
    whole = (Point(0, 0), Point(100, 0), Point(100, 100), Point(0, 100))
    assert FacePhoto(file="a.jpg").seen_corners == whole


def test_no_more_stands_in_the_map_than_may() -> None:
    large = FacePhoto(data="A" * (EMBEDDED_LIMIT * 4 // 3 + 8))
    with pytest.raises(EditRefused, match="8 MB is the most"):
        set_face_photo(panel(), "panel", large)
