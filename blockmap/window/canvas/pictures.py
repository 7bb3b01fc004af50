"""Pictures of cavities, labels and strips of one block, made in steps and kept.

A body depends on its cavity alone, a label and a strip on their neighbours too; what
holds is never made again. `work` makes what is missing, a few at once after an edit,
very many in slices between which the window stays alive. What has a picture already
is to be had in the meantime; nothing is ever shown of a cavity as it was. Nothing here
paints.
"""

from __future__ import annotations

import dataclasses
import math
import time
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any

from blockmap.drawing.figure import (
    FigureStyle,
    LabelPlace,
    StripPicture,
    block_primitives,
    cavity_primitives,
    layout_labels,
)
from blockmap.drawing.label_layout import LabelLayout
from blockmap.drawing.primitives import Face, Primitive, Text
from blockmap.drawing.strip_layout import StripLayout
from blockmap.drawing.strips import seen_strip
from blockmap.model.document import Block, Cavity, Map
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.ids import CavityId, StripId
from blockmap.window.canvas.batches import Batch, Picture, compiled, same_objects

__all__ = ["PictureBook", "legible_cap"]

LEAST_CAP_PX = 6.0
"""Capitals on the screen are at least so high, or the text is left out."""

_LEAST_MM, _MOST_MM = 0.3, 3.5

_BODY, _ROUTE, _STRIP, _PLACE, _LABEL = 3, 40, 10, 1, 2
"""What one step costs, in about 40 microseconds of a slow core."""

_LOOK_EVERY = 12
"""After steps of this cost the clock is looked at."""

_PREVIEW_LABELS = 120
"""Most previewed places with labels where they would be; more get plain names."""

_LOOKS_KEPT = 6
_GONE_KEPT = 100
"""Pictures of so many cavities that are gone are kept: undo brings them back."""


def legible_cap(scale: float) -> float:
    """Return the least height of capitals, in mm, at a scale in pixels per mm.

    It changes in steps of about 1.25, so that a little zooming keeps every picture.
    """
    step = math.floor(3 * math.log2(max(scale, 1e-3)) + 1e-9)
    least = LEAST_CAP_PX / 2 ** (step / 3)
    return round(min(max(least, _LEAST_MM), _MOST_MM), 3)


class _Look:
    """What is drawn of a block in one style."""

    def __init__(self, style: FigureStyle) -> None:
        self.style = style
        self.layout = LabelLayout(style)
        self.bodies: dict[CavityId, tuple[Cavity, Picture]] = {}
        self.labels: dict[CavityId, tuple[LabelPlace, Cavity, Picture]] = {}
        self.strips: dict[StripId, tuple[StripPicture, _SeenStrip]] = {}

    def let_go(self, cavities: Sequence[Cavity], strips: Collection[StripId]) -> None:
        """Forget the pictures of what is gone, of cavities once they are many.

        A few are kept: undo brings them back.
        """
        for id_ in [id_ for id_ in self.strips if id_ not in strips]:
            del self.strips[id_]
        enough = 2 * len(cavities) + _GONE_KEPT
        books: tuple[dict[CavityId, Any], ...] = (self.bodies, self.labels)
        for kept in books:
            if len(kept) > enough:
                here = {c.id for c in cavities}
                for id_ in [id_ for id_ in kept if id_ not in here]:
                    del kept[id_]


class _SeenStrip:
    """A strip as it is seen, compiled: its lines, and what lies over the bodies."""

    def __init__(self, picture: StripPicture) -> None:
        self.picture = picture
        self.under = compiled(picture.under)
        self.over = compiled(picture.over)


class PictureBook:
    """The pictures of one block in one style."""

    def __init__(self) -> None:
        self._document = Map()
        self._block: Block | None = None
        self._cavities: tuple[Cavity, ...] = ()
        self._first: frozenset[CavityId] = frozenset()
        self._routes = StripLayout(FigureStyle(Size(1.0, 1.0)).line_mm)
        self._looks: dict[FigureStyle, _Look] = {}
        self._look = self._before = _Look(FigureStyle(size=Size(1.0, 1.0)))
        self._alike = True
        self._work: Iterator[int] | None = None
        self._of_block: tuple[Block, FigureStyle, Picture] | None = None
        self._shown_strips: tuple[_SeenStrip, ...] = ()
        self._all_strips = True
        self._merged: tuple[tuple[Picture, ...], Batch, Batch] | None = None

    @property
    def style(self) -> FigureStyle:
        """The style of the pictures."""
        return self._look.style

    @property
    def exact(self) -> bool:
        """True when everything is as a fresh start would show it."""
        return self._block is None or self._work is None

    def open(
        self,
        document: Map,
        block: Block,
        cavities: tuple[Cavity, ...],
        style: FigureStyle,
    ) -> None:
        """Take over a document, a block and a style; `work` makes what that needs."""
        other = self._block is None or self._block.id != block.id
        if not other and self._document is document and self.style == style:
            return
        if other:
            self._looks = {}
            self._routes = StripLayout(style.line_mm)
            self._look = _Look(style)
        self._document, self._block, self._cavities = document, block, cavities
        if self.style != style or other:
            self._before = self._look
            kept = self._looks.pop(style) if style in self._looks else _Look(style)
            self._look = self._looks[style] = kept
            while len(self._looks) > _LOOKS_KEPT:
                del self._looks[next(iter(self._looks))]
            self._alike = _but_for_letters(self._before.style) == _but_for_letters(
                style
            )
        self._look.let_go(cavities, document.strips)
        self._all_strips = False
        self._work = self._steps()

    # making what is missing

    def first(self, ids: frozenset[CavityId]) -> None:
        """Say which bodies can be seen: they are made first."""
        self._first = ids

    def settle(self) -> None:
        """Make everything that is missing now."""
        self.work(math.inf)

    def work(self, cost: float, until: float = math.inf) -> bool:
        """Make what is missing, at this cost or until a time by time.perf_counter.

        Returns True when nothing is left to do.
        """
        spent = looked = 0
        while self._work is not None and spent < cost:
            step = next(self._work, None)
            if step is None:
                self._work = None
                break
            spent += step
            if spent - looked >= _LOOK_EVERY:
                looked = spent
                if time.perf_counter() >= until:
                    break
        return self._work is None

    def _steps(self) -> Iterator[int]:
        """Make one missing thing after the other; yield what each has cost."""
        assert self._block is not None
        self._routes.take(self._document, self._block.id)
        self._look.layout.take(self._cavities, self._block.outline_points)
        yield 0
        seen = [c for c in self._cavities if c.id in self._first]
        for cavity in (*seen, *self._cavities):
            if self.body(cavity) is None:
                body = compiled(cavity_primitives(cavity, self.style))
                self._look.bodies[cavity.id] = cavity, body
                yield _BODY
        for _ in self._routes.steps():
            yield _ROUTE
        for id_, picture in self._routes.pictures().items():
            if not self._has_seen(id_, picture):
                strip = _SeenStrip(seen_strip(picture, self.style))
                self._look.strips[id_] = picture, strip
                yield _STRIP
        self._all_strips = True
        self._look.layout.take_strips(self.strips)
        for _ in self._look.layout.steps():
            yield _PLACE
        for cavity in (*seen, *self._cavities):
            if self._make_label(cavity):
                yield _LABEL

    def _make_label(self, cavity: Cavity) -> bool:
        labels, place = self._look.labels, self._look.layout.place(cavity.id)
        if place is None:
            return False
        kept = labels.get(cavity.id)
        if kept is not None and kept[0] == place:
            labels[cavity.id] = place, cavity, kept[2]
            return False
        labels[cavity.id] = place, cavity, compiled(place.primitives)
        return True

    # what there is

    def body(self, cavity: Cavity) -> Picture | None:
        """Return the picture of a cavity's body; None when there is none yet."""
        found = self._look.bodies.get(cavity.id)
        return found[1] if found is not None and found[0] is cavity else None

    def stand_in(self, cavity: Cavity) -> Picture | None:
        """Return the body with letters for another zoom, until it has its own."""
        if not self._alike:
            return None
        found = self._before.bodies.get(cavity.id)
        return found[1] if found is not None and found[0] is cavity else None

    def label(self, cavity: Cavity) -> Picture | None:
        """Return the picture of a cavity's label; None where it has none, or none yet.

        A label for another zoom stands in until this one is placed.
        """
        layout = self._look.layout
        place = layout.place(cavity.id)
        if place is not None:
            found = self._look.labels.get(cavity.id)
            if found is not None and found[0] is place and found[1] is cavity:
                return found[2]
        elif self.exact or not layout.awaits(cavity.id):
            return None
        if not self._alike:
            return None
        found = self._before.labels.get(cavity.id)
        return found[2] if found is not None and found[1] is cavity else None

    def label_box(self, cavity: Cavity) -> Box | None:
        """Return where a label stands, as seen; None where there is none yet."""
        place = self._look.layout.place(cavity.id)
        return None if place is None else place.box

    @property
    def strips(self) -> Mapping[StripId, StripPicture]:
        """The strips of the block as they are seen, by id."""
        return {id_: seen.picture for id_, seen in self._seen_strips()}

    def _seen_strips(self) -> Iterator[tuple[StripId, _SeenStrip]]:
        for id_, picture in self._routes.pictures().items():
            if self._has_seen(id_, picture):
                yield id_, self._look.strips[id_][1]

    def _has_seen(self, id_: StripId, picture: StripPicture) -> bool:
        kept = self._look.strips.get(id_)
        return kept is not None and kept[0] is picture

    def block_batches(self) -> tuple[Batch, Batch]:
        """Return what lies under the cavities and what lies over them.

        Strips that are made come in together: merging them one by one takes long.
        """
        strips = tuple(strip for _, strip in self._seen_strips())
        if not self._all_strips:
            strips = tuple(s for s in strips if s in self._shown_strips)
        self._shown_strips = strips
        pictures = (
            self._block_picture(),
            *(strip.under for strip in strips),
            *(strip.over for strip in strips),
        )
        if self._merged is None or not same_objects(self._merged[0], pictures):
            at = 1 + len(strips)
            under = Batch(pictures[1:at], ground=pictures[0])
            self._merged = pictures, under, Batch(pictures[at:])
        return self._merged[1:]

    def _block_picture(self) -> Picture:
        assert self._block is not None
        block, kept = self._block, self._of_block
        if kept is None or kept[0] is not block or kept[1] != self.style:
            made = compiled(block_primitives(self._document, block.id, self.style))
            kept = self._of_block = block, self.style, made
        return kept[2]

    # what is not in the map

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


def _but_for_letters(style: FigureStyle) -> FigureStyle:
    """Return what two styles share that differ in the least height of letters."""
    return dataclasses.replace(style, least_cap_mm=1.0)
