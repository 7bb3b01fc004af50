"""What stands in an open cell when the map is saved is in the file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.window.isolating.notebook_cells import COLUMNS
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.main_window import MainWindow
from tests.window.isolating.test_fault_pane import type_cell


def saved_while_typing(
    window: MainWindow, pane: FaultPanel, text: str, path: Path
) -> Map:
    """Type a value into a reading, save with its cell open; return what was saved."""
    window.session.set_path(path)
    type_cell(pane, 0, "point", "battery")
    pane.notebook.setCurrentCell(0, COLUMNS.index("value"))
    QTest.keyClick(pane.notebook, Qt.Key.Key_Return)
    assert pane.notebook.editor is not None
    QTest.keyClicks(pane.notebook.editor, text)
    window.map_file.save().wait()
    return load(path).document


def test_saving_takes_the_reading_that_is_being_typed(
    window: MainWindow, pane: FaultPanel, tmp_path: Path
) -> None:
    saved = saved_while_typing(window, pane, "12.3", tmp_path / "car.blockmap.yaml")
    assert saved.readings["M1"].value == 12.3
    assert window.session.saved
    assert pane.notebook.editor is None


def test_a_refused_text_stays_in_its_cell_and_the_rest_is_saved(
    window: MainWindow, pane: FaultPanel, tmp_path: Path
) -> None:
    saved = saved_while_typing(window, pane, "nine", tmp_path / "car.blockmap.yaml")
    assert saved.readings["M1"].value is None
    assert pane.notebook.editor is not None
    assert pane.notebook.editor.text() == "nine"
    assert "not a number" in pane.message.text


def test_saving_takes_the_legend_cell_that_is_being_typed(
    window: MainWindow, tmp_path: Path
) -> None:
    path = tmp_path / "car.blockmap.yaml"
    window.session.set_path(path)
    window.selection.select(["panel/F2"])
    window.legend.edit_current()
    table = window.legend.table
    table.typing.abandon()
    rating = next(n for n, c in enumerate(TABLE_COLUMNS) if c.key == "rating_a")
    table.go_to(table.currentIndex().row(), rating)
    table.edit(table.currentIndex())
    assert table.typing.editor is not None
    table.typing.editor.setText("15")
    window.map_file.save().wait()
    assert load(path).document.cavities["panel/F2"].rating_a == 15
