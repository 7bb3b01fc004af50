"""The pane of numbers: what it says, where it comes from, and the limits."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from blockmap.model.edits import remove_strip, set_texts
from blockmap.window.main_window import MainWindow
from blockmap.window.numbers.panel import NumbersPanel
from blockmap.window.numbers.rows import NumberRow


@pytest.fixture
def pane(window: MainWindow) -> NumbersPanel:
    """The pane in front, F1 selected."""
    window.panes.bring("numbers")
    window.selection.select(["panel/F1"])
    QApplication.processEvents()
    return window.numbers


def row(pane: NumbersPanel, name: str) -> NumberRow:
    """Return the row of this name."""
    (found,) = (each for each in pane.rows if each.name == name)
    return found


def cells(pane: NumbersPanel) -> list[list[str]]:
    """Return what stands in the table."""
    table = pane.table
    return [
        [item.text() if (item := table.item(r, c)) else "" for c in range(3)]
        for r in range(table.rowCount())
    ]


def test_a_selected_fuse_shows_its_load_verdict_and_sign(pane: NumbersPanel) -> None:
    # 75 % of the rating for long use: maker guide; 16 A are 107 % of 15 A.
    assert ["Load all the time", "16 A", "above: 107 % of 15 A"] in cells(pane)
    assert ["Load running at once", "16 A", "holds: 80 % of 20 A"] in cells(pane)
    assert row(pane, "Load all the time").sign == "advice"
    assert row(pane, "Load running at once").sign == "sound"
    icon = pane.table.item(0, 2)
    assert icon is not None
    assert not icon.icon().isNull()


def test_drop_and_rest_are_shown_where_the_length_is_noted(
    window: MainWindow, pane: NumbersPanel
) -> None:
    window.selection.select(["panel/F3"])
    # 13.174 mΩ/m of 16 AWG (ASTM B258, IEC 60028) × 4 m × 10 A = 0.527 V.
    drop = row(pane, "Drop along 16 AWG")
    assert drop.value.startswith("0.527 V")
    assert drop.verdict == "holds: 88 % of 0.6 V"
    assert row(pane, "Left at the load").value.startswith("11.5 V")
    # Source: 33 CFR 183.425 Table 5: 16 AWG bears 25 A at 105 °C.
    assert row(pane, "Fuse and thinnest wire").verdict == "holds: 80 % of 25 A"


def test_the_strip_above_is_summed_beside_what_its_wire_bears(
    pane: NumbersPanel,
) -> None:
    # Source: the same table: 10 AWG bears 60 A at 105 °C.
    strip = row(pane, "Strip BAT, running")
    assert (strip.value, strip.verdict) == ("31 A", "holds: 52 % of 60 A")


def test_nothing_selected_shows_strips_and_supplies(
    window: MainWindow, pane: NumbersPanel
) -> None:
    window.selection.clear()
    names = [each.name for each in pane.rows]
    assert names == ["Strip BAT, running", "Supply battery, running"]


def test_what_is_not_known_is_never_said_to_hold(
    qtbot: QtBot, window: MainWindow, pane: NumbersPanel
) -> None:
    def carry(loads: str) -> None:
        with qtbot.waitSignal(window.checker.checked):
            window.session.edit("x", set_texts, ["panel/F1"], "loads", loads)

    carry("horn 5 A; bell")
    assert row(pane, "Load running at once").value == "5 A or more"
    assert row(pane, "Load running at once").verdict.startswith("so far 25 % of 20 A")
    assert row(pane, "Load running at once").sign == ""
    assert row(pane, "Strip BAT, running").value.endswith("A or more")
    assert row(pane, "Strip BAT, running").sign == ""
    carry("bell")
    assert row(pane, "Load running at once").value == "not known"
    assert row(pane, "Load running at once").verdict == "no current is known of bell"
    carry("horn 25 A; bell")
    assert row(pane, "Load running at once").verdict == "above: 125 % of 20 A"


def test_several_selected_show_each_and_their_sum(
    window: MainWindow, pane: NumbersPanel
) -> None:
    window.selection.select(["panel/F1", "panel/F3"])
    assert [each.name for each in pane.rows] == ["F1", "F3", "All selected, running"]
    assert pane.rows[-1].value == "26 A"


def test_an_overload_typed_in_gives_its_opening_time(pane: NumbersPanel) -> None:
    # Source: medium blade datasheets: at 200 % from 0.15 s to 5 s.
    assert row(pane, "Opens at 40 A").value == "0.15 s to 5 s"
    pane.overload.setText("27")
    # Source: the same datasheets: at 135 % from 0.75 s to 600 s.
    assert row(pane, "Opens at 27 A").value.endswith("to 10 min")
    pane.overload.setText("nonsense")
    assert row(pane, "Opens at 40 A")


def click(pane: NumbersPanel, number: int) -> None:
    """Click on a row of the table."""
    item = pane.table.item(number, 0)
    assert item is not None
    place = pane.table.visualItemRect(item).center()
    viewport = pane.table.viewport()
    QTest.mouseClick(viewport, Qt.MouseButton.LeftButton, pos=place)


def test_one_click_leads_from_a_number_to_its_formula_and_source(
    pane: NumbersPanel,
) -> None:
    click(pane, 0)
    text = pane.derivation.toPlainText()
    assert pane.derivation.isVisible()
    assert "20 A × 0.75 = 15 A" in text
    assert "verified: read in a document" in text
    assert "75 % of the rating" in text
    pane.derivation.anchorClicked.emit(QUrl("input:0"))
    assert pane.derivation.shown_figures[0].name == "fan"
    assert pane.derivation.steps == 2
    QTest.keyClick(pane.derivation, Qt.Key.Key_Backspace)
    assert pane.derivation.steps == 1
    QTest.keyClick(pane.derivation, Qt.Key.Key_Escape)
    assert pane.table.isVisible()


def test_enter_does_what_the_click_does_and_links_are_reached_by_tab(
    pane: NumbersPanel,
) -> None:
    pane.table.setFocus()
    pane.table.setCurrentCell(0, 0)
    QTest.keyClick(pane.table, Qt.Key.Key_Return)
    assert pane.derivation.isVisible()
    assert pane.derivation.hasFocus()
    QTest.keyClick(pane.derivation, Qt.Key.Key_Tab)
    QTest.keyClick(pane.derivation, Qt.Key.Key_Return)
    assert pane.derivation.steps == 2


def test_the_button_back_leads_to_the_figures(pane: NumbersPanel) -> None:
    click(pane, 0)
    back = next(b for b in pane.findChildren(QPushButton) if b.text() == "Back")
    QTest.mouseClick(back, Qt.MouseButton.LeftButton)
    assert pane.table.isVisible()


def test_the_figures_follow_an_edit(
    qtbot: QtBot, window: MainWindow, pane: NumbersPanel
) -> None:
    with qtbot.waitSignal(window.checker.checked):
        window.session.edit("x", set_texts, ["panel/F1"], "loads", "fan 9 A")
    assert row(pane, "Load all the time").verdict == "holds: 60 % of 15 A"
    with qtbot.waitSignal(window.checker.checked):
        window.session.stack.undo()
    assert row(pane, "Load all the time").value == "16 A"


def set_limit(pane: NumbersPanel, key: str, text: str) -> None:
    """Type a limit into its field and press Enter."""
    pane.show_limits()
    field = pane.limits_page.field(key)
    field.editor.setFocus()
    field.editor.selectAll()
    QTest.keyClicks(field.editor, text)
    QTest.keyClick(field.editor, Qt.Key.Key_Return)


def test_a_limit_that_is_set_holds_for_this_map_and_is_said_with_the_number(
    qtbot: QtBot, window: MainWindow, pane: NumbersPanel
) -> None:
    with qtbot.waitSignal(window.checker.checked):
        set_limit(pane, "continuous_share", "90")
    assert window.session.document.limits.continuous_share == 0.9
    pane.show_figures()
    verdict = row(pane, "Load all the time").verdict
    assert verdict == "holds: 89 % of 18 A; limit set by you"
    pane.open_row(0)
    assert "limit set by you" in pane.derivation.toPlainText()
    with qtbot.waitSignal(window.checker.checked):
        window.session.stack.undo()
    assert window.session.document.limits.continuous_share is None
    assert pane.limits_page.field("continuous_share").editor.text() == ""


def test_a_limit_that_makes_no_sense_stays_in_its_field_with_the_reason(
    window: MainWindow, pane: NumbersPanel
) -> None:
    set_limit(pane, "continuous_share", "300")
    field = pane.limits_page.field("continuous_share")
    assert "from 30 to 100 %" in field.message.text
    assert window.session.document.limits.continuous_share is None


def test_the_source_of_a_default_is_one_click_away(pane: NumbersPanel) -> None:
    pane.show_limits()
    pane.limits_page.origin_wanted.emit("drop_fault")
    text = pane.derivation.toPlainText()
    assert "1.0 V in a 12 V circuit is a problem" in text
    assert "manual" in text
    pane.derivation.back()
    assert pane.limits_page.isVisible()


def test_a_strip_that_has_just_gone_does_no_harm_before_the_next_check(
    window: MainWindow, pane: NumbersPanel
) -> None:
    window.session.edit("x", remove_strip, "panel/BAT")
    window.selection.select(["panel/F3"])
    assert "Strip BAT, running" not in [each.name for each in pane.rows]


def test_a_place_with_nothing_noted_says_what_to_enter(
    qtbot: QtBot, window: MainWindow, pane: NumbersPanel
) -> None:
    with qtbot.waitSignal(window.checker.checked):
        window.session.edit("x", set_texts, ["panel/F1"], "loads", "")
        window.session.edit("x", set_texts, ["panel/F1"], "rating_a", "")
        window.session.edit("x", remove_strip, "panel/BAT")
    assert pane.rows == ()
    assert not pane.table.isVisible()
    assert "Enter loads" in pane._nothing.text()
