"""What the figure shows: one block's cavities in one view, as batches to be drawn.

Batches of neighbours in the map's order are merged once and kept while their pictures
stay the same. What changed since the last drawing can be drawn alone. A cavity without
a picture yet is a plain box of its size. Cavities that a gesture has lifted are left
out. Nothing here listens to anything or changes a map.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from blockmap.drawing.figure import FigureStyle
from blockmap.model.document import Block, Cavity, Map, empty_map
from blockmap.model.geometry import Box, Point, Size, View
from blockmap.model.ids import BlockId, CavityId
from blockmap.window.canvas.batches import (
    Batch,
    Inks,
    Picture,
    ShapeStyle,
    draw_path,
    same_objects,
)
from blockmap.window.canvas.pictures import PictureBook

__all__ = ["FigureContent"]

BATCH = 50
"""Pictures in a batch: an edit merges one batch anew, a repaint draws them all."""

MOST_ANEW = 120
"""When more pictures than this changed or are near, everything is drawn."""

OVER_MM = 0.5
"""Letters and corners reach so far over the bounds of a picture, at most."""

FEW = 20
"""So many bodies are made before a painting however long it takes."""

_NOTHING = Picture((), QRectF())


class _Shown(NamedTuple):
    """A batch and the very pictures it was merged from."""

    pictures: tuple[Picture, ...]
    batch: Batch


class _Drawn(NamedTuple):
    """Everything that one drawing shows, bottom first, but for the ground."""

    bodies: list[Picture]
    labels: list[Picture]
    block: tuple[Batch, ...]
    plain: list[Cavity]


class FigureContent:
    """One block of the document in one view."""

    def __init__(self) -> None:
        self.document: Map = empty_map()
        self.block: Block | None = None
        self.view = View.FRONT
        self.cavities: tuple[Cavity, ...] = ()
        self.size = Size(1.0, 1.0)
        self.book = PictureBook()
        self.on_ground: Callable[[QPainter], object] | None = None
        self._bounds: Box | None = None
        self._boxes: dict[CavityId, tuple[Cavity, Box]] = {}
        self._lifted: frozenset[CavityId] = frozenset()
        self._slots: list[CavityId | None] = []
        self._bodies: list[_Shown] = []
        self._labels: list[_Shown] = []
        self._now = _Drawn([], [], (), [])
        self._last = self._now

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
        if len(self._boxes) > 2 * len(here) + 100:
            self._boxes = {}
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
            box = Box(0.0, 0.0, *self.block.size)
            for cavity in self.cavities:
                box = box.union(self._box_of(cavity))
            box = self.seen_box(box)
            # The second outline and the arrow of the count stand outside.
            self._bounds = box.grown(6.0 if self.block.counting else 3.0)
        return self._bounds

    def _box_of(self, cavity: Cavity) -> Box:
        kept = self._boxes.get(cavity.id)
        if kept is None or kept[0] is not cavity:
            kept = self._boxes[cavity.id] = cavity, cavity.bounds
        return kept[1]

    def lift(self, ids: frozenset[CavityId]) -> bool:
        """Leave these cavities out until they are put down; True when that is new."""
        if ids == self._lifted:
            return False
        self._lifted = ids
        return True

    def lifted_batch(self) -> Batch:
        """Return the lifted cavities as they stand in the map."""
        parts = self.chosen(self._lifted)
        found = [self.book.body(c) for c in parts] + [self.book.label(c) for c in parts]
        return Batch([picture for picture in found if picture is not None])

    def look_up(self, exposed: Box, cost: float, until: float) -> bool:
        """Make what can be had at this cost and until then; take what there is.

        The time holds only where much is missing: what an edit of a few needs is made
        at once. What lies in the exposed box, as seen, is made first. Returns True
        when nothing is left to make.
        """
        if self.block is None:
            self._now = _Drawn([], [], (), [])
            return True
        done = self.book.exact
        if not done:
            self.book.first(
                frozenset(
                    c.id
                    for c in self.cavities
                    if exposed.holds(self.seen(Point(c.x_mm, c.y_mm)))
                )
            )
            missing = sum(self.book.body(c) is None for c in self.cavities)
            done = self.book.work(cost, until if missing > FEW else math.inf)
        self._now = self._at_hand()
        return done

    def _at_hand(self) -> _Drawn:
        book, cavities, lifted = self.book, self.document.cavities, self._lifted
        now = _Drawn([], [], book.block_batches(), [])
        bodies, labels, plain = now.bodies, now.labels, now.plain
        for id_ in self._slots:
            body = label = None
            if id_ is not None and id_ not in lifted:
                cavity = cavities[id_]
                body = book.body(cavity) or book.stand_in(cavity)
                label = book.label(cavity)
                if body is None:
                    plain.append(cavity)
            bodies.append(body or _NOTHING)
            labels.append(label or _NOTHING)
        return now

    def changed_since(self) -> list[QRectF] | None:
        """Return where the pictures differ from those drawn last; None is anywhere."""
        last, now = self._last, self._now
        if not same_objects(last.block, now.block) or len(last.bodies) > len(
            now.bodies
        ):
            return None
        found: list[QRectF] = []
        for before, after in (
            (last.bodies, now.bodies),
            (last.labels, now.labels),
        ):
            more = [_NOTHING] * (len(after) - len(before))
            for old, new in zip((*before, *more), after, strict=True):
                if old is not new:
                    found.append(old.bounds.united(new.bounds))
        if not same_objects(last.plain, now.plain):
            here = {id(c) for c in last.plain} ^ {id(c) for c in now.plain}
            plain = (c for c in (*last.plain, *now.plain) if id(c) in here)
            found += [_rect(self.seen_box(c.bounds)) for c in plain]
        return found if len(found) <= MOST_ANEW else None

    def draw(
        self, painter: QPainter, inks: Inks, scale: float, exposed: QRectF
    ) -> None:
        """Draw the block and its cavities; the painter is in view millimetres."""
        now = self._last = self._now
        if self.block is None:
            return
        self._bodies = _merged(self._bodies, now.bodies)
        self._labels = _merged(self._labels, now.labels)
        under, over = now.block
        under.draw(painter, inks, scale, self.on_ground)
        self._draw_plain(painter, inks, scale, now.plain)
        for shown in self._bodies:
            if shown.batch.bounds.intersects(exposed):
                shown.batch.draw(painter, inks, scale)
        over.draw(painter, inks, scale)
        for shown in self._labels:
            if shown.batch.bounds.intersects(exposed):
                shown.batch.draw(painter, inks, scale)

    def draw_part(
        self, painter: QPainter, inks: Inks, scale: float, part: QRectF
    ) -> bool:
        """Draw what touches a part; False when that is so much that all is drawn."""
        now = self._now
        near = part.adjusted(-OVER_MM, -OVER_MM, OVER_MM, OVER_MM)
        bodies = [p for p in now.bodies if p.ops and p.bounds.intersects(near)]
        labels = [p for p in now.labels if p.ops and p.bounds.intersects(near)]
        if len(bodies) + len(labels) > MOST_ANEW:
            return False
        plain = [
            c for c in now.plain if _rect(self.seen_box(c.bounds)).intersects(near)
        ]
        under, over = now.block
        under.draw(painter, inks, scale, self.on_ground)
        self._draw_plain(painter, inks, scale, plain)
        for batch in (Batch(bodies), over, Batch(labels)):
            batch.draw(painter, inks, scale)
        self.keep_drawn()
        return True

    def keep_drawn(self) -> None:
        """Take note that what changed is drawn, or cannot be seen."""
        self._last = self._now

    def _draw_plain(
        self, painter: QPainter, inks: Inks, scale: float, plain: Sequence[Cavity]
    ) -> None:
        """Draw boxes for bodies that have no picture yet."""
        if plain:
            path = QPainterPath()
            for cavity in plain:
                corners = [QPointF(*self.seen(p)) for p in cavity.corners]
                path.addPolygon(QPolygonF(corners))
                path.closeSubpath()
            style = ShapeStyle("body", "ink", self.book.style.line_mm, ())
            draw_path(painter, inks, scale, style, path)


def _rect(box: Box) -> QRectF:
    return QRectF(box.left_mm, box.top_mm, box.width_mm, box.height_mm)


def _merged(kept: Sequence[_Shown], pictures: Sequence[Picture]) -> list[_Shown]:
    """Return the batches of these pictures, merging anew only what changed."""
    fresh: list[_Shown] = []
    for number, at in enumerate(range(0, len(pictures), BATCH)):
        part = tuple(pictures[at : at + BATCH])
        old = kept[number] if number < len(kept) else None
        if old is not None and same_objects(old.pictures, part):
            fresh.append(old)
        else:
            fresh.append(_Shown(part, Batch(part)))
    return fresh
