"""What the figure shows of the session, and what a tool previews on it.

Between the area that is panned and the figure that is worked on: it reads the document
anew when told to, keeps the image of what stands still, and turns places into pixels
and back. It takes no presses and makes no edits.
"""

from __future__ import annotations

import dataclasses
import math
import time
from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from blockmap.drawing.palette import DARK, LIGHT
from blockmap.model.document import Cavity
from blockmap.model.geometry import Box, Point, bounds_of
from blockmap.model.ids import CavityId, StripId
from blockmap.window.canvas.backing import Backing
from blockmap.window.canvas.batches import Batch, Inks
from blockmap.window.canvas.content import FigureContent
from blockmap.window.canvas.hit import cavity_at, route_at
from blockmap.window.canvas.lit import Lit
from blockmap.window.canvas.panning import PannedArea
from blockmap.window.canvas.pictures import legible_cap
from blockmap.window.canvas.preview import Surroundings
from blockmap.window.canvas.signs import SignPaths
from blockmap.window.canvas.tools.tool import Pointer
from blockmap.window.canvas.under_photo import UnderPhoto
from blockmap.window.guard import guarded
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.theme import dark_now

__all__ = ["Stage"]

TARGET_PX = 24.0
SNAP_PX = 7.0
STRIP_REACH_PX = 5.0
"""So near a press must be to the line of a strip."""
STEP_MM, FREE_STEP_MM = 0.5, 0.1
SETTLE_MS = 150
AT_ONCE, AT_ONCE_S = 150, 0.012
"""Pictures of this cost are made before a painting: what an edit of a few needs."""
SLICE_S = 0.008
"""So long pictures are made at a stretch when there are more."""
SLICES_SHOWN = 4
"""After so many stretches what is made is shown."""
MOST_CHECKED = 60
"""More cavities than this are checked when they are put down, not while they move."""

_STILL = Point(0.0, 0.0)


class Stage(PannedArea):
    """One block of a session in one view, with the previews of a gesture.

    marked says that other signs, readings or numbers lie over it.
    """

    marked = Signal()

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session, self.selection = session, selection
        self.content = FigureContent()
        self.inks = Inks(DARK if dark_now() else LIGHT)
        self.findings: Mapping[CavityId, str] = {}
        self.signs = SignPaths()
        self.lit = Lit()
        self.hovered: CavityId | None = None
        self.hovered_strip: StripId | None = None
        self.unfit: set[CavityId] = set()
        self.preview_batch = Batch(())
        self.previewed: tuple[Cavity, ...] = ()
        self.preview_shift = _STILL
        self._preview: tuple[Cavity, ...] | None = ()
        self.backing = Backing()
        self.photo = UnderPhoto(self)
        self.content.on_ground = self.photo.draw
        self._around: Surroundings | None = None
        self._snapping = True
        self._least_cap = 0.0
        self._shown_slices = 0
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._read_at_scale)
        self._slices = QTimer(self)
        self._slices.setSingleShot(True)
        self._slices.setInterval(0)
        self._slices.timeout.connect(self._make_slice)

    # what is shown

    def read_document(self) -> None:
        """Read the document, the block and the view anew."""
        before = self.content.view, self.content.block and self.content.block.id
        self._least_cap = legible_cap(self.frame_now.scale)
        self.content.install(
            self.session.document,
            self.selection.block,
            self.selection.view,
            self._least_cap,
        )
        self._around = None
        if before != (self.content.view, self.selection.block):
            self.backing.spoil()
        self.photo.follow()
        self.viewport().update()

    def settle(self) -> None:
        """Do at once what waits for time: letters by zoom, all pictures."""
        self._read_at_scale()
        if self.content.block is not None:
            self.content.book.settle()
            self.viewport().update()

    def _read_at_scale(self) -> None:
        """Take letters that are legible at the present zoom."""
        self._settle.stop()
        if legible_cap(self.frame_now.scale) != self._least_cap:
            self.read_document()

    def _make_slice(self) -> None:
        """Make pictures for a moment, then let the window go on."""
        book = self.content.book
        if self.content.block is None or book.exact:
            return
        done = book.work(math.inf, time.perf_counter() + SLICE_S)
        self._shown_slices += 1
        if done or self._shown_slices % SLICES_SHOWN == 0:
            self.viewport().update()
        if not done:
            self._slices.start()

    def set_findings(self, findings: Mapping[CavityId, str]) -> None:
        """Mark cavities with the level of what a check found there."""
        self.findings = dict(findings)
        self.marked.emit()
        self.refresh_overlay()

    def set_lit(self, lit: Lit) -> None:
        """Mark a strip and what hangs on it."""
        if lit != self.lit:
            self.lit = lit
            self.refresh_overlay()

    def set_hovered(self, id_: CavityId | None, strip: StripId | None = None) -> None:
        """Show what the pointer is on."""
        if (id_, strip) != (self.hovered, self.hovered_strip):
            self.hovered, self.hovered_strip = id_, strip
            self.refresh_overlay()

    def refresh_overlay(self) -> None:
        """Draw again what lies over the figure."""
        self.viewport().update()

    def paint_over(self, painter: QPainter) -> None:
        """Draw what lies over the figure."""

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event  # overlays are cheap: the whole viewport is copied and drawn over
        palette = DARK if dark_now() else LIGHT
        if palette is not self.inks.palette:
            self.inks = Inks(palette)
            self.backing.spoil()
        seen = self.frame_now.box_mm(QRectF(self.viewport().rect()))
        until = time.perf_counter() + AT_ONCE_S
        if not self.content.look_up(seen, AT_ONCE, until):
            self._slices.start()
        painter = QPainter(self.viewport())
        try:
            self.backing.show(painter, self)
            self.paint_over(painter)
        finally:
            painter.end()

    # previews of the tools

    @property
    def preview(self) -> tuple[Cavity, ...]:
        """The cavities of the preview, where they are shown."""
        if self._preview is None:
            dx, dy = self.preview_shift
            self._preview = tuple(
                dataclasses.replace(c, x_mm=c.x_mm + dx, y_mm=c.y_mm + dy)
                for c in self.previewed
            )
        return self._preview

    def set_preview(self, cavities: Sequence[Cavity]) -> None:
        """Show cavities in place of those with their ids, the map untouched."""
        here = self._lift(cavities)
        self.previewed = self._preview = tuple(cavities)
        self.preview_shift = _STILL
        self.preview_batch = self.content.book.preview(self.previewed)
        self.unfit = self._surroundings(here).unfit(self.previewed, fresh=not here)
        self.refresh_overlay()

    def set_moved(self, cavities: Sequence[Cavity], shift: Point) -> None:
        """Show cavities of the map moved by so much, in the front view."""
        here = self._lift(cavities)
        if not self.previewed:
            self.preview_batch = self.content.lifted_batch()
        self.previewed, self._preview = tuple(cavities), None
        self.preview_shift = shift
        around = self._surroundings(here)
        few = len(cavities) <= MOST_CHECKED
        self.unfit = around.unfit(self.preview, fresh=False) if few else set()
        self.refresh_overlay()

    def _lift(self, cavities: Sequence[Cavity]) -> frozenset[CavityId]:
        """Leave the cavities out of the still image; return those of the map."""
        known = self.content.document.cavities
        here = frozenset(c.id for c in cavities if c.id in known)
        if self.content.lift(here):
            self._around = None
            self.backing.spoil()
            self.previewed = ()
        return here

    def _surroundings(self, lifted: frozenset[CavityId]) -> Surroundings:
        if self._around is None:
            standing = (c for c in self.content.cavities if c.id not in lifted)
            block = self.content.block
            self._around = Surroundings(standing, block.outline_points if block else ())
        return self._around

    def clear_preview(self) -> None:
        """Show the map as it is."""
        if self.content.lift(frozenset()):
            self._around = None
            self.backing.spoil()
        self.previewed = self._preview = ()
        self.preview_shift, self.unfit, self.preview_batch = _STILL, set(), Batch(())
        self.refresh_overlay()

    # places

    def px_of(self, front: Point) -> QPointF:
        """Return the pixel of a front-view point."""
        return self.frame_now.to_px(self.content.seen(front))

    def mm_px(self, length_mm: float) -> float:
        """Return a length in pixels."""
        return length_mm * self.frame_now.scale

    def pointer_at(self, px: QPointF, held: Qt.KeyboardModifier) -> Pointer:
        """Return the pointer for a pixel and the keys that are held."""
        return Pointer(
            px,
            self.content.seen(self.frame_now.to_mm(px)),
            extend=bool(held & Qt.KeyboardModifier.ShiftModifier),
            toggle=bool(held & Qt.KeyboardModifier.ControlModifier),
            free=bool(held & Qt.KeyboardModifier.AltModifier),
        )

    def cavity_under(self, pointer: Pointer) -> CavityId | None:
        """Return the cavity that a place means."""
        reach = TARGET_PX / 2 / self.frame_now.scale
        return cavity_at(self.content.cavities, pointer.at, reach)

    def strip_under(self, pointer: Pointer) -> StripId | None:
        """Return the strip whose line a place means, where no body covers it."""
        pictures = self.content.book.strips
        if not pictures or cavity_at(self.content.cavities, pointer.at, 0.0):
            return None
        seen = self.content.seen(pointer.at)
        reach = STRIP_REACH_PX / self.frame_now.scale
        return route_at(
            {id_: picture.routes for id_, picture in pictures.items()}, seen, reach
        )

    def set_snapping(self, on: bool) -> None:
        """Snap to pitch, neighbours and outline, or leave it."""
        self._snapping = on

    def snap_reach(self, *, free: bool) -> tuple[float, float]:
        """Return how far lines attract and the step besides, in millimetres."""
        if free or not self._snapping:
            return 0.0, FREE_STEP_MM
        return min(SNAP_PX / self.frame_now.scale, 3.0), STEP_MM

    def zoom_selection(self) -> None:
        """Show the selected cavities, or all when there are none."""
        chosen = self.content.chosen(self.selection.ids)
        if not chosen:
            self.zoom_fit()
            return
        box = bounds_of(p for c in chosen for p in c.corners)
        self.zoom_box(self.content.seen_box(box).grown(4.0))

    def show_cavity(self, id_: CavityId) -> None:
        """Pan so that a cavity is in sight."""
        cavity = self.content.cavity(id_)
        if cavity is not None:
            self.bring_into_sight(self.content.seen_box(cavity.bounds))

    def seen_bounds(self) -> Box:
        """Return the box of the figure in millimetres as seen."""
        return self.content.bounds()

    def fit_rect(self) -> QRectF:
        """Return the pixels under the heading that the figure may take."""
        high = self.fontMetrics().height() * 3.2
        return QRectF(self.viewport().rect()).adjusted(20, high, -20, -20)

    def frame_changed(self) -> None:
        """Draw anew; letters follow when the zooming pauses."""
        self.backing.spoil()
        if legible_cap(self.frame_now.scale) != self._least_cap:
            if self.backing.used:
                self._settle.start()
            else:
                self.read_document()
