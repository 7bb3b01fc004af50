"""Help: the walk, the keys, the cautions, about."""

from __future__ import annotations

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Key, Menu

__all__ = ["HelpMenu"]

COMMANDS = (
    Command(
        name="walk",
        text=QT_TRANSLATE_NOOP("commands", "&Five-minute walk"),
        keys=(Key.HelpContents,),
        icon="help",
    ),
    Command(
        name="keys",
        text=QT_TRANSLATE_NOOP("commands", "&Keys"),
        keys=("Ctrl+F1",),
    ),
    Command(name="cautions", text=QT_TRANSLATE_NOOP("commands", "&Cautions")),
    Command(
        name="about",
        text=QT_TRANSLATE_NOOP("commands", "&About blockmap"),
        line_before=True,
    ),
)


class HelpMenu(Menu):
    """Help: the walk, the keys, the cautions, about."""

    title = QT_TRANSLATE_NOOP("commands", "&Help")
    commands = COMMANDS

    def walk(self) -> None:
        from blockmap.window.help_pages import show_walk

        show_walk(self.window)

    def keys(self) -> None:
        from blockmap.window.help_pages import show_keys

        show_keys(self.window)

    def cautions(self) -> None:
        from blockmap.window.help_pages import show_cautions

        show_cautions(self.window)

    def about(self) -> None:
        from blockmap.window.help_pages import show_about

        show_about(self.window)
