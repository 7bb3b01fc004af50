"""What a gesture shows before anything changes: places, and whether they fit.

A previewed cavity that lies on another or off the outline is found at once, by plain
geometry; the checks say more once it is in the map. Nothing here paints.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from blockmap.drawing.grid import BoxGrid
from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point, bounds_of
from blockmap.model.ids import CavityId
from blockmap.window.canvas.hit import inside, rectangles_meet

__all__ = ["Surroundings"]

HAIR_MM = 1e-3
"""So much over the edge is the dust of floating point."""


class Surroundings:
    """What stands still round a preview: the other cavities and the outline."""

    def __init__(self, standing: Iterable[Cavity], outline: Sequence[Point]) -> None:
        self._grid = BoxGrid()
        self._corners: dict[Box, list[Sequence[Point]]] = {}
        self._outline = outline
        self._plain = _plain_box(outline)
        for cavity in standing:
            self._add(cavity)

    def _add(self, cavity: Cavity) -> None:
        box = cavity.bounds
        self._grid.add(box)
        self._corners.setdefault(box, []).append(cavity.corners)

    def unfit(self, cavities: Iterable[Cavity], *, fresh: bool) -> set[CavityId]:
        """Return which cavities lie on another or off the outline.

        fresh also compares them with each other, as the places of a new grid.
        """
        kept = Surroundings((), self._outline)
        found: set[CavityId] = set()
        for cavity in cavities:
            off = not cavity.off_panel and not self._holds(cavity)
            if off or self._meets(cavity) or (fresh and kept._meets(cavity)):
                found.add(cavity.id)
            if fresh:
                kept._add(cavity)
        return found

    def _holds(self, cavity: Cavity) -> bool:
        if self._plain is None:
            return inside(self._outline, cavity.corners)
        left, top, right, bottom = cavity.bounds
        return (
            self._plain[0] - HAIR_MM <= left
            and self._plain[1] - HAIR_MM <= top
            and right <= self._plain[2] + HAIR_MM
            and bottom <= self._plain[3] + HAIR_MM
        )

    def _meets(self, cavity: Cavity) -> bool:
        near = set(self._grid.meeting(cavity.bounds))
        if not near:
            return False
        corners = cavity.corners
        return any(
            rectangles_meet(corners, other)
            for box in near
            for other in self._corners[box]
        )


def _plain_box(outline: Sequence[Point]) -> Box | None:
    """Return the outline as a box when it is an upright rectangle."""
    if len(outline) != 4:
        return None
    box = bounds_of(outline)
    upright = all(x in (box[0], box[2]) and y in (box[1], box[3]) for x, y in outline)
    return box if upright and len(set(outline)) == 4 else None
