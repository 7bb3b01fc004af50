"""The outline by its corners: clicks, keys, taking back and calling off."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from blockmap.model.document import Map
from blockmap.window.canvas.tools.outlining import OutlineTool
from tests.window.canvas.conftest import Hand, bare_map, six_map

Put = Callable[[Map], Hand]
SHIFT = Qt.KeyboardModifier.ShiftModifier


def test_clicks_draw_an_outline_and_the_first_corner_closes_it(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("outline")
    for corner in ((0, 0), (135, 0), (135, 60), (80, 60), (80, 105), (0, 105)):
        h.click(*corner)
    assert not h.document.blocks["panel"].outline
    h.click(0.5, 0.4)
    block = h.document.blocks["panel"]
    assert block.outline == ((0, 0), (135, 0), (135, 60), (80, 60), (80, 105), (0, 105))
    assert h.session.stack.undoText() == "Draw outline of Panel"
    assert h.view.tool.name == "select"


def test_backspace_takes_the_last_corner_back(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("outline")
    for corner in ((0, 0), (100, 0), (100, 50), (20, 90)):
        h.click(*corner)
    h.key(Qt.Key.Key_Backspace)
    h.key(Qt.Key.Key_Return)
    assert len(h.document.blocks["panel"].outline) == 3


def test_an_outline_by_keys_alone(hand: Put) -> None:
    h = hand(bare_map())
    h.view.set_tool("outline")
    h.key(Qt.Key.Key_Insert)
    for key, times in (
        (Qt.Key.Key_Right, 10),
        (Qt.Key.Key_Down, 8),
        (Qt.Key.Key_Left, 10),
    ):
        h.key(Qt.Key.Key_Insert)
        for _ in range(times):
            QTest.keyClick(h.view, key, SHIFT)
    h.key(Qt.Key.Key_Return)
    block = h.document.blocks["panel"]
    assert block.outline == ((0, 0), (50, 0), (50, 40), (0, 40))
    assert block.size == (50, 40)


def test_escape_drops_the_corners_and_leaves_the_block(hand: Put) -> None:
    h = hand(bare_map())
    before = h.document
    h.view.set_tool("outline")
    h.click(10, 10)
    h.click(60, 10)
    h.key(Qt.Key.Key_Escape)
    assert isinstance(h.view.tool, OutlineTool)
    assert h.view.tool.corners == ()
    assert h.document is before


def test_two_corners_are_refused_with_a_reason(hand: Put) -> None:
    h = hand(bare_map())
    said: list[str] = []
    h.session.refused.connect(said.append)
    h.view.set_tool("outline")
    h.click(10, 10)
    h.click(60, 10)
    h.key(Qt.Key.Key_Return)
    assert said == ["An outline needs three corners or more"]


def test_a_crossing_outline_is_refused_and_can_be_mended(hand: Put) -> None:
    h = hand(bare_map())
    said: list[str] = []
    h.session.refused.connect(said.append)
    h.view.set_tool("outline")
    for corner in ((10, 10), (60, 60), (60, 10), (10, 60)):
        h.click(*corner)
    h.key(Qt.Key.Key_Return)
    assert "crosses" in said[0]
    assert isinstance(h.view.tool, OutlineTool)
    assert len(h.view.tool.corners) == 4


def test_corners_snap_to_edges_of_cavities(hand: Put) -> None:
    h = hand(six_map())
    left = h.named("F1").bounds.left_mm
    h.view.set_tool("outline")
    h.click(left + 0.4, 80)
    assert isinstance(h.view.tool, OutlineTool)
    assert abs(h.view.tool.corners[0].x_mm - left) < 1e-6


def test_while_corners_are_set_the_sign_tells_the_side_and_no_large_hint_hides_it(
    hand: Put,
) -> None:
    h = hand(bare_map())
    h.view.set_tool("outline")
    assert not h.view.tool.begun
    h.click(10, 10)
    h.click(50, 10)
    h.move(50, 40)
    tool = h.view.tool
    assert isinstance(tool, OutlineTool)
    assert tool.badge() == "x 50.0, y 40.0 mm; side 30.0 mm"
    beside = h.view.grab().toImage()
    painted = [beside.pixelColor(x, 600).name() for x in range(300, 1100)]
    assert len(set(painted)) == 1, "nothing is written over the middle of the block"
