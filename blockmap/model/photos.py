"""Photos of damage, and of a block to draw over: what the map keeps of each.

A photo is a file in the map's photo folder, or its bytes stand in the map as text.
Nothing here opens a file or looks into a picture; see `blockmap.files.photos`.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.model.geometry import Point
from blockmap.model.schema import Shape, prop

__all__ = ["FacePhoto", "Photo"]


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
