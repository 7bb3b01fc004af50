"""What stands in an open cell when the map is saved is in the file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.files.store import load
from blockmap.window.isolating.notebook_cells import COLUMNS
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.main_window import MainWindow
from tests.window.isolating.test_fault_pane import type_cell


def open_value(pane: FaultPanel, text: str) -> None:
    """Type a value into the first reading and leave its cell open."""
    type_cell(pane, 0, "point", "battery")
    pane.notebook.setCurrentCell(0, COLUMNS.index("value"))
    QTest.keyClick(pane.notebook, Qt.Key.Key_Return)
    assert pane.notebook.editor is not None
    QTest.keyClicks(pane.notebook.editor, text)


def test_saving_takes_the_reading_that_is_being_typed(
    window: MainWindow, pane: FaultPanel, tmp_path: Path
) -> None:
    path = tmp_path / "car.blockmap.yaml"
    window.session.set_path(path)
    open_value(pane, "12.3")
    window.actions_by_name["save"].trigger()
    assert load(path).document.readings["M1"].value == 12.3
    assert window.session.saved
    assert pane.notebook.editor is None


def test_a_refused_text_stays_in_its_cell_and_the_rest_is_saved(
    window: MainWindow, pane: FaultPanel, tmp_path: Path
) -> None:
    path = tmp_path / "car.blockmap.yaml"
    window.session.set_path(path)
    open_value(pane, "nine")
    window.actions_by_name["save"].trigger()
    assert load(path).document.readings["M1"].value is None
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
    window.actions_by_name["save"].trigger()
    assert load(path).document.cavities["panel/F2"].rating_a == 15
