"""Moving, resizing and turning by hand: previews, snapping, one step to undo."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.model.document import Map
from blockmap.model.edits import Direction, Edge, move_cavities, turn_cavities
from blockmap.model.geometry import Point, View
from blockmap.window.canvas.tools.selecting import SelectTool
from tests.window.canvas.conftest import LEFT, NONE, Hand, six_map

Put = Callable[[Map], Hand]
ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


def test_a_move_snaps_to_a_neighbour_and_is_one_named_step(hand: Put) -> None:
    h = hand(six_map())  # F1..F3 at x 15, 35, 55; F4..F6 under them
    h.press(55, 40)
    h.move(70, 70)
    h.move(35.4, 70.2)
    assert h.named("F6").centre == (55, 40), "the map waits for the release"
    assert [c.x_mm for c in h.view.preview] == pytest.approx([35])
    h.release(35.4, 70.2)
    assert h.named("F6").x_mm == pytest.approx(35)
    assert h.session.stack.undoText() == "Move F6"
    h.session.stack.undo()
    assert h.named("F6").centre == (55, 40)


def test_alt_suspends_the_snapping(hand: Put) -> None:
    h = hand(six_map())
    h.press(55, 40)
    h.move(70, 70)
    h.release(35.3, 70.2, ALT)
    assert h.named("F6").x_mm == pytest.approx(35.3)


def test_snapping_can_be_switched_off(hand: Put) -> None:
    h = hand(six_map())
    h.view.set_snapping(False)
    h.drag((55, 40), (70, 70), (35.3, 70.2))
    assert h.named("F6").x_mm == pytest.approx(35.3)


def test_shift_keeps_a_move_straight(hand: Put) -> None:
    h = hand(six_map())
    h.press(55, 40)
    h.move(58, 60)
    h.release(58, 80, SHIFT)
    assert h.named("F6").x_mm == 55
    assert h.named("F6").y_mm == pytest.approx(80)


def test_several_move_together(hand: Put) -> None:
    h = hand(six_map())
    h.select("F4", "F5", "F6")
    h.drag((35, 40), (35, 60), (35, 80))
    assert [h.named(n).centre for n in ("F4", "F5", "F6")] == [
        (15, 80),
        (35, 80),
        (55, 80),
    ]
    assert h.session.stack.undoText() == "Move 3 cavities"


def test_escape_during_a_drag_restores(hand: Put) -> None:
    h = hand(six_map())
    before = h.document
    h.press(15, 15)
    h.move(80, 80)
    assert h.view.preview[0].centre != (15, 15)
    h.key(Qt.Key.Key_Escape)
    assert not h.view.preview
    h.release(80, 80)
    assert h.document is before
    assert h.session.stack.count() == 0


def test_a_move_onto_another_is_marked_while_it_lasts(hand: Put) -> None:
    h = hand(six_map())
    h.press(15, 15)
    h.move(30, 20)
    h.move(36, 17)
    assert h.view.unfit == {h.named("F1").id}
    h.move(90, 80)
    assert not h.view.unfit
    h.release(90, 80)


def handle(h: Hand, along: int, across: int) -> tuple[float, float]:
    """Return where a handle of the selected cavity stands, in front millimetres."""
    assert isinstance(h.view.tool, SelectTool)
    chosen = h.view.content.cavity(h.selection.current)
    assert chosen is not None
    h.move(0, 0)
    h.move(*chosen.centre)  # the handles of the sides come with the pointer
    shown = h.view.tool.handles()
    assert shown is not None
    found = next(x for x in shown.handles if (x.along, x.across) == (along, across))
    return h.view.content.seen(h.view.frame_now.to_mm(found.at))


def test_a_handle_resizes_and_the_other_side_stays(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    before = h.named("F1").bounds
    x, y = handle(h, 1, 0)  # the finish end: at turn 90 the bottom
    assert y > before.bottom_mm
    h.press(x, y)
    h.move(x, y + 2)
    h.release(x, y + 6, ALT)
    after = h.named("F1")
    assert after.bounds.top_mm == pytest.approx(before.top_mm, abs=0.01)
    assert after.width_mm == pytest.approx(19.1 + 6, abs=0.11)
    assert after.height_mm == pytest.approx(5.1)
    assert h.session.stack.undoText() == "Resize F1"
    h.session.stack.undo()
    assert h.named("F1").bounds == before


def test_a_resized_side_snaps_to_the_outline(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    x, y = handle(h, -1, 0)
    top = h.named("F1").bounds.top_mm
    h.press(x, y)
    h.move(x, y - 2)
    h.release(x, y - top + 0.3)  # to 0.3 mm off the top edge
    assert h.named("F1").bounds.top_mm == pytest.approx(0, abs=0.002)


def test_a_click_on_a_handle_changes_nothing(hand: Put) -> None:
    h = hand(six_map())
    before = h.document
    h.select("F1")
    h.click(*handle(h, 1, 0))
    assert h.document is before


def test_handles_take_presses_24_pixels_wide(hand: Put) -> None:
    # WCAG 2.2, success criterion 2.5.8: targets of at least 24 by 24 CSS pixels.
    h = hand(six_map())
    h.select("F1")
    h.move(0, 0)
    h.move(15, 15)
    assert isinstance(h.view.tool, SelectTool)
    shown = h.view.tool.handles()
    assert shown is not None
    bottom = next(x for x in shown.handles if (x.along, x.across) == (1, 0))
    for dx, dy in ((-11, 0), (11, 0), (0, 11)):
        at = bottom.at.toPoint()
        at.setX(at.x() + dx)
        at.setY(at.y() + dy)
        assert shown.at(at.toPointF()) is not None


@pytest.mark.parametrize("view", [View.FRONT, View.REAR])
def test_the_round_handle_turns_a_cavity(hand: Put, view: View) -> None:
    h = hand(six_map())
    h.selection.set_view(view)
    h.select("F5")
    h.view.zoom_by(10 / h.view.frame_now.scale)
    x, y = handle(h, 0, 0)
    assert y < 40 - 9  # it stands over the body
    h.press(x, y)
    h.move(x + 2, y)
    way = 40 - y
    h.release(35 + way, 40)  # to the right of the middle in the front view
    assert h.named("F5").turn_deg == 180
    assert h.session.stack.undoText() == "Turn F5"


def test_commands_follow_the_view(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    h.view.commands.turn(90)
    assert h.named("F1").turn_deg == 180
    h.selection.set_view(View.REAR)
    h.view.commands.turn(90)
    assert h.named("F1").turn_deg == 90, "clockwise as seen from behind"


def test_align_left_means_left_as_it_is_seen(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1", "F5")
    h.view.commands.align(Edge.LEFT)
    assert h.named("F5").x_mm == 15
    h.session.stack.undo()
    h.selection.set_view(View.REAR)
    h.select("F1", "F5")
    h.view.commands.align(Edge.LEFT)
    assert h.named("F1").x_mm == 35


def test_distribute_duplicate_delete_invert(hand: Put) -> None:
    document = move_cavities(six_map(), {"panel/F2": Point(30, 15)})
    h = hand(document)
    h.select("F1", "F2", "F3")
    h.view.commands.distribute(Direction.ACROSS)
    assert h.named("F2").x_mm == 35
    h.view.commands.duplicate()
    assert len(h.document.cavities) == 9
    assert len(h.selection.ids) == 3
    assert h.session.stack.undoText() == "Duplicate 3 cavities"
    h.view.commands.invert_selection()
    assert len(h.selection.ids) == 6
    h.view.commands.select_all()
    h.view.commands.delete()
    assert not h.document.cavities
    assert h.session.stack.undoText() == "Delete 9 cavities"


def test_a_press_under_a_turned_cavity_means_it(hand: Put) -> None:
    document = turn_cavities(six_map(), ["panel/F1"], 45)  # now 135 degrees
    h = hand(document)
    cavity = h.named("F1")
    near = cavity.ends[0]
    inner = Point(
        cavity.x_mm + 0.8 * (near.x_mm - cavity.x_mm),
        cavity.y_mm + 0.8 * (near.y_mm - cavity.y_mm),
    )
    h.click(*inner)
    assert h.names() == ["F1"]
    # As far from the middle, but beside the body and not on it.
    h.selection.clear()
    h.click(cavity.x_mm - (inner.x_mm - cavity.x_mm), inner.y_mm)
    assert h.names() == []


def test_a_second_press_asks_for_the_editor(hand: Put) -> None:
    h = hand(six_map())
    asked: list[str] = []
    h.view.edit_wanted.connect(asked.append)
    h.click(15, 15)
    QTest.mouseDClick(h.port, LEFT, NONE, h.px(15, 15))
    assert asked == ["panel/F1"]
