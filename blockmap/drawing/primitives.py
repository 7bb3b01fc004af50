"""The three things a figure is made of: paths, ellipses and lines of text.

All measures are millimetres, y down. Colours are names of a palette or '#rrggbb';
an empty name means none. A figure is a tuple of primitives: screen, paper and tests
read the same tuple. Nothing here decides what is drawn or draws it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Literal

from blockmap.drawing.typeface import Face, text_width_mm
from blockmap.model.geometry import Box, Point, bounds_of, rotated

__all__ = [
    "Anchor",
    "Ellipse",
    "Face",
    "Path",
    "Primitive",
    "Text",
    "bounds_of_primitives",
    "line",
    "mapped",
    "moved",
    "rectangle",
    "text_box",
]

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Path:
    """A polygon (closed) or a line through points (open).

    ``dash_mm`` alternates drawn and left-out lengths. Corners are mitred, ends flat.
    """

    points: tuple[Point, ...]
    closed: bool = True
    fill: str = ""
    stroke: str = ""
    width_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An upright ellipse."""

    centre: Point
    rx_mm: float
    ry_mm: float
    fill: str = ""
    stroke: str = ""
    width_mm: float = 0.2


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text.

    ``at`` lies on the baseline; ``cap_mm`` is the height of capitals; ``turn_deg``
    turns clockwise about ``at``. The writer sets it without kerning, so that
    `typeface.text_width_mm` holds.
    """

    text: str
    at: Point
    cap_mm: float
    face: Face = Face.REGULAR
    anchor: Anchor = "middle"
    ink: str = "ink"
    turn_deg: float = 0.0


Primitive = Path | Ellipse | Text


def rectangle(
    box: Box, fill: str = "", stroke: str = "", width_mm: float = 0.2
) -> Path:
    """Return an upright rectangle."""
    left, top, right, bottom = box
    return Path(
        (
            Point(left, top),
            Point(right, top),
            Point(right, bottom),
            Point(left, bottom),
        ),
        True,
        fill,
        stroke,
        width_mm,
    )


def line(
    points: Iterable[Point],
    stroke: str = "ink",
    width_mm: float = 0.2,
    dash_mm: tuple[float, ...] = (),
) -> Path:
    """Return an open line through the points."""
    return Path(tuple(points), False, "", stroke, width_mm, dash_mm)


def mapped(
    primitives: Iterable[Primitive], place: Callable[[Point], Point]
) -> tuple[Primitive, ...]:
    """Return the primitives with every point sent through an exact mapping.

    Sizes stay, and text stays upright: this is for views and shifts, which keep
    lengths. The mapping of a view is ``lambda p: view.apply(p, size)``.
    """
    found: list[Primitive] = []
    for item in primitives:
        if isinstance(item, Path):
            found.append(replace(item, points=tuple(map(place, item.points))))
        elif isinstance(item, Ellipse):
            found.append(replace(item, centre=place(item.centre)))
        else:
            found.append(replace(item, at=place(item.at)))
    return tuple(found)


def moved(
    primitives: Iterable[Primitive],
    dx_mm: float = 0.0,
    dy_mm: float = 0.0,
    scale: float = 1.0,
) -> tuple[Primitive, ...]:
    """Return the primitives scaled about the origin, then moved.

    Lines, dashes and letters are scaled with the rest.
    """
    found: list[Primitive] = []
    for item in primitives:
        if isinstance(item, Path):
            points = tuple(
                Point(x * scale + dx_mm, y * scale + dy_mm) for x, y in item.points
            )
            width_mm = item.width_mm * scale
            dash_mm = tuple(length * scale for length in item.dash_mm)
            found.append(
                Path(points, item.closed, item.fill, item.stroke, width_mm, dash_mm)
            )
        elif isinstance(item, Ellipse):
            x, y = item.centre
            found.append(
                replace(
                    item,
                    centre=Point(x * scale + dx_mm, y * scale + dy_mm),
                    rx_mm=item.rx_mm * scale,
                    ry_mm=item.ry_mm * scale,
                    width_mm=item.width_mm * scale,
                )
            )
        else:
            x, y = item.at
            at = Point(x * scale + dx_mm, y * scale + dy_mm)
            cap_mm, face, anchor = item.cap_mm * scale, item.face, item.anchor
            found.append(
                Text(item.text, at, cap_mm, face, anchor, item.ink, item.turn_deg)
            )
    return tuple(found)


def text_box(item: Text) -> Box:
    """Return the upright box of a text: its width, and from capitals to baseline.

    A turned text gives the box round the turned rectangle.
    """
    width = text_width_mm(item.text, item.face, item.cap_mm)
    x, y = item.at
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[item.anchor]
    box = Box(left, y - item.cap_mm, left + width, y)
    if not item.turn_deg:
        return box
    corners = rectangle(box).points
    return bounds_of(rotated(p, item.at, item.turn_deg) for p in corners)


def bounds_of_primitives(primitives: Iterable[Primitive]) -> Box | None:
    """Return the box round everything, lines counted without their width."""
    whole: Box | None = None
    for item in primitives:
        if isinstance(item, Path):
            box = bounds_of(item.points)
        elif isinstance(item, Ellipse):
            (x, y), rx, ry = item.centre, item.rx_mm, item.ry_mm
            box = Box(x - rx, y - ry, x + rx, y + ry)
        else:
            box = text_box(item)
        whole = box if whole is None else whole.union(box)
    return whole
