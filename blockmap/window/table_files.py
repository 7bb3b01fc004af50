"""Tables in and out of the window: write CSV, fill properties from CSV."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog

from blockmap.files.delimited import decoded
from blockmap.files.store import read_bytes_safely, write_bytes
from blockmap.files.tables import csv_text, fill_from_table
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.window import dialogs

if TYPE_CHECKING:
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
    try:
        write_bytes(path, csv_text(window.session.document).encode("utf-8"))
    except BlockmapError as problem:
        dialogs.tell(window, _tr("The table was not written"), str(problem))
        return
    window.settings.set_last_folder(path)
    window.say(_tr("Wrote %1").replace("%1", path.name))


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


def fill_from_path(window: MainWindow, path: Path) -> None:
    """Fill the map from this table; every refusal is told at once."""
    notes: tuple[str, ...] = ()

    def fill(document: Map) -> Map:
        nonlocal notes
        text = decoded(read_bytes_safely(path, SIZE_LIMIT))
        filled, notes = fill_from_table(document, text, path.name)
        return filled

    try:
        fill(window.session.document)
    except DocumentRefused as refused:
        lines = [p.sentence() for p in refused.problems[:30]]
        dialogs.tell(window, _tr("The table does not fit the map"), "\n\n".join(lines))
        return
    except BlockmapError as problem:
        dialogs.tell(window, _tr("The table was not read"), str(problem))
        return
    text = _tr("Fill from %1").replace("%1", path.name)
    if window.session.edit(text, fill):
        window.say("; ".join(notes) or _tr("Filled from %1").replace("%1", path.name))
    else:
        window.say(_tr("The table says what the map says already"))
