"""What a command is called, and how a menu of them is made.

One row says name, words, keys and icon; the method of the same name in the menu's
class says what it does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["Command", "Key", "Menu", "make_actions", "tr_command"]

Key = QKeySequence.StandardKey
_NATIVE = QKeySequence.SequenceFormat.NativeText


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One command: its name in code, its words, keys and icon.

    keys are standard keys or texts such as 'Ctrl+Shift+R'; group makes one choice
    out of the commands of that group; checkable alone makes a switch. selected is the
    least number of selected cavities it needs; block says that it needs a block.
    """

    name: str
    text: str
    tip: str = ""
    keys: tuple[QKeySequence.StandardKey | str, ...] = ()
    icon: str = ""
    group: str = ""
    checkable: bool = False
    line_before: bool = False
    selected: int = 0
    block: bool = False

    @property
    def plain(self) -> str:
        """The words without access key and dots, in the user's language."""
        return tr_command(self.text).replace("&", "").rstrip("…")


class Menu(QObject):
    """One menu: rows of commands and a method for each."""

    title: ClassVar[str]
    commands: ClassVar[tuple[Command, ...]]

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.window = window


def tr_command(text: str) -> str:
    """Return a command's text in the user's language."""
    return QCoreApplication.translate("commands", text)


def make_actions(menu: Menu, groups: dict[str, QActionGroup]) -> dict[str, QAction]:
    """Return one action for each command of a menu, in order."""
    return {c.name: _action(menu, c, groups) for c in menu.commands}


def _action(menu: Menu, command: Command, groups: dict[str, QActionGroup]) -> QAction:
    action = QAction(tr_command(command.text), menu.window)
    action.setObjectName(command.name)
    keys = [k for key in command.keys for k in _sequences(key)]
    action.setShortcuts(list(dict.fromkeys(keys)))
    tip = tr_command(command.tip) if command.tip else command.plain
    action.setToolTip(f"{tip} ({keys[0].toString(_NATIVE)})" if keys else tip)
    action.setStatusTip(tip)
    action.setCheckable(bool(command.group) or command.checkable)
    if command.group:
        group = groups.setdefault(command.group, QActionGroup(menu.window))
        group.addAction(action)
    does = getattr(menu, command.name)
    action.triggered.connect(lambda *_checked: does())
    return action


def _sequences(key: QKeySequence.StandardKey | str) -> list[QKeySequence]:
    if isinstance(key, str):
        return [QKeySequence(key)]
    return QKeySequence.keyBindings(key)
