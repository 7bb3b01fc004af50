"""Edits of the blocks, the strips and the car."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from blockmap.model.document import MM_LIMIT, Block, Car, Cavity, Map, Strip
from blockmap.model.edits.placing import delete_cavities
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.geometry import Box, Point, Size, bounds_of, is_simple
from blockmap.model.ids import BlockId, StripId, free_key, read_contact
from blockmap.model.schema import (
    Property,
    Shape,
    properties,
    property_named,
    read_value,
)

__all__ = [
    "add_block",
    "add_strip",
    "remove_block",
    "remove_strip",
    "set_block_text",
    "set_car_text",
    "set_outline",
    "set_strip",
]

OUTLINE_LIMIT = 200
"""Most corners of an outline; more take seconds to paint."""


def add_block(
    document: Map, name: str, size: Size, *, kind: str = "fuse panel"
) -> tuple[Map, BlockId]:
    """Add an empty block; return the map and the new block's key."""
    name = _read(property_named(Block, "name"), name)
    block = Block(
        id=free_key(name.lower() or "block", document.blocks),
        name=name,
        kind=kind,
        width_mm=_side(size.width_mm),
        height_mm=_side(size.height_mm),
    )
    blocks = {**document.blocks, block.id: block}
    return dataclasses.replace(document, blocks=blocks), block.id


def _side(value_mm: float) -> float:
    if not 5 <= value_mm <= MM_LIMIT:
        raise EditRefused(f"A block is from 5 to {MM_LIMIT:.0f} mm wide and high")
    return round(value_mm, 3)


def remove_block(document: Map, block: BlockId) -> Map:
    """Remove a block with its cavities and strips; other strips let go of them."""
    if block not in document.blocks:
        return document
    bare = delete_cavities(document, [c.id for c in document.cavities_of(block)])
    return dataclasses.replace(
        bare,
        blocks={k: b for k, b in bare.blocks.items() if k != block},
        strips={k: s for k, s in bare.strips.items() if s.block != block},
    )


def set_block_text(document: Map, block: BlockId, key: str, text: str) -> Map:
    """Write a text into a property of a block. Raises EditRefused.

    A new width or height of a block with an outline of its own is refused: its
    corners say how large it is.
    """
    old = document.blocks[block]
    if key in ("width_mm", "height_mm") and old.outline:
        raise EditRefused("This block's size follows from the corners of its outline")
    value = _read(property_named(Block, key), text)
    if getattr(old, key) == value:
        return document
    new = dataclasses.replace(old, **{key: value})
    return dataclasses.replace(document, blocks={**document.blocks, block: new})


def set_car_text(document: Map, key: str, text: str) -> Map:
    """Write a text into a property of the car. Raises EditRefused."""
    row = property_named(Car, key)
    if row.shape is Shape.TEXTS:
        one = dataclasses.replace(row, shape=Shape.TEXT, default="")
        parts = (_read(one, part) for part in text.split(";"))
        value: Any = tuple(part for part in parts if part)
    else:
        value = _read(row, text)
    if getattr(document.car, key) == value:
        return document
    return dataclasses.replace(
        document, car=dataclasses.replace(document.car, **{key: value})
    )


def _read(row: Property, text: str) -> Any:
    try:
        return read_value(row, text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None


def set_outline(document: Map, block: BlockId, points: Sequence[Point]) -> Map:
    """Give a block an outline by its corners in order; none makes it a rectangle.

    The origin moves to the outline's top left corner, and the cavities with it, so
    that nothing moves against the metal.
    """
    old = document.blocks[block]
    if tuple(points) == old.outline:
        return document
    if not points:
        new = dataclasses.replace(old, outline=())
        return dataclasses.replace(document, blocks={**document.blocks, block: new})
    if len(points) > OUTLINE_LIMIT:
        raise EditRefused(f"An outline has at most {OUTLINE_LIMIT} corners")
    box = _outline_box(points)
    dx, dy = box.left_mm, box.top_mm
    corners = tuple(Point(round(x - dx, 3), round(y - dy, 3)) for x, y in points)
    _outline_box(corners)  # rounding can bring corners together
    new = dataclasses.replace(
        old,
        width_mm=_side(box.width_mm),
        height_mm=_side(box.height_mm),
        outline=corners,
    )
    cavities = document.cavities
    if dx or dy:
        cavities = {k: _shifted(c, block, dx, dy) for k, c in cavities.items()}
    return dataclasses.replace(
        document, blocks={**document.blocks, block: new}, cavities=cavities
    )


def _outline_box(points: Sequence[Point]) -> Box:
    if not is_simple(points):
        raise EditRefused(
            "This outline crosses or touches itself or has no area; move a corner"
        )
    return bounds_of(points)


def _shifted(cavity: Cavity, block: BlockId, dx: float, dy: float) -> Cavity:
    if cavity.block != block:
        return cavity
    return dataclasses.replace(
        cavity, x_mm=round(cavity.x_mm - dx, 3), y_mm=round(cavity.y_mm - dy, 3)
    )


def add_strip(document: Map, strip: Strip) -> Map:
    """Add a strip whose id is free and whose contacts exist."""
    if strip.id in document.strips:
        raise EditRefused(f"There is a strip “{strip.id}” already")
    return set_strip(document, strip)


def set_strip(document: Map, strip: Strip) -> Map:
    """Install a strip in place of the one with its id, or as a new one."""
    for text in (*strip.members, *(jumper.to for jumper in strip.jumpers)):
        ref = read_contact(text, strip.block)
        if ref is None:
            raise EditRefused(f"“{text[:40]}” names no contact; write F1.feed or such")
        if ref.cavity not in document.cavities:
            raise EditRefused(f"There is no cavity for the contact {ref.text()}")
    strip = _as_files_hold(strip)
    if document.strips.get(strip.id) == strip:
        return document
    return dataclasses.replace(document, strips={**document.strips, strip.id: strip})


def _as_files_hold(strip: Strip) -> Strip:
    """Return the strip with its texts as a file would give them back."""
    texts: dict[str, Any] = {}
    for row in properties(Strip):
        held = getattr(strip, row.key)
        one = dataclasses.replace(row, shape=Shape.TEXT, default="")
        if row.shape is Shape.TEXT:
            texts[row.key] = _read(row, held)
        elif row.shape is Shape.TEXTS:
            texts[row.key] = tuple(_read(one, text) for text in held)
    return dataclasses.replace(strip, **texts)


def remove_strip(document: Map, strip: StripId) -> Map:
    """Forget a strip; its contacts stay."""
    if strip not in document.strips:
        return document
    strips = {k: s for k, s in document.strips.items() if k != strip}
    return dataclasses.replace(document, strips=strips)
