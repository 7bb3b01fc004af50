"""Rulers, test squares, crop marks, and the correction for a printer's error.

Everything of true size on a page passes through one `Correction`, the rulers too: on
the printer that was measured, a ruler of a corrected page comes out at 100 mm, and the
page says which factors are in it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from blockmap.drawing.primitives import Face, Path, Primitive, Text, line
from blockmap.model.geometry import Box, Point, Size
from blockmap.sheets.pages import SMALL_CAP_MM

__all__ = [
    "LARGEST_FACTOR",
    "LEAST_FACTOR",
    "RULER_MM",
    "Correction",
    "crop_marks",
    "page_rulers",
    "print_words",
    "ruler_across",
    "ruler_down",
]

RULER_MM = 100.0
LEAST_FACTOR, LARGEST_FACTOR = 0.97, 1.03
"""A printer that is further out scales on purpose: mend its settings instead."""


@dataclass(frozen=True, slots=True)
class Correction:
    """How many millimetres must be asked of a printer to get one, per axis."""

    across: float = 1.0
    down: float = 1.0

    @classmethod
    def of(cls, factors: tuple[float, float]) -> Correction:
        """Return the correction of two factors.

        Raises ValueError for a factor outside 0.97 to 1.03.
        """
        for factor in factors:
            if not LEAST_FACTOR <= factor <= LARGEST_FACTOR:
                raise ValueError(
                    f"A correction of {factor:g} is outside {LEAST_FACTOR} to "
                    f"{LARGEST_FACTOR}; print at 100 % and measure the rulers again"
                )
        return cls(*factors)

    @property
    def plain(self) -> bool:
        """True when nothing is corrected."""
        return self.across == 1.0 == self.down

    def words(self) -> str:
        """Return the factors as the page names them."""
        return (
            f"Corrected for this printer: across {self.across:.4g}, "
            f"down {self.down:.4g}"
        )

    def applied(
        self, items: Iterable[Primitive], about: Point
    ) -> tuple[Primitive, ...]:
        """Return the primitives stretched about a point that stays."""
        if self.plain:
            return tuple(items)
        return tuple(self._one(item, about) for item in items)

    def point(self, place: Point, about: Point) -> Point:
        """Return where a point comes to lie."""
        return Point(
            about.x_mm + (place.x_mm - about.x_mm) * self.across,
            about.y_mm + (place.y_mm - about.y_mm) * self.down,
        )

    def _one(self, item: Primitive, about: Point) -> Primitive:
        if isinstance(item, Path):
            return replace(
                item, points=tuple(self.point(p, about) for p in item.points)
            )
        if isinstance(item, Text):
            return replace(item, at=self.point(item.at, about))
        return replace(
            item,
            centre=self.point(item.centre, about),
            rx_mm=item.rx_mm * self.across,
            ry_mm=item.ry_mm * self.down,
        )


def print_words(correction: Correction) -> tuple[str, ...]:
    """Return the sentences about scale that stand beside the ruler."""
    said = (
        "Print at 100 % (actual size), never “fit to page”.",
        "Both rulers must measure 100 mm; if not, correct the printer.",
    )
    return said if correction.plain else (*said, correction.words())


def ruler_across(start: Point) -> tuple[Primitive, ...]:
    """Return a ruler to the right of a point, its marks above the line."""
    x0, y0 = start
    items: list[Primitive] = [line((start, Point(x0 + RULER_MM, y0)), "ink", 0.25)]
    for step in range(21):
        x = x0 + step * 5
        tall = 2.6 if step % 2 == 0 else 1.5
        items.append(line((Point(x, y0), Point(x, y0 - tall)), "ink", 0.18))
        if step % 4 == 0:
            text = f"{step * 5} mm" if step == 20 else str(step * 5)
            items.append(Text(text, Point(x, y0 - 3.5), SMALL_CAP_MM))
    return tuple(items)


def ruler_down(start: Point) -> tuple[Primitive, ...]:
    """Return a ruler down from a point, its marks to the left of the line."""
    x0, y0 = start
    items: list[Primitive] = [line((start, Point(x0, y0 + RULER_MM)), "ink", 0.25)]
    for step in range(21):
        y = y0 + step * 5
        tall = 2.6 if step % 2 == 0 else 1.5
        items.append(line((Point(x0, y), Point(x0 - tall, y)), "ink", 0.18))
        if step % 4 == 0:
            at = Point(x0 - 3.2, y + SMALL_CAP_MM / 2)
            items.append(Text(str(step * 5), at, SMALL_CAP_MM, Face.REGULAR, "end"))
    below = Point(x0 - 3.2, y0 + RULER_MM + 4.6)
    items.append(Text("mm", below, SMALL_CAP_MM, Face.REGULAR, "end"))
    return tuple(items)


def page_rulers(size: Size, correction: Correction) -> tuple[Primitive, ...]:
    """Return both rulers at their usual places: lower edge and left edge."""
    across, down = Point(17.0, size.height_mm - 12.0), Point(13.2, 22.0)
    return (
        *correction.applied(ruler_across(across), across),
        *correction.applied(ruler_down(down), down),
    )


def crop_marks(
    box: Box, gap_mm: float = 1.5, length_mm: float = 3.5
) -> tuple[Primitive, ...]:
    """Return two strokes at each corner of a box, all outside it."""
    items: list[Primitive] = []
    far = gap_mm + length_mm
    for x, out_x in ((box.left_mm, -1), (box.right_mm, 1)):
        for y, out_y in ((box.top_mm, -1), (box.bottom_mm, 1)):
            items.append(
                line((Point(x + out_x * gap_mm, y), Point(x + out_x * far, y)))
            )
            items.append(
                line((Point(x, y + out_y * gap_mm), Point(x, y + out_y * far)))
            )
    return tuple(items)
