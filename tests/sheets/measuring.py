"""Measures finished PDFs with a library of its own, in millimetres from the top left.

Nothing here uses the program's own conversion: a point is 1/72 inch (ISO 32000-1,
8.3.2.3) and an inch 25.4 mm (by definition).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from typing import Any

import pdfplumber

MM = 25.4 / 72

Box = tuple[float, float, float, float]
"""Left, top, right, bottom in millimetres."""


@dataclass(frozen=True)
class Shape:
    """A path on the page: its box, whether it is dashed, and whether it is closed."""

    box: Box
    dashed: bool
    closed: bool

    @property
    def width(self) -> float:
        """From left to right."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.box[3] - self.box[1]


@dataclass(frozen=True)
class Letter:
    """One character: its box, its font's size in mm and its font's name."""

    text: str
    box: Box
    size: float
    font: str


@dataclass(frozen=True)
class Measured:
    """One page as a PDF reader sees it; text is in the order it was written."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    letters: tuple[Letter, ...]

    @property
    def text(self) -> str:
        """All characters without spaces, in the order they were written."""
        return squeezed("".join(letter.text for letter in self.letters))

    def fills(self, box: Box, within: float = 0.1) -> bool:
        """Tell whether closed paths fill a box exactly, to within so many millimetres.

        A body may be made of parts, such as the tube and the caps of a glass fuse.
        """
        parts = [
            shape.box
            for shape in self.shapes
            if shape.closed
            and shape.box[0] >= box[0] - within
            and shape.box[1] >= box[1] - within
            and shape.box[2] <= box[2] + within
            and shape.box[3] <= box[3] + within
        ]
        if not parts:
            return False
        lefts, tops, rights, bottoms = zip(*parts, strict=True)
        whole = (min(lefts), min(tops), max(rights), max(bottoms))
        return all(abs(a - b) <= within for a, b in zip(whole, box, strict=True))


def squeezed(text: str) -> str:
    """Return a text without its spaces."""
    return "".join(text.split())


def _box(found: dict[str, Any]) -> Box:
    return (
        found["x0"] * MM,
        found["top"] * MM,
        found["x1"] * MM,
        found["bottom"] * MM,
    )


def _shapes(page: Any) -> Iterator[Shape]:
    for found in (*page.rects, *page.lines, *page.curves):
        dashes = found["dash"][0] if found["dash"] else ()
        closed = any(step[0] == "h" for step in found["path"])
        yield Shape(_box(found), bool(dashes), closed)


def measured(data: bytes) -> tuple[Measured, ...]:
    """Return every page of a PDF."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        return tuple(
            Measured(
                float(page.width) * MM,
                float(page.height) * MM,
                tuple(_shapes(page)),
                tuple(
                    Letter(c["text"], _box(c), c["size"] * MM, c["fontname"])
                    for c in page.chars
                ),
            )
            for page in pdf.pages
        )


def ink_reaches(data: bytes, edge_mm: float) -> list[int]:
    """Return the numbers of the pages with ink nearer than this to the paper's edge.

    The pages are rendered, so that only what would be printed counts.
    """
    import pypdfium2

    dots = 4.0
    found = []
    pdf = pypdfium2.PdfDocument(data)
    for number in range(len(pdf)):
        picture = pdf[number].render(scale=dots * MM, grayscale=True).to_numpy()
        edge = int(edge_mm * dots) - 1
        inner = picture.copy()
        inner[edge:-edge, edge:-edge] = 255
        if (inner < 250).any():
            found.append(number + 1)
    pdf.close()
    return found


def assert_letters_apart(page: Measured) -> None:
    """Assert that letters of one size on one baseline keep apart, but for a hair."""
    rows: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for letter in page.letters:
        left, _, right, bottom = letter.box
        if letter.text.strip():
            key = (round(bottom, 1), round(letter.size, 2))
            rows.setdefault(key, []).append((left, right))
    for spans in rows.values():
        spans.sort()
        for (_, right), (left, _) in pairwise(spans):
            assert left > right - 0.45
