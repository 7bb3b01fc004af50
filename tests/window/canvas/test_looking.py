"""Zoom, pan and views: what is under the pointer stays, the rear is mirrored."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from blockmap.model.document import Map
from blockmap.model.edits import Grid, add_grid, move_cavities
from blockmap.model.geometry import Box, Point, View
from blockmap.window.canvas.frame import Frame
from tests.window.canvas.conftest import LEFT, Hand, bare_map, six_map

Put = Callable[[Map], Hand]


def wheel(h: Hand, at: QPoint, turn: int, held: Qt.KeyboardModifier) -> None:
    """Turn the wheel at a pixel."""
    event = QWheelEvent(
        QPointF(at),
        QPointF(h.port.mapToGlobal(at)),
        QPoint(0, 0),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        held,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(h.port, event)


def test_control_and_wheel_zoom_at_the_pointer(hand: Put) -> None:
    h = hand(six_map())
    at = h.px(55, 40)
    before = h.view.frame_now.scale
    wheel(h, at, 120, Qt.KeyboardModifier.ControlModifier)
    assert h.view.frame_now.scale > before * 1.1
    after = h.view.px_of(Point(55, 40))
    assert abs(after.x() - at.x()) <= 1
    assert abs(after.y() - at.y()) <= 1


def test_a_plain_wheel_scrolls(hand: Put) -> None:
    h = hand(six_map())
    before = h.view.frame_now
    wheel(h, h.px(55, 40), 120, Qt.KeyboardModifier.NoModifier)
    assert h.view.frame_now.scale == before.scale
    assert h.view.frame_now.y_px > before.y_px


def test_zoom_stays_between_1_and_6400_percent(hand: Put) -> None:
    h = hand(six_map())
    for _ in range(60):
        h.view.zoom_in()
    assert h.view.frame_now.zoom == pytest.approx(64)
    for _ in range(80):
        h.view.zoom_out()
    assert h.view.frame_now.zoom == pytest.approx(0.01)
    assert h.view.grab().width() == h.view.width()


@pytest.mark.parametrize("factor", [math.nan, math.inf, 0.0, -1.0])
def test_a_frame_takes_no_senseless_factor(factor: float) -> None:
    frame = Frame(5.0, 10.0, 20.0)
    assert frame.zoomed(factor, QPointF(3, 4)) == frame


def test_a_frame_fits_even_nothing() -> None:
    frame = Frame.fitted(Box(5, 5, 5, 5), QRectF(0, 0, 0, 0))
    assert all(map(math.isfinite, (frame.scale, frame.x_px, frame.y_px)))


def test_fit_shows_the_whole_block_and_stays_fitted(hand: Put) -> None:
    h = hand(six_map())
    h.view.zoom_fit()
    for size in ((1400, 1200), (500, 400)):
        h.view.resize(*size)
        QTest.qWait(30)
        port = h.port.rect()
        assert port.contains(h.px(0, 0))
        assert port.contains(h.px(135, 105))
        assert not h.view.horizontalScrollBar().isVisible()


def test_fit_selection_comes_close(hand: Put) -> None:
    h = hand(six_map())
    h.view.zoom_fit()
    before = h.view.frame_now.scale
    h.select("F6")
    h.view.zoom_selection()
    assert h.view.frame_now.scale > 3 * before
    assert h.port.rect().contains(h.px(55, 40))


def test_true_size_is_100_percent(hand: Put) -> None:
    h = hand(six_map())
    h.view.zoom_true()
    # CSS Values and Units: 1 in = 96 px, so 25.4 mm are 96 logical pixels.
    assert h.px(25.4, 0).x() - h.px(0, 0).x() == 96


def test_a_middle_drag_and_space_pan(hand: Put) -> None:
    h = hand(six_map())
    for space in (False, True):
        x = h.view.frame_now.x_px
        button = Qt.MouseButton.LeftButton if space else Qt.MouseButton.MiddleButton
        if space:
            QTest.keyPress(h.view, Qt.Key.Key_Space)
        QTest.mousePress(h.port, button, pos=QPoint(300, 300))
        QTest.mouseMove(h.port, QPoint(330, 310))
        QTest.mouseRelease(h.port, button, pos=QPoint(330, 310))
        if space:
            QTest.keyRelease(h.view, Qt.Key.Key_Space)
        assert h.view.frame_now.x_px == x + 30
    assert h.names() == []


def test_the_scroll_bars_pan(hand: Put) -> None:
    h = hand(six_map())
    h.view.zoom_by(4)
    bar = h.view.horizontalScrollBar()
    assert bar.maximum() > 0
    x = h.view.frame_now.x_px
    bar.setValue(bar.value() + 50)
    assert h.view.frame_now.x_px == x - 50


def test_the_figure_never_gets_lost(hand: Put) -> None:
    h = hand(six_map())
    h.view.set_frame(h.view.frame_now.shifted(1e6, -1e6))
    seen = h.view.frame_now.rect_px(h.view.seen_bounds())
    assert seen.intersects(QRectF(h.port.rect()))


def test_the_rear_view_is_mirrored(hand: Put) -> None:
    # Plain arithmetic: rear x' = width - x, so 55 of 135 mm is seen at 80 mm.
    h = hand(six_map())
    body = h.view.grab().toImage().pixelColor(h.px(55, 10))
    h.selection.set_view(View.REAR)
    seen = h.view.frame_now.to_px(Point(80, 10)).toPoint()
    assert h.view.grab().toImage().pixelColor(seen) == body
    assert h.px(55, 10) == seen
    QTest.mouseClick(h.port, LEFT, pos=seen)
    assert h.names() == ["F3"]
    drawn = next(d.rect for d in h.view.drawn() if d.designation == "F3")
    assert drawn.contains(seen.toPointF())


@pytest.mark.parametrize("view", list(View))
def test_a_drag_goes_where_the_pointer_goes_in_every_view(
    hand: Put, view: View
) -> None:
    h = hand(six_map())
    h.view.set_snapping(False)
    h.selection.set_view(view)
    h.drag((55, 40), (70, 60), (90, 70))
    assert h.named("F6").centre == pytest.approx((90, 70), abs=0.11)


def test_mirrored_views_have_another_paper(hand: Put) -> None:
    h = hand(six_map())
    front = h.view.grab().toImage().pixelColor(5, 300)
    h.selection.set_view(View.REAR)
    rear = h.view.grab().toImage().pixelColor(5, 300)
    assert front != rear


def test_incremental_labels_settle_to_what_a_fresh_start_shows(hand: Put) -> None:
    grid = Grid(
        first=Point(8, 14),
        columns=12,
        rows=4,
        pitch_x_mm=10,
        pitch_y_mm=25,
        first_designation="F1",
    )
    document = add_grid(bare_map(), "panel", grid)
    h = hand(document)
    h.session.edit("Move", move_cavities, {"panel/F20": Point(92, 45)})
    h.session.edit("Move", move_cavities, {"panel/F3": Point(28, 21)})
    h.view.settle()
    worked = h.view.grab().toImage()
    fresh = hand(h.document)
    fresh.view.set_frame(h.view.frame_now)
    fresh.view.settle()
    assert worked == fresh.view.grab().toImage()


def test_what_is_selected_elsewhere_comes_into_sight(hand: Put) -> None:
    h = hand(six_map())
    h.select("F1")
    h.view.zoom_selection()
    assert not h.port.rect().contains(h.px(55, 40))
    h.select("F6")
    assert h.port.rect().contains(h.px(55, 40))


def test_a_drag_over_the_edge_pans(hand: Put) -> None:
    h = hand(six_map())
    h.view.resize(500, 400)
    before = h.view.frame_now.x_px
    QTest.mousePress(h.port, LEFT, pos=h.port.rect().center())
    for _ in range(3):
        QTest.mouseMove(h.port, QPoint(h.port.width() + 30, 100))
        QTest.mouseMove(h.port, QPoint(h.port.width() + 40, 100))
    assert h.view.frame_now.x_px < before
    QTest.mouseRelease(h.port, LEFT, pos=QPoint(h.port.width() + 40, 100))
