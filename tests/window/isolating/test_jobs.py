"""Work and odds of the search, and what all the windows of the jobs do alike."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.model.document import Reading
from blockmap.model.edits import add_reading
from blockmap.window.isolating.draw_page import DrawPage
from blockmap.window.isolating.jobs import JOBS
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.isolating.work_page import WorkPage
from blockmap.window.main_window import MainWindow
from tests.window.isolating.at_work import (
    Key,
    draw,
    shared,
    short,
    text_at,
    texts,
    type_in,
    work,
)
from tests.window.isolating.test_fault_pane import settled

__all__ = ["draw", "shared", "short", "work"]


def test_other_work_changes_the_proposal_and_the_defaults_bring_it_back(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel, work: WorkPage
) -> None:
    window.session.edit(
        "seen", add_reading, Reading(point="blower, high", seen="dim", states=("RUN",))
    )
    settled(qtbot, pane)
    before = pane.proposal.words.text()
    proposed = pane.proposal.proposed
    assert proposed is not None
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        type_in(work.work, 0, 1, "45")
        type_in(work.work, 2, 1, "0.1")
    settled(qtbot, pane)
    assert window.session.document.work.front_min == 45
    assert pane.proposal.words.text() != before
    assert work.reset.isEnabled()
    with qtbot.waitSignal(pane.searcher.found, timeout=20_000):
        work.reset.click()
    settled(qtbot, pane)
    assert pane.proposal.words.text() == before
    assert not work.reset.isEnabled()


def test_defaults_are_faint_and_sourced_and_own_figures_say_whose_they_are(
    work: WorkPage,
) -> None:
    assert texts(work.work, 2)[:2] == ["Block down", ""]
    assert work.work.hint(2, 1) == "7"
    assert "common practice, no source" in texts(work.work, 2)[2]
    type_in(work.work, 2, 1, "20")
    assert texts(work.work, 2)[1] == "20"
    assert texts(work.work, 2)[2].startswith("set by you")
    names = [text_at(work.odds, n, 0) for n in range(work.odds.rowCount())]
    row = names.index("Fuse")
    assert [work.odds.hint(row, n) for n in (1, 2, 3)] == ["3", "0.4", "0"]
    type_in(work.odds, row, 1, "-2")
    assert "from 0 to 1000" in work.message.text


def test_the_block_hangs_already_is_one_tick(
    window: MainWindow, work: WorkPage
) -> None:
    work.down.click()
    assert window.session.document.work.block_is_down
    window.session.stack.undo()
    assert not work.down.isChecked()


@pytest.mark.parametrize("job", JOBS)
def test_an_empty_map_says_what_is_missing(window: MainWindow, job: str) -> None:
    document = window.session.document
    bare = replace(document, cavities={}, strips={}, readings={})
    window.session.edit("bare", lambda _old: bare)
    page = window.fault.jobs.bring(job)
    QApplication.processEvents()
    said = {
        "shared": "names no load",
        "draw": "has no fuse",
        "short": "No fuse on this map feeds a load",
        "work": "Faint figures",
    }[job]
    labels = [each.text() for each in page.findChildren(QLabel) if each.isVisible()]
    assert any(said in text for text in labels)


@pytest.mark.parametrize("job", JOBS)
def test_everything_that_takes_the_keyboard_has_a_name(
    window: MainWindow, job: str
) -> None:
    page = window.fault.jobs.bring(job)
    QApplication.processEvents()
    for each in page.findChildren(QWidget):
        policy = each.focusPolicy() & Qt.FocusPolicy.TabFocus
        if policy and each.isVisible():
            text = getattr(each, "text", lambda: "")()
            assert each.accessibleName() or text, each


def test_escape_closes_and_the_keys_of_the_window_go_on_working(
    qtbot: QtBot, window: MainWindow, draw: DrawPage
) -> None:
    beside = window.fault.jobs.windows["draw"]
    assert beside.windowType() is Qt.WindowType.Tool
    QTest.keyClick(beside, Key.Key_Escape)
    assert not beside.isVisible()


def test_closing_takes_what_is_being_typed(window: MainWindow, draw: DrawPage) -> None:
    draw.table.setFocus()
    draw.table.setCurrentCell(0, 2)
    QTest.keyClick(draw.table, Key.Key_Return)
    assert draw.table.editor is not None
    QTest.keyClicks(draw.table.editor, "0.3")
    window.fault.jobs.windows["draw"].close()
    assert [r.value for r in window.session.document.readings.values()] == [0.3]


@pytest.mark.parametrize("job", JOBS)
def test_access_keys_are_none_of_the_menus_and_each_once(
    window: MainWindow, job: str
) -> None:
    page = window.fault.jobs.bring(job)
    texts = [each.text() for each in page.findChildren(QAbstractButton)]
    texts += [each.text() for each in page.findChildren(QLabel)]
    keys = [QKeySequence.mnemonic(text).toString() for text in texts]
    keys = [key for key in keys if key]
    menus = [QKeySequence.mnemonic(a.text()) for a in window.menuBar().actions()]
    assert len(keys) == len(set(keys))
    assert not {key.toString() for key in menus} & set(keys)
