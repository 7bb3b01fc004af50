"""The card's picture of a block: every designation on its place, as large as fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blockmap.drawing.figure import block_primitives, cavity_primitives, view_heading
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.primitives import (
    Face,
    Primitive,
    Text,
    bounds_of_primitives,
    moved,
    rectangle,
    text_box,
)
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.sheets.card_panels import CardType
from blockmap.sheets.pages import Remarks

__all__ = ["BlockPicture"]

_COVERS = Size(0.38, 0.5)
"""A name as wide and as high as these shares of a body hides what the body is."""


@dataclass(frozen=True, slots=True)
class BlockPicture:
    """The picture of one block, ready to be drawn into a room on a panel."""

    document: Map
    block: Block
    view: View
    type: CardType

    @property
    def name(self) -> str:
        """The name of the block."""
        return self.block.name or self.block.id

    @property
    def view_words(self) -> str:
        """The view in words."""
        return view_heading(self.view, self.block).lower()

    @property
    def _bounds(self) -> Box:
        whole = self.document.bounds_of(self.block.id)
        seen = self.view.apply_box(whole, self.block.size)
        style = FigureStyle(self.block.size, self.view)
        frame = block_primitives(self.document, self.block.id, style)
        return seen.union(bounds_of_primitives(frame) or seen).grown(1.0)

    def scale_in(self, room: Size) -> float:
        """Return the largest scale at which the block fits; never over true size."""
        bounds = self._bounds
        return max(
            0.0,
            min(
                room.width_mm / bounds.width_mm, room.height_mm / bounds.height_mm, 1.0
            ),
        )

    def drawn(self, room: Box, remarks: Remarks) -> tuple[list[Primitive], float]:
        """Return the picture in a room, at its upper edge, and where it ends.

        A designation that finds no free place is left out and remarked.
        """
        bounds, block, view = self._bounds, self.block, self.view
        scale = self.scale_in(Size(room.width_mm, room.height_mm))
        small = self.type.small_mm
        style = FigureStyle(
            block.size,
            view,
            least_cap_mm=small / scale,
            line_mm=0.14 / scale,
            legend=False,
            ratings=False,
            conditions=False,
            strips=False,
        )
        dx = room.centre.x_mm - bounds.centre.x_mm * scale
        dy = room.top_mm - bounds.top_mm * scale
        figure: list[Primitive] = list(block_primitives(self.document, block.id, style))
        cavities = tuple(self.document.cavities_of(block.id))
        for cavity in cavities:
            figure += cavity_primitives(cavity, style)
        boxes = {
            cavity.id: _scaled(view.apply_box(cavity.bounds, block.size), dx, dy, scale)
            for cavity in cavities
        }
        names = _names(cavities, boxes, room.grown(1.5), small, block, remarks)
        items = [*moved(figure, dx, dy, scale), *names]
        return items, room.top_mm + bounds.height_mm * scale


def _scaled(box: Box, dx: float, dy: float, scale: float) -> Box:
    left, top, right, bottom = (side * scale for side in box)
    return Box(left + dx, top + dy, right + dx, bottom + dy)


def _names(
    cavities: tuple[Cavity, ...],
    boxes: dict[str, Box],
    frame: Box,
    cap_mm: float,
    block: Block,
    remarks: Remarks,
) -> list[Primitive]:
    """Set each designation on its cavity, else beside it, clear of the others."""
    items: list[Primitive] = []
    placed: list[Box] = []
    # Names that stand off their crossed bodies take what the others leave.
    for cavity in sorted(cavities, key=lambda cavity: cavity.unusable):
        body = boxes[cavity.id]
        others = [box for box in boxes.values() if box is not body]
        for text in _offers(cavity, body, cap_mm):
            box = text_box(text).grown(0.3)
            if not box.meets(body.grown(-0.3)) and any(
                box.meets(other) for other in others
            ):
                continue
            inside = (
                frame.left_mm <= box.left_mm
                and frame.top_mm <= box.top_mm
                and box.right_mm <= frame.right_mm
                and box.bottom_mm <= frame.bottom_mm
            )
            if inside and not any(box.meets(other) for other in placed):
                placed.append(box)
                items += (rectangle(box, "paper"), text)
                break
        else:
            remarks.add(
                f"Picture of {block.name or block.id}: no room for the designation "
                f"{cavity.designation}"
            )
    return items


def _offers(cavity: Cavity, box: Box, cap_mm: float) -> Iterator[Text]:
    """Yield the places for a name in the order in which they are wished.

    A name stands on its body, unless it would cover the most of it, or the cross of a
    place not to be used.
    """
    name = cavity.designation
    x, y = box.centre
    middle = y + cap_mm / 2
    over = Text(name, Point(x, middle), cap_mm, Face.BOLD)
    name_box = text_box(over)
    covers = cavity.unusable or (
        name_box.width_mm > _COVERS.width_mm * box.width_mm
        and name_box.height_mm > _COVERS.height_mm * box.height_mm
    )
    if not covers:
        yield over
    yield Text(name, Point(x, box.bottom_mm + cap_mm + 0.4), cap_mm, Face.BOLD)
    yield Text(name, Point(x, box.top_mm - 0.5), cap_mm, Face.BOLD)
    yield Text(name, Point(box.right_mm + 0.5, middle), cap_mm, Face.BOLD, "start")
    yield Text(name, Point(box.left_mm - 0.5, middle), cap_mm, Face.BOLD, "end")
    turned = Point(x + cap_mm / 2, y)
    if covers:
        yield over
    yield Text(name, turned, cap_mm, Face.BOLD, turn_deg=-90.0)
    for share in (0.25, 0.75):
        at = Point(x, box.top_mm + share * box.height_mm + cap_mm / 2)
        yield Text(name, at, cap_mm, Face.BOLD)
