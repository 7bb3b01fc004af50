"""Seeing: sides of the block, zoom, panes and looks."""

from __future__ import annotations

from blockmap.model.geometry import View
from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Key, Menu

__all__ = ["ViewMenu"]

COMMANDS = (
    Command(
        name="other_side",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Othe&r side, front or rear"),
        keys=("F4",),
        icon="view-mirror",
        tip=QT_TRANSLATE_NOOP("commands", "See the block from the other side"),
    ),
    Command(
        name="view_front",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Front view"),
        group="view",
    ),
    Command(
        name="view_rear",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Rear &view: mirrored"),
        group="view",
    ),
    Command(
        name="view_flipped",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Rear view: flipped top to botto&m"),
        group="view",
    ),
    Command(
        name="view_turned",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Front view: turned &180 degrees"),
        group="view",
    ),
    Command(
        name="zoom_in",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Zoom &in"),
        keys=(Key.ZoomIn, "Ctrl+="),
        icon="zoom-in",
        line_before=True,
    ),
    Command(
        name="zoom_out",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Zoom &out"),
        keys=(Key.ZoomOut,),
        icon="zoom-out",
    ),
    Command(
        name="zoom_fit",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Fit &block"),
        keys=("Ctrl+0",),
        icon="zoom-fit",
    ),
    Command(
        name="zoom_selection",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "Fit &selection"),
    ),
    Command(
        name="zoom_true", block=True, text=QT_TRANSLATE_NOOP("commands", "&True size")
    ),
    Command(
        name="figure_key",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Key of the figure"),
        checkable=True,
        line_before=True,
        tip=QT_TRANSLATE_NOOP("commands", "Show what the marks of the figure mean"),
    ),
    Command(
        name="next_pane",
        text=QT_TRANSLATE_NOOP("commands", "&Next pane"),
        keys=("F6",),
        line_before=True,
    ),
    Command(
        name="previous_pane",
        text=QT_TRANSLATE_NOOP("commands", "Previo&us pane"),
        keys=("Shift+F6",),
    ),
    Command(
        name="reset_panes",
        text=QT_TRANSLATE_NOOP("commands", "R&eset panes"),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Put the panes back where they were on the first day"
        ),
    ),
    Command(
        name="look_light",
        text=QT_TRANSLATE_NOOP("commands", "Li&ght"),
        group="look",
        line_before=True,
    ),
    Command(
        name="look_dark",
        text=QT_TRANSLATE_NOOP("commands", "&Dark"),
        group="look",
    ),
    Command(
        name="look_system",
        text=QT_TRANSLATE_NOOP("commands", "&As the system"),
        group="look",
    ),
    Command(
        name="full_screen",
        text=QT_TRANSLATE_NOOP("commands", "Fu&ll screen"),
        keys=("F11",),
        checkable=True,
        line_before=True,
    ),
)


class ViewMenu(Menu):
    """Seeing: sides of the block, zoom, panes and looks."""

    title = QT_TRANSLATE_NOOP("commands", "&View")
    commands = COMMANDS

    def other_side(self) -> None:
        rear = self.window.selection.view is View.REAR
        self.window.selection.set_view(View.FRONT if rear else View.REAR)

    def view_front(self) -> None:
        self.window.selection.set_view(View.FRONT)

    def view_rear(self) -> None:
        self.window.selection.set_view(View.REAR)

    def view_flipped(self) -> None:
        self.window.selection.set_view(View.FLIPPED)

    def view_turned(self) -> None:
        self.window.selection.set_view(View.TURNED)

    def zoom_in(self) -> None:
        self.window.figure.zoom_in()

    def zoom_out(self) -> None:
        self.window.figure.zoom_out()

    def zoom_fit(self) -> None:
        self.window.figure.zoom_fit()

    def zoom_selection(self) -> None:
        self.window.figure.zoom_selection()

    def zoom_true(self) -> None:
        self.window.figure.zoom_true()

    def figure_key(self) -> None:
        on = self.window.actions_by_name["figure_key"].isChecked()
        self.window.settings.set_value("figure_key", on)
        self.window.key.put_away(not on)

    def next_pane(self) -> None:
        self._step_pane(1)

    def previous_pane(self) -> None:
        self._step_pane(-1)

    def reset_panes(self) -> None:
        self.window.panes.reset()

    def look_light(self) -> None:
        self.window.settings.set_value("appearance", "light")

    def look_dark(self) -> None:
        self.window.settings.set_value("appearance", "dark")

    def look_system(self) -> None:
        self.window.settings.set_value("appearance", "system")

    def full_screen(self) -> None:
        on = self.window.actions_by_name["full_screen"].isChecked()
        if on:
            self.window.showFullScreen()
        else:
            self.window.showNormal()

    def _step_pane(self, step: int) -> None:
        if self.window.has_map:
            self.window.panes.step(step)
        else:
            self.window.start_page.setFocus()
