"""What is shown of an open map: the figure with its blocks and its key.

It is made when there is a map to show; the panes beside it are in panes.py.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from blockmap.window.block_tabs import BlockTabs
from blockmap.window.canvas.figure_view import ADDING, FigureView
from blockmap.window.canvas.over_key import over_marks
from blockmap.window.canvas.photo_drops import PhotoDrops
from blockmap.window.figure_key_strip import FigureKeyStrip
from blockmap.window.guard import guarded
from blockmap.window.keys_told import KeysTold
from blockmap.window.menus.draw_menu import DrawMenu
from blockmap.window.menus.tool_row import cavity_menu

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["Desk"]


class Desk(QWidget):
    """The figure, the tabs of the blocks above it and the key below."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        session, selection = window.session, window.selection
        self.figure = FigureView(session, selection, window)
        self.blocks = BlockTabs(session, selection)
        self.key = FigureKeyStrip(session, selection, lambda: over_marks(self.figure))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.blocks)
        column.addWidget(self.figure, 1)
        column.addWidget(self.key)
        self._connect()
        self._setting_changed("screen_share")
        self.figure.set_snapping(bool(window.settings.value("snap")))
        self.figure.photo.set_shown(bool(window.settings.value("photo_shown")))
        if not window.settings.value("figure_key"):
            self.key.put_away(True)

    def _connect(self) -> None:
        window, figure = self._window, self.figure
        line = window.bottom_line
        figure.pointer_moved.connect(line.pointer.setText)
        figure.marked.connect(self.key.refresh_over)
        KeysTold(figure, line)
        figure.zoomed.connect(lambda _zoom: window.show_zoom())
        figure.tool_changed.connect(window.commands.show_tool)
        figure.tool_changed.connect(self._give_room)
        figure.edit_wanted.connect(lambda _id: self._edit())
        figure.paste_wanted.connect(self._paste)
        trace = window.actions_by_name["trace_photo"]
        figure.photo_wanted.connect(trace.trigger)
        figure.photo.failed.connect(window.say)
        draw = window.findChild(DrawMenu)
        assert draw is not None
        PhotoDrops(figure).dropped.connect(draw.take_photo)
        figure.menu_wanted.connect(
            lambda place: cavity_menu(window.actions_by_name, window).popup(place)
        )
        self.blocks.chosen.connect(figure.zoom_fit)
        window.settings.changed.connect(self._setting_changed)

    @guarded()
    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().height() != event.oldSize().height():
            self.key.updateGeometry()  # how much of it there is hangs on the height

    def begin_row(self, _count: int = 0) -> None:
        """Take the tool that draws a row, with the keyboard on the figure."""
        self.figure.setFocus()
        self.figure.set_tool("row")

    def _give_room(self, tool: str) -> None:
        """Give the options of a drawing tool the room of the key in a low window."""
        low = self._window.panes.low.joined
        self.key.put_away(low and tool in ADDING, "tool")

    def _paste(self) -> None:
        self._window.legend.paste()

    def _edit(self) -> None:
        self._window.panes.bring("legend")
        self._window.legend.edit_current()

    def _setting_changed(self, name: str) -> None:
        if name == "screen_share":
            self.figure.measure_screen(float(self._window.settings.value(name)))
