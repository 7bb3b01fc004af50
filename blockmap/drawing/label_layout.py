"""Lays out the labels of a block, and anew only those whose surroundings changed.

One pass over the cavities in the order of the map: bodies, marks, landings, the outline
and the labels before are kept clear of; strips are, too, as long as another place is
left. Each label remembers which places were looked at for it. After a change it is
placed anew only when its own wish or body is another one, or when something came or
went in one of those places; so the end is always that of a layout from the start.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from blockmap.drawing.bodies import outline_of
from blockmap.drawing.designations import LabelPlace, place_label
from blockmap.drawing.frame import FigureStyle, Frame, frame_of
from blockmap.drawing.grid import BoxGrid, ChangedPlaces, round_of
from blockmap.drawing.label_wish import Wish, wish_of
from blockmap.drawing.on_body import rooms_on_body
from blockmap.drawing.picture import obstacles_of
from blockmap.drawing.strip_layout import strip_pictures
from blockmap.drawing.strips import StripPicture, landing_box, leg_boxes
from blockmap.model.document import Cavity, Map
from blockmap.model.geometry import Box, Point, bounds_of
from blockmap.model.ids import BlockId, CavityId

__all__ = ["LabelLayout", "layout_labels"]


def layout_labels(
    document: Map,
    block: BlockId,
    style: FigureStyle,
    strips: Mapping[str, StripPicture] | None = None,
) -> dict[CavityId, LabelPlace]:
    """Return the label of every cavity of a block that has room for one.

    ``strips`` are the pictures of the block's strips when they are at hand.
    """
    if strips is None:
        strips = strip_pictures(document, block, style)
    layout = LabelLayout(style)
    outline = document.blocks[block].outline_points
    layout.take(tuple(document.cavities_of(block)), outline)
    layout.take_strips(strips)
    for _ in layout.steps():
        pass
    return layout.places()


class _Standing(NamedTuple):
    """What a cavity means for the labels: its own and those around."""

    frame: Frame
    wish: Wish
    outline: str
    rooms: tuple[Box, ...]
    obstacles: tuple[Box, ...]


class _Placed(NamedTuple):
    """A label, and the places that were looked at to find room for it."""

    place: LabelPlace | None
    looked_at: tuple[Box, ...]
    extent: Box


class _Surface:
    """All that stands, and of the labels only those of cavities before one of them."""

    def __init__(self, hard: BoxGrid) -> None:
        self._hard, self._labels = hard, BoxGrid()
        self._owners: dict[Box, list[CavityId]] = {}
        self.ranks: Mapping[CavityId, int] = {}
        self.rank = 0
        self.looked_at: list[Box] = []

    def add(self, box: Box, owner: CavityId) -> None:
        """Take the label of a cavity in."""
        self._labels.add(box)
        self._owners.setdefault(box, []).append(owner)

    def remove(self, box: Box, owner: CavityId) -> None:
        """Take the label of a cavity out."""
        self._labels.remove(box)
        self._owners[box].remove(owner)
        if not self._owners[box]:
            del self._owners[box]

    def meeting(self, box: Box) -> list[Box]:
        """Return what stands in a box, and note that it was looked at."""
        self.looked_at.append(box)
        found = self._hard.meeting(box)
        ranks, rank = self.ranks, self.rank
        for label in self._labels.meeting(box):
            if any(ranks[owner] < rank for owner in self._owners[label]):
                found.append(label)
        return found


_StripBoxes = tuple[StripPicture, tuple[Box, ...], tuple[Box, ...]]
"""A strip, the box of its landing, and those of its legs."""


class LabelLayout:
    """The labels of one block in one style."""

    def __init__(self, style: FigureStyle) -> None:
        self.style = style
        self._start_anew()

    def _start_anew(self) -> None:
        self._cavities: tuple[Cavity, ...] = ()
        self._standing: dict[CavityId, _Standing] = {}
        self._outline: tuple[Point, ...] = ()
        self._outline_boxes: tuple[Box, ...] = ()
        self._strips: dict[str, _StripBoxes] = {}
        self._hard, self._soft = BoxGrid(), BoxGrid()
        self._surface = _Surface(self._hard)
        self._placed: dict[CavityId, _Placed] = {}
        self._due: set[CavityId] = set()
        self._changed = ChangedPlaces()

    @property
    def done(self) -> bool:
        """True when every label is where a layout from the start would have it."""
        return not self._due and not self._changed

    def place(self, id_: CavityId) -> LabelPlace | None:
        """Return the label of a cavity; None when it has none, or none yet."""
        placed = self._placed.get(id_)
        return placed.place if placed is not None and id_ not in self._due else None

    def awaits(self, id_: CavityId) -> bool:
        """Tell whether the label of a cavity is still to be placed."""
        return id_ in self._due

    def places(self) -> dict[CavityId, LabelPlace]:
        """Return the labels in the order of the map."""
        found = ((id_, self.place(id_)) for id_ in self._standing)
        return {id_: place for id_, place in found if place is not None}

    # what the labels follow from

    def take(self, cavities: tuple[Cavity, ...], outline: Sequence[Point]) -> None:
        """Take over cavities and outline; `steps` then places what is due."""
        if self._reordered(cavities):
            self._start_anew()
        self._take_outline(tuple(outline))
        if cavities != self._cavities:
            self._take_cavities(cavities)

    def take_strips(self, strips: Mapping[str, StripPicture]) -> None:
        """Take over the strips as they are seen."""
        nothing = StripPicture(), (), ()
        taken: dict[str, _StripBoxes] = {}
        for id_, picture in strips.items():
            old = self._strips.pop(id_, nothing)
            new = taken[id_] = old if old[0] is picture else self._boxes_of(picture)
            self._changed.swap(self._hard, old[1], new[1])
            self._changed.swap(self._soft, old[2], new[2])
        for _, landing, legs in self._strips.values():
            self._changed.swap(self._hard, landing, ())
            self._changed.swap(self._soft, legs, ())
        self._strips = taken

    def _reordered(self, cavities: tuple[Cavity, ...]) -> bool:
        here = {c.id for c in cavities}
        stayed = [c.id for c in self._cavities if c.id in here]
        return stayed != [c.id for c in cavities if c.id in self._standing]

    def _take_cavities(self, cavities: tuple[Cavity, ...]) -> None:
        before = {c.id: c for c in self._cavities}
        standing: dict[CavityId, _Standing] = {}
        for cavity in cavities:
            old = self._standing.pop(cavity.id, None)
            if old is not None and before[cavity.id] is cavity:
                standing[cavity.id] = old
                continue
            new = standing[cavity.id] = self._standing_of(cavity)
            if new != old:
                self._due.add(cavity.id)
                stood = old.obstacles if old else ()
                self._changed.swap(self._hard, stood, new.obstacles)
        for id_, gone in self._standing.items():
            self._changed.swap(self._hard, gone.obstacles, ())
            self._due.discard(id_)
            self._forget(id_)
        self._cavities, self._standing = cavities, standing
        self._surface.ranks = {id_: number for number, id_ in enumerate(standing)}

    def _standing_of(self, cavity: Cavity) -> _Standing:
        style = self.style
        frame = frame_of(cavity, style)
        obstacles = tuple(obstacles_of(cavity, frame, style))
        outline, wish = outline_of(cavity), wish_of(cavity, style)
        rooms = rooms_on_body(cavity, frame, outline, style)
        return _Standing(frame, wish, outline, rooms, obstacles)

    def _take_outline(self, outline: tuple[Point, ...]) -> None:
        if outline != self._outline:
            boxes = tuple(_edge_boxes(outline, self.style))
            self._changed.swap(self._hard, self._outline_boxes, boxes)
            self._outline, self._outline_boxes = outline, boxes

    def _boxes_of(self, picture: StripPicture) -> _StripBoxes:
        landing = landing_box(picture)
        legs = tuple(leg_boxes(picture, self.style.line_mm * 2.5))
        return picture, (landing,) if landing else (), legs

    def _forget(self, id_: CavityId) -> None:
        """Take the label of a cavity away."""
        placed = self._placed.pop(id_, None)
        if placed is not None and placed.place is not None:
            self._surface.remove(placed.place.box, id_)
            self._changed.add(placed.place.box)

    # placing

    def steps(self) -> Iterator[None]:
        """Place what is due in the order of the map, one label a step.

        It may be left in the middle: what is due stays so, and another pass after a
        `take` goes on from there.
        """
        if self.done:
            return
        for rank, (id_, standing) in enumerate(self._standing.items()):
            if self._is_due(id_):
                self._place(id_, standing, rank)
                yield
        self._changed = ChangedPlaces()

    def _is_due(self, id_: CavityId) -> bool:
        placed = self._placed.get(id_)
        if placed is None or id_ in self._due:
            return True
        return self._changed.concern(placed.looked_at, placed.extent)

    def _place(self, id_: CavityId, standing: _Standing, rank: int) -> None:
        surface, before = self._surface, self._placed.get(id_)
        surface.rank, surface.looked_at = rank, []
        frame, wish, outline, rooms, _ = standing
        grounds = (surface, self._soft)
        place = place_label(wish, frame, outline, rooms, grounds, self.style)
        looked_at = tuple(dict.fromkeys(surface.looked_at))
        if before is not None and before.place == place:
            place = before.place  # what was drawn of it holds
        else:
            self._forget(id_)
            if place is not None:
                surface.add(place.box, id_)
                self._changed.add(place.box)
        self._placed[id_] = _Placed(place, looked_at, round_of(looked_at))
        self._due.discard(id_)


def _edge_boxes(outline: tuple[Point, ...], style: FigureStyle) -> Iterator[Box]:
    points = [style.view.apply(p, style.size) for p in outline]
    for a, b in zip(points, (*points[1:], points[0]), strict=True):
        # A slanting edge is kept clear of in short steps, an upright one at once.
        straight = a[0] == b[0] or a[1] == b[1]
        steps = 1 if straight else min(60, int(math.dist(a, b) / 2) + 1)
        for number in range(steps):
            ends = [
                Point(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                for t in (number / steps, (number + 1) / steps)
            ]
            yield bounds_of(ends).grown(0.3)
