"""After the repair: what was read before is set aside, and the search goes on rightly.

The outside source of the search is tests/data/stories.json, story T2; what a mended
car shows is worked by hand beside each reading.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import Condition, Reading
from blockmap.model.edits import add_reading, set_condition
from blockmap.window.isolating.panel import FaultPanel
from blockmap.window.main_window import MainWindow
from tests.window.isolating.test_fault_pane import (
    BLOWER,
    TAKEN,
    cell,
    type_cell,
)

ROWS = [reading for _, reading in TAKEN]


def settled(qtbot: QtBot, pane: FaultPanel) -> None:
    """Wait until the answer is that of the map as it is now."""
    before = pane.searcher.latest
    pane.searcher.request()
    qtbot.waitUntil(lambda: pane.searcher.latest is not before, timeout=20_000)


def complain(qtbot: QtBot, window: MainWindow, pane: FaultPanel) -> None:
    """Note what the owner says, and the readings of the story until one is left."""
    window.session.edit(
        "seen", add_reading, Reading(point="blower, high", seen="dim", states=("RUN",))
    )
    for number, reading in enumerate(ROWS, start=1):
        for field, text in reading.items():
            type_cell(pane, number, field, text)
    settled(qtbot, pane)


def answer(qtbot: QtBot, pane: FaultPanel, text: str) -> None:
    """Type what the proposed test shows, and Enter; wait for what follows."""
    QTest.keyClicks(pane.proposal.field, text)
    pane.proposal.field.close_list()
    QTest.keyClick(pane.proposal.field, Qt.Key.Key_Return)
    settled(qtbot, pane)


def offered(pane: FaultPanel) -> str:
    return pane.repair.button.text() if pane.repair.isVisible() else ""


def test_from_the_complaint_to_a_repair_that_is_proved(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    complain(qtbot, window, pane)
    assert pane.heading.text().startswith("One suspect is left: feed contact of F11")
    assert offered(pane) == "Mended: set 7 readings aside"
    # The part is mended and a reading taken again: 18 A over 2 mΩ are some 40 mV.
    row = len(ROWS) + 1
    again = {"point": "F7.F", "against": "F11.b1", "value": "40 mV", **BLOWER}
    for field, text in again.items():
        type_cell(pane, row, field, text)
    settled(qtbot, pane)
    assert (
        "holds now: feed contact of F7 to feed end of fuse F11, 40 mV"
        in pane.repair.words.text()
    )
    assert offered(pane) == "Mended: set 7 readings aside"
    steps = window.session.stack.count()
    QTest.mouseClick(pane.repair.button, Qt.MouseButton.LeftButton)
    assert window.session.stack.count() == steps + 1
    settled(qtbot, pane)
    assert offered(pane) == ""
    assert pane.heading.text() == (
        "Nothing read since the repair speaks for a fault. Still to prove: "
        "“blower, high”; load contact of F11; "
        "load end of fuse F11 to load contact of F11."
    )
    assert pane.suspects.rowCount() == 0
    # What was amiss is proposed again, one test after the other.
    assert pane.proposal.do.text().startswith("Try “blower, high”")
    assert "before the repair it was amiss" in pane.proposal.words.text().lower()
    answer(qtbot, pane, "works")
    assert pane.proposal.do.text().startswith(
        "Measure volts from load contact of F11 to ground"
    )
    answer(qtbot, pane, "11.9")
    answer(qtbot, pane, "30")
    assert pane.heading.text() == (
        "Nothing read since the repair speaks for a fault. All that was amiss before "
        "it has been read again."
    )
    assert pane.proposal.do.text().startswith("Nothing speaks for a fault")
    assert cell(pane, 6, "follows").startswith("set aside: before the repair")
    assert "before 450 mV: 420 mV less" in cell(pane, row + 3, "follows")


def test_what_is_to_be_mended_leads_behind_and_a_fitted_repair_is_seen_here(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    complain(qtbot, window, pane)
    assert pane.proposal.do.text().startswith("Mend it, then measure volts between")
    assert pane.proposal.behind_button.isVisible()
    QTest.mouseClick(pane.proposal.behind_button, Qt.MouseButton.LeftButton)
    assert window.selection.ids == ("panel/F11",)
    assert window.selection.contact == "feed"
    assert window.behind.isVisible()
    assert "Once it is mended" in pane.repair.words.text()
    fitted = Condition(state="annealed", severity=3, stage="fitted")
    window.session.edit("fitted", set_condition, "panel/F11", "feed", fitted)
    window.panes.bring("fault")
    settled(qtbot, pane)
    assert "Its repair is noted as fitted" in pane.repair.words.text()
    assert offered(pane) == "Mended: set 7 readings aside"


def test_history_is_told_in_words_kept_in_the_file_and_weighed_again_one_by_one(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    complain(qtbot, window, pane)
    window.actions_by_name["set_readings_aside"].trigger()
    settled(qtbot, pane)
    assert pane.heading.text().startswith("Nothing has been read since the repair.")
    assert [cell(pane, row, "stands") for row in range(7)] == ["before"] * 7
    document = window.session.document
    read = read_map(map_text(document).encode()).document
    assert all(reading.aside for reading in read.readings.values())
    pane.notebook.setCurrentCell(1, 0)
    pane.notebook.clearSelection()  # the keyboard still stands on it
    assert pane.aside_button.text() == "Weigh again"
    QTest.mouseClick(pane.aside_button, Qt.MouseButton.LeftButton)
    settled(qtbot, pane)
    assert cell(pane, 1, "stands") == "since"
    assert pane.aside_button.text() == "Set aside"
    window.session.stack.undo()
    window.session.stack.undo()
    settled(qtbot, pane)
    assert pane.heading.text().startswith("One suspect is left: feed contact of F11")
    assert not any(r.aside for r in window.session.document.readings.values())


def test_a_new_complaint_after_the_repair_is_searched_without_the_old_readings(
    qtbot: QtBot, window: MainWindow, pane: FaultPanel
) -> None:
    complain(qtbot, window, pane)
    window.actions_by_name["set_readings_aside"].trigger()
    window.session.edit(
        "seen", add_reading, Reading(point="wiper", seen="dead", states=("RUN",))
    )
    settled(qtbot, pane)
    named = " ".join(name for s in pane.suspects.suspects for name in s.elements)
    assert "F4" in named
    assert "F11.feed" not in named
    assert pane.proposal.proposed is not None
