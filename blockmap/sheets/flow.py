"""Places pieces of paper on pages, left to right and shelf by shelf.

A piece is never broken and never turned. One that is larger than the page goes on a
page of its own and is remarked; callers cut long strips into parts beforehand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from blockmap.drawing.primitives import Face, Primitive, Text, moved
from blockmap.drawing.typeface import text_width_mm
from blockmap.model.geometry import Box, Point
from blockmap.sheets.label_pieces import Piece
from blockmap.sheets.pages import GRID_MM, SMALL_CAP_MM, TEXT_CAP_MM, PageItem
from blockmap.sheets.rulers import Correction

__all__ = ["Flow"]

GAP_MM = 3.0
LEAST_BESIDE_MM = 70.0
_CAPTION_MM = SMALL_CAP_MM + 1.2


@dataclass(slots=True)
class Flow:
    """The pages being filled: their free area, and what has been put on each."""

    area: Box
    correction: Correction
    pages: list[list[PageItem]] = field(default_factory=list)
    _x: float = 0.0
    _y: float = 0.0
    _shelf: float = 0.0
    _left: float = 0.0
    _until: float = 0.0

    def start_below(self, items: Sequence[PageItem], bottom_mm: float) -> None:
        """Take over a page that is filled down to a height."""
        self._new_page()
        self.pages[-1] += items
        self._y = bottom_mm

    def _new_page(self) -> None:
        self.pages.append([])
        self._left = self.area.left_mm
        self._x, self._y, self._shelf = self._left, self.area.top_mm, 0.0
        self._until = 0.0

    def _end_shelf(self) -> None:
        if self._shelf:
            self._y += self._shelf + GAP_MM
        self._shelf = 0.0
        if self._y >= self._until:
            self._left = self.area.left_mm
        self._x = self._left

    def beside(self) -> None:
        """Let what follows stand to the right of the shelf just filled."""
        if self.area.right_mm - self._x < LEAST_BESIDE_MM or not self._shelf:
            return
        self._until = self._y + self._shelf + GAP_MM
        self._left = self._x = self._x + GAP_MM
        self._shelf = 0.0

    def below(self) -> None:
        """Let what follows stand below everything on the page."""
        self._end_shelf()
        self._y = max(self._y, self._until)
        self._left = self._x = self.area.left_mm

    def _room(self, height_mm: float) -> None:
        if not self.pages or self._y + height_mm > self.area.bottom_mm + 1e-6:
            self._new_page()

    def heading(self, text: str, keep_mm: float) -> None:
        """Start a section, on a new page unless keep_mm fit below the heading."""
        self._end_shelf()
        if self.pages and self.pages[-1] and self._y >= self._until:
            self._y += GRID_MM / 2
        self._room(TEXT_CAP_MM * 1.2 + GRID_MM + keep_mm)
        at = Point(self._left, self._y + TEXT_CAP_MM * 1.2)
        item = Text(text, at, TEXT_CAP_MM * 1.2, Face.BOLD, "start")
        self.pages[-1].append(item)
        self._y += TEXT_CAP_MM * 1.2 + GRID_MM / 2

    def lines(self, sentences: Sequence[str]) -> None:
        """Set sentences one below the other."""
        self._end_shelf()
        for sentence in sentences:
            self._room(GRID_MM)
            at = Point(self._left, self._y + SMALL_CAP_MM)
            text = Text(sentence, at, SMALL_CAP_MM, Face.REGULAR, "start")
            self.pages[-1].append(text)
            self._y += GRID_MM

    def put(self, piece: Piece) -> None:
        """Put one piece at the next free place, stretched by the correction."""
        wide = piece.size.width_mm * self.correction.across
        high = piece.size.height_mm * self.correction.down
        over = _CAPTION_MM if piece.caption else 0.0
        takes = max(wide, text_width_mm(piece.caption, Face.REGULAR, SMALL_CAP_MM))
        if self._x > self._left and self._x + takes > self.area.right_mm + 1e-6:
            self._end_shelf()
        if not self.pages or (
            self._y + over + high > self.area.bottom_mm + 1e-6 and self.pages[-1]
        ):
            self._new_page()
        at = Point(self._x, self._y + over)
        items: list[Primitive] = []
        if piece.caption:
            caption = Point(self._x, self._y + SMALL_CAP_MM)
            items.append(
                Text(
                    piece.caption,
                    caption,
                    SMALL_CAP_MM,
                    Face.REGULAR,
                    "start",
                    "faint ink",
                )
            )
        placed = moved(piece.items, at.x_mm, at.y_mm)
        items += self.correction.applied(placed, at)
        self.pages[-1] += items
        self._x += takes + GAP_MM
        self._shelf = max(self._shelf, over + high)
