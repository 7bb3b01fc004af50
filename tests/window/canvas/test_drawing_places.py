"""Rows, grids and single cavities: by one drag, by a click and by keys alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.model.document import Map
from blockmap.model.edits import Grid, grid_cavities, turn_cavities
from blockmap.model.geometry import Point, View
from tests.window.canvas.conftest import Hand, bare_map, six_map

Put = Callable[[Map], Hand]


def test_a_grid_of_24_is_one_drag_and_one_undo(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("grid")
    options = h.view.row_options
    options.pitch_x.setValue(20)
    options.pitch_y.setValue(25)
    h.press(15, 15)
    h.move(60, 40)
    h.move(116, 89)
    assert len(h.view.preview) == 24
    assert not h.document.cavities, "a preview leaves the map alone"
    h.release(116, 89)

    expected = grid_cavities(
        bare_map(),
        "panel",
        Grid(first=Point(15, 15), columns=6, rows=4, first_designation="F1"),
    )
    made = [(c.designation, c.x_mm, c.y_mm) for c in h.document.cavities.values()]
    assert made == [(c.designation, c.x_mm, c.y_mm) for c in expected]
    assert h.session.stack.count() == 1
    assert h.session.stack.undoText() == "Add grid of 6 × 4 cavities"
    assert len(h.selection.ids) == 24
    assert options.first.text() == "F25"

    drawn = h.document
    h.session.stack.undo()
    assert not h.document.cavities
    h.session.stack.redo()
    assert h.document == drawn


def test_a_grid_of_4_takes_as_many_presses_as_one_of_24(hand: Put) -> None:
    # Both are one press, moves and one release: the drag alone says how many.
    counts = []
    for finish in ((36.0, 40.0), (116.0, 89.0)):
        h = hand(bare_map())
        h.view.set_tool("grid")
        h.view.row_options.pitch_x.setValue(20)
        h.view.row_options.pitch_y.setValue(25)
        h.drag((15, 15), finish)
        counts.append(len(h.document.cavities))
    assert counts == [4, 24]


@pytest.mark.parametrize(
    ("start", "finish", "names"),
    [
        ((15, 50), (75, 50), ["F1", "F2", "F3", "F4"]),
        ((75, 50), (15, 50), ["F4", "F3", "F2", "F1"]),
    ],
)
def test_a_row_counts_from_where_the_drag_began(
    hand: Put,
    start: tuple[float, float],
    finish: tuple[float, float],
    names: list[str],
) -> None:
    h = hand(bare_map())
    h.view.set_tool("row")
    h.view.row_options.pitch_x.setValue(20)
    h.drag(start, (45, 52), finish)
    by_x = sorted(h.document.cavities.values(), key=lambda c: c.x_mm)
    assert [c.designation for c in by_x] == names
    assert [c.x_mm for c in by_x] == [15, 35, 55, 75]
    assert {c.y_mm for c in by_x} == {50}


def test_in_the_rear_view_the_row_still_starts_at_the_press(hand: Put) -> None:
    h = hand(bare_map())
    h.selection.set_view(View.REAR)
    h.view.set_tool("row")
    h.view.row_options.pitch_x.setValue(20)
    # The hand works in front-view places: from 115 to 75 is left to right as seen.
    start, finish = h.px(115, 50), h.px(75, 50)
    assert start.x() < finish.x()
    h.drag((115, 50), (75, 50))
    assert h.named("F1").x_mm == 115
    assert h.named("F3").x_mm == 75


def test_a_click_adds_the_count_that_is_typed(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("row")
    h.view.row_options.columns.setValue(5)
    h.click(20, 30)
    assert len(h.document.cavities) == 5
    assert h.session.stack.undoText() == "Add row of 5 cavities"


def test_escape_in_a_drag_leaves_nothing(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("grid")
    h.press(15, 15)
    h.move(80, 80)
    assert h.view.preview
    h.key(Qt.Key.Key_Escape)
    assert not h.view.preview
    h.release(80, 80)
    assert not h.document.cavities
    assert h.session.stack.count() == 0


def test_a_row_by_keys_alone(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("row")
    options = h.view.row_options
    for field, text in (
        (options.columns, "4"),
        (options.pitch_x, "3/4 in"),
        (options.first_x, "20"),
        (options.first_y, "30"),
    ):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Tab)
    assert len(h.view.preview) == 4
    options.add.setFocus()
    QTest.keyClick(options.add, Qt.Key.Key_Space)
    # 3/4 in is 19.05 mm: the international inch of 1959 is 25.4 mm by definition.
    assert [c.x_mm for c in h.document.cavities.values()] == [20, 39.05, 58.1, 77.15]
    assert {c.y_mm for c in h.document.cavities.values()} == {30}


def test_one_cavity_by_a_click_and_one_by_keys(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("cavity")
    h.click(40, 40)
    assert h.session.stack.undoText() == "Add F1"
    assert h.named("F1").centre == (40, 40)
    h.view.setFocus()
    h.view.row_options.first_x.setValue(80)
    h.view.row_options.first_y.setValue(40)
    h.key(Qt.Key.Key_Right)
    h.key(Qt.Key.Key_Return)
    assert h.named("F2").centre == (80.5, 40)


def test_a_taken_designation_is_refused_and_said(hand: Put) -> None:
    h = hand(six_map())
    said: list[str] = []
    h.session.refused.connect(said.append)
    h.view.set_tool("row")
    h.view.row_options.first.selectAll()
    QTest.keyClicks(h.view.row_options.first, "F6")
    h.click(20, 90)
    assert len(h.document.cavities) == 6
    assert any("F6" in text for text in said)


def test_the_first_designation_goes_on_from_the_block(hand: Put) -> None:
    h = hand(six_map())
    h.view.set_tool("row")
    assert h.view.row_options.first.text() == "F7"


def test_places_on_others_or_off_the_outline_are_marked_at_once(hand: Put) -> None:
    h = hand(six_map())
    h.view.set_tool("row")
    h.view.row_options.pitch_x.setValue(20)
    h.press(15, 20)
    h.move(140, 20)
    x_of = {c.id: c.x_mm for c in h.view.preview}
    marked = sorted(x_of[id_] for id_ in h.view.unfit)
    # Over F1, F2 and F3, and the place at 135 hangs over the right edge.
    assert marked == [15, 35, 55, 135]
    h.key(Qt.Key.Key_Escape)
    assert not h.view.unfit


def test_an_empty_block_shows_four_ways_to_begin(hand: Put) -> None:
    h = hand(bare_map())
    assert h.view.empty.isVisible()
    draw, count, paste, _photo = h.view.empty.buttons
    asked: list[str] = []
    h.view.paste_wanted.connect(lambda: asked.append("paste"))
    paste.click()
    assert asked == ["paste"]
    count.click()
    assert h.view.row_options.columns.hasFocus()
    h.view.set_tool("select")
    draw.click()
    assert h.view.tool.name == "row"
    assert not h.view.empty.isVisible()


def test_fields_pass_over_what_a_row_does_not_need(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("cavity")
    assert not h.view.row_options.columns.isVisible()
    h.view.set_tool("grid")
    assert h.view.row_options.columns.isVisible()


def test_a_single_place_is_not_called_the_first(hand: Put) -> None:
    h = hand(bare_map())
    options = h.view.row_options
    for tool, called in (("cavity", "x"), ("grid", "First x"), ("cavity", "x")):
        h.view.set_tool(tool)
        assert options.first_x.accessibleName() == called


def test_the_next_typed_row_goes_under_the_last(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("row")
    options = h.view.row_options
    options.pitch_y.setValue(25)
    options.add.click()
    options.add.click()
    assert sorted({c.y_mm for c in h.document.cavities.values()}) == [15, 40]
    assert not h.view.unfit


def test_an_unreadable_rating_is_said_and_adds_nothing(hand: Put) -> None:
    h = hand(bare_map())
    said: list[str] = []
    h.session.refused.connect(said.append)
    h.view.set_tool("cavity")
    QTest.keyClicks(h.view.row_options.rating, "lots")
    h.click(40, 40)
    assert not h.document.cavities
    assert said == ["The rating is a number of amps from 0.05 to 500"]


def test_an_undo_in_the_middle_of_a_drag_calls_it_off(hand: Put) -> None:
    h = hand(six_map())
    h.session.edit("Turn F1", turn_cavities, ["panel/F1"], 90)
    h.press(55, 40)
    h.move(80, 80)
    assert h.view.preview
    h.session.stack.undo()
    assert not h.view.preview
    h.release(80, 80)
    assert h.named("F6").centre == (55, 40)


def test_the_first_designation_goes_back_with_undo_and_forth_with_redo(
    hand: Put,
) -> None:
    h = hand(bare_map())
    h.view.set_tool("row")
    first, stack = h.view.row_options.first, h.session.stack
    h.click(15, 15)
    assert first.text() == "F7"
    stack.undo()
    assert first.text() == "F1", "suggested anew, for nothing was typed"

    first.selectAll()
    QTest.keyClicks(first, "A1")
    h.click(15, 15)
    h.click(15, 60)
    assert first.text() == "A13"
    stack.undo()
    assert first.text() == "A7"
    stack.undo()
    assert first.text() == "A1", "what was typed stands there again"
    stack.redo()
    assert first.text() == "A7"

    first.selectAll()
    QTest.keyClicks(first, "B3")
    stack.undo()
    assert first.text() == "B3", "what was typed since is left alone"


def test_what_is_drawn_wholly_beside_the_block_is_off_panel(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("cavity")
    h.click(60, 115)  # the block is 105 mm high
    assert not h.view.unfit
    h.click(60, 50)
    h.click(132, 80)  # reaches over the right edge
    places = [c.off_panel for c in h.document.cavities.values()]
    assert places == [True, False, False]


def test_a_place_and_its_two_numbers_stand_on_one_line(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("cavity")
    options = h.view.row_options
    for width in range(300, 1000, 10):
        options.flow(width)
        tops = {
            cell.y()
            for field in (options.first_x, options.first_y)
            if (cell := field.parentWidget()) is not None
        }
        assert len(tops) == 1, width


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("left to right", ["1", "2", "3", "4"]),
        ("right to left", ["2", "1", "4", "3"]),
        ("left to right, bottom row first", ["3", "4", "1", "2"]),
        ("by columns, top to bottom", ["1", "3", "2", "4"]),
        ("by columns from the right, bottom to top", ["4", "2", "3", "1"]),
    ],
)
def test_an_order_that_is_chosen_counts_what_is_typed_and_what_is_dragged(
    hand: Put, words: str, names: list[str]
) -> None:
    h = hand(bare_map())
    h.view.set_tool("grid")
    options = h.view.row_options
    options.order.setFocus()
    for _ in range(options.order.count()):
        if options.order.currentText() != words:
            QTest.keyClick(options.order, Qt.Key.Key_Down)
    assert options.order.currentText() == words
    for field, value in ((options.columns, 2), (options.rows, 2)):
        field.setValue(value)
    options.first.setFocus()
    options.first.selectAll()
    QTest.keyClicks(options.first, "1")
    options.pitch_x.setValue(40)
    options.pitch_y.setValue(40)

    def seen() -> list[str]:
        """Return the designations row by row from the top, each from the left."""
        places = sorted((c.y_mm, c.x_mm, c.own) for c in h.document.cavities.values())
        return [own for _, _, own in places]

    options.add.click()
    assert seen() == names
    h.session.stack.undo()
    h.drag((30, 30), (70, 70))
    assert seen() == names
