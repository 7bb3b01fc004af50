"""Pictures of cavities, labels and strips, compiled once and kept while they hold.

A body depends on its cavity alone, a label on its neighbours too. After an edit the
labels near it are placed anew at once, and all of them, exactly as a fresh start
would place them, when there is time: see `settle`. Nothing here paints.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from blockmap.drawing.figure import (
    FigureStyle,
    LabelPlace,
    StripPicture,
    block_primitives,
    cavity_primitives,
    layout_labels,
    strip_pictures,
)
from blockmap.drawing.primitives import Face, Primitive, Text
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.ids import BlockId, CavityId
from blockmap.window.canvas.batches import Batch, Picture, compiled

__all__ = ["Layout", "PictureBook", "legible_cap"]

LEAST_CAP_PX = 6.0
"""Capitals on the screen are at least so high, or the text is left out."""

_LEAST_MM, _MOST_MM = 0.3, 3.5
_NEAR_MM = 22.0
"""Labels further from an edit than this are not changed by it at once."""

_FEW = 40
"""Up to so many changed cavities, only the labels near them are placed at once."""

_PREVIEW_LABELS = 120
"""Most previewed places with labels where they would be; more get plain names."""

_STYLES_KEPT = 6
_GONE_KEPT = 100
"""Pictures of so many cavities that are gone are kept: undo brings them back."""


def legible_cap(scale: float) -> float:
    """Return the least height of capitals, in mm, at a scale in pixels per mm.

    It changes in steps of about 1.25, so that a little zooming keeps every picture.
    """
    step = math.floor(3 * math.log2(max(scale, 1e-3)) + 1e-9)
    least = LEAST_CAP_PX / 2 ** (step / 3)
    return round(min(max(least, _LEAST_MM), _MOST_MM), 3)


@dataclasses.dataclass(frozen=True, eq=False)
class Layout:
    """All that the places of a block's labels follow from."""

    document: Map
    block: BlockId
    style: FigureStyle
    strips: Mapping[str, StripPicture]

    def places(self) -> dict[CavityId, LabelPlace]:
        """Place every label; it touches nothing else and may run in any thread."""
        return layout_labels(self.document, self.block, self.style, self.strips)

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Layout)
            and self.document is other.document
            and self.block == other.block
            and self.style == other.style
            and self.strips is other.strips
        )

    __hash__ = None  # type: ignore[assignment]


_Bodies = dict[CavityId, tuple[Cavity, Picture]]


class PictureBook:
    """The pictures of one block in one style."""

    def __init__(self) -> None:
        self._document = Map()
        self._block: Block | None = None
        self._cavities: tuple[Cavity, ...] = ()
        self.style = FigureStyle(size=Size(1.0, 1.0))
        self._bodies: dict[FigureStyle, _Bodies] = {}
        self._places: dict[CavityId, LabelPlace] = {}
        self._labels: dict[CavityId, tuple[LabelPlace, Picture]] = {}
        self._strips: dict[str, StripPicture] = {}
        self._under = self._over = Batch(())
        self.exact = True

    def open(
        self,
        document: Map,
        block: Block,
        cavities: tuple[Cavity, ...],
        style: FigureStyle,
    ) -> None:
        """Take over a document, a block and a style, and place what changed anew."""
        old = self._document
        same = (
            self._block is not None
            and self._block.id == block.id
            and self._block.outline_points == block.outline_points
            and self.style == style
        )
        if same and old is document:
            return
        self._document, self._block = document, block
        changed = _differing(self._cavities, cavities) if same else None
        routed = same and old.strips is document.strips
        routed = routed and _shapes_hold(self._cavities, cavities)
        self._cavities, self.style = cavities, style
        self._let_go(cavities)
        if not routed:
            self._strips = strip_pictures(document, block.id, style)
        if not routed or old.blocks[block.id] is not block:
            self._merge_block(document, block)
        if changed is None or len(changed) > _FEW:
            self.settle()
        elif changed:
            self._place_near(changed)

    def _let_go(self, cavities: tuple[Cavity, ...]) -> None:
        """Forget the pictures of cavities that are gone, once they are many.

        A few are kept: undo brings them back.
        """
        enough = 2 * len(cavities) + _GONE_KEPT
        books: list[dict[CavityId, Any]] = [self._labels, *self._bodies.values()]
        for kept in books:
            if len(kept) > enough:
                here = {c.id for c in cavities}
                for id_ in [id_ for id_ in kept if id_ not in here]:
                    del kept[id_]

    def _merge_block(self, document: Map, block: Block) -> None:
        under = [*block_primitives(document, block.id, self.style)]
        for strip in self._strips.values():
            under += strip.under
        over = [item for strip in self._strips.values() for item in strip.over]
        self._under = Batch((compiled(under),))
        self._over = Batch((compiled(over),))

    def settle(self) -> bool:
        """Place every label as a fresh start would; return True when any changed."""
        layout = self.layout()
        return layout is not None and self.settled(layout, layout.places())

    def layout(self) -> Layout | None:
        """Return what placing every label takes; None when there is no block."""
        if self._block is None:
            return None
        return Layout(self._document, self._block.id, self.style, self._strips)

    def settled(self, layout: Layout, places: dict[CavityId, LabelPlace]) -> bool:
        """Take the places of a layout that holds; return True when any changed."""
        if layout != self.layout():
            return False
        before, self._places = self._places, places
        self.exact = True
        return before != places

    def _place_near(self, changed: Collection[Box]) -> None:
        """Place the labels round some boxes, as if there were nothing further off."""
        assert self._block is not None
        near = [(c, _gap(c, changed)) for c in self._cavities]
        round_ = {c.id: c for c, gap in near if gap <= 2 * _NEAR_MM}
        part = dataclasses.replace(self._document, cavities=round_)
        placed = layout_labels(part, self._block.id, self.style, self._strips)
        fresh = {c.id for c, gap in near if gap <= _NEAR_MM}
        here = {c.id for c in self._cavities}
        kept = {
            id_: place
            for id_, place in self._places.items()
            if id_ in here and id_ not in fresh
        }
        self._places = kept | {i: p for i, p in placed.items() if i in fresh}
        self.exact = False

    def body(self, cavity: Cavity) -> Picture:
        """Return the picture of a cavity's body, compiled when it is new."""
        bodies = self._bodies.get(self.style)
        if bodies is None:
            bodies = self._bodies[self.style] = {}
            while len(self._bodies) > _STYLES_KEPT:
                del self._bodies[next(iter(self._bodies))]
        found = bodies.get(cavity.id)
        if found is None or found[0] is not cavity:
            found = (cavity, compiled(cavity_primitives(cavity, self.style)))
            bodies[cavity.id] = found
        return found[1]

    def label(self, id_: CavityId) -> Picture | None:
        """Return the picture of a cavity's label, None when it has no room for one."""
        place = self._places.get(id_)
        if place is None:
            return None
        found = self._labels.get(id_)
        if found is None or (found[0] is not place and found[0] != place):
            found = self._labels[id_] = (place, compiled(place.primitives))
        return found[1]

    @property
    def strips(self) -> Mapping[str, StripPicture]:
        """The strips of the block as they are seen, by id."""
        return self._strips

    def block_batches(self) -> tuple[Batch, Batch]:
        """Return what lies under the cavities and what lies over them."""
        return self._under, self._over

    def preview(self, cavities: Iterable[Cavity]) -> Batch:
        """Return cavities that are not in the map, with their names beside them."""
        made = tuple(cavities)
        if self._block is None or not made:
            return Batch(())
        pictures = [compiled(cavity_primitives(c, self.style)) for c in made]
        if len(made) <= _PREVIEW_LABELS:
            by_id: Mapping[CavityId, Cavity] = {c.id: c for c in made}
            part = dataclasses.replace(self._document, cavities=by_id, strips={})
            places = layout_labels(part, self._block.id, self.style, {})
            pictures += [compiled(place.primitives) for place in places.values()]
        else:
            pictures += [compiled(self._name(c)) for c in made]
        return Batch(pictures)

    def _name(self, cavity: Cavity) -> tuple[Primitive, ...]:
        x, y = self.style.view.apply(cavity.centre, self.style.size)
        cap = max(self.style.label_cap_mm, self.style.least_cap_mm)
        at = Point(x, y + cap / 2)
        return (Text(cavity.designation, at, cap, Face.BOLD),)


def _differing(before: tuple[Cavity, ...], after: tuple[Cavity, ...]) -> list[Box]:
    """Return where cavities came, went or changed."""
    old = {c.id: c for c in before}
    new = {c.id: c for c in after}
    found: list[Box] = []
    for id_, cavity in new.items():
        was = old.get(id_)
        if was is not cavity:
            found.append(cavity.bounds)
            if was is not None:
                found.append(was.bounds)
    found += [c.bounds for id_, c in old.items() if id_ not in new]
    return found


def _shapes_hold(before: tuple[Cavity, ...], after: tuple[Cavity, ...]) -> bool:
    """Tell whether the bodies and contacts that strips go by are where they were."""
    return len(before) == len(after) and all(
        old is new or _shape(old) == _shape(new)
        for old, new in zip(before, after, strict=True)
    )


def _shape(cavity: Cavity) -> tuple[object, ...]:
    place = (cavity.id, cavity.x_mm, cavity.y_mm, cavity.turn_deg, cavity.off_panel)
    body = (cavity.width_mm, cavity.height_mm, cavity.kind, cavity.form)
    return (*place, *body, cavity.feed_end, cavity.contact_names)


def _gap(cavity: Cavity, areas: Iterable[Box]) -> float:
    """Return how far a cavity is from the nearest box at least, along one axis."""
    x, y = cavity.x_mm, cavity.y_mm
    half = (cavity.width_mm + cavity.height_mm) / 2
    nearest = math.inf
    for left, top, right, bottom in areas:
        gap = max(left - x, x - right, top - y, y - bottom) - half
        nearest = min(nearest, gap)
    return nearest
