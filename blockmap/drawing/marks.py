"""The marks of state: condition letters, unusable, interim, hatch, unlike fitted.

Each mark tells by its shape; colour only repeats it. A mark that was drawn is named
in the set that is handed along, so that the key explains the marks used and no other.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from blockmap.drawing.contacts import Spot
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
_MENDED = ("fitted", "proved")


def mark_size(half_v: float) -> float:
    """Return the side of the little frames at a cavity of this half breadth."""
    return min(max(1.1 * half_v, 1.8), 3.4)


def condition_places(
    cavity: Cavity, frame: Frame, spots: Mapping[str, Spot], at_ends: bool
) -> list[tuple[Condition, float, float]]:
    """Return every condition that has a mark, with the (u, v) of the mark's centre.

    At the ends of a body the mark stands beside its contact, just off the body; a
    wire's mark stands on the other side. Inside a box it stands beside the contact.
    """
    size = mark_size(frame.half_v)
    off = frame.half_v + size / 2 + 0.2
    taken: dict[tuple[float, float], int] = {}
    found: list[tuple[Condition, float, float]] = []
    for where, condition in cavity.conditions:
        if condition.state not in LETTERS:
            continue
        behind = where not in spots and where.endswith(" wire")
        spot = spots.get(where.removesuffix(" wire") if behind else where)
        if spot is None:
            u, v = 0.0, off if where == "housing" else -off
        elif at_ends and abs(spot.u) > 0.3 * frame.half_u:
            u, v = spot.u, -off if behind else off
        elif spot.u == 0.0 and not at_ends and frame.half_v > 2 * size:
            side = -1.0 if behind else 1.0
            u, v = side * (spot.du + size / 2 + 0.4), spot.v
        elif frame.half_v > 2 * size:
            side = 1.0 if behind else -1.0
            u, v = spot.u, spot.v + side * (spot.dv + size / 2 + 0.4)
        else:
            u, v = spot.u, -off if behind else off
        step = taken.get((u, v), 0)
        taken[(u, v)] = step + 1
        inwards = -1.0 if u > 0 else 1.0
        found.append((condition, u + inwards * step * (size + 0.3), v))
    return found


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


def interim_place(cavity: Cavity, frame: Frame) -> tuple[float, float]:
    """Return the (u, v) of the interim mark: beside the body's middle."""
    size = mark_size(frame.half_v)
    shift = 0.0 if cavity.fuse is None else 1.45 * size
    return shift, -(frame.half_v + size / 2 + 0.2)


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
