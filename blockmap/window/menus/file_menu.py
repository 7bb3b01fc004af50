"""Files: begin, open, save, print, tables in and out."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from blockmap.window.marked_texts import QT_TRANSLATE_NOOP
from blockmap.window.menus.command import Command, Key, Menu

__all__ = ["FileMenu"]

COMMANDS = (
    Command(
        name="new",
        text=QT_TRANSLATE_NOOP("commands", "&New map"),
        keys=(Key.New,),
        icon="file-new",
        tip=QT_TRANSLATE_NOOP("commands", "Begin a new map"),
    ),
    Command(
        name="open",
        text=QT_TRANSLATE_NOOP("commands", "&Open…"),
        keys=(Key.Open,),
        icon="file-open",
        tip=QT_TRANSLATE_NOOP("commands", "Open a map from a file"),
    ),
    Command(
        name="save",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Save"),
        keys=(Key.Save,),
        icon="file-save",
        tip=QT_TRANSLATE_NOOP("commands", "Save the map"),
        line_before=True,
    ),
    Command(
        name="save_as",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Save &as…"),
        keys=("Ctrl+Shift+S",),
        icon="file-save-as",
    ),
    Command(
        name="save_copy",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "Save a &copy…"),
    ),
    Command(
        name="revert",
        text=QT_TRANSLATE_NOOP("commands", "Re&vert to saved"),
        tip=QT_TRANSLATE_NOOP(
            "commands", "Take the map as its file has it; undo brings this one back"
        ),
    ),
    Command(
        name="print",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Print sheets…"),
        keys=(Key.Print,),
        icon="file-print",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Look at the sheets page by page, then print them"
        ),
        line_before=True,
    ),
    Command(
        name="export_table",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Write table as CSV…"),
        icon="file-export",
    ),
    Command(
        name="fill_table",
        block=True,
        text=QT_TRANSLATE_NOOP("commands", "&Fill from a table…"),
        icon="file-import",
        tip=QT_TRANSLATE_NOOP(
            "commands", "Take properties from a CSV file, matched by designation"
        ),
    ),
    Command(
        name="close",
        text=QT_TRANSLATE_NOOP("commands", "C&lose"),
        keys=(Key.Close,),
        line_before=True,
    ),
    Command(
        name="quit",
        text=QT_TRANSLATE_NOOP("commands", "&Quit"),
        keys=("Ctrl+Q",),
    ),
)


class FileMenu(Menu):
    """Files: begin, open, save, print, tables in and out."""

    title = QT_TRANSLATE_NOOP("commands", "&File")
    commands = COMMANDS

    def new(self) -> None:
        if self.window.session.document.blocks:
            self.window.window_wanted.emit(None)
        else:
            self.window.start_page.setFocus()

    def open(self) -> None:
        from blockmap.window import dialogs

        folder = self.window.settings.last_folder()
        for path in dialogs.ask_open_files(self.window, folder):
            self.window.open_path(path)

    def save(self) -> None:
        self.window.map_file.save()

    def save_as(self) -> None:
        self.window.map_file.save_as()

    def save_copy(self) -> None:
        self.window.map_file.save_copy()

    def revert(self) -> None:
        said = self.tr("The map is as it was saved; Undo brings the changes back")
        job = self.window.map_file.revert()
        job.then(lambda done: self.window.say(said) if done else None)

    def print(self) -> None:
        from blockmap.window.sheet_preview import SheetPreview

        window = self.window
        preview = SheetPreview(
            window.session, window.selection, window.settings, window
        )
        preview.open()

    def export_table(self) -> None:
        from blockmap.window.table_files import export_table

        export_table(self.window)

    def fill_table(self) -> None:
        from blockmap.window.table_files import fill_from_file

        fill_from_file(self.window)

    def close(self) -> None:
        self.window.close()

    def quit(self) -> None:
        for window in QApplication.topLevelWidgets():
            if not isinstance(window, type(self.window)) or window.close():
                continue
            if not window.disk.closing:  # else it closes itself once that is written
                return
