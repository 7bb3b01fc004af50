"""Photos of damage, and of a block to draw over: what the map keeps of each.

A photo is a file in the map's photo folder, or its bytes stand in the map as text.
Nothing here opens a file or looks into a picture; see `blockmap.files.photos`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockmap.model.geometry import Point
from blockmap.model.schema import Shape, prop

if TYPE_CHECKING:
    from blockmap.model.document import Map

__all__ = [
    "EMBEDDED_LIMIT",
    "FacePhoto",
    "Photo",
    "embedded_bytes",
    "embedded_problem",
    "photos_of",
]

EMBEDDED_LIMIT = 8 * 1024 * 1024
"""Most bytes of pictures in one map: as text they take a third more of its 16 MB."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One picture of a damaged part."""

    file: str = prop(
        "File", Shape.TEXT, "name of the file in the folder NAME.photos beside the map"
    )
    data: str = prop(
        "Picture in the map",
        Shape.PICTURE,
        "the bytes of a JPEG or PNG picture as base64 text, in place of a file",
    )
    note: str = prop("Note", Shape.TEXT, "what the picture shows")
    sha256: str = prop(
        "Checksum",
        Shape.TEXT,
        "SHA-256 of the picture's bytes: another picture is then not taken for it",
    )
    date: str | None = prop("Date", Shape.DATE, "when it was added")

    @property
    def embedded(self) -> bool:
        """True when the picture stands in the map itself."""
        return bool(self.data)


WHOLE_PICTURE = (
    Point(0.0, 0.0),
    Point(100.0, 0.0),
    Point(100.0, 100.0),
    Point(0.0, 100.0),
)
"""Corners of a block that fills its picture, clockwise from the top left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FacePhoto(Photo):
    """A picture of one side of a block, which the figure is drawn over."""

    side: str = prop(
        "Side",
        Shape.CHOICE,
        "the side of the block that it shows",
        allowed=("front", "rear"),
        default="front",
    )
    corners: tuple[Point, ...] = prop(
        "Corners",
        Shape.POINTS,
        "where the four corners of the block lie in the picture, clockwise from its "
        "top left as seen there, in percent of the picture's width and height",
        unit="%",
        low=-100,
        high=200,
    )

    @property
    def seen_corners(self) -> tuple[Point, ...]:
        """The four corners of the block in the picture, in percent."""
        return self.corners if len(self.corners) == 4 else WHOLE_PICTURE


def photos_of(document: Map) -> Iterator[Photo]:
    """Yield every photo of a map, in the order of the map."""
    for block in document.blocks.values():
        yield from block.photos
    for cavity in document.cavities.values():
        for _, condition in cavity.conditions:
            yield from condition.photos


def embedded_bytes(document: Map) -> int:
    """Return how many bytes of pictures stand in a map."""
    return sum(len(photo.data) * 3 // 4 for photo in photos_of(document))


def embedded_problem(size: int) -> str:
    """Return why pictures of so many bytes cannot stand in one map; '' if they can."""
    if size <= EMBEDDED_LIMIT:
        return ""
    return (
        f"The pictures in the map would take {size / 2**20:.1f} MB; "
        f"{EMBEDDED_LIMIT // 2**20} MB is the most. Keep some as files beside the map"
    )
