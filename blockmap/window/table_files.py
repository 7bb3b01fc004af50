"""Tables in and out of the window: write CSV, fill properties from CSV."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog

from blockmap.files.delimited import decoded
from blockmap.files.disk import StoppableDisk
from blockmap.files.store import read_bytes_safely
from blockmap.files.tables import csv_text, fill_from_table
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.window import dialogs

if TYPE_CHECKING:
    from blockmap.window.disk_strip import DiskJob, Steps
    from blockmap.window.main_window import MainWindow

__all__ = ["export_table", "fill_from_file"]

SIZE_LIMIT = 4 * 1024 * 1024
"""Largest table read, in bytes."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("table_files", text)


def export_table(window: MainWindow) -> None:
    """Ask where, and write one row a cavity."""
    wished = Path(window.settings.last_folder()) / f"{window.map_file.name}.csv"
    path = dialogs.ask_save_file(
        window, _tr("Write table"), str(wished), _tr("Tables (*.csv)"), ".csv"
    )
    if path is None:
        return
    if window.session.is_its_file(path):
        words = _tr("This is the file of the map; choose another name.")
        dialogs.tell(window, _tr("The table was not written"), words)
        return

    def written() -> None:
        window.settings.set_last_folder(path)
        window.say(_tr("Wrote %1").replace("%1", path.name))

    document = window.session.document
    window.disk.write(
        path,
        lambda: csv_text(document).encode("utf-8"),
        lambda why: dialogs.tell(window, _tr("The table was not written"), why),
        written,
    )


def fill_from_file(window: MainWindow) -> None:
    """Ask for a table and fill the map from it, as one step that can be undone."""
    name, _ = QFileDialog.getOpenFileName(
        window,
        _tr("Fill from a table"),
        window.settings.last_folder(),
        _tr("Tables (*.csv *.tsv *.txt);;All files (*)"),
    )
    if name:
        fill_from_path(window, Path(name))


def fill_from_path(window: MainWindow, path: Path) -> DiskJob:
    """Fill the map from this table; every refusal is told at once."""
    words = _tr("Reading “%1”").replace("%1", path.name)
    return window.disk.run(words, partial(_filling, window, path))


def _filling(window: MainWindow, path: Path, disk: StoppableDisk) -> Steps:
    document = window.session.document

    def read() -> tuple[str, Map, tuple[str, ...]]:
        text = decoded(read_bytes_safely(path, SIZE_LIMIT, disk=disk))
        return text, *fill_from_table(document, text, path.name)

    try:
        text, filled, notes = yield read
        if window.session.document is not document:  # edited while the disk was read
            filled, notes = fill_from_table(window.session.document, text, path.name)
    except DocumentRefused as refused:
        lines = [p.sentence() for p in refused.problems[:30]]
        dialogs.tell(window, _tr("The table does not fit the map"), "\n\n".join(lines))
        return False
    except BlockmapError as problem:
        dialogs.tell(window, _tr("The table was not read"), str(problem))
        return False
    title = _tr("Fill from %1").replace("%1", path.name)
    if window.session.edit(title, lambda _old: filled):
        window.say("; ".join(notes) or _tr("Filled from %1").replace("%1", path.name))
    else:
        window.say(_tr("The table says what the map says already"))
    return True
