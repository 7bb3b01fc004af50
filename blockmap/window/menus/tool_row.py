"""The one row of tools above the figure, and the menu at a cavity."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QToolBar, QWidget

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import tr_command

__all__ = ["cavity_menu", "show_words", "tool_row"]

TOOL_ROW: tuple[tuple[str, ...], ...] = (
    ("save", "undo", "redo"),
    ("tool_select", "tool_cavity", "tool_row", "tool_grid", "tool_outline"),
    ("snap", "turn_right"),
    ("other_side", "zoom_fit"),
    ("find", "print"),
)

SHORT_WORDS = {
    "tool_cavity": QT_TRANSLATE_NOOP("commands", "Cavity"),
    "turn_right": QT_TRANSLATE_NOOP("commands", "Turn"),
    "other_side": QT_TRANSLATE_NOOP("commands", "Other side"),
    "zoom_fit": QT_TRANSLATE_NOOP("commands", "Fit"),
    "find": QT_TRANSLATE_NOOP("commands", "Find"),
    "print": QT_TRANSLATE_NOOP("commands", "Sheets"),
}

CAVITY_MENU = (
    ("cut", "copy", "paste"),
    ("duplicate", "delete"),
    ("turn_right", "turn_left"),
    ("zoom_selection", "other_side"),
)


def tool_row(actions: Mapping[str, QAction], title: str) -> QToolBar:
    """Return the tool bar: an icon a tool, each with a tip."""
    row = QToolBar(title)
    row.setObjectName("tools")
    row.setMovable(False)
    for number, names in enumerate(TOOL_ROW):
        if number:
            row.addSeparator()
        for name in names:
            action = actions[name]
            if name in SHORT_WORDS:
                action.setIconText(tr_command(SHORT_WORDS[name]))
            row.addAction(action)
    return row


def show_words(row: QToolBar, shown: bool) -> None:
    """Write the word of each tool under its icon, or not."""
    style = Qt.ToolButtonStyle
    row.setToolButtonStyle(
        style.ToolButtonTextUnderIcon if shown else style.ToolButtonIconOnly
    )


def cavity_menu(actions: Mapping[str, QAction], parent: QWidget) -> QMenu:
    """Return the menu shown at a cavity; it deletes itself when closed."""
    menu = QMenu(parent)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    for number, names in enumerate(CAVITY_MENU):
        if number:
            menu.addSeparator()
        for name in names:
            menu.addAction(actions[name])
    return menu
