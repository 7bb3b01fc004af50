"""Drawing: the tools, and blocks of a map."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from blockmap.model.geometry import Size
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Menu

if TYPE_CHECKING:
    from blockmap.window.canvas.tracing_window import TracingWindow
    from blockmap.window.main_window import MainWindow

__all__ = ["DrawMenu"]

COMMANDS = (
    Command(
        name="tool_select",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Select"),
        icon="tool-select",
        group="tool",
        keys=("Ctrl+1",),
        tip=QT_TRANSLATE_NOOP("commands", "Select, move, resize and turn"),
    ),
    Command(
        name="tool_cavity",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Single &cavity"),
        icon="tool-cavity",
        group="tool",
        keys=("Ctrl+2",),
        tip=QT_TRANSLATE_NOOP("commands", "Click where one cavity is"),
    ),
    Command(
        name="tool_row",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Row"),
        icon="tool-row",
        group="tool",
        keys=("Ctrl+3",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Drag from the first place of a row to the last"
        ),
    ),
    Command(
        name="tool_grid",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Grid"),
        icon="tool-grid",
        group="tool",
        keys=("Ctrl+4",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Drag from the first place of a grid to the last"
        ),
    ),
    Command(
        name="tool_outline",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Outline"),
        icon="tool-outline",
        group="tool",
        keys=("Ctrl+5",),
        tip=QT_TRANSLATE_NOOP("commands", "Click the corners of the block"),
    ),
    Command(
        name="add_block",
        text=QT_TRANSLATE_NOOP("commands", "Add &block"),
        icon="add",
        line_before=True,
    ),
    Command(
        name="remove_block",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Remove b&lock"),
    ),
    Command(
        name="trace_photo",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Photo to draw over…"),
        icon="tool-photo",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Lay a photo of the block under the figure, squared up"
        ),
        line_before=True,
    ),
    Command(
        name="photo_shown",
        text=QT_TRANSLATE_NOOP("commands", "S&how the photo"),
        checkable=True,
        tip=QT_TRANSLATE_NOOP("commands", "Show the photo under the figure"),
    ),
    Command(
        name="snap",
        text=QT_TRANSLATE_NOOP("commands", "S&nap"),
        icon="tool-snap",
        checkable=True,
        line_before=True,
        tip=QT_TRANSLATE_NOOP(
            "commands", "Snap to pitch, neighbours and outline; hold Alt to suspend"
        ),
    ),
)


class DrawMenu(Menu):
    """Drawing: the tools, and blocks of a map."""

    title = QT_TRANSLATE_NOOP("commands", "&Draw")
    commands = COMMANDS

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._tracing: TracingWindow | None = None

    def tool_select(self) -> None:
        self._take_tool("select")

    def tool_cavity(self) -> None:
        self._take_tool("cavity")

    def tool_row(self) -> None:
        self._take_tool("row")

    def tool_grid(self) -> None:
        self._take_tool("grid")

    def tool_outline(self) -> None:
        self._take_tool("outline")

    def _take_tool(self, name: str) -> None:
        """Take a tool in hand: what is typed now is for the figure."""
        self.window.figure.set_tool(name)
        self.window.figure.setFocus()

    def add_block(self) -> None:
        from blockmap.model.edits import add_block

        name = self.tr("Block %1").replace(
            "%1", str(len(self.window.session.document.blocks) + 1)
        )
        session = self.window.session
        if session.edit(self.tr("Add block"), add_block, name, Size(120.0, 80.0)):
            self.window.selection.clear()
            self.window.selection.set_block(self.window.session.last_result)
            self.window.panes.bring("inspector")
            self.window.figure.zoom_fit()
            self.window.inspector.go_to("name")

    def remove_block(self) -> None:
        from blockmap.model.edits import remove_block

        shown = self.window.selection.block or ""
        block = self.window.session.document.blocks.get(shown)
        if block is not None:
            text = self.tr("Remove block %1").replace("%1", block.name)
            self.window.session.edit(text, remove_block, block.id)

    def trace_photo(self) -> None:
        self.tracing().show_for_view()
        self.window.actions_by_name["photo_shown"].setChecked(True)
        self.photo_shown()

    def tracing(self) -> TracingWindow:
        """Return the window of the photo that is drawn over, made when asked for."""
        from blockmap.window.canvas.tracing_window import TracingWindow

        if self._tracing is None:
            window = self.window
            self._tracing = TracingWindow(window.session, window.selection, window)
        return self._tracing

    def take_photo(self, file: Path) -> None:
        """Lay a picture under the side that the figure shows, and place it."""
        self.trace_photo()
        self.tracing().add(file)

    def photo_shown(self) -> None:
        on = self.window.actions_by_name["photo_shown"].isChecked()
        self.window.settings.set_value("photo_shown", on)
        self.window.figure.photo.set_shown(on)

    def snap(self) -> None:
        on = self.window.actions_by_name["snap"].isChecked()
        self.window.settings.set_value("snap", on)
        self.window.figure.set_snapping(on)
