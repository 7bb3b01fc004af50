"""The commands of one window: menus, keys and tools, and which can be used now."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QDockWidget, QMenu, QToolBar

from blockmap.window.aside import quickly
from blockmap.window.menus import MENUS, all_commands, make_actions, tr_command
from blockmap.window.menus.tool_row import show_words, tool_row
from blockmap.window.plain_tip import plain_tip
from blockmap.window.theme import icon

if TYPE_CHECKING:
    from blockmap.window.main_window import MainWindow

__all__ = ["Commands"]


class Commands(QObject):
    """Every command as an action, by name; the actions follow session and selection."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.actions: dict[str, QAction] = {}
        self._words = True
        self._make_menus()
        on = self.actions
        for name in ("tool_select", "view_front", f"look_{self.look}"):
            on[name].setChecked(True)
        for name in ("snap", "photo_shown", "figure_key"):
            on[name].setChecked(bool(window.settings.value(name)))
        window.selection.changed.connect(self.show_enabled)
        window.selection.view_changed.connect(self._show_view)
        self.show_undo()
        self.show_enabled()

    def _make_menus(self) -> None:
        window = self._window
        groups: dict[str, QActionGroup] = {}
        shown: dict[str, QMenu] = {}
        for kind in MENUS:
            made = make_actions(kind(window), groups)
            self.actions |= made
            bar_menu = window.menuBar().addMenu(tr_command(kind.title))
            for command in kind.commands:
                if command.line_before:
                    bar_menu.addSeparator()
                bar_menu.addAction(made[command.name])
                shown[command.name] = bar_menu
        recent = QMenu(self.tr("Open &recent"), window)
        recent.aboutToShow.connect(lambda: self._fill_recent(recent))
        entries = shown["open"].actions()
        after_open = entries[entries.index(self.actions["open"]) + 1]
        shown["open"].insertMenu(after_open, recent)
        self._panes = QMenu(self.tr("&Panes"), window)
        shown["reset_panes"].insertMenu(self.actions["reset_panes"], self._panes)

    @cached_property
    def tools(self) -> QToolBar:
        """The row of tools, made when there is a map."""
        row = tool_row(self.actions, self.tr("Tools"))
        self._show_icons({action.objectName() for action in row.actions()})
        self._window.addToolBar(row)
        show_words(row, self._words)
        return row

    def show_words(self, shown: bool) -> None:
        """Write the words under the icons of the tools, or leave them to the tips."""
        self._words = shown
        if "tools" in self.__dict__:
            show_words(self.tools, shown)

    @property
    def look(self) -> str:
        """Light, dark or as the system does: what the settings say."""
        look = str(self._window.settings.value("appearance"))
        return look if f"look_{look}" in self.actions else "system"

    def show_look(self) -> None:
        """Tick the look that is chosen, and draw the icons in its ink."""
        self.actions[f"look_{self.look}"].setChecked(True)
        self.show_icons()

    def show_icons(self) -> None:
        """Give each command its icon; until then only the row of tools has them."""
        self._show_icons(set(self.actions))

    def _show_icons(self, names: set[str]) -> None:
        for command in all_commands():
            if command.icon and command.name in names:
                self.actions[command.name].setIcon(icon(command.icon))

    def show_map(self, shown: bool) -> None:
        """Offer what needs a block, or not."""
        if shown or "tools" in self.__dict__:
            self.tools.setVisible(shown)
        for command in all_commands():
            if command.block:
                self.actions[command.name].setEnabled(shown)
        self._panes.menuAction().setEnabled(shown)

    def list_panes(self, docks: Iterable[QDockWidget]) -> None:
        """List the panes in the menu, to be shown and hidden."""
        for dock in docks:
            self._panes.addAction(dock.toggleViewAction())

    def show_enabled(self) -> None:
        """Offer what the selection and the file allow."""
        count = len(self._window.selection.ids)
        for command in all_commands():
            if command.selected:
                self.actions[command.name].setEnabled(count >= command.selected)
        self.actions["revert"].setEnabled(self._window.session.path is not None)

    def show_tool(self, name: str) -> None:
        """Tick the tool that is taken."""
        action = self.actions.get(f"tool_{name}")
        if action is not None:
            action.setChecked(True)

    def _show_view(self) -> None:
        self.actions[f"view_{self._window.selection.view.value}"].setChecked(True)

    def show_undo(self) -> None:
        """Name what undo and redo would do."""
        stack = self._window.session.stack
        for name, can, what in (
            ("undo", stack.canUndo(), stack.undoText()),
            ("redo", stack.canRedo(), stack.redoText()),
        ):
            action = self.actions[name]
            word = self.tr("&Undo") if name == "undo" else self.tr("&Redo")
            action.setText(f"{word}: {what.replace('&', '&&')}" if what else word)
            action.setIconText(word.replace("&", ""))
            action.setEnabled(can)

    def _fill_recent(self, menu: QMenu) -> None:
        settings, window = self._window.settings, self._window
        menu.clear()
        files = settings.recent_files()
        there = quickly(lambda: [file.is_file() for file in files], [True] * len(files))
        for path, is_there in zip(files, there, strict=True):
            action = menu.addAction(icon("file-text"), path.name.replace("&", "&&"))
            action.setToolTip(plain_tip(str(path)))
            action.setEnabled(is_there)
            action.triggered.connect(lambda _c=False, p=path: window.open_path(p))
        menu.addSeparator()
        clear = menu.addAction(self.tr("&Clear list"))
        clear.triggered.connect(settings.clear_recent)
        clear.setEnabled(bool(files))
