"""The key of what lies over the figure: signs of findings, readings, shared parts.

The marks of the figure itself are in the drawing's own key. Only marks that the block
shows now are named. Nothing here draws on the screen.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from blockmap.drawing.key import KEY_BOX, KeyEntry
from blockmap.drawing.primitives import (
    Ellipse,
    Face,
    Path,
    Primitive,
    Text,
    line,
    rectangle,
)
from blockmap.model.geometry import Box, Point
from blockmap.window.canvas.signs import SIGNED_LEVELS
from blockmap.window.canvas.tools.tool import translate

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["over_entries", "over_marks"]

_X, _Y = KEY_BOX.width_mm / 2, KEY_BOX.height_mm / 2


def over_marks(view: FigureView) -> frozenset[str]:
    """Return the names of the marks that lie over the block in front."""
    here = {cavity.id for cavity in view.content.cavities}
    marks = {
        level
        for id_, level in view.findings.items()
        if level in SIGNED_LEVELS and id_ in here
    }
    if any(id_ in here for id_, _contact, _text in view.probed.values):
        marks.add("reading")
    if view.probed.following[0] in here:
        marks.add("following")
    for id_, _contact, number in view.ordered.parts:
        if id_ in here:
            marks.add("shared" if number else "left open")
    return frozenset(marks)


def over_entries(marks: frozenset[str]) -> tuple[KeyEntry, ...]:
    """Return the entries of these marks in a settled order."""
    words = {
        "error": translate("Figure", "finding: error"),
        "advice": translate("Figure", "finding: advice"),
        "reading": translate("Figure", "reading"),
        "following": translate("Figure", "next reading"),
        "shared": translate("Figure", "shared by what is dead, from the supply on"),
        "left open": translate("Figure", "possible: ticks do not rule it out"),
    }
    return tuple(
        KeyEntry(mark, _SAMPLES[mark], said)
        for mark, said in words.items()
        if mark in marks
    )


def _bang(ink: str) -> tuple[Primitive, ...]:
    stroke = line((Point(_X, _Y - 0.7), Point(_X, _Y + 0.4)), ink, 0.4)
    return stroke, Ellipse(Point(_X, _Y + 0.95), 0.22, 0.22, fill=ink)


def _ring(radius_mm: float, parts: int, width_mm: float) -> tuple[Primitive, ...]:
    """Return a circle of so many dashes, as long as the gaps between them."""
    step = math.tau / parts
    found = []
    for n in range(parts):
        turns = [n * step + step / 2 * part / 4 for part in range(5)]
        arc = (
            Point(_X + radius_mm * math.cos(turn), _Y + radius_mm * math.sin(turn))
            for turn in turns
        )
        found.append(line(arc, "ink", width_mm))
    return tuple(found)


_SAMPLES: dict[str, tuple[Primitive, ...]] = {
    "error": (
        Path(
            (Point(_X, 0.2), Point(_X + 1.9, 3.6), Point(_X - 1.9, 3.6)), fill="error"
        ),
        *_bang("paper"),
    ),
    "advice": (Ellipse(Point(_X, _Y), 1.6, 1.6, fill="advice"), *_bang("paper")),
    "reading": (
        line((Point(0.8, _Y), Point(3.0, _Y)), "ink", 0.25),
        Ellipse(Point(0.8, _Y), 0.6, 0.6, fill="ink"),
        rectangle(Box(2.6, 0.5, 6.6, 3.5), "paper", "ink", 0.25),
        Text("V", Point(4.6, 2.75), 1.5),
    ),
    "following": _ring(1.6, 7, 0.4),
    "shared": (
        Ellipse(Point(_X, _Y), 1.7, 1.7, fill="ink"),
        Text("1", Point(_X, _Y + 0.9), 1.8, Face.BOLD, ink="paper"),
    ),
    "left open": _ring(1.4, 9, 0.25),
}
