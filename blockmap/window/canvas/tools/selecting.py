"""The tool at rest: select, and hand a drag to the gesture that it means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from blockmap.window.canvas.handles import Handle, HandleSet, handles_for
from blockmap.window.canvas.hit import nearest_towards
from blockmap.window.canvas.tools.marquee import MarqueeGesture
from blockmap.window.canvas.tools.moving import MoveGesture
from blockmap.window.canvas.tools.resizing import ResizeGesture
from blockmap.window.canvas.tools.tool import ARROWS, Pointer, Tool, translate
from blockmap.window.canvas.tools.turning import TurnGesture

if TYPE_CHECKING:
    from blockmap.window.canvas.figure_view import FigureView

__all__ = ["SelectTool"]

NEAR_PX = 40.0
"""The handles of the sides show while the pointer is so near."""

Gesture = MarqueeGesture | MoveGesture | ResizeGesture | TurnGesture


class SelectTool(Tool):
    """Click selects, Shift adds, Ctrl takes in and out; a drag moves or encloses."""

    name = "select"
    cursor = Qt.CursorShape.ArrowCursor

    def __init__(self, view: FigureView) -> None:
        super().__init__(view)
        self._gesture: Gesture | None = None
        self._near = False

    def hint(self) -> str:
        """Return what the next press or key does."""
        chosen = len(self.view.selection.ids)
        if self._gesture is not None:
            return self._gesture.hint()
        if chosen == 0 and self.view.selection.strip is not None:
            return translate(
                "Figure",
                "What hangs on the strip is marked; Delete removes it, Escape lets go",
            )
        if chosen == 0:
            return translate(
                "Figure",
                "Click a cavity to select it; drag round several; Tab goes to one",
            )
        return translate(
            "Figure",
            "Drag to move, Ctrl+arrows nudge, arrows go to the next cavity, "
            "Enter edits, Delete removes",
        )

    def handles(self) -> HandleSet | None:
        """Return the handles of the one selected cavity, None when there are none."""
        if self._gesture is not None or len(self.view.selection.ids) != 1:
            return None
        cavity = self.view.content.cavity(self.view.selection.ids[0])
        if cavity is None:
            return None
        return handles_for(cavity, self.view.px_of, sides=self._near)

    def _come_near(self, pointer: Pointer) -> None:
        """Show the handles of the sides while the pointer is about the cavity."""
        near = False
        if len(self.view.selection.ids) == 1:
            cavity = self.view.content.cavity(self.view.selection.ids[0])
            if cavity is not None:
                box = self.view.content.seen_box(cavity.bounds)
                rect = self.view.frame_now.rect_px(box)
                near = rect.adjusted(-NEAR_PX, -NEAR_PX, NEAR_PX, NEAR_PX).contains(
                    pointer.px
                )
        if near != self._near:
            self._near = near
            self.view.refresh_overlay()

    def leave(self) -> None:
        """Take the handles of the sides away."""
        self._near = False
        self.view.refresh_overlay()

    def _handle_at(self, pointer: Pointer) -> Handle | None:
        shown = self.handles()
        return shown.at(pointer.px) if shown else None

    def press(self, pointer: Pointer) -> None:
        """Take the selection to what is pressed and get ready for a drag."""
        view, selection = self.view, self.view.selection
        self._come_near(pointer)
        handle = self._handle_at(pointer)
        if handle is not None:
            cavity = view.content.cavity(selection.ids[0])
            if cavity is not None and handle.turns:
                self._gesture = TurnGesture(view, cavity, pointer)
            elif cavity is not None:
                self._gesture = ResizeGesture(view, cavity, handle, pointer)
            return
        strip = view.strip_under(pointer)
        hit = view.cavity_under(pointer) if strip is None else None
        if hit is None:
            keep = selection.ids if pointer.extend or pointer.toggle else ()
            self._gesture = MarqueeGesture(view, pointer, keep, strip)
            return
        if pointer.toggle:
            selection.toggle(hit)
            return
        if pointer.extend:
            selection.extend([hit])
        elif hit not in selection.ids:
            selection.select([hit])
        else:
            selection.select(selection.ids, hit)
        self._gesture = MoveGesture(view, hit, pointer)

    def move(self, pointer: Pointer, *, held: bool) -> None:
        """Preview the gesture, or show what the pointer is on."""
        if self._gesture is not None and held:
            self._gesture.move(pointer)
        elif not held:
            self._come_near(pointer)
            strip = self.view.strip_under(pointer)
            hit = self.view.cavity_under(pointer) if strip is None else None
            self.view.set_hovered(hit, strip)

    def release(self, pointer: Pointer) -> None:
        """Make the edit of the gesture."""
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            gesture.release(pointer)
        self.view.refresh_overlay()

    def double_press(self, pointer: Pointer) -> None:
        """Ask for the editor of the cavity."""
        hit = self.view.cavity_under(pointer)
        if hit is not None:
            self.view.edit_wanted.emit(hit)

    def cancel(self) -> bool:
        """Call the drag off."""
        gesture, self._gesture = self._gesture, None
        if gesture is None:
            return False
        gesture.cancel()
        return True

    def cursor_at(self, pointer: Pointer) -> Qt.CursorShape:
        """Return the arrow of the handle under the pointer."""
        handle = self._handle_at(pointer)
        if handle is not None:
            return handle.cursor
        if self.view.cavity_under(pointer) in self.view.selection.ids:
            return Qt.CursorShape.SizeAllCursor
        return self.cursor

    def key(self, event: QKeyEvent) -> bool:
        """Walk, nudge, delete and edit by keys."""
        key, held = event.key(), event.modifiers()
        if key in ARROWS:
            control = bool(held & Qt.KeyboardModifier.ControlModifier)
            shift = bool(held & Qt.KeyboardModifier.ShiftModifier)
            if control:
                self.view.commands.nudge(ARROWS[key], 5.0 if shift else 0.5)
            else:
                self._walk(ARROWS[key], extend=shift)
            return True
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            if self.view.selection.ids:
                self.view.commands.delete()
            else:
                self.view.commands.delete_strip()
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            current = self.view.selection.current
            if current is not None:
                self.view.edit_wanted.emit(current)
            return True
        return False

    def _walk(self, towards: tuple[int, int], *, extend: bool) -> None:
        view, selection = self.view, self.view.selection
        cavities = view.content.cavities
        start = view.content.cavity(selection.current) if selection.current else None
        if start is None:
            view.walk(1)
            return
        found = nearest_towards(cavities, start, towards, view.content.seen)
        if found is None:
            return
        if extend:
            selection.extend([found])
        else:
            selection.select([found])
        view.show_cavity(found)

    def paint(self, painter: QPainter) -> None:
        """Draw handles or the gesture."""
        if self._gesture is not None:
            self._gesture.paint(painter)
            return
        shown = self.handles()
        if shown is not None:
            shown.paint(painter, self.view.inks)
