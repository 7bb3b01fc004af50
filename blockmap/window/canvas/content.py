"""What the figure shows: one block's cavities in one view, as batches to be drawn.

Batches of neighbours in the map's order are merged once and kept while their pictures
stay the same. Cavities that a gesture has lifted are left out. Nothing here listens
to anything or changes a map.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from blockmap.drawing.figure import FigureStyle
from blockmap.model.document import Block, Cavity, Map, empty_map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.model.ids import BlockId, CavityId
from blockmap.window.canvas.batches import Batch, Inks, Picture
from blockmap.window.canvas.pictures import PictureBook

__all__ = ["FigureContent"]

BATCH = 100
"""Pictures in a batch: an edit merges one batch anew, a repaint draws them all."""


_NOTHING = Picture((), QRectF())


class _Shown(NamedTuple):
    """A batch and the very pictures it was merged from."""

    pictures: tuple[Picture, ...]
    batch: Batch


class FigureContent:
    """One block of the document in one view."""

    def __init__(self) -> None:
        self.document: Map = empty_map()
        self.block: Block | None = None
        self.view = View.FRONT
        self.cavities: tuple[Cavity, ...] = ()
        self.size = Size(1.0, 1.0)
        self.book = PictureBook()
        self._bounds: Box | None = None
        self._lifted: frozenset[CavityId] = frozenset()
        self._slots: list[CavityId | None] = []
        self._bodies: list[_Shown] = []
        self._labels: list[_Shown] = []

    def install(
        self, document: Map, block: BlockId | None, view: View, least_cap_mm: float
    ) -> None:
        """Take over a document, a block, a view and the least height of letters."""
        self.document, self.view = document, view
        self._bounds = None
        self.block = document.blocks.get(block) if block is not None else None
        if self.block is None:
            self.cavities = ()
            return
        self.size = self.block.size
        self.cavities = tuple(document.cavities_of(self.block.id))
        style = FigureStyle(size=self.size, view=view, least_cap_mm=least_cap_mm)
        self.book.open(document, self.block, self.cavities, style)
        self._keep_slots()

    def _keep_slots(self) -> None:
        """Give every cavity a slot that stays its own while others come and go.

        Batches are runs of slots, so that a cavity more or less spoils one batch only.
        """
        here = {c.id for c in self.cavities}
        kept = [id_ if id_ in here else None for id_ in self._slots]
        if kept.count(None) > len(here) // 4 + 8:
            kept = []
        known = set(kept)
        self._slots = [*kept, *(c.id for c in self.cavities if c.id not in known)]

    def cavity(self, id_: CavityId | None) -> Cavity | None:
        """Return a cavity of this block by its id; None when it has none such."""
        found = self.document.cavities.get(id_) if id_ is not None else None
        if found is None or self.block is None or found.block != self.block.id:
            return None
        return found

    def chosen(self, ids: Iterable[CavityId]) -> list[Cavity]:
        """Return the cavities of this block among some ids."""
        found = (self.cavity(id_) for id_ in ids)
        return [c for c in found if c is not None]

    def seen(self, point: Point) -> Point:
        """Return where a front-view point is seen, and the other way round."""
        return self.view.apply(point, self.size)

    def seen_box(self, box: Box) -> Box:
        """Return where a front-view box is seen."""
        return self.view.apply_box(box, self.size)

    def directions(self) -> tuple[int, int]:
        """Return which way, in the front view, right and down are seen: 1 or -1."""
        a, b = self.seen(Point(0.0, 0.0)), self.seen(Point(1.0, 1.0))
        return (1 if b.x_mm > a.x_mm else -1, 1 if b.y_mm > a.y_mm else -1)

    def seen_shift(self, shift: Point) -> Point:
        """Return a way in the front view as it is seen."""
        right, down = self.directions()
        return Point(shift.x_mm * right, shift.y_mm * down)

    def bounds(self) -> Box:
        """Return the box, as seen, round the outline and all cavities."""
        if self.block is None:
            return Box(0.0, 0.0, 100.0, 60.0)
        if self._bounds is None:
            box = self.seen_box(self.document.bounds_of(self.block.id))
            # The second outline and the arrow of the count stand outside.
            self._bounds = box.grown(6.0 if self.block.counting else 3.0)
        return self._bounds

    def lift(self, ids: frozenset[CavityId]) -> bool:
        """Leave these cavities out until they are put down; True when that is new."""
        if ids == self._lifted:
            return False
        self._lifted = ids
        return True

    def lifted_batch(self) -> Batch:
        """Return the lifted cavities as they stand in the map."""
        parts = self.chosen(self._lifted)
        labels = [self.book.label(c.id) for c in parts]
        return Batch(
            [self.book.body(c) for c in parts] + [p for p in labels if p is not None]
        )

    def draw(
        self, painter: QPainter, inks: Inks, scale: float, exposed: QRectF
    ) -> None:
        """Draw the block and its cavities; the painter is in view millimetres."""
        if self.block is None:
            return
        book = self.book
        bodies: list[Picture] = []
        labels: list[Picture] = []
        for id_ in self._slots:
            if id_ is None or id_ in self._lifted:
                bodies.append(_NOTHING)
                labels.append(_NOTHING)
            else:
                bodies.append(book.body(self.document.cavities[id_]))
                labels.append(book.label(id_) or _NOTHING)
        self._bodies = _merged(self._bodies, bodies)
        self._labels = _merged(self._labels, labels)
        under, over = book.block_batches()
        under.draw(painter, inks, scale)
        for shown in self._bodies:
            if shown.batch.bounds.intersects(exposed):
                shown.batch.draw(painter, inks, scale)
        over.draw(painter, inks, scale)
        for shown in self._labels:
            if shown.batch.bounds.intersects(exposed):
                shown.batch.draw(painter, inks, scale)


def _merged(kept: Sequence[_Shown], pictures: Sequence[Picture]) -> list[_Shown]:
    """Return the batches of these pictures, merging anew only what changed."""
    fresh: list[_Shown] = []
    for number, at in enumerate(range(0, len(pictures), BATCH)):
        part = tuple(pictures[at : at + BATCH])
        old = kept[number] if number < len(kept) else None
        if old is not None and _same(old.pictures, part):
            fresh.append(old)
        else:
            fresh.append(_Shown(part, Batch(part)))
    return fresh


def _same(a: Sequence[Picture], b: Sequence[Picture]) -> bool:
    return len(a) == len(b) and all(x is y for x, y in zip(a, b, strict=True))
