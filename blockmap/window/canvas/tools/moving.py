"""A drag on a cavity moves the selection, with snapping."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter

from blockmap.model.edits import move_cavities
from blockmap.model.geometry import Box, Point
from blockmap.model.ids import CavityId
from blockmap.model.snapping import Guide, SnapField
from blockmap.window.canvas.overlay import draw_guides
from blockmap.window.canvas.tools.tool import Pointer, translate
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["MoveGesture"]


class MoveGesture:
    """Moves every selected cavity by one distance; one edit when let go."""

    def __init__(self, view: FigureView, hit: CavityId, pressed: Pointer) -> None:
        self._view, self._hit, self._pressed = view, hit, pressed
        self._dragging = False
        self._guides: tuple[Guide, ...] = ()
        self._by = Point(0.0, 0.0)

    def _begin(self) -> None:
        self._dragging = True
        chosen = set(self._view.selection.ids)
        content = self._view.content
        self._moved = tuple(c for c in content.cavities if c.id in chosen)
        # A single box lines up by itself; of several, the pressed one leads.
        lead = next((c for c in self._moved if c.id == self._hit), self._moved[0])
        self._lead: Box = lead.bounds
        others = [c.bounds for c in content.cavities if c.id not in chosen]
        outline = content.block.outline_points if content.block else ()
        self._field = SnapField(others, outline)

    def hint(self) -> str:
        """Return what letting go does."""
        return translate(
            "Figure",
            "Let go to place it; Shift keeps it straight, Alt stops the snapping, "
            "Escape puts it back",
        )

    def move(self, pointer: Pointer) -> None:
        """Preview the cavities where they would go."""
        if not self._dragging:
            if not pointer.far_from(self._pressed):
                return
            self._begin()
            self._view.say_hint()
        dx = pointer.at.x_mm - self._pressed.at.x_mm
        dy = pointer.at.y_mm - self._pressed.at.y_mm
        if pointer.extend:
            dx, dy = (dx, 0.0) if abs(dx) >= abs(dy) else (0.0, dy)
        self._by, self._guides = self._snapped(dx, dy, pointer)
        self._view.set_moved(self._moved, self._by)

    def _snapped(
        self, dx: float, dy: float, pointer: Pointer
    ) -> tuple[Point, tuple[Guide, ...]]:
        reach, step = self._view.snap_reach(free=pointer.free)
        lead = self._lead
        box = Box(lead[0] + dx, lead[1] + dy, lead[2] + dx, lead[3] + dy)
        snap = self._field.snap_box(box, reach_mm=reach, step_mm=step)
        if pointer.extend:  # a straight move stays on its line
            by = Point(dx + snap.dx_mm if dx else 0.0, dy + snap.dy_mm if dy else 0.0)
            return by, ()
        return Point(dx + snap.dx_mm, dy + snap.dy_mm), snap.guides

    def release(self, pointer: Pointer) -> None:
        """Move the cavities in the map; a mere click selects the one."""
        if not self._dragging:
            if not pointer.extend and self._view.selection.ids != (self._hit,):
                self._view.selection.select([self._hit])
            return
        self.move(pointer)
        view, (dx, dy) = self._view, self._by
        view.clear_preview()
        centres = {c.id: Point(c.x_mm + dx, c.y_mm + dy) for c in self._moved}
        view.session.edit(
            view.commands.named(
                QT_TRANSLATE_NOOP("Figure", "Move %1"),
                QT_TRANSLATE_NOOP("Figure", "Move %n cavities"),
                list(centres),
            ),
            move_cavities,
            centres,
        )

    def cancel(self) -> None:
        """Show the cavities where they are."""
        self._view.clear_preview()

    def paint(self, painter: QPainter) -> None:
        """Draw the guides."""
        if self._dragging:
            draw_guides(painter, self._view, self._guides)
