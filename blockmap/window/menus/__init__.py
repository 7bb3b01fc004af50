"""The menus of the window: one module a menu, rows and what they do side by side."""

from blockmap.window.menus.arrange_menu import ArrangeMenu
from blockmap.window.menus.behind_menu import BehindMenu
from blockmap.window.menus.command import Command, Menu, make_actions, tr_command
from blockmap.window.menus.draw_menu import DrawMenu
from blockmap.window.menus.edit_menu import EditMenu
from blockmap.window.menus.fault_menu import FaultMenu
from blockmap.window.menus.file_menu import FileMenu
from blockmap.window.menus.help_menu import HelpMenu
from blockmap.window.menus.numbers_menu import NumbersMenu
from blockmap.window.menus.view_menu import ViewMenu

__all__ = ["MENUS", "Command", "Menu", "all_commands", "make_actions", "tr_command"]

MENUS: tuple[type[Menu], ...] = (
    FileMenu,
    EditMenu,
    DrawMenu,
    ArrangeMenu,
    BehindMenu,
    NumbersMenu,
    FaultMenu,
    ViewMenu,
    HelpMenu,
)


def all_commands() -> tuple[Command, ...]:
    """Return every command in menu order."""
    return tuple(command for menu in MENUS for command in menu.commands)
