"""Puts the figure of one block together: outline, strips, cavities, labels, heading.

Everything is in the millimetres of the view. Callers that keep cavities apart use
`cavity_primitives`, `layout_labels` and `strip_pictures`; the rest take the whole.
"""

from __future__ import annotations

import math

from blockmap.drawing.designations import LabelPlace
from blockmap.drawing.frame import FigureStyle
from blockmap.drawing.key import KeyEntry, figure_key
from blockmap.drawing.label_layout import layout_labels
from blockmap.drawing.picture import cavity_primitives
from blockmap.drawing.primitives import Path, Primitive, bounds_of_primitives, line
from blockmap.drawing.strip_layout import strip_pictures
from blockmap.drawing.strips import StripPicture
from blockmap.model.document import Block, Map
from blockmap.model.geometry import Box, Point, View
from blockmap.model.ids import BlockId

__all__ = [
    "FigureStyle",
    "KeyEntry",
    "LabelPlace",
    "StripPicture",
    "block_primitives",
    "cavity_primitives",
    "figure_bounds",
    "figure_key",
    "figure_primitives",
    "layout_labels",
    "strip_pictures",
    "view_heading",
]


def view_heading(view: View, block: Block | None = None) -> str:
    """Return the name of the view in words, which stands beside every figure.

    A connector's heading says which face of it the front view is.
    """
    if block is None or block.kind != "connector" or not block.face:
        return view.words
    face = block.face
    if view.mirrored:  # what lies the other way round is seen from the other side
        face = {"mating face": "wire side", "wire side": "mating face"}[face]
    how = view.words.partition(":")[2]
    return f"Seen from the {face}" + (f":{how}" if how else "")


def block_primitives(
    document: Map, block: BlockId, style: FigureStyle
) -> tuple[Primitive, ...]:
    """Return the outline of a block, double in mirrored views, and its count arrow."""
    part = document.blocks[block]
    if part.kind == "in-line holders":
        return ()
    points = tuple(style.view.apply(p, style.size) for p in part.outline_points)
    width = style.line_mm * 1.8
    found: list[Primitive] = []
    if style.view.mirrored:
        second = _outside(points, 1.1)
        found.append(Path(second, True, "paper", "ink", style.line_mm))
    found.append(Path(points, True, style.ground, "ink", width))
    if part.counting:
        found += _count_arrow(part, style)
    return tuple(found)


def _outside(points: tuple[Point, ...], by_mm: float) -> tuple[Point, ...]:
    """Return the outline with every edge moved outwards; sharp corners are cut."""
    n = len(points)
    doubled = sum(
        points[i][0] * points[(i + 1) % n][1] - points[(i + 1) % n][0] * points[i][1]
        for i in range(n)
    )
    side = 1.0 if doubled > 0 else -1.0
    found = []
    for i in range(n):
        before, here, after = points[i - 1], points[i], points[(i + 1) % n]
        ax, ay = _unit(before, here)
        bx, by = _unit(here, after)
        nx, ny = side * (ay + by), side * -(ax + bx)
        length = nx * nx + ny * ny
        scale = 2 * by_mm / length if length > 0.5 else by_mm
        found.append(Point(here[0] + nx * scale, here[1] + ny * scale))
    return tuple(found)


def _unit(a: Point, b: Point) -> tuple[float, float]:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy) or 1.0
    return dx / length, dy / length


_DIRECTIONS = {
    "left to right": ((0.0, 0.0), (1.0, 0.0)),
    "right to left": ((1.0, 0.0), (0.0, 0.0)),
    "top to bottom": ((0.0, 0.0), (0.0, 1.0)),
    "bottom to top": ((0.0, 1.0), (0.0, 0.0)),
}


def _count_arrow(part: Block, style: FigureStyle) -> list[Primitive]:
    """Return the arrow outside the outline that shows which way places are counted."""
    assert part.counting
    (fx, fy), (tx, ty) = _DIRECTIONS[part.counting]
    width, height = part.size
    length = min(24.0, 0.4 * max(width, height))
    start = style.view.apply(Point(fx * width, fy * height), style.size)
    far = style.view.apply(Point(tx * width, ty * height), style.size)
    ux, uy = _unit(start, far)
    off = 3.2
    x, y = (start[0], -off) if uy == 0 else (-off, start[1])
    tip = Point(x + ux * length, y + uy * length)
    back = Point(tip[0] - 2.4 * ux, tip[1] - 2.4 * uy)
    head = (
        tip,
        Point(back[0] - 0.9 * uy, back[1] + 0.9 * ux),
        Point(back[0] + 0.9 * uy, back[1] - 0.9 * ux),
    )
    return [
        line((Point(x, y), back), "ink", style.line_mm * 1.5),
        Path(head, True, "ink"),
    ]


def figure_primitives(
    document: Map, block: BlockId, style: FigureStyle
) -> tuple[Primitive, ...]:
    """Return the whole figure of a block, bottom first, without heading and key."""
    strips = strip_pictures(document, block, style)
    labels = layout_labels(document, block, style, strips)
    found: list[Primitive] = [*block_primitives(document, block, style)]
    for strip in strips.values():
        found += strip.under
    for cavity in document.cavities_of(block):
        found += cavity_primitives(cavity, style)
    for strip in strips.values():
        found += strip.over
    for label in labels.values():
        found += label.primitives
    return tuple(found)


def figure_bounds(document: Map, block: BlockId, style: FigureStyle) -> Box:
    """Return the box round everything that the figure of a block draws."""
    whole = bounds_of_primitives(figure_primitives(document, block, style))
    return whole or style.view.apply_box(document.bounds_of(block), style.size)
