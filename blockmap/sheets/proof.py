"""The printer-proof page: finds out how far a printer is from true size, per axis.

It carries no map. Its rulers and square are never corrected, so that what is measured
on it is the printer's own error.
"""

from __future__ import annotations

from blockmap.drawing.primitives import Face, Primitive, Text, rectangle
from blockmap.model.geometry import Box, Point
from blockmap.sheets.pages import (
    GRID_MM,
    TEXT_CAP_MM,
    Draft,
    Sheet,
    content_area,
    finished,
    oriented,
    paper_of,
)
from blockmap.sheets.rulers import Correction, page_rulers, print_words

__all__ = ["compose_proof"]

SQUARE_MM = 50.0

_STEPS = (
    "1  Print this page at 100 % (actual size) on the printer and paper in question.",
    "2  Measure the ruler along the lower edge: across = ______ mm.",
    "3  Measure the ruler along the left edge: down = ______ mm.",
    "4  The square must measure 50 mm both ways and the same from corner to corner.",
    "",
    "5  Enter both lengths in the window under Edit, Preferences.",
    "",
    "The command line takes a factor for each axis, 100 divided by the length:",
    "a ruler of 99.0 mm gives 1.0101; a ruler of 100.5 mm gives 0.9950.",
    "",
    "Lengths from 97.1 to 103 mm are taken. A ruler further out means that the page",
    "was scaled on the way: switch off “fit to page” and print it again.",
)


def compose_proof(paper: str = "a4") -> Sheet:
    """Return one page with rulers, a 50 mm square and what to do with them."""
    size = oriented(paper_of(paper))
    area = content_area(size)
    plain = Correction()
    left, top = area.left_mm + 8, area.top_mm + 12
    square = Box(left, top, left + SQUARE_MM, top + SQUARE_MM)
    items: list[Primitive] = [
        *page_rulers(size, plain),
        rectangle(square, "", "ink", 0.25),
        Text("50 mm", Point(left + SQUARE_MM / 2, top - 1.5), TEXT_CAP_MM),
        Text(
            "50 mm",
            Point(left - 1.5, top + SQUARE_MM / 2),
            TEXT_CAP_MM,
            turn_deg=-90.0,
        ),
    ]
    baseline = square.bottom_mm + 4 * GRID_MM
    for step in _STEPS:
        if step:
            at = Point(left, baseline)
            items.append(Text(step, at, TEXT_CAP_MM, Face.REGULAR, "start"))
        baseline += GRID_MM * 1.25
    draft = Draft(
        size=size,
        items=tuple(items),
        title="Printer proof",
        details="Measure once for each printer and kind of paper",
        say=print_words(plain),
    )
    return finished("proof", "Printer proof", [draft], ())
