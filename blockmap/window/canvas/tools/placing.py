"""The tools that add cavities: one by a click, a row or a grid by one drag.

A drag goes from the first place to the last; the count follows from the pitch. A
click adds as many places as are typed in the options, and the options add them
without any pointer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPen

from blockmap.model.document import Cavity
from blockmap.model.edits import Grid, add_grid, grid_cavities
from blockmap.model.errors import EditRefused
from blockmap.model.geometry import Point
from blockmap.model.numbering import grid_order
from blockmap.model.snapping import Guide, SnapField
from blockmap.window.canvas.overlay import draw_arrow, draw_badge, draw_guides
from blockmap.window.canvas.row_plan import next_first
from blockmap.window.canvas.tools.tool import ARROWS, Pointer, Tool, translate

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["CavityTool", "GridTool", "PlacingTool", "RowTool"]


class PlacingTool(Tool):
    """What the three tools have in common: a plan, a first place and a preview."""

    drags = False
    single_line = True

    def __init__(self, view: FigureView) -> None:
        super().__init__(view)
        self._pressed: Point | None = None
        self._at: Point | None = None
        self._grid: Grid | None = None
        self._made: tuple[Cavity, ...] = ()
        self._refusal = ""
        self._guides: tuple[Guide, ...] = ()
        self._field: SnapField | None = None

    def start(self) -> None:
        """Get ready; typed places show while they are being typed."""
        self._field = None
        if self.view.row_options.typing():
            self.options_changed()

    def stop(self) -> None:
        """Take the preview away."""
        self.cancel()
        self._show(None)

    def hint(self) -> str:
        """Return what the next press or key does."""
        problem = self.view.row_options.problem() or self._refusal
        if problem:
            return problem
        if self._pressed is not None and self._grid is not None:
            grid = self._grid
            text = translate(
                "Figure", "%1 × %2 places; let go to add them, Escape calls it off"
            )
            return text.replace("%1", str(grid.columns)).replace("%2", str(grid.rows))
        if not self.drags:
            return translate(
                "Figure",
                "Click where the cavity is; arrows move the place, Enter adds it",
            )
        return translate(
            "Figure",
            "Drag from the first place to the last; a click or Enter adds the count "
            "typed above",
        )

    def options_changed(self) -> None:
        """Take the typed numbers in."""
        if self._pressed is not None:
            return
        first = self.view.row_options.first_place()
        self._show(self._typed(self._at or first))
        self.view.say_hint()

    def _typed(self, first: Point) -> Grid:
        plan = self.view.row_options.plan()
        right, down = self.view.content.directions()
        return plan.typed(first, seen_right=right, seen_down=down)

    def _snapped(self, pointer: Pointer) -> Point:
        """Return the place under the pointer, lined up as a cavity would be."""
        content = self.view.content
        if self._field is None:
            outline = content.block.outline_points if content.block else ()
            self._field = SnapField((c.bounds for c in content.cavities), outline)
        reach, step = self.view.snap_reach(free=pointer.free)
        box = self.view.row_options.plan().box_at(pointer.at)
        snap = self._field.snap_box(box, reach_mm=reach, step_mm=step)
        self._guides = snap.guides
        return snap.applied(pointer.at)

    def _show(self, grid: Grid | None) -> None:
        """Preview a grid, or nothing."""
        if grid == self._grid and grid is not None:
            self.view.refresh_overlay()
            return
        self._grid, self._made, self._refusal = grid, (), ""
        block = self.view.content.block
        if grid is None or block is None:
            self.view.clear_preview()
            return
        document = self.view.session.document
        try:
            self._made = grid_cavities(document, block.id, grid)
        except EditRefused as refusal:
            self._refusal = str(refusal)
        self.view.set_preview(self._made)

    def press(self, pointer: Pointer) -> None:
        """Take the first place."""
        self._pressed = self._snapped(pointer)
        self._show(self._typed(self._pressed))

    def move(self, pointer: Pointer, *, held: bool) -> None:
        """Preview the places up to the pointer."""
        if held and self._pressed is not None:
            if self.drags:
                self._drag(pointer)
            else:
                self._pressed = self._snapped(pointer)
                self._show(self._typed(self._pressed))
            return
        self._at = self._snapped(pointer)
        self._show(self._typed(self._at))

    def _drag(self, pointer: Pointer) -> None:
        assert self._pressed is not None
        if not pointer.far_from(self.view.pressed_at()):
            return
        self._guides = ()
        plan = self.view.row_options.plan()
        grid = plan.drawn(self._pressed, pointer.at, single_line=self.single_line)
        if grid != self._grid:
            self._show(grid)
            self.view.row_options.show_counts(grid.columns, grid.rows)
            self.view.say_hint()
        self.view.refresh_overlay()

    def release(self, pointer: Pointer) -> None:
        """Add the places in one edit."""
        if self._pressed is None:
            return
        self.move(pointer, held=True)
        grid = self._grid
        self._pressed, self._guides = None, ()
        if grid is not None:
            self.add(grid)

    def add_typed(self) -> None:
        """Add the places as they are typed in the options."""
        self.add(self._typed(self.view.row_options.first_place()))

    def add(self, grid: Grid) -> None:
        """Add a grid to the block, select it and count on."""
        view, block = self.view, self.view.content.block
        if block is None:
            return
        problem = view.row_options.problem()
        if problem:
            view.session.refused.emit(problem)
            return
        try:
            made = grid_cavities(view.session.document, block.id, grid)
        except EditRefused as refusal:
            view.session.refused.emit(str(refusal))
            self._refusal = str(refusal)
            view.say_hint()
            return
        self._show(None)
        self._field = None
        if view.session.edit(_name(grid, made), add_grid, block.id, grid):
            view.selection.select([c.id for c in made], made[0].id)
            view.row_options.count_on(next_first(grid))
            self._go_on_below(grid)
        self._at = None

    def _go_on_below(self, grid: Grid) -> None:
        """Put the first place that is typed next under what was added, if it fits."""
        options, block = self.view.row_options, self.view.content.block
        low = grid.first.y_mm + grid.rows * grid.pitch_y_mm
        if block is not None and low + grid.pitch_y_mm / 2 <= block.height_mm:
            options.move_first(Point(options.first_place().x_mm, low))

    def key(self, event: QKeyEvent) -> bool:
        """Move the place by arrows and add by Enter."""
        key, held = event.key(), event.modifiers()
        if key in ARROWS:
            by = 5.0 if held & Qt.KeyboardModifier.ShiftModifier else 0.5
            if held & Qt.KeyboardModifier.ControlModifier:
                return False
            at = self.view.content.seen(self._at or self.view.row_options.first_place())
            way = ARROWS[key]
            moved = Point(at.x_mm + way[0] * by, at.y_mm + way[1] * by)
            self._at, self._guides = self.view.content.seen(moved), ()
            self._show(self._typed(self._at))
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.add(self._typed(self._at or self.view.row_options.first_place()))
            return True
        return False

    def cancel(self) -> bool:
        """Call the drag off."""
        if self._pressed is None:
            return False
        self._pressed, self._guides = None, ()
        self._show(None)
        return True

    def leave(self) -> None:
        """Show the typed place again."""
        if self._pressed is None:
            self._at, self._guides = None, ()
            self._show(None)

    def document_changed(self) -> None:
        """Call the drag off, and look anew at what stands there."""
        self.cancel()
        self._field = None

    def paint(self, painter: QPainter) -> None:
        """Draw guides and the way the count runs."""
        if self._grid is None:
            return
        draw_guides(painter, self.view, self._guides)
        if self._made:
            self._draw_count(painter, self._grid)

    def _draw_count(self, painter: QPainter, grid: Grid) -> None:
        places = [
            self.view.px_of(
                Point(
                    grid.first.x_mm + column * grid.pitch_x_mm,
                    grid.first.y_mm + row * grid.pitch_y_mm,
                )
            )
            for column, row in grid_order(grid.columns, grid.rows, grid.order)
        ]
        inks = self.view.inks
        by_columns = grid.order.by_columns
        line = grid.rows if by_columns else grid.columns
        painter.setPen(QPen(inks("sound"), 2.0))
        # Beside the middles, so that the names between the bodies stay readable.
        box = self._made[0].bounds
        off = QPointF(0.0, -0.38 * self.view.mm_px(box.height_mm))
        if line > 1 and by_columns:
            off = QPointF(-0.5 * self.view.mm_px(box.width_mm) - 3.0, 0.0)
        places = [place + off for place in places]
        for at in range(0, len(places), line):
            if line > 1:
                draw_arrow(painter, places[at], places[at + line - 1], 11.0)
            if at:
                painter.setPen(QPen(inks("sound"), 1.0, Qt.PenStyle.DotLine))
                painter.drawLine(places[at - 1], places[at])
                painter.setPen(QPen(inks("sound"), 2.0))
        if len(places) > 1:
            text = translate("Figure", "%1 × %2 places")
            text = text.replace("%1", str(grid.columns)).replace("%2", str(grid.rows))
            below = max(p.y() for p in places) - off.y()
            middle = (min(p.x() for p in places) + max(p.x() for p in places)) / 2
            low = below + 0.5 * self.view.mm_px(box.height_mm) + 16
            draw_badge(painter, inks, QPointF(middle, low), text)


def _name(grid: Grid, made: Sequence[Cavity]) -> str:
    if len(made) == 1:
        return translate("Figure", "Add %1").replace("%1", made[0].designation)
    if grid.rows == 1:
        return translate("Figure", "Add row of %n cavities", "", len(made))
    if grid.columns == 1:
        return translate("Figure", "Add column of %n cavities", "", len(made))
    text = translate("Figure", "Add grid of %1 × %2 cavities")
    return text.replace("%1", str(grid.columns)).replace("%2", str(grid.rows))


class CavityTool(PlacingTool):
    """A click adds one cavity of the current form."""

    name = "cavity"


class RowTool(PlacingTool):
    """A drag adds a row or a column."""

    name = "row"
    drags = True


class GridTool(PlacingTool):
    """A drag adds a grid."""

    name = "grid"
    drags = True
    single_line = False
