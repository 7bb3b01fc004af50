"""Pictures made in slices end as if they were drawn at once, whatever comes between."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.drawing.figure import layout_labels
from blockmap.model.document import Condition, Map, Strip, empty_map
from blockmap.model.edits import (
    Grid,
    add_block,
    add_grid,
    delete_cavities,
    move_cavities,
    set_condition,
    set_texts,
)
from blockmap.model.geometry import Point, Size, View
from blockmap.model.ids import key_of
from blockmap.window.canvas import stage
from blockmap.window.canvas.figure_view import FigureView
from tests.window.canvas.conftest import Hand, bare_map

Put = Callable[[Map], Hand]
COUNT = 240


def large_map() -> Map:
    """Return a block of 240 places with legends, with strips but in the last row."""
    document, block = add_block(empty_map(), "Panel", Size(420.0, 330.0))
    grid = Grid(
        first=Point(15, 18),
        columns=20,
        rows=12,
        pitch_x_mm=20,
        pitch_y_mm=26,
        first_designation="F1",
    )
    document = add_grid(document, block, grid)
    for number, id_ in enumerate(document.cavities):
        document = set_texts(document, [id_], "legend", f"CIRC {number}")
    ids = list(document.cavities)
    strips = {}
    for number in range(0, COUNT - 24, 12):
        strip = Strip(
            id=f"{block}/S{number}",
            block=block,
            members=tuple(f"{key_of(i)}.feed" for i in ids[number : number + 12]),
        )
        strips[strip.id] = strip
    return replace(document, strips=strips)


@pytest.fixture
def large(hand: Put) -> Hand:
    """The large map on the screen, whole, nothing made yet but what one paint makes."""
    h = hand(bare_map())
    h.view.zoom_fit()
    h.session.install(large_map())
    h.view.zoom_fit()
    h.view.read_document()  # with letters for this zoom, which else come after a while
    QApplication.sendPostedEvents()
    h.view.grab()
    assert not h.view.content.book.exact, "the map is too small to be made in slices"
    return h


def ended(qtbot: QtBot, view: FigureView) -> QImage:
    """Return what is on the screen once the slices have made everything."""
    qtbot.waitUntil(lambda: view.content.book.exact, timeout=30_000)
    return view.grab().toImage()


def at_once(hand: Put, of: FigureView) -> QImage:
    """Return the same map in another window, drawn at once."""
    fresh = hand(of.session.document)
    fresh.view.resize(of.size())
    fresh.selection.set_view(of.selection.view)
    fresh.view.set_frame(of.frame_now)
    fresh.view.settle()
    assert fresh.view.content.book.exact
    return inner(fresh.view)


def inner(view: FigureView) -> QImage:
    """Return a figure without its scroll bars and the frame of the focus."""
    image = view.grab().toImage()
    return image.copy(image.rect().adjusted(4, 4, -60, -60))


def same(qtbot: QtBot, hand: Put, view: FigureView) -> bool:
    """Tell whether the slices end as a window that draws it at once."""
    ended(qtbot, view)
    return inner(view) == at_once(hand, view)


def test_slices_end_as_what_is_drawn_at_once(
    qtbot: QtBot, hand: Put, large: Hand
) -> None:
    assert same(qtbot, hand, large.view)


def test_every_body_and_label_is_there_in_the_end(qtbot: QtBot, large: Hand) -> None:
    ended(qtbot, large.view)
    content = large.view.content
    wanted = layout_labels(large.document, content.block.id, content.book.style)  # type: ignore[union-attr]
    assert len(wanted) > COUNT / 2
    for cavity in content.cavities:
        assert content.book.body(cavity) is not None
        assert (content.book.label(cavity) is not None) == (cavity.id in wanted)


def test_edits_in_the_middle_of_the_slices_are_not_lost(
    qtbot: QtBot, hand: Put, large: Hand
) -> None:
    book, session = large.view.content.book, large.session
    ids = list(large.document.cavities)
    book.work(200)  # some more, as a slice would
    session.edit("Say", set_texts, ids[200:], "legend", "late")
    book.work(200)
    large.view.grab()
    session.edit("Move", move_cavities, {ids[3]: Point(405, 320)})
    worn = Condition(state="corroded", severity=3)
    session.edit("Wear", set_condition, ids[100], "load", worn)
    book.work(700)
    large.view.grab()
    session.edit("Delete", delete_cavities, ids[40:55])
    session.stack.undo()
    session.edit("Delete", delete_cavities, ids[60:90])
    assert not book.exact
    assert same(qtbot, hand, large.view)
    assert large.view.content.cavity(ids[3]) is not None


def test_an_edit_of_everything_ends_as_if_drawn_at_once(
    qtbot: QtBot, hand: Put, large: Hand
) -> None:
    ended(qtbot, large.view)
    centres = {
        c.id: Point(c.x_mm + 1.5, c.y_mm + 1) for c in large.document.cavities.values()
    }
    large.session.edit("Move", move_cavities, centres)
    large.view.grab()
    assert not large.view.content.book.exact
    assert same(qtbot, hand, large.view)


def test_an_edit_of_one_is_drawn_as_if_all_were_drawn(
    qtbot: QtBot, hand: Put, large: Hand
) -> None:
    ended(qtbot, large.view)
    ids = list(large.document.cavities)
    worn = Condition(state="spread", severity=2)
    for id_ in (ids[25], ids[118], ids[119]):
        large.session.edit("Wear", set_condition, id_, "feed", worn)
        large.view.grab()
    large.session.edit("Say", set_texts, ids[60:61], "legend", "somewhat longer")
    large.view.grab()
    assert large.view.content.book.exact, "an edit of one is drawn at once"
    large.session.edit("Move", move_cavities, {ids[90]: Point(300, 301)})
    large.view.grab()
    assert same(qtbot, hand, large.view)


@pytest.mark.parametrize("slices", [0, 1, 5, 12])
def test_what_was_deleted_is_never_shown_again(
    qtbot: QtBot, large: Hand, slices: int
) -> None:
    """The lowest row goes while pictures are made: its places are bare at once."""
    book = large.view.content.book
    for _ in range(slices):
        book.work(120)
        large.view.grab()
    gone = [c for c in large.document.cavities.values() if c.y_mm > 290]
    assert len(gone) == 20
    row = QRect(large.px(6, 292), large.px(414, 326))
    assert len(colours(large.view, row)) > 1
    large.session.edit("Delete", delete_cavities, [c.id for c in gone])
    assert len(colours(large.view, row)) == 1
    for _ in range(3):
        book.work(150)
        assert len(colours(large.view, row)) == 1
    ended(qtbot, large.view)
    assert len(colours(large.view, row)) == 1


def colours(view: FigureView, rect: QRect) -> set[int]:
    """Return the colours of a part of the figure as it is on the screen now."""
    image = view.viewport().grab(rect).toImage()
    return {
        image.pixel(x, y) for x in range(image.width()) for y in range(image.height())
    }


def test_another_zoom_and_side_end_as_if_drawn_at_once(
    qtbot: QtBot, hand: Put, large: Hand
) -> None:
    ended(qtbot, large.view)
    large.view.zoom_by(2.6)
    qtbot.wait(250)
    large.view.grab()
    assert same(qtbot, hand, large.view)
    large.selection.set_view(View.REAR)
    large.view.grab()
    assert same(qtbot, hand, large.view)


def test_bodies_stay_in_sight_while_letters_for_another_zoom_are_made(
    qtbot: QtBot, large: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    ended(qtbot, large.view)
    content, letters = large.view.content, large.view.content.book.style.least_cap_mm
    monkeypatch.setattr(stage, "SLICE_S", -1.0)  # the least a slice can make
    large.view.zoom_by(2.6)
    for _ in range(5_000):
        QApplication.processEvents()
        if content.book.style.least_cap_mm < letters:
            break
        time.sleep(0.001)
    assert content.book.style.least_cap_mm < letters
    assert not content.book.exact
    for cavity in content.cavities:
        assert content.book.body(cavity) or content.book.stand_in(cavity)
