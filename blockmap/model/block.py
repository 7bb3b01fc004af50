"""One block: its size, outline, counting, and how it is held and numbered."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.model.geometry import MM_LIMIT, Point, Size
from blockmap.model.ids import BlockId
from blockmap.model.photos import FacePhoto
from blockmap.model.schema import Shape, prop

__all__ = ["Block"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One physical part: a fuse panel, a power box, in-line holders, a connector."""

    id: BlockId
    name: str = prop("Name", Shape.TEXT, "what the block is called")
    kind: str = prop(
        "Kind",
        Shape.CHOICE,
        "what sort of part it is",
        allowed=("fuse panel", "power box", "in-line holders", "connector"),
        default="fuse panel",
    )
    width_mm: float = prop(
        "Width",
        Shape.LENGTH,
        "from the left edge to the right, front view",
        unit="mm",
        low=5,
        high=MM_LIMIT,
        required=True,
    )
    height_mm: float = prop(
        "Height",
        Shape.LENGTH,
        "from the top edge to the bottom, front view",
        unit="mm",
        low=5,
        high=MM_LIMIT,
        required=True,
    )
    outline: tuple[Point, ...] = prop(
        "Outline",
        Shape.POINTS,
        "corners in order when the block is not a plain rectangle, front view",
        unit="mm",
    )
    face: str | None = prop(
        "Front view shows",
        Shape.CHOICE,
        "for a connector: which side the front view is",
        allowed=("mating face", "wire side"),
    )
    half: str | None = prop(
        "Half", Shape.CHOICE, "for a connector: which half", allowed=("pins", "sockets")
    )
    mount: str = prop("Mounting", Shape.LONG_TEXT, "how it is held and comes down")
    numbering: str = prop("Numbering", Shape.TEXT, "how the places are counted")
    counting: str | None = prop(
        "Counting",
        Shape.CHOICE,
        "direction of the counting arrow",
        allowed=(
            "left to right",
            "right to left",
            "top to bottom",
            "bottom to top",
        ),
    )
    release: str = prop(
        "Terminal release", Shape.LONG_TEXT, "how single terminals come out"
    )
    terminal: str = prop(
        "Terminal family",
        Shape.TEXT,
        "the family of its single terminals, where a contact names no other",
    )
    mate: str = prop(
        "Plugs into",
        Shape.TEXT,
        "for a connector: the key of the block that is its other half",
    )
    notes: str = prop("Notes", Shape.LONG_TEXT, "anything else about the block")
    photos: tuple[FacePhoto, ...] = prop(
        "Photos",
        Shape.RECORDS,
        "pictures of its front and rear that the figure is drawn over",
        record=FacePhoto,
    )

    def photo_of(self, side: str) -> FacePhoto | None:
        """Return the photo of the front or the rear; None when there is none."""
        return next((photo for photo in self.photos if photo.side == side), None)

    @property
    def size(self) -> Size:
        """Width and height of the block."""
        return Size(self.width_mm, self.height_mm)

    @property
    def outline_points(self) -> tuple[Point, ...]:
        """The corners of the outline: those given, else of the plain rectangle."""
        return self.outline or (
            Point(0.0, 0.0),
            Point(self.width_mm, 0.0),
            Point(self.width_mm, self.height_mm),
            Point(0.0, self.height_mm),
        )
