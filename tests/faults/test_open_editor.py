"""A text that is being typed never lands in another cell than its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from blockmap.model.edits import delete_cavities
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.main_window import MainWindow
from tests.faults.sample import panel
from tests.faults.window_at_work import Answers, answers, new_window

__all__ = ["Answers", "answers", "new_window"]

RATING = next(n for n, column in enumerate(TABLE_COLUMNS) if column.key == "rating_a")


@pytest.fixture
def window(new_window: Callable[[], MainWindow]) -> MainWindow:
    """Return a window whose editor holds a refused rating for F2."""
    made = new_window()
    made.map_file.start(panel())
    made.selection.select(["panel/F2"])
    made.legend.edit_current()
    table = made.legend.table
    table.typing.abandon()
    table.go_to(1, RATING)
    table.edit(table.currentIndex())
    editor = table.typing.editor
    assert editor is not None
    editor.setText("lots")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert editor.refused
    return made


def test_a_mended_text_goes_into_its_own_cell(window: MainWindow) -> None:
    window.selection.select(["panel/F4"])
    editor = window.legend.table.typing.editor
    assert editor is not None
    editor.setText("15")
    assert window.legend.table.typing.finish()
    cavities = window.session.document.cavities
    assert cavities["panel/F2"].rating_a == 15
    assert cavities["panel/F4"].rating_a is None


def test_the_text_for_a_cavity_that_is_gone_goes_nowhere(window: MainWindow) -> None:
    editor = window.legend.table.typing.editor
    assert editor is not None
    editor.setText("15")
    assert window.session.edit("Delete", delete_cavities, ["panel/F2"])
    QApplication.sendPostedEvents(None, 52)  # the deferred deletes
    assert window.legend.table.typing.finish()
    window.legend.begin_find()
    window.legend.table.typing.abandon()
    assert all(c.rating_a is None for c in window.session.document.cavities.values())
