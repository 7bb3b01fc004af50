"""The parts list in its window: what the damage asks for, filled in and written."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from PySide6.QtWidgets import QTableWidget
from pytestqt.qtbot import QtBot

from blockmap.analysis.behind.parts import parts_needed
from blockmap.analysis.behind.stock import fuse_stock
from blockmap.model.document import Condition
from blockmap.model.edits import set_condition
from blockmap.window import dialogs
from blockmap.window.behind.parts_window import PartsWindow
from blockmap.window.main_window import MainWindow
from tests.window.behind.conftest import Start, layout


def texts(table: QTableWidget, place: int) -> list[str]:
    found = []
    for row in range(table.rowCount()):
        item = table.item(row, place)
        assert item is not None
        found.append(item.text())
    return found


@pytest.fixture
def parts(demo: MainWindow, qtbot: QtBot) -> PartsWindow:
    demo.actions_by_name["parts_list"].trigger()
    shown = demo.behind_link.show_parts()
    qtbot.waitUntil(lambda: shown.table.rowCount() > 0)
    return shown


def put(parts: PartsWindow, row: int, place: int, text: str) -> None:
    item = parts.table.item(row, parts.first_filled + place)
    assert item is not None
    item.setText(text)


def test_the_list_is_what_the_damage_asks_for(
    demo: MainWindow, parts: PartsWindow
) -> None:
    needed = parts_needed(demo.session.document)
    assert texts(parts.table, 0) == [str(part.count) for part in needed]
    assert texts(parts.table, 2) == [part.name for part in needed]
    assert texts(parts.table, 6) == ["; ".join(part.places) for part in needed]
    stock = fuse_stock(demo.session.document)
    assert texts(parts.stock, 2) == [str(fuse.spares) for fuse in stock]
    assert not parts.isModal()


def test_the_bridge_of_the_saloon_stands_once_and_no_terminal_of_it(
    start: Start, qtbot: QtBot
) -> None:
    window = start(layout("saloon"))
    shown = window.behind_link.show_parts()
    qtbot.waitUntil(lambda: shown.table.rowCount() > 0)
    names = texts(shown.table, 2)
    assert sum("strip 15" in name for name in names) == 1


def test_the_list_follows_the_map(
    demo: MainWindow, parts: PartsWindow, qtbot: QtBot
) -> None:
    count = parts.table.rowCount()
    gone = Condition(state="broken", severity=3)
    demo.session.edit("Set", set_condition, "panel/F9", "load", gone)
    qtbot.waitUntil(lambda: "F9 load" in " ".join(texts(parts.table, 6)))
    demo.session.stack.undo()
    qtbot.waitUntil(lambda: "F9 load" not in " ".join(texts(parts.table, 6)))
    assert parts.table.rowCount() == count


def test_price_and_dates_typed_into_the_list_are_kept_in_repairs(
    demo: MainWindow, parts: PartsWindow, qtbot: QtBot
) -> None:
    session = demo.session
    row = next(n for n, part in enumerate(parts.parts) if "F5 load" in part.places)
    assert not parts.parts[row].repairs
    put(parts, row, 0, "1,20")
    (key,) = set(session.document.repairs) - {"R1", "R2"}
    assert session.document.repairs[key].price == 1.2
    assert session.stack.undoText().startswith("Set price each of single female")
    qtbot.waitUntil(lambda: parts.parts[row].repairs == (key,))
    put(parts, row, 2, "2024-06-01")
    repair = session.document.repairs[key]
    assert (repair.stage, repair.ordered) == ("ordered", "2024-06-01")
    qtbot.waitUntil(lambda: parts.parts[row].ordered == "2024-06-01")
    put(parts, row, 3, "soon")
    assert parts.message.text
    assert texts(parts.table, parts.first_filled + 3)[row] == ""


def test_show_place_selects_where_the_part_goes(
    demo: MainWindow, parts: PartsWindow
) -> None:
    row = next(n for n, p in enumerate(parts.parts) if p.gauge == "16 AWG")
    parts.table.setCurrentCell(row, 2)
    parts.show_button.click()
    chosen = [demo.session.document.cavities[i].designation for i in demo.selection.ids]
    assert chosen == [place.split()[0] for place in parts.parts[row].places]


def test_the_csv_that_is_written_reads_back_in_a_spreadsheet(
    parts: PartsWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "parts.csv"
    monkeypatch.setattr(dialogs, "ask_save_file", lambda *_a: path)
    parts.csv_button.click()
    # What a spreadsheet would read: Python's csv module, RFC 4180.
    text = path.read_bytes().decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    listed = [row["part"] for row in rows if row["sort"] != "spare fuse"]
    assert listed == texts(parts.table, 2)
