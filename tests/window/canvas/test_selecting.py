"""Selecting by pointer and by keys, and what the figure says about it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from blockmap.model.document import Map
from blockmap.model.edits import delete_cavities
from blockmap.model.geometry import View
from tests.window.canvas.conftest import Hand, six_map

Put = Callable[[Map], Hand]
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def test_click_shift_and_control(hand: Put) -> None:
    h = hand(six_map())
    h.click(15, 15)
    assert h.names() == ["F1"]
    h.click(55, 15, SHIFT)
    assert h.names() == ["F1", "F3"]
    h.click(15, 15, CONTROL)
    assert h.names() == ["F3"]
    h.click(35, 40, CONTROL)
    assert h.names() == ["F3", "F5"]
    h.click(35, 40)
    assert h.names() == ["F5"], "a plain click on one of several takes it alone"
    h.click(100, 80)
    assert h.names() == []


def test_a_drag_over_paper_encloses(hand: Put) -> None:
    h = hand(six_map())
    h.drag((25, 3), (30, 20), (62, 28))
    assert sorted(h.names()) == ["F2", "F3"]


def test_escape_gives_the_selection_from_before_back(hand: Put) -> None:
    h = hand(six_map())
    h.select("F4")
    h.press(25, 3)
    h.move(62, 28)
    assert sorted(h.names()) == ["F2", "F3"]
    h.key(Qt.Key.Key_Escape)
    assert h.names() == ["F4"]
    h.release(62, 28)
    h.key(Qt.Key.Key_Escape)
    assert h.names() == []


def test_arrows_go_to_the_neighbour_as_it_is_seen(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    h.key(Qt.Key.Key_Right)
    assert h.names() == ["F2"]
    h.key(Qt.Key.Key_Down)
    assert h.names() == ["F5"]
    h.key(Qt.Key.Key_Left)
    assert h.names() == ["F4"]
    h.selection.set_view(View.REAR)
    h.key(Qt.Key.Key_Left)
    assert h.names() == ["F5"], "seen from behind, F5 lies left of F4"


def test_shift_and_arrow_take_the_next_one_in(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    h.key(Qt.Key.Key_Right, SHIFT)
    assert h.names() == ["F1", "F2"]


def test_tab_walks_in_order_and_leaves_at_the_end(hand: Put) -> None:
    h = hand(six_map())
    h.key(Qt.Key.Key_Tab)
    walked = [*h.names()]
    for _ in range(5):
        h.key(Qt.Key.Key_Tab)
        walked += h.names()
    assert walked == ["F1", "F2", "F3", "F4", "F5", "F6"]
    h.key(Qt.Key.Key_Backtab)
    assert h.names() == ["F5"]
    h.key(Qt.Key.Key_Tab)
    assert not h.view.walk(1), "past the last one Tab belongs to the window again"


def test_nudges_follow_the_view_and_are_one_step(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    h.held_key(Qt.Key.Key_Right, CONTROL)
    h.held_key(Qt.Key.Key_Right, CONTROL)
    h.held_key(Qt.Key.Key_Down, CONTROL | SHIFT)
    assert h.named("F1").centre == (16, 20)
    assert h.session.stack.count() == 1
    assert h.session.stack.undoText() == "Move F1"
    QTest.keyRelease(h.view, Qt.Key.Key_Control)
    h.selection.set_view(View.REAR)
    h.key(Qt.Key.Key_Right, CONTROL)
    assert h.named("F1").x_mm == 15.5
    assert h.session.stack.count() == 2
    h.session.stack.undo()
    h.session.stack.undo()
    assert h.named("F1").centre == (15, 15)


def test_delete_by_key_selects_the_next(hand: Put) -> None:
    h = hand(six_map())
    h.select("F2")
    h.key(Qt.Key.Key_Delete)
    assert h.session.stack.undoText() == "Delete F2"
    assert h.names() == ["F3"]


def test_enter_asks_for_the_editor(hand: Put) -> None:
    h = hand(six_map())
    asked: list[str] = []
    h.view.edit_wanted.connect(asked.append)
    h.select("F2")
    h.key(Qt.Key.Key_Return)
    assert asked == ["panel/F2"]


def test_the_menu_key_asks_at_the_selected_cavity(hand: Put) -> None:
    h = hand(six_map())
    places: list[QPoint] = []
    h.view.menu_wanted.connect(places.append)
    h.select("F5")
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Keyboard, QPoint(1, 1), QPoint(1, 1)
    )
    QApplication.sendEvent(h.port, event)
    assert places == [h.port.mapToGlobal(h.px(35, 40))]


def test_a_menu_by_mouse_takes_the_cavity_under_it(hand: Put) -> None:
    h = hand(six_map())
    places: list[QPoint] = []
    h.view.menu_wanted.connect(places.append)
    at = h.px(35, 40)
    where = h.port.mapToGlobal(at)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, where)
    QApplication.sendEvent(h.port, event)
    assert places == [where]
    assert h.names() == ["F5"]


def test_the_figure_says_what_is_shown_and_selected(hand: Put) -> None:
    h = hand(six_map())
    assert h.view.accessibleName() == "Figure of Panel. Front view"
    assert h.view.accessibleDescription() == "6 cavities. Nothing selected"
    h.select("F2")
    said = h.view.accessibleDescription()
    assert "F2, fuse, medium blade" in said
    assert "at 35 mm from the left and 15 mm from the top" in said
    h.select("F1", "F2")
    assert "2 selected: F1, F2" in h.view.accessibleDescription()
    h.selection.set_view(View.REAR)
    assert h.view.accessibleName() == "Figure of Panel. Rear view: mirrored"


def test_the_list_of_what_is_drawn_follows_the_map(hand: Put) -> None:
    h = hand(six_map())
    h.select("F2")
    drawn = h.view.drawn()
    assert [d.designation for d in drawn] == ["F1", "F2", "F3", "F4", "F5", "F6"]
    assert [d.selected for d in drawn].count(True) == 1
    assert drawn[1].rect.contains(h.px(35, 15).toPointF())
    h.session.edit("Delete F1", delete_cavities, ["panel/F1"])
    assert h.view.drawn()[0].designation == "F2"


def test_the_status_line_names_place_and_view(hand: Put) -> None:
    h = hand(six_map())
    said: list[str] = []
    h.view.pointer_moved.connect(said.append)
    h.move(35, 40)
    assert said[-1] == "F5 · x 35.0 mm, y 40.0 mm · Front view"


@pytest.mark.parametrize("tool", ["select", "cavity", "row", "grid", "outline"])
def test_every_tool_says_what_comes_next(hand: Put, tool: str) -> None:
    h = hand(six_map())
    said: list[str] = []
    h.view.hint_changed.connect(said.append)
    h.view.set_tool(tool)
    assert said
    assert said[-1]


def test_escape_puts_a_tool_away(hand: Put) -> None:
    h = hand(six_map())
    h.view.set_tool("row")
    h.key(Qt.Key.Key_Escape)
    assert h.view.tool.name == "select"


def test_the_hint_follows_a_gesture_while_the_button_is_held(hand: Put) -> None:
    h = hand(six_map())
    hints: list[str] = []
    h.view.hint_changed.connect(hints.append)
    h.press(100, 90)
    h.move(110, 95)
    h.move(120, 100)
    assert "Escape calls it off" in hints[-1]
    h.release(120, 100)
    assert "Click a cavity" in hints[-1]
    h.press(15, 15)
    h.move(30, 30)
    h.move(40, 40)
    assert "Escape puts it back" in hints[-1]
    h.release(40, 40)
