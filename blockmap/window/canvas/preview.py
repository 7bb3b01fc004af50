"""What a gesture shows before anything changes: places, and whether they fit.

A previewed cavity that lies on another or off the outline is found at once, by plain
geometry; the checks say more once it is in the map. Nothing here paints.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from blockmap.drawing.grid import BoxGrid
from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point
from blockmap.model.ids import CavityId
from blockmap.window.canvas.hit import inside, rectangles_meet

__all__ = ["Surroundings"]


class Surroundings:
    """What stands still round a preview: the other cavities and the outline."""

    def __init__(self, standing: Iterable[Cavity], outline: Sequence[Point]) -> None:
        self._grid = BoxGrid()
        self._corners: dict[Box, list[Sequence[Point]]] = {}
        self._outline = outline
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
            off = not cavity.off_panel and not inside(self._outline, cavity.corners)
            if off or self._meets(cavity) or (fresh and kept._meets(cavity)):
                found.add(cavity.id)
            if fresh:
                kept._add(cavity)
        return found

    def _meets(self, cavity: Cavity) -> bool:
        corners = cavity.corners
        return any(
            rectangles_meet(corners, other)
            for box in set(self._grid.meeting(cavity.bounds))
            for other in self._corners[box]
        )
