"""The whole window with real keys: what commands do where the keys go."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QListWidget,
    QMenu,
    QPushButton,
    QTableWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.files.store import load, save
from blockmap.files.tables import csv_text
from blockmap.model.document import empty_map
from blockmap.model.edits import add_block
from blockmap.model.geometry import Size
from blockmap.resources import layout
from blockmap.window.help_pages import show_keys
from blockmap.window.main_window import MainWindow
from blockmap.window.preferences import Preferences
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.window_place import remember_place, restore_place
from tests.window_fixtures import OpenMap

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier
Start = Callable[[], MainWindow]


@pytest.fixture
def start(open_map: OpenMap) -> Start:
    """Return what opens the demo in a window of its own."""
    return lambda: open_map(load(layout("demo")).document)


def press(window: MainWindow, key: Key) -> None:
    QTest.keyClick(QApplication.focusWidget() or window, key, CTRL)
    QApplication.processEvents()


def focused() -> QWidget:
    """Return the widget that a key goes to."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def test_copy_in_the_figure_takes_whole_rows_that_make_cavities_elsewhere(
    start: Start,
) -> None:
    window = start()
    session, selection = window.session, window.selection
    block = selection.block
    assert block
    source = list(session.document.cavities_of(block))
    window.figure.setFocus()
    press(window, Key.Key_A)
    press(window, Key.Key_C)
    text = QGuiApplication.clipboard().text()
    # What a spreadsheet would read: the excel-tab dialect of Python's csv module.
    rows = list(csv.reader(io.StringIO(text), dialect="excel-tab"))
    assert rows[0][0] == "Place"
    assert "Rating (A)" in rows[0]
    assert [row[0] for row in rows[1:]] == [c.designation for c in source]

    before = session.document
    press(window, Key.Key_V)
    assert session.document is before, "the same rows change nothing"

    session.edit("Add block", add_block, "Copy", Size(135.0, 105.0))
    selection.set_block(session.last_result)
    window.figure.setFocus()
    count = session.stack.count()
    press(window, Key.Key_V)
    assert session.stack.count() == count + 1, "one step to undo"
    made = list(session.document.cavities_of(selection.block or ""))
    assert set(selection.ids) == {c.id for c in made}
    both = [
        row.split(",", 1)[1]
        for row in csv_text(session.document).splitlines()[1:]
        if row
    ]
    assert both[: len(source)] == both[len(source) :], "every column is alike"


def test_keys_of_cells_in_the_table_are_not_those_of_the_figure(start: Start) -> None:
    window = start()
    window.legend.setFocus()
    table = window.legend.table
    press(window, Key.Key_A)
    shown = table.layout_of_columns.shown()
    assert table.selected_columns() == shown, "every cell, not one column"
    assert len(table.selected_rows()) == len(table.rows.ids)
    table.go_to(0, shown[1])
    table.select_cells([0], shown[1:3])
    before = window.session.document
    press(window, Key.Key_R)
    changed = window.session.document.cavities[table.rows.ids[0]]
    assert changed.fitted_a == changed.rating_a, "filled to the right"
    assert changed.turn_deg == before.cavities[changed.id].turn_deg, "and not turned"


def test_a_tool_taken_by_keys_has_the_keys_that_follow(start: Start) -> None:
    window = start()
    window.legend.setFocus()
    press(window, Key.Key_2)
    assert window.figure.tool.name == "cavity"
    assert window.figure.hasFocus(), "Enter adds the place, as the bottom line says"


def test_a_block_that_is_added_is_named_by_typing_on(start: Start) -> None:
    window = start()
    window.actions_by_name["add_block"].trigger()
    QApplication.processEvents()
    QTest.keyClicks(focused(), "In-line holders")
    QTest.keyClick(focused(), Key.Key_Return)
    names = [block.name for block in window.session.document.blocks.values()]
    assert names[-1] == "In-line holders"


def test_arrows_go_through_the_sheets_from_the_start(
    start: Start, qtbot: QtBot
) -> None:
    window = start()
    window.actions_by_name["print"].trigger()
    preview = window.findChild(SheetPreview)
    assert preview is not None
    qtbot.waitUntil(preview.isActiveWindow)
    kinds = focused()
    assert isinstance(kinds, QListWidget)
    QTest.keyClick(kinds, Key.Key_Down)
    assert kinds.currentItem().text() == "Glovebox card"
    preview.close()


def test_reverting_says_so_and_how_to_get_the_changes_back(
    start: Start, tmp_path: Path, qtbot: QtBot
) -> None:
    window = start()
    path = tmp_path / "van.blockmap.yaml"
    save(path, window.session.document)
    assert window.map_file.open(path).wait()
    saved = window.session.document
    window.session.edit("Add block", add_block, "Other", Size(60.0, 40.0))
    window.actions_by_name["revert"].trigger()
    qtbot.waitUntil(lambda: window.session.document == saved)
    said = "The map is as it was saved; Undo brings the changes back"
    qtbot.waitUntil(lambda: window.statusBar().currentMessage() == said)


def test_undoing_says_what_was_undone(start: Start) -> None:
    window = start()
    window.legend.setFocus()
    window.legend.table.go_to(0, window.legend.table.column_for_legend())
    QTest.keyClicks(window.legend.table, "HORN")
    QTest.keyClick(focused(), Key.Key_Return)
    what = window.session.stack.undoText()
    press(window, Key.Key_Z)
    assert window.statusBar().currentMessage() == f"Undone: {what}"
    press(window, Key.Key_Y)
    assert window.statusBar().currentMessage() == f"Done again: {what}"


def test_a_sheet_pasted_into_an_empty_block_makes_its_places_and_says_what_is_left(
    open_map: OpenMap,
) -> None:
    document, _ = add_block(empty_map(), "Board", Size(120.0, 210.0))
    window = open_map(document)
    QGuiApplication.clipboard().setText(
        "Fuse\tAmps\tLabel\tColour\tGauge\tBay\n"
        "1\t10\tINT\tRED\t1.0 mm2\ta\n2\t15\tHAZ\tRED/GRN\t1.5 mm2\tb\n"
    )
    window.figure.setFocus()
    press(window, Key.Key_V)
    made = list(window.session.document.cavities.values())
    assert [(c.designation, c.rating_a, c.legend) for c in made] == [
        ("1", 10, "INT"),
        ("2", 15, "HAZ"),
    ]
    assert [c.contact("load").wires[0].gauge for c in made] == ["1.0 mm2", "1.5 mm2"]
    said = window.statusBar().currentMessage()
    assert said == (
        "Made 2 cavities; drag them to where they are; not recognised: “Bay”"
    )


def test_cut_in_the_figure_takes_the_cavity_and_paste_brings_it_back(
    start: Start,
) -> None:
    window = start()
    session, selection = window.session, window.selection
    id_ = selection.block + "/F9" if selection.block else ""
    cavity = session.document.cavities[id_]
    selection.select([id_])
    window.figure.setFocus()
    press(window, Key.Key_X)
    assert id_ not in session.document.cavities
    assert session.stack.undoText() == "Cut F9"
    press(window, Key.Key_V)
    again = session.document.cavities[id_]
    assert again == cavity, "with all that is said of it"


def test_a_closed_pane_stays_closed_until_the_view_menu_shows_it(
    start: Start,
) -> None:
    first = start()
    assert all(dock.isVisible() for dock in first.panes.docks.values())
    first.panes.docks["inspector"].close()
    first.session.stack.setClean()
    first.close()

    again = start()
    docks = again.panes.docks
    assert docks["legend"].isVisible()
    assert docks["inspector"].isHidden()
    docks["inspector"].toggleViewAction().trigger()
    assert docks["inspector"].isVisible()
    docks["findings"].close()
    again.actions_by_name["reset_panes"].trigger()
    assert not any(dock.isHidden() for dock in docks.values())


def test_true_size_follows_the_bank_card_that_was_measured(
    start: Start, settings: Settings, qtbot: QtBot
) -> None:
    window = start()
    dialog = Preferences(settings, window)
    qtbot.addWidget(dialog)
    dialog.show()
    slider = dialog.card.slider
    slider.setFocus()
    while dialog.card.card.card_px().width() < 500:
        QTest.keyClick(slider, Key.Key_PageUp)
    card_px = dialog.card.card.card_px().width()
    window.actions_by_name["zoom_true"].trigger()
    # ISO/IEC 7810 ID-1: a bank card is 85.60 mm wide.
    ten_mm = window.figure.frame_now.scale * 10
    assert ten_mm == pytest.approx(card_px / 85.60 * 10, rel=1e-3)
    shown = [label.text() for label in window.statusBar().findChildren(QLabel)]
    assert "zoom 100 %" in shown
    dialog.close()
    window.actions_by_name["zoom_in"].trigger()

    again = start()
    again.actions_by_name["zoom_true"].trigger()
    assert again.figure.frame_now.scale * 10 == pytest.approx(ten_mm)


def test_the_first_window_lies_on_the_screen_and_shares_its_room_out(
    start: Start,
) -> None:
    window = start()
    QApplication.processEvents()
    screen = window.screen().availableGeometry()
    assert screen.contains(window.geometry())
    docks = window.panes.docks
    legend, inspector = docks["legend"].height(), docks["inspector"].height()
    assert inspector > 0.5 * legend, (legend, inspector)
    assert window.figure.width() > docks["legend"].width()


def test_a_map_is_begun_without_a_mouse(open_map: OpenMap, qtbot: QtBot) -> None:
    window = open_map(None)
    QTest.keyClick(window, Key.Key_F6)
    QTest.keyClicks(QApplication.focusWidget() or window, "Grey estate")
    QTest.keyClick(QApplication.focusWidget() or window, Key.Key_Return)
    assert window.session.document.car.name == "Grey estate"
    QTest.keyClick(QApplication.focusWidget() or window, Key.Key_Return)
    assert len(window.session.document.cavities) == 6, "Enter adds the row as typed"


def test_letters_of_access_keys_are_given_once_on_the_start_page(
    settings: Settings, qtbot: QtBot
) -> None:
    window = MainWindow(settings)
    qtbot.addWidget(window)
    page = window.start_page
    texts = [action.text() for action in window.menuBar().actions()]
    texts += [button.text() for button in page.findChildren(QPushButton)]
    texts += [label.text() for label in page.findChildren(QLabel) if label.buddy()]
    letters = [text[text.index("&") + 1].lower() for text in texts if "&" in text]
    assert len(letters) == len(set(letters)), sorted(letters)


def test_letters_of_access_keys_are_given_once_in_every_menu(
    settings: Settings, qtbot: QtBot
) -> None:
    window = MainWindow(settings)
    qtbot.addWidget(window)
    for entry in window.menuBar().actions():
        menu = entry.menu()
        assert isinstance(menu, QMenu)
        texts = [action.text() for action in menu.actions() if action.text()]
        assert all("&" in text for text in texts), texts
        letters = [text[text.index("&") + 1].lower() for text in texts]
        assert len(letters) == len(set(letters)), (entry.text(), sorted(letters))


def test_the_list_of_keys_holds_keys_of_an_ordinary_keyboard_in_whole_rows(
    start: Start,
) -> None:
    page = show_keys(start())
    table = page.findChild(QTableWidget)
    assert table is not None
    shown = {}
    for row in range(table.rowCount()):
        cells = [table.item(row, column) for column in (0, 1)]
        assert cells[0] is not None
        assert cells[1] is not None
        shown[cells[0].text()] = cells[1].text()
        assert table.rowHeight(row) >= table.sizeHintForRow(row)
    assert shown["Copy"].split(", ")[0] == "Ctrl+C"
    keys = [key for text in shown.values() for key in text.split(", ")]
    assert not {"F14", "F16", "F18", "F20", "Copy", "Paste", "Open"} & set(keys)
    page.close()


def test_the_rows_of_the_findings_fit_the_pane_when_it_is_brought_forward(
    start: Start, qtbot: QtBot
) -> None:
    window = start()
    table = window.findings.findChild(QTableWidget)
    assert table is not None
    qtbot.waitUntil(lambda: table.rowCount() > 0)
    window.panes.bring("findings")
    line = table.fontMetrics().lineSpacing()
    qtbot.waitUntil(
        lambda: all(table.rowHeight(n) < 8 * line for n in range(table.rowCount())),
        timeout=2000,
    )


@pytest.mark.parametrize("at", [(5000, 300), (-3000, -2000), (700, 590), (100, -700)])
def test_a_window_left_on_a_screen_that_is_gone_comes_back_whole(
    qtbot: QtBot, settings: Settings, at: tuple[int, int]
) -> None:
    left, again = QWidget(), QWidget()
    for window in (left, again):
        qtbot.addWidget(window)
    left.resize(600, 400)
    left.move(*at)
    left.show()
    remember_place(left, settings)
    restore_place(again, settings)
    screens = [s.availableGeometry() for s in QGuiApplication.screens()]
    assert any(screen.contains(again.frameGeometry()) for screen in screens)
