"""Lays out the strips of a block, and anew only those whose surroundings changed.

Strips are laid in the order of the map, each round the bodies and over as little as
may be of the strips before. After a change a strip is laid anew only when its own
contacts moved, or when something came or went where it was looked for a route; so the
end is always that of a layout from the start. Everything is seen from the front.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from blockmap.drawing.frame import FigureStyle, frame_of
from blockmap.drawing.grid import BoxGrid, ChangedPlaces, round_of
from blockmap.drawing.strips import (
    Crowd,
    Joined,
    StripPicture,
    StripRefs,
    draw_strip,
    joined_by,
    leg_boxes,
    looked_at_for,
    refs_of,
    seen_strip,
)
from blockmap.model.document import Cavity, Map, Strip
from blockmap.model.geometry import Box, Size
from blockmap.model.ids import BlockId, CavityId, StripId

__all__ = ["StripLayout", "strip_marks", "strip_pictures"]

LINE_MM = 0.4
"""So far on each side of its line a strip counts as covered for the next."""


def strip_pictures(
    document: Map, block: BlockId, style: FigureStyle
) -> dict[StripId, StripPicture]:
    """Return the picture of every strip of a block that has a contact on it.

    Routes are found in the front view; the other views show the same ones.
    """
    layout = StripLayout(style.line_mm)
    if style.strips:
        layout.take(document, block)
    for _ in layout.steps():
        pass
    return {id_: seen_strip(one, style) for id_, one in layout.pictures().items()}


def strip_marks(document: Map, block: BlockId, style: FigureStyle) -> set[str]:
    """Return the names of what is drawn of a block's strips, without routes."""
    found: set[str] = set()
    strips = _strips_of(document, block) if style.strips else []
    if strips:
        cavities = {c.id: c for c in document.cavities_of(block)}
        for strip in strips:
            found |= joined_by(strip, refs_of(strip), cavities, style).marks
    return found


def _strips_of(document: Map, block: BlockId) -> list[Strip]:
    return [s for s in document.strips_of(block) if s.members or s.jumpers]


class _Known(NamedTuple):
    """A strip, what it names, the very cavities there are of that, and their places."""

    strip: Strip
    refs: StripRefs
    cavities: tuple[Cavity | None, ...]
    joined: Joined


class _Laid(NamedTuple):
    """The picture of a strip, and where was looked for its routes."""

    picture: StripPicture
    looked_at: tuple[Box, ...]
    extent: Box
    lines: tuple[Box, ...]


class StripLayout:
    """The strips of one block."""

    def __init__(self, line_mm: float) -> None:
        self._style = FigureStyle(size=Size(1.0, 1.0), line_mm=line_mm)
        self._start_anew()

    def _start_anew(self) -> None:
        self._bodies: dict[CavityId, tuple[Cavity, Box]] = {}
        self._grid = BoxGrid()
        self._known: dict[StripId, _Known] = {}
        self._laid: dict[StripId, _Laid] = {}
        self._due: set[StripId] = set()
        self._changed = ChangedPlaces()

    @property
    def done(self) -> bool:
        """True when every strip is where a layout from the start would have it."""
        return not self._due and not self._changed

    def pictures(self) -> dict[StripId, StripPicture]:
        """Return the strips that are laid, in the order of the map."""
        laid = ((i, self._laid.get(i)) for i in self._known if i not in self._due)
        return {
            id_: one.picture
            for id_, one in laid
            if one is not None and (one.picture.under or one.picture.over)
        }

    def take(self, document: Map, block: BlockId) -> None:
        """Take over what the strips follow from; `steps` then lays what is due."""
        strips = _strips_of(document, block)
        here = [s.id for s in strips]
        stayed = [id_ for id_ in self._known if id_ in here]
        if stayed != [id_ for id_ in here if id_ in self._known]:
            self._start_anew()
        if not strips:
            if self._known:
                self._start_anew()
            return
        cavities = {c.id: c for c in document.cavities_of(block)}
        self._take_bodies(cavities)
        known = {s.id: self._know(s, cavities) for s in strips}
        for id_ in self._known.keys() - known.keys():
            self._forget(id_)
        self._known = known

    def _take_bodies(self, cavities: dict[CavityId, Cavity]) -> None:
        bodies: dict[CavityId, tuple[Cavity, Box]] = {}
        for id_, cavity in cavities.items():
            old = self._bodies.pop(id_, None)
            if old is not None and old[0] is cavity:
                bodies[id_] = old
                continue
            box = frame_of(cavity, self._style).bounds
            bodies[id_] = cavity, box
            self._changed.swap(self._grid, old[1:] if old else (), (box,))
        for _, box in self._bodies.values():
            self._changed.swap(self._grid, (box,), ())
        self._bodies = bodies

    def _know(self, strip: Strip, cavities: dict[CavityId, Cavity]) -> _Known:
        old = self._known.get(strip.id)
        refs = old.refs if old is not None and old.strip is strip else refs_of(strip)
        named = tuple(cavities.get(id_) for id_ in refs.cavities())
        if old is not None and old.strip is strip and _are(named, old.cavities):
            return old
        joined = joined_by(strip, refs, cavities, self._style)
        if old is None or joined != old.joined:
            self._due.add(strip.id)
        return _Known(strip, refs, named, joined)

    def _forget(self, id_: StripId) -> None:
        self._due.discard(id_)
        laid = self._laid.pop(id_, None)
        for box in laid.lines if laid else ():
            self._changed.add(box)

    def steps(self) -> Iterator[None]:
        """Lay what is due in the order of the map, one strip a step.

        It may be left in the middle: what is due stays so, and another pass after a
        `take` goes on from there.
        """
        if self.done:
            return
        lines = BoxGrid()
        for id_, known in self._known.items():
            if self._is_due(id_):
                self._lay(id_, known, Crowd(self._grid, lines))
                yield
            for box in self._laid[id_].lines:
                lines.add(box)
        self._changed = ChangedPlaces()

    def _is_due(self, id_: StripId) -> bool:
        laid = self._laid.get(id_)
        if laid is None or id_ in self._due:
            return True
        return self._changed.concern(laid.looked_at, laid.extent)

    def _lay(self, id_: StripId, known: _Known, crowd: Crowd) -> None:
        old = self._laid.get(id_)
        picture = draw_strip(known.joined, self._style.line_mm, crowd)
        if old is None or picture != old.picture:
            lines = tuple(leg_boxes(picture, LINE_MM))
            for box in {*lines} ^ {*(old.lines if old else ())}:
                self._changed.add(box)
            looked_at = tuple(looked_at_for(known.joined, picture))
            self._laid[id_] = _Laid(picture, looked_at, round_of(looked_at), lines)
        self._due.discard(id_)


def _are(a: tuple[object, ...], b: tuple[object, ...]) -> bool:
    return len(a) == len(b) and all(x is y for x, y in zip(a, b, strict=True))
