"""A drag on a handle gives a cavity another size; the opposite side stays."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter

from blockmap.model.document import Cavity
from blockmap.model.edits import resize_cavities
from blockmap.model.geometry import Point, Size, rotated
from blockmap.model.snapping import Guide, SnapField, stepped
from blockmap.window.canvas.handles import Handle
from blockmap.window.canvas.overlay import draw_guides
from blockmap.window.canvas.tools.tool import Pointer, translate
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["ResizeGesture"]

LEAST_MM, MOST_MM = 1.0, 500.0


class ResizeGesture:
    """Follows one handle in the axes of the turned cavity."""

    def __init__(
        self, view: FigureView, cavity: Cavity, handle: Handle, pressed: Pointer
    ) -> None:
        self._view, self._cavity, self._handle = view, cavity, handle
        self._pressed = pressed
        self._made = cavity
        self._guides: tuple[Guide, ...] = ()
        corner = self._front(
            Point(
                handle.along * cavity.width_mm / 2, handle.across * cavity.height_mm / 2
            )
        )
        self._offset = Point(
            corner.x_mm - pressed.at.x_mm, corner.y_mm - pressed.at.y_mm
        )
        content = view.content
        outline = content.block.outline_points if content.block else ()
        self._field = SnapField(
            (c.bounds for c in content.cavities if c.id != cavity.id), outline
        )

    def _front(self, local: Point) -> Point:
        x, y = self._cavity.centre
        return rotated(
            Point(x + local.x_mm, y + local.y_mm),
            self._cavity.centre,
            self._cavity.turn_deg,
        )

    def hint(self) -> str:
        """Return what letting go does."""
        return translate(
            "Figure",
            "Let go to set the size; Alt stops the snapping, Escape puts it back; "
            "exact sizes can be typed beside the figure",
        )

    def move(self, pointer: Pointer) -> None:
        """Preview the cavity with its new size."""
        old = self._cavity
        corner = Point(
            pointer.at.x_mm + self._offset.x_mm, pointer.at.y_mm + self._offset.y_mm
        )
        reach, step = self._view.snap_reach(free=pointer.free)
        self._guides = ()
        if old.turn_deg % 90 == 0:
            snap = self._field.snap_point(corner, reach_mm=reach, step_mm=0)
            corner, self._guides = snap.applied(corner), snap.guides
        local = rotated(corner, old.centre, -old.turn_deg)
        width, dx = self._side(
            self._handle.along, local.x_mm - old.x_mm, old.width_mm, step
        )
        height, dy = self._side(
            self._handle.across, local.y_mm - old.y_mm, old.height_mm, step
        )
        centre = self._front(Point(dx, dy))
        self._made = dataclasses.replace(
            old, x_mm=centre.x_mm, y_mm=centre.y_mm, width_mm=width, height_mm=height
        )
        self._view.set_preview([self._made])

    def _side(
        self, which: int, edge: float, old: float, step: float
    ) -> tuple[float, float]:
        """Return the new length and the shift of the middle along one axis."""
        if which == 0:
            return old, 0.0
        length = edge * which + old / 2
        if not self._guides:
            length = stepped(length, step)
        length = min(max(length, LEAST_MM), MOST_MM)
        return length, which * (length - old) / 2

    def release(self, pointer: Pointer) -> None:
        """Set the size in the map; a mere click changes nothing."""
        if pointer.far_from(self._pressed):
            self.move(pointer)
        view, made = self._view, self._made
        view.clear_preview()
        if made is not self._cavity:
            view.session.edit(
                view.commands.named(
                    QT_TRANSLATE_NOOP("Figure", "Resize %1"),
                    QT_TRANSLATE_NOOP("Figure", "Resize %n cavities"),
                    [made.id],
                ),
                resize_cavities,
                {made.id: (made.centre, Size(made.width_mm, made.height_mm))},
            )

    def cancel(self) -> None:
        """Show the cavity as it is."""
        self._view.clear_preview()

    def paint(self, painter: QPainter) -> None:
        """Draw the guides."""
        draw_guides(painter, self._view, self._guides)
