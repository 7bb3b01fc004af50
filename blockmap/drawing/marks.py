"""The marks of state: condition letters, unusable, interim, hatch, unlike fitted.

Each mark tells by its shape; colour only repeats it. A mark that was drawn is named
in the set that is handed along, so that the key explains the marks used and no other.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from blockmap.drawing.contacts import Spot, end_zone
from blockmap.drawing.frame import Frame
from blockmap.drawing.primitives import Face, Path, Primitive, Text, line, rectangle
from blockmap.model.document import Cavity, Condition
from blockmap.model.geometry import Box, Point

__all__ = [
    "LETTERS",
    "condition_mark",
    "condition_places",
    "crossed_out",
    "hatched",
    "interim_mark",
    "interim_place",
    "mark_boxes",
    "mark_size",
    "unlike_sign",
]

LETTERS: Mapping[str, str] = MappingProxyType(
    {
        "spread": "S",
        "backed out": "O",
        "corroded": "C",
        "heat-marked": "H",
        "annealed": "A",
        "loose rivet": "L",
        "broken": "B",
        "missing": "M",
        "wrong terminal": "W",
        "wire cooked": "K",
        "untested": "U",
    }
)
"""The letter of each condition; a sound part has no mark."""

_INKS = {1: "watch", 2: "repair", 3: "stop"}
BOXES = ("box", "can")
"""Outlines with room for marks inside, next to the contacts."""
_MENDED = ("fitted", "proved")


def mark_size(half_v: float) -> float:
    """Return the side of the little frames at a cavity of this half breadth."""
    return min(max(1.1 * half_v, 1.8), 3.4)


def condition_places(
    cavity: Cavity, frame: Frame, spots: Mapping[str, Spot], outline: str
) -> list[tuple[Condition, Point]]:
    """Return every condition that has a mark, with the centre of the mark in the view.

    At the ends of a body the mark stands beside its contact, just off the body; a
    wire's mark stands on the other side. Inside a box it stands next to the contact.
    """
    size = mark_size(frame.half_v)
    off = frame.half_v + size / 2 + 0.2
    taken: dict[tuple[float, float], int] = {}
    found: list[tuple[Condition, Point]] = []
    for where, condition in cavity.conditions:
        if condition.state not in LETTERS:
            continue
        behind = where not in spots and where.endswith(" wire")
        name = where.removesuffix(" wire") if behind else where
        spot = spots.get(name)
        inside = outline in BOXES and frame.half_v > 2 * size
        if spot and inside and name not in ("feed", "load"):
            found.append((condition, _inside_box(frame, spot, size, behind)))
            continue
        if spot is None:
            u, v = 0.0, off if where == "housing" else -off
        elif inside:
            past = 0.6 * end_zone(frame.half_u, frame.half_v) + size / 2
            u, v = spot.u, -past if behind else past
        else:
            u, v = spot.u, -off if behind else off
        step = taken.get((u, v), 0)
        taken[(u, v)] = step + 1
        inwards = -1.0 if u > 0 else 1.0
        found.append((condition, frame.at(u + inwards * step * (size + 0.3), v)))
    return found


def _inside_box(frame: Frame, spot: Spot, size: float, behind: bool) -> Point:
    """Return the place next to a contact in a box: beside a lying one, else above."""
    x, y = frame.at(spot.u, spot.v)
    half_x = abs(frame.ux) * spot.du + abs(frame.vx) * spot.dv
    half_y = abs(frame.uy) * spot.du + abs(frame.vy) * spot.dv
    if half_x >= half_y:
        away = half_x + size / 2 + 0.15
        return Point(x - away if behind else x + away, y)
    return Point(x + size + 0.3 if behind else x, y - half_y - size / 2 - 0.3)


def mark_boxes(
    cavity: Cavity, frame: Frame, spots: Mapping[str, Spot], outline: str
) -> list[Box]:
    """Return the upright boxes of a cavity's condition and interim marks."""
    if not (cavity.interim or cavity.conditions):
        return []
    half = mark_size(frame.half_v) / 2 + 0.1
    places = [at for _, at in condition_places(cavity, frame, spots, outline)]
    if cavity.interim is not None:
        places.append(interim_place(cavity, frame))
    return [Box(x - half, y - half, x + half, y + half) for x, y in places]


def condition_mark(
    condition: Condition,
    at: Point,
    size_mm: float,
    line_mm: float,
    least_cap_mm: float,
) -> list[Primitive]:
    """Return the framed letter of a condition.

    Severity 1 has a thin frame, 2 a thick one, 3 a thick one with a crossed ground.
    The frame of a part that was mended is dashed.
    """
    x, y = at
    half = size_mm / 2
    mended = condition.stage in _MENDED
    severity = 1 if mended else condition.severity or 1
    ink = "ink" if mended else _INKS[severity]
    box = Box(x - half, y - half, x + half, y + half)
    width = line_mm if severity == 1 else line_mm * 2.6
    frame = rectangle(box, "paper", ink, width)
    if mended:
        dash = (4 * line_mm, 3 * line_mm)
        frame = Path(frame.points, True, "paper", ink, width, dash)
    found: list[Primitive] = [frame]
    cap = 0.6 * size_mm
    if severity == 3:
        a, b, c, d = frame.points
        found += [line((a, c), ink, line_mm * 1.3), line((b, d), ink, line_mm * 1.3)]
        if cap >= least_cap_mm:
            found.append(rectangle(box.grown(-0.16 * size_mm), "paper"))
    if cap >= least_cap_mm:
        letter = LETTERS[condition.state]
        found.append(Text(letter, Point(x, y + cap / 2), cap, Face.BOLD, ink=ink))
    return found


def crossed_out(frame: Frame, line_mm: float) -> list[Primitive]:
    """Return the two lines over a cavity that must not be used."""
    a, b = frame.half_u, frame.half_v
    width = line_mm * 3
    return [
        line(frame.points(((-a, -b), (a, b))), "stop", width),
        line(frame.points(((-a, b), (a, -b))), "stop", width),
    ]


def hatched(
    frame: Frame, room: tuple[float, float, float, float], line_mm: float
) -> Path:
    """Return one line that hatches the room at 45 degrees, for a rating not known."""
    u, v, du, dv = room
    step = max(min(1.0, dv), 0.5, du / 40)
    slant = 2 * min(du, dv)
    places: list[tuple[float, float]] = []
    at, up = u - du, False
    while at + slant <= u + du + 1e-9:
        low, high = (at, v + dv), (at + slant, v - dv)
        places += (high, low) if up else (low, high)
        up = not up
        at += step
    return line(frame.points(places), "ink", line_mm * 0.6)


def interim_place(cavity: Cavity, frame: Frame) -> Point:
    """Return the centre of the interim mark in the view: beside the body's middle."""
    size = mark_size(frame.half_v)
    shift = 0.0 if cavity.fuse is None else 1.45 * size
    return frame.at(shift, -(frame.half_v + size / 2 + 0.2))


def interim_mark(at: Point, size_mm: float) -> list[Primitive]:
    """Return the double diamond of an interim measure."""
    x, y = at
    found: list[Primitive] = []
    for half, fill in ((size_mm * 0.56, "ink"), (size_mm * 0.4, "paper")):
        points = (
            Point(x, y - half),
            Point(x + half, y),
            Point(x, y + half),
            Point(x - half, y),
        )
        found.append(Path(points, True, fill))
    half = size_mm * 0.2
    points = (
        Point(x, y - half),
        Point(x + half, y),
        Point(x, y + half),
        Point(x - half, y),
    )
    found.append(Path(points, True, "ink"))
    return found


def unlike_sign(at: Point, size_mm: float, ink: str, line_mm: float) -> list[Primitive]:
    """Return the crossed equals sign of a fitted part unlike the specified one."""
    x, y = at
    half, gap, lean = 0.5 * size_mm, 0.2 * size_mm, 0.26 * size_mm
    width = max(line_mm, 0.12 * size_mm)
    return [
        line((Point(x - half, y - gap), Point(x + half, y - gap)), ink, width),
        line((Point(x - half, y + gap), Point(x + half, y + gap)), ink, width),
        line((Point(x - lean, y + half), Point(x + lean, y - half)), ink, width),
    ]
