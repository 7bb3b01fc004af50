"""Finds the boxes near a box without looking at all of them.

`ChangedPlaces` tells a layout which of its parts to lay anew after boxes have changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from blockmap.model.geometry import Box

__all__ = ["BoxGrid", "ChangedPlaces", "round_of"]

CELL_MM = 32.0
MOST_CELLS = 400


class BoxGrid:
    """Boxes by the squares they lie in; a box over very many squares is kept apart."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[Box]] = {}
        self._large: list[Box] = []

    def _span(self, box: Box) -> tuple[int, int, int, int]:
        return (
            int(box[0] // CELL_MM),
            int(box[1] // CELL_MM),
            int(box[2] // CELL_MM),
            int(box[3] // CELL_MM),
        )

    def _lists_for(self, box: Box) -> list[list[Box]]:
        """Return the lists that a box stands in."""
        x0, y0, x1, y1 = self._span(box)
        if (x1 - x0 + 1) * (y1 - y0 + 1) > MOST_CELLS:
            return [self._large]
        return [
            self._cells.setdefault((x, y), [])
            for x in range(x0, x1 + 1)
            for y in range(y0, y1 + 1)
        ]

    def add(self, box: Box) -> None:
        """Take one more box in."""
        for boxes in self._lists_for(box):
            boxes.append(box)

    def remove(self, box: Box) -> None:
        """Take one such box out again. Raises ValueError when there is none."""
        for boxes in self._lists_for(box):
            boxes.remove(box)

    def meeting(self, box: Box) -> list[Box]:
        """Return the boxes that share more than an edge with this one.

        A box may come more than once when it lies in several squares.
        """
        left, top, right, bottom = box
        x0, y0, x1, y1 = self._span(box)
        lists = [
            cell
            for x in range(x0, x1 + 1)
            for y in range(y0, y1 + 1)
            if (cell := self._cells.get((x, y)))
        ]
        if self._large:
            lists.append(self._large)
        return [
            other
            for cell in lists
            for other in cell
            if other[0] < right
            and left < other[2]
            and other[1] < bottom
            and top < other[3]
        ]

    def overlap(self, left: float, top: float, right: float, bottom: float) -> float:
        """Return how far a box runs over the boxes: shared width and height, summed."""
        found: dict[Box, float] = {}
        cells = self._cells
        low, high = int(top // CELL_MM), int(bottom // CELL_MM) + 1
        for x in range(int(left // CELL_MM), int(right // CELL_MM) + 1):
            for y in range(low, high):
                for other in cells.get((x, y), ()):
                    a, b, c, d = other
                    if a < right and left < c and b < bottom and top < d:
                        wide = (c if c < right else right) - (a if a > left else left)
                        tall = (d if d < bottom else bottom) - (b if b > top else top)
                        found[other] = wide + tall
        return sum(found.values())


def round_of(boxes: Sequence[Box]) -> Box:
    """Return the smallest box round boxes; a box without size for none."""
    if not boxes:
        return Box(0.0, 0.0, 0.0, 0.0)
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


class ChangedPlaces:
    """Where something came or went since all was last laid out; false while nowhere."""

    def __init__(self) -> None:
        self._boxes = BoxGrid()
        self._round: Box | None = None

    def __bool__(self) -> bool:
        return self._round is not None

    def add(self, box: Box) -> None:
        """Note that something came or went there."""
        self._boxes.add(box)
        self._round = self._round.union(box) if self._round else box

    def swap(self, grid: BoxGrid, old: Iterable[Box], new: Iterable[Box]) -> None:
        """Put boxes in the place of others; a place that both have does not count."""
        before, after = tuple(old), tuple(new)
        if before == after:
            return
        for box in before:
            grid.remove(box)
        for box in after:
            grid.add(box)
        for box in {*before} ^ {*after}:
            self.add(box)

    def concern(self, looked_at: Iterable[Box], extent: Box) -> bool:
        """Tell whether one of the places is among those looked at, all in an extent."""
        if self._round is None or not extent.meets(self._round):
            return False
        return any(self._boxes.meeting(box) for box in looked_at)
