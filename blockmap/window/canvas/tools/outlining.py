"""The tool that draws a block's outline by its corners."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QPolygonF

from blockmap.model.edits import set_outline
from blockmap.model.geometry import Box, Point
from blockmap.model.snapping import Guide, SnapField
from blockmap.window.canvas.overlay import draw_badge, draw_guides
from blockmap.window.canvas.tools.tool import ARROWS, Pointer, Tool, translate

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["OutlineTool"]

CLOSE_PX = 12.0


class OutlineTool(Tool):
    """Each click is a corner; a click on the first, or Enter, closes the outline."""

    name = "outline"

    def __init__(self, view: FigureView) -> None:
        super().__init__(view)
        self._corners: list[Point] = []
        self._at: Point | None = None
        self._guides: tuple[Guide, ...] = ()

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners set so far, in front-view millimetres."""
        return tuple(self._corners)

    def hint(self) -> str:
        """Return what the next press or key does."""
        if not self._corners:
            return translate(
                "Figure",
                "Click the corners of the block in order; Insert sets one by keys",
            )
        if len(self._corners) < 3:
            return translate(
                "Figure",
                "Click the next corner; arrows move the last one, Insert sets one "
                "more, Backspace takes it back",
            )
        return translate(
            "Figure",
            "Click the first corner or press Enter to close; arrows move the last "
            "corner, Backspace takes it back, Escape drops all",
        )

    def _snapped(self, pointer: Pointer) -> Point:
        content = self.view.content
        outline = content.block.outline_points if content.block else ()
        set_ = [Box(*p, *p) for p in self._corners]
        field = SnapField((*(c.bounds for c in content.cavities), *set_), outline)
        reach, step = self.view.snap_reach(free=pointer.free)
        snap = field.snap_point(pointer.at, reach_mm=reach, step_mm=step)
        self._guides = snap.guides
        at = snap.applied(pointer.at)
        if pointer.extend and self._corners:
            last = self._corners[-1]
            across = abs(at.x_mm - last.x_mm) >= abs(at.y_mm - last.y_mm)
            at = Point(at.x_mm, last.y_mm) if across else Point(last.x_mm, at.y_mm)
        return at

    def _on_first(self, pointer: Pointer) -> bool:
        if len(self._corners) < 3:
            return False
        way = self.view.px_of(self._corners[0]) - pointer.px
        return max(abs(way.x()), abs(way.y())) <= CLOSE_PX

    def press(self, pointer: Pointer) -> None:
        """Set a corner, or close on the first one."""
        if self._on_first(pointer):
            self._close()
            return
        self._add(self._snapped(pointer))

    def _add(self, at: Point) -> None:
        if self._corners and self._corners[-1] == at:
            return
        self._corners.append(at)
        self.view.say_hint()
        self.view.refresh_overlay()

    def move(self, pointer: Pointer, *, held: bool) -> None:
        """Show the side that the next corner would make."""
        del held
        self._at = self._corners[0] if self._on_first(pointer) else None
        if self._at is None:
            self._at = self._snapped(pointer)
        else:
            self._guides = ()
        self.view.refresh_overlay()

    def double_press(self, pointer: Pointer) -> None:
        """Close the outline: the first press has set the corner."""
        del pointer
        self._close()

    def _close(self) -> None:
        block = self.view.content.block
        if block is None:
            return
        if len(self._corners) < 3:
            self.view.session.refused.emit(
                translate("Figure", "An outline needs three corners or more")
            )
            return
        name = translate("Figure", "Draw outline of %1").replace(
            "%1", block.name or block.id
        )
        view = self.view
        if view.session.edit(name, set_outline, block.id, tuple(self._corners)):
            self._drop()
            view.set_tool("select")

    def key(self, event: QKeyEvent) -> bool:
        """Close, take back, add and move corners by keys."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._close()
        elif key in (Qt.Key.Key_Backspace, Qt.Key.Key_Delete) and self._corners:
            self._corners.pop()
        elif key == Qt.Key.Key_Insert:
            last = self._corners[-1] if self._corners else Point(0.0, 0.0)
            self._corners.append(last)
        elif key in ARROWS and self._corners:
            shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self._push(ARROWS[key], 5.0 if shift else 0.5)
        else:
            return False
        self._at = None
        self.view.say_hint()
        self.view.refresh_overlay()
        return True

    def _push(self, way: tuple[int, int], by_mm: float) -> None:
        content = self.view.content
        x, y = content.seen(self._corners[-1])
        moved = Point(round(x + way[0] * by_mm, 3), round(y + way[1] * by_mm, 3))
        self._corners[-1] = content.seen(moved)

    def cancel(self) -> bool:
        """Drop every corner set so far."""
        if not self._corners:
            return False
        self._drop()
        return True

    def _drop(self) -> None:
        self._corners.clear()
        self._at, self._guides = None, ()
        self.view.refresh_overlay()

    def document_changed(self) -> None:
        """Keep the corners: they belong to no cavity."""
        if self.view.content.block is None:
            self.cancel()

    def leave(self) -> None:
        """Take the loose side away."""
        self._at, self._guides = None, ()
        self.view.refresh_overlay()

    def paint(self, painter: QPainter) -> None:
        """Draw sides, corners and the guides."""
        inks = self.view.inks
        draw_guides(painter, self.view, self._guides)
        places = [self.view.px_of(p) for p in self._corners]
        loose = self.view.px_of(self._at) if self._at is not None else None
        painter.setPen(QPen(inks("ink"), 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(places))
        if places and loose is not None:
            painter.setPen(QPen(inks("ink"), 1.2, Qt.PenStyle.DashLine))
            painter.drawLine(places[-1], loose)
        painter.setPen(QPen(inks("ink"), 1.5))
        painter.setBrush(inks("paper"))
        for number, place in enumerate(places):
            half = 6.0 if number == 0 else 4.0
            painter.drawEllipse(place, half, half)
        if self._corners:
            at = loose or places[-1]
            draw_badge(painter, inks, at + QPointF(0.0, 22.0), self.badge())

    def badge(self) -> str:
        """Return where the next corner is and how long its side would be."""
        seen = self.view.content.seen(self._at or self._corners[-1])
        words = [seen.x_mm, seen.y_mm]
        text = translate("Figure", "x %1, y %2 mm")
        if self._at is not None:
            last = self.view.content.seen(self._corners[-1])
            words.append(math.dist(seen, last))
            text = translate("Figure", "x %1, y %2 mm; side %3 mm")
        for number, value in enumerate(words, 1):
            shown = self.view.locale().toString(value, "f", 1)
            text = text.replace(f"%{number}", shown)
        return text

    @property
    def begun(self) -> bool:
        """True once a corner is set."""
        return bool(self._corners)
