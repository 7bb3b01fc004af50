"""The list of findings: jumping both ways, accepting with a reason, undo."""

from __future__ import annotations

import datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTableWidget
from pytestqt.qtbot import QtBot

from blockmap.model.edits import set_texts
from blockmap.window.findings_panel import FindingsPanel
from blockmap.window.main_window import MainWindow


@pytest.fixture
def pane(window: MainWindow) -> FindingsPanel:
    """The pane of findings in front."""
    window.panes.bring("findings")
    QApplication.processEvents()
    return window.findings


def table(pane: FindingsPanel) -> QTableWidget:
    """Return the list."""
    (found,) = pane.findChildren(QTableWidget)
    return found


def cells(pane: FindingsPanel) -> list[tuple[str, str]]:
    """Return level and sentence of every row."""
    rows = table(pane)
    found = []
    for number in range(rows.rowCount()):
        level, what = rows.item(number, 0), rows.item(number, 2)
        found.append((level.text() if level else "", what.text() if what else ""))
    return found


def click(pane: FindingsPanel, number: int) -> None:
    """Click on a row."""
    rows = table(pane)
    item = rows.item(number, 0)
    assert item is not None
    place = rows.visualItemRect(item).center()
    QTest.mouseClick(rows.viewport(), Qt.MouseButton.LeftButton, pos=place)


def counts(window: MainWindow) -> str:
    """Return the counts at the bottom."""
    return window.findings_link._counts.text()


def test_each_level_is_told_by_word_and_sign(pane: FindingsPanel) -> None:
    levels = [level for level, _ in cells(pane)]
    assert levels == ["error", "advice"]
    for number in range(2):
        item = table(pane).item(number, 0)
        assert item is not None
        assert not item.icon().isNull()


def test_a_row_leads_to_its_place_and_a_place_to_its_row(
    window: MainWindow, pane: FindingsPanel
) -> None:
    click(pane, 1)
    assert window.selection.ids == ("panel/F1",)
    assert "20 A × 0.75" in pane.line.text.text()
    window.figure.setFocus()
    window.selection.select(["panel/F2"])
    assert table(pane).currentRow() == 0
    assert "never fit a larger fuse" in pane.line.text.text().lower()
    window.selection.select(["panel/F3"])
    assert table(pane).currentRow() == -1
    assert not pane.line.isVisible()


def test_keys_step_through_the_findings(
    window: MainWindow, pane: FindingsPanel
) -> None:
    for expected in ("panel/F2", "panel/F1", "panel/F2"):
        window.actions_by_name["next_finding"].trigger()
        assert window.selection.ids == (expected,)
    window.actions_by_name["previous_finding"].trigger()
    assert window.selection.ids == ("panel/F1",)


def accept(qtbot: QtBot, window: MainWindow, pane: FindingsPanel) -> None:
    """Accept the advice on F1 by keys alone."""
    click(pane, 1)
    window.actions_by_name["accept_current"].trigger()
    assert pane.line.reason.hasFocus()
    QTest.keyClicks(pane.line.reason, "measured 14 A on the road")
    with qtbot.waitSignal(window.checker.checked):
        QTest.keyClick(pane.line.reason, Qt.Key.Key_Return)


def test_accepting_with_a_reason_moves_the_finding_apart_and_undo_brings_it_back(
    qtbot: QtBot, window: MainWindow, pane: FindingsPanel
) -> None:
    assert counts(window) == "1 error, 1 advice, 0 information"
    accept(qtbot, window, pane)
    (held,) = window.session.document.accepted.values()
    assert (held.finding, held.at) == ("loads-above-share", ("panel/F1",))
    assert held.reason == "measured 14 A on the road"
    assert held.date == datetime.date.today().isoformat()
    texts = cells(pane)
    assert [level for level, _ in texts] == [
        "error",
        "Accepted with a reason",
        "accepted",
    ]
    assert "measured 14 A on the road" in texts[-1][1]
    assert counts(window) == "1 error, 0 advice, 0 information"
    assert "panel/F1" not in window.figure.findings
    with qtbot.waitSignal(window.checker.checked):
        window.session.stack.undo()
    assert [level for level, _ in cells(pane)] == ["error", "advice"]
    assert window.figure.findings["panel/F1"] == "advice"
    with qtbot.waitSignal(window.checker.checked):
        window.session.stack.redo()
    assert "accepted" in [level for level, _ in cells(pane)]


def test_nothing_is_accepted_without_a_reason(
    window: MainWindow, pane: FindingsPanel
) -> None:
    click(pane, 0)
    pane.line.begin()
    QTest.keyClick(pane.line.reason, Qt.Key.Key_Return)
    assert "why" in pane.line.message.text
    assert not window.session.document.accepted
    QTest.keyClick(pane.line.reason, Qt.Key.Key_Escape)
    assert not pane.line.reason.isVisible()


def test_an_acceptance_is_withdrawn_by_its_button(
    qtbot: QtBot, window: MainWindow, pane: FindingsPanel
) -> None:
    accept(qtbot, window, pane)
    click(pane, 2)
    assert pane.line.withdraw_button.isVisible()
    with qtbot.waitSignal(window.checker.checked):
        QTest.mouseClick(pane.line.withdraw_button, Qt.MouseButton.LeftButton)
    assert not window.session.document.accepted
    assert [level for level, _ in cells(pane)] == ["error", "advice"]


def test_a_finding_that_grows_worse_is_no_longer_accepted(
    qtbot: QtBot, window: MainWindow, pane: FindingsPanel
) -> None:
    accept(qtbot, window, pane)
    with qtbot.waitSignal(window.checker.checked):
        window.session.edit("x", set_texts, ["panel/F1"], "loads", "fan 18 A")
    assert [level for level, _ in cells(pane)] == ["error", "advice"]
    click(pane, 1)
    assert "Accepted earlier when it said" in pane.line.text.text()
    with qtbot.waitSignal(window.checker.checked):
        window.session.edit("x", set_texts, ["panel/F1"], "loads", "fan 8 A")
    assert "Accepted earlier, no longer found" in [level for level, _ in cells(pane)]


def test_where_from_leads_to_the_numbers_behind_a_finding(
    window: MainWindow, pane: FindingsPanel
) -> None:
    click(pane, 1)
    QTest.mouseClick(pane.line.origin, Qt.MouseButton.LeftButton)
    QApplication.processEvents()
    assert window.numbers.derivation.isVisible()
    assert "20 A × 0.75 = 15 A" in window.numbers.derivation.toPlainText()


def test_a_clean_map_says_what_was_checked(
    qtbot: QtBot, window: MainWindow, pane: FindingsPanel
) -> None:
    with qtbot.waitSignal(window.checker.checked):
        window.session.edit("x", set_texts, ["panel/F1"], "loads", "fan 8 A")
        window.session.edit("x", set_texts, ["panel/F2"], "fitted_a", "")
    assert table(pane).isHidden()
    assert "loads against fuses" in pane._clean.text()
