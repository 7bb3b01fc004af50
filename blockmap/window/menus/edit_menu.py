"""Editing: undo, clipboard, selecting, finding, preferences."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QLineEdit

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Key, Menu

__all__ = ["EditMenu"]

COMMANDS = (
    Command(
        name="undo",
        text=QT_TRANSLATE_NOOP("commands", "&Undo"),
        keys=(Key.Undo,),
        icon="edit-undo",
    ),
    Command(
        name="redo",
        text=QT_TRANSLATE_NOOP("commands", "&Redo"),
        keys=("Ctrl+Shift+Z", "Ctrl+Y"),
        icon="edit-redo",
    ),
    Command(
        name="cut",
        text=QT_TRANSLATE_NOOP("commands", "Cu&t"),
        keys=(Key.Cut,),
        line_before=True,
    ),
    Command(
        name="copy",
        text=QT_TRANSLATE_NOOP("commands", "&Copy"),
        keys=(Key.Copy,),
        icon="edit-copy",
    ),
    Command(
        name="paste",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Paste"),
        keys=(Key.Paste,),
        icon="edit-paste",
    ),
    Command(
        name="duplicate",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "Dupl&icate"),
        keys=("Ctrl+Shift+D",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Add a copy of the selected cavities beside them"
        ),
    ),
    Command(
        name="delete",
        selected=1,
        text=QT_TRANSLATE_NOOP("commands", "&Delete cavities"),
        keys=("Ctrl+Backspace",),
        icon="edit-delete",
    ),
    Command(
        name="select_all",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Select &all"),
        keys=(Key.SelectAll,),
        line_before=True,
    ),
    Command(
        name="select_none",
        text=QT_TRANSLATE_NOOP("commands", "Select &none"),
        keys=("Ctrl+Shift+A",),
    ),
    Command(
        name="invert",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "In&vert selection"),
    ),
    Command(
        name="find",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Find…"),
        keys=(Key.Find,),
        icon="search",
        tip=QT_TRANSLATE_NOOP("commands", "Find a circuit, load, wire or place"),
        line_before=True,
    ),
    Command(
        name="find_next",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Find ne&xt"),
        keys=("F3",),
    ),
    Command(
        name="fill_down",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Fill d&own"),
        keys=("Ctrl+D",),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Write the top cell into the cells selected below it"
        ),
    ),
    Command(
        name="preferences",
        text=QT_TRANSLATE_NOOP("commands", "Pref&erences…"),
        keys=("Ctrl+,",),
        icon="settings",
        line_before=True,
    ),
)


class EditMenu(Menu):
    """Editing: undo, clipboard, selecting, finding, preferences."""

    title = QT_TRANSLATE_NOOP("commands", "&Edit")
    commands = COMMANDS

    def undo(self) -> None:
        stack = self.window.session.stack
        what = stack.undoText()
        stack.undo()
        if what:
            self.window.say(self.tr("Undone: %1").replace("%1", what))

    def redo(self) -> None:
        stack = self.window.session.stack
        what = stack.redoText()
        stack.redo()
        if what:
            self.window.say(self.tr("Done again: %1").replace("%1", what))

    def cut(self) -> None:
        legend = self.window.legend
        self._to_text_or(
            legend.whole_rows.cut if self._in_figure() else legend.cut, "cut"
        )

    def copy(self) -> None:
        legend = self.window.legend
        self._to_text_or(
            legend.whole_rows.copy if self._in_figure() else legend.copy, "copy"
        )

    def paste(self) -> None:
        legend = self.window.legend
        self._to_text_or(
            legend.paste_rows if self._in_figure() else legend.paste, "paste"
        )

    def _in_figure(self) -> bool:
        return self.window.figure.hasFocus()

    def duplicate(self) -> None:
        self.window.figure.commands.duplicate()

    def delete(self) -> None:
        self.window.figure.commands.delete()

    def select_all(self) -> None:
        self._to_text_or(self.window.figure.commands.select_all, "selectAll")

    def select_none(self) -> None:
        self.window.selection.clear()

    def invert(self) -> None:
        self.window.figure.commands.invert_selection()

    def find(self) -> None:
        self.window.panes.bring("legend")
        self.window.legend.begin_find()

    def find_next(self) -> None:
        self.window.legend.find_next()

    def fill_down(self) -> None:
        self.window.legend.fill_down()

    def preferences(self) -> None:
        from blockmap.window.preferences import Preferences

        Preferences(self.window.settings, self.window).open()

    def _to_text_or(self, otherwise: object, method: str) -> None:
        focus = QApplication.focusWidget()
        if isinstance(focus, QAbstractSpinBox):
            focus = focus.lineEdit()
        if isinstance(focus, QLineEdit) or hasattr(focus, "toPlainText"):
            getattr(focus, method)()
        else:
            otherwise()  # type: ignore[operator]
