"""What stands in a map is shown as it stands, wherever the window shows it.

Qt guesses whether a label or a tool tip is markup, and markup may name pictures: a
legend could make the program read any file, or a device without end.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6 import QtGui
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QListWidget,
    QMessageBox,
    QTableView,
    QWidget,
)

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.model.schema import Shape, properties
from blockmap.resources import layout
from blockmap.window import dialogs
from blockmap.window.isolating.jobs import JOBS
from blockmap.window.main_window import MainWindow
from blockmap.window.panes import PANES
from tests.faults.window_at_work import Answers, answers, new_window

__all__ = ["answers", "new_window"]

MARKS = "<b>x</b><img src='file:///nowhere/at/all.png'>"
EVERYTHING = Path(__file__).parent.parent / "data/maps/everything.blockmap.yaml"
WINDOWS = (
    *("parts_list", "families", "print", "figures", "limits", "calculator", "tables"),
    *("key_off_draw", "short_to_ground", "what_works", "work_and_odds", "about"),
)


def _marked(value: Any) -> Any:
    """Return a record with the marks in each of its texts."""
    if isinstance(value, tuple):
        return tuple(_marked(part) for part in value)
    if hasattr(value, "items"):
        return {key: _marked(part) for key, part in value.items()}
    if not dataclasses.is_dataclass(value) or isinstance(value, type):
        return value
    changed: dict[str, Any] = {}
    for row in properties(type(value)):
        before = getattr(value, row.key)
        if row.shape in (Shape.TEXT, Shape.LONG_TEXT):
            changed[row.key] = MARKS
        elif row.shape is Shape.TEXTS:
            changed[row.key] = (MARKS,) * len(before)
        else:
            changed[row.key] = _marked(before)
    return dataclasses.replace(value, **changed)


def _marked_map(document: Map) -> Map:
    parts = {
        field.name: _marked(getattr(document, field.name))
        for field in dataclasses.fields(document)
    }
    return dataclasses.replace(document, **parts)


def _is_taken_for_markup(text: object) -> bool:
    # A tip of ours that is markup on purpose has the marks escaped.
    return isinstance(text, str) and "<img" in text and QtGui.Qt.mightBeRichText(text)


def _cells(view: QWidget) -> Iterator[object]:
    tip = Qt.ItemDataRole.ToolTipRole
    if isinstance(view, QListWidget):
        yield from (view.item(n).toolTip() for n in range(view.count()))
    elif isinstance(view, QTableView) and (model := view.model()) is not None:
        rows, columns = range(min(model.rowCount(), 20)), range(model.columnCount())
        for row in rows:
            yield model.headerData(row, Qt.Orientation.Vertical, tip)
            yield from (model.index(row, column).data(tip) for column in columns)
        for column in columns:
            yield model.headerData(column, Qt.Orientation.Horizontal, tip)


def read_as_markup() -> set[str]:
    """Return where any part of any window takes a text of the map for markup."""
    found = set()
    for widget in QApplication.allWidgets():
        whose = f"{type(widget).__name__} in {type(widget.parent()).__name__}"
        tips = [widget.toolTip(), *_cells(widget)]
        tips += [action.toolTip() for action in widget.findChildren(QAction)]
        if any(map(_is_taken_for_markup, tips)):
            found.add(f"tip of {whose}")
        if isinstance(widget, QLabel) and _is_taken_for_markup(widget.text()):
            plain = widget.textFormat() == Qt.TextFormat.PlainText
            found |= set() if plain else {f"text of {whose}"}
    return found


@pytest.fixture
def maps() -> list[Map]:
    """Return a map that uses every property and one with much to tell, all marked."""
    return [
        _marked_map(read_map(data).document)
        for data in (EVERYTHING.read_bytes(), layout("demo").read_bytes())
    ]


def test_no_text_of_a_map_is_read_as_markup_anywhere(
    new_window: Callable[[], MainWindow], maps: list[Map], answers: Answers
) -> None:
    window = new_window()
    window.settings.add_recent(Path("/nowhere") / MARKS)
    for document in maps:
        window.map_file.start(document)
        for pane in PANES:
            window.panes.made(pane)
        for job in JOBS:
            window.fault.jobs.bring(job)
        for name in WINDOWS:
            window.actions_by_name[name].trigger()
        QApplication.processEvents()
        for pane in PANES:
            window.panes.bring(pane.name)
            QApplication.processEvents()
        for cavity in list(document.cavities)[:5]:
            window.selection.select([cavity])
            QApplication.processEvents()
            assert read_as_markup() == set()
    labels = [w for w in QApplication.allWidgets() if isinstance(w, QLabel)]
    assert any(MARKS in label.text() for label in labels), "nothing was looked at"


def test_a_question_shows_marks_as_they_stand(
    new_window: Callable[[], MainWindow], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[set[str]] = []
    monkeypatch.undo()  # the real questions, not those that tests answer
    monkeypatch.setattr(QMessageBox, "exec", lambda _box: seen.append(read_as_markup()))
    dialogs.tell(new_window(), MARKS, MARKS)
    assert seen == [set()]
