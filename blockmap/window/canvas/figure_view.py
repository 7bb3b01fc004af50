"""The figure of one block on the screen: shows it, and hands presses to a tool.

It follows the session and the shared selection and changes the map only through edits
of the session. What it shows can always be rebuilt from the document alone.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QCursor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QApplication, QWidget

from blockmap.model.changes import Change
from blockmap.window.canvas.commands import FigureCommands
from blockmap.window.canvas.empty_block import EmptyBlock
from blockmap.window.canvas.flag_places import FlagPlaces
from blockmap.window.canvas.lit import Lit
from blockmap.window.canvas.painting import SelectionFrames, paint_overlay
from blockmap.window.canvas.probed import Ordered, Probed
from blockmap.window.canvas.row_options import RowOptions
from blockmap.window.canvas.row_plan import free_first
from blockmap.window.canvas.spoken import (
    Drawn,
    drawn_list,
    figure_name,
    pointer_words,
    spoken,
)
from blockmap.window.canvas.stage import Stage
from blockmap.window.canvas.tools.outlining import OutlineTool
from blockmap.window.canvas.tools.placing import (
    CavityTool,
    GridTool,
    PlacingTool,
    RowTool,
)
from blockmap.window.canvas.tools.selecting import SelectTool
from blockmap.window.canvas.tools.tool import Pointer, Tool
from blockmap.window.guard import guarded
from blockmap.window.selection import Selection
from blockmap.window.session import Session

__all__ = ["FigureView"]

TARGET_PX = 24.0
SNAP_PX = 7.0
STEP_MM, FREE_STEP_MM = 0.5, 0.1
SETTLE_MS = 150
OPTIONS_SHARE = 0.4
"""Most of the figure's height that the options of a tool take."""
ADDING = ("cavity", "row", "grid")


class FigureView(Stage):
    """One block in one view.

    pointer_moved carries what the pointer is on, hint_changed what the next key does,
    edit_wanted the cavity to edit, menu_wanted a global position. paste_wanted asks
    for rows of the clipboard to be put into an empty block, photo_wanted for a photo
    under it.
    """

    tool_changed = Signal(str)
    pointer_moved = Signal(str)
    hint_changed = Signal(str)
    edit_wanted = Signal(str)
    menu_wanted = Signal(QPoint)
    paste_wanted = Signal()
    photo_wanted = Signal()

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, selection, parent)
        self.commands = FigureCommands(session, selection, self)
        self.frames = SelectionFrames()
        self.probed = Probed()
        self.ordered = Ordered()
        self.flag_places = FlagPlaces()
        self._pressed = QPointF()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFrameShape(self.Shape.NoFrame)
        self.row_options = RowOptions(self)
        self.row_options.hide()
        self.empty = EmptyBlock(self.viewport())
        tools: tuple[Tool, ...] = (
            SelectTool(self),
            CavityTool(self),
            RowTool(self),
            GridTool(self),
            OutlineTool(self),
        )
        self._tools = {tool.name: tool for tool in tools}
        self.tool = self._tools["select"]
        self._connect()
        self.read_document()

    def _connect(self) -> None:
        self.session.changed.connect(self._document_changed)
        self.selection.changed.connect(self._selection_changed)
        self.selection.block_changed.connect(self._block_changed)
        self.selection.view_changed.connect(self._block_changed)
        self.selection.strip_changed.connect(self._strip_changed)
        self.selection.contact_changed.connect(self._contact_changed)
        self.row_options.changed.connect(self._options_changed)
        self.row_options.add_wanted.connect(self._add_typed)
        self.empty.draw_wanted.connect(lambda: self.set_tool("row"))
        self.empty.count_wanted.connect(self._type_count)
        self.empty.paste_wanted.connect(self.paste_wanted)
        self.empty.photo_wanted.connect(self.photo_wanted)

    # what is shown

    def read_document(self) -> None:
        """Read the document anew, with what depends on the block beside it."""
        super().read_document()
        self._show_empty()
        self._say_selection()

    def set_probed(self, probed: Probed) -> None:
        """Show what was measured where, and the next point."""
        if probed != self.probed:
            self.probed = probed
            self.marked.emit()
            self.refresh_overlay()

    def set_ordered(self, ordered: Ordered) -> None:
        """Mark parts in the order in which they follow from the supply."""
        if ordered != self.ordered:
            self.ordered = ordered
            self.marked.emit()
            self.refresh_overlay()

    def _show_empty(self) -> None:
        empty = self.content.block is not None and not self.content.cavities
        self.empty.setVisible(empty and self.tool.name == "select")
        self.empty.place(self.viewport().rect())

    def _suggest_first(self) -> None:
        form = self.row_options.form.currentText()
        first = free_first(self.session.document, self.selection.block, form)
        taken = {name for c in self.content.cavities for name in c.designations}
        self.row_options.suggest_first(first, taken)

    def _document_changed(self, change: Change) -> None:
        if change.blocks or change.cavities or change.strips:
            self.read_document()
            self.tool.document_changed()
            if change.blocks:
                self.fit_again()
            if self.tool.name in ADDING:
                self._suggest_first()
            if self.hovered not in self.content.document.cavities:
                self.set_hovered(None)

    def _block_changed(self) -> None:
        self.tool.cancel()
        self.clear_preview()
        self.read_document()
        self._suggest_first()
        self.fit_again()
        self._read_at_scale()
        self.tool.start()
        if self.viewport().underMouse():
            here = QPointF(self.viewport().mapFromGlobal(QCursor.pos()))
            still = self.pointer_at(here, Qt.KeyboardModifier.NoModifier)
            self.pointer_moved.emit(pointer_words(self, still))

    def _selection_changed(self) -> None:
        self._say_selection()
        self.say_hint()
        current = self.selection.current
        if current is not None and not QApplication.mouseButtons():
            self.show_cavity(current)  # it may have been found in the table
        self.refresh_overlay()

    def _strip_changed(self) -> None:
        if self.lit.strip != self.selection.strip:
            self.set_lit(Lit(self.selection.strip))
        self._say_selection()
        self.say_hint()

    def _contact_changed(self) -> None:
        self._say_selection()
        self.refresh_overlay()

    def _say_selection(self) -> None:
        self.setAccessibleName(figure_name(self.content))
        self.setAccessibleDescription(spoken(self.content, self.selection))

    def drawn(self) -> list[Drawn]:
        """Return what the figure shows, in order, with words and pixels."""
        return drawn_list(self)

    def paint_over(self, painter: QPainter) -> None:
        """Draw what lies over the figure."""
        paint_overlay(painter, self)

    def pressed_at(self) -> Pointer:
        """Return where the button went down."""
        return self.pointer_at(self._pressed, Qt.KeyboardModifier.NoModifier)

    # tools

    def set_tool(self, name: str) -> None:
        """Take another tool: select, cavity, row, grid or outline."""
        tool = self._tools[name]
        if tool is not self.tool:
            self.tool.stop()
            self.tool = tool
        self.row_options.setVisible(name in ADDING)
        if name in ADDING:
            self.row_options.show_for(name)
            self._suggest_first()
        self._place_options()
        self.viewport().setCursor(tool.cursor)
        self._show_empty()
        tool.start()
        self.tool_changed.emit(name)
        self.say_hint()
        self.refresh_overlay()

    def say_hint(self) -> None:
        """Say what the next key does."""
        self.hint_changed.emit(self.tool.hint())

    def _type_count(self) -> None:
        self.set_tool("row")
        self.row_options.columns.setFocus()
        self.row_options.columns.selectAll()

    def _options_changed(self) -> None:
        self._suggest_first()
        if isinstance(self.tool, PlacingTool):
            self.tool.options_changed()

    def _add_typed(self) -> None:
        if isinstance(self.tool, PlacingTool):
            self.tool.add_typed()

    def _place_options(self) -> None:
        options = self.row_options
        if options.isHidden():
            self.setViewportMargins(0, 0, 0, 0)
            return
        high = min(options.flow(self.width()), round(self.height() * OPTIONS_SHARE))
        options.setGeometry(0, 0, self.width(), high)
        options.flow(options.viewport().width())
        options.raise_()
        self.setViewportMargins(0, high, 0, 0)

    def walk(self, step: int) -> bool:
        """Select the next or the one before in the map's order; False past the end."""
        order = [c.id for c in self.content.cavities]
        if not order:
            return False
        current = self.selection.current
        at = order.index(current) + step if current in order else min(step, 0)
        if current in order and not 0 <= at < len(order):
            return False
        self.selection.select([order[at]])
        self.show_cavity(order[at])
        return True

    # what Qt calls

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.empty.place(self.viewport().rect())
        self._place_options()

    @guarded()
    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self.pan_ready(event):
            self.pan_begin(event)
        elif event.button() == Qt.MouseButton.LeftButton and self.content.block:
            self._pressed = event.position()
            self.tool.press(self.pointer_at(event.position(), event.modifiers()))
        elif event.button() == Qt.MouseButton.RightButton:
            self.tool.cancel()

    @guarded()
    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self.pan_move(event) or self.content.block is None:
            return
        held = bool(event.buttons() & Qt.MouseButton.LeftButton)
        if held:
            self.follow_out(event.position())
        pointer = self.pointer_at(event.position(), event.modifiers())
        self.tool.move(pointer, held=held)
        if held:
            self.say_hint()
        if not held and not self._space:
            self.viewport().setCursor(self.tool.cursor_at(pointer))
        self.pointer_moved.emit(pointer_words(self, pointer))

    @guarded()
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self.pan_end():
            self.viewport().setCursor(self.tool.cursor)
        elif event.button() == Qt.MouseButton.LeftButton and self.content.block:
            self.tool.release(self.pointer_at(event.position(), event.modifiers()))
            self.say_hint()

    @guarded()
    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and not self._space:
            pointer = self.pointer_at(event.position(), event.modifiers())
            self.tool.double_press(pointer)

    @guarded(False)
    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Leave:
            self.set_hovered(None)
            self.tool.leave()
            self.pointer_moved.emit("")
        return bool(super().viewportEvent(event))

    @guarded()
    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        place = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            px = QPointF(event.pos())
            hit = self.cavity_under(self.pointer_at(px, Qt.KeyboardModifier.NoModifier))
            if hit is not None and hit not in self.selection.ids:
                self.selection.select([hit])
        else:
            cavity = self.content.cavity(self.selection.current)
            middle = QPointF(self.viewport().rect().center())
            at = self.px_of(cavity.centre) if cavity else middle
            place = self.viewport().mapToGlobal(at.toPoint())
        self.menu_wanted.emit(place)
        event.accept()

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._step_back()
        elif event.key() == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self.hold_space(True)
        elif self.content.block is None or not self.tool.key(event):
            event.ignore()

    @guarded()
    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self.hold_space(False)
            self.viewport().setCursor(self.tool.cursor)
        elif event.key() == Qt.Key.Key_Control:
            self.commands.end_nudge()

    @guarded()
    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.say_hint()
        self.refresh_overlay()

    @guarded()
    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.commands.end_nudge()
        self.hold_space(False)
        self.refresh_overlay()

    @guarded(False)
    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002 (Qt's name)
        walks = self.hasFocus() and self.tool.name == "select"
        if walks and self.walk(1 if next else -1):
            return True
        return bool(super().focusNextPrevChild(next))

    def _step_back(self) -> None:
        """Call the gesture off, else put the tool away, else clear the selection."""
        if self.tool.cancel():
            self.say_hint()
        elif self.tool.name != "select":
            self.set_tool("select")
        else:
            self.selection.clear()
