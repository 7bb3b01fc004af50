"""What reaches the pixels, and that painting for long leaks nothing."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from blockmap.drawing.palette import DARK, LIGHT
from blockmap.drawing.primitives import Face, Path, Text, text_box
from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.model.edits import move_cavities, set_texts
from blockmap.model.geometry import Box, Point
from blockmap.resources import layout
from blockmap.window.canvas.batches import Batch, Inks, compiled
from blockmap.window.theme import set_appearance
from tests.window.canvas.conftest import Hand, six_map

Put = Callable[[Map], Hand]


def painted(batch: Batch, scale: float = 10.0) -> QImage:
    """Return a batch on white, 40 by 30 mm."""
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(scale, scale)
    batch.draw(painter, Inks(LIGHT), scale)
    painter.end()
    return image


def dark_box(image: QImage) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of what is darker than grey."""
    places = [
        (x, y)
        for y in range(image.height())
        for x in range(image.width())
        if image.pixelColor(x, y).lightness() < 128
    ]
    xs, ys = [p[0] for p in places], [p[1] for p in places]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_text_stands_where_the_measures_of_paper_say(qapp: object, anchor: str) -> None:
    text = Text("HH20HH", Point(20, 15), 3.0, Face.BOLD, anchor, "#000000")  # type: ignore[arg-type]
    left, top, right, bottom = dark_box(painted(Batch([compiled([text])])))
    box = text_box(text)
    # Letters have a little room at their sides; heights are those of capitals.
    assert left / 10 == pytest.approx(box.left_mm, abs=0.45)
    assert right / 10 == pytest.approx(box.right_mm, abs=0.45)
    assert top / 10 == pytest.approx(box.top_mm, abs=0.15)
    assert bottom / 10 == pytest.approx(box.bottom_mm, abs=0.15)


def test_turned_text_stands_turned_about_its_place(qapp: object) -> None:
    text = Text("HHHH", Point(20, 15), 3.0, Face.BOLD, "middle", "#000000", 90)
    left, top, right, bottom = dark_box(painted(Batch([compiled([text])])))
    assert right - left < bottom - top
    box = text_box(text)
    assert (left / 10, right / 10) == pytest.approx((box[0], box[2]), abs=0.2)


def test_text_too_small_to_read_is_left_out(qapp: object) -> None:
    text = Text("HHHH", Point(20, 15), 1.0, Face.BOLD, "middle", "#000000")
    batch = Batch([compiled([text])])
    white = QColor("#ffffff")
    assert painted(batch, 10).pixelColor(200, 145) is not None
    far = painted(batch, 3)
    assert all(
        far.pixelColor(x, y) == white for x in range(40, 80) for y in range(35, 50)
    )


def test_what_comes_later_lies_on_top_within_each_thing(qapp: object) -> None:
    def square(x: float, size: float, fill: str) -> Path:
        box = Box(x - size, 15 - size, x + size, 15 + size)
        corners = (
            Point(box[0], box[1]),
            Point(box[2], box[1]),
            Point(box[2], box[3]),
            Point(box[0], box[3]),
        )
        return Path(corners, True, fill)

    red, blue = "#ff0000", "#0000ff"
    first = compiled([square(10, 4, red), square(10, 2, blue)])
    second = compiled([square(30, 4, blue), square(30, 2, red)])
    image = painted(Batch([first, second]))
    assert image.pixelColor(100, 150) == QColor(blue)
    assert image.pixelColor(70, 150) == QColor(red)
    assert image.pixelColor(300, 150) == QColor(red)
    assert image.pixelColor(270, 150) == QColor(blue)


def test_a_moved_cavity_leaves_nothing_behind(hand: Put) -> None:
    h = hand(six_map())
    h.view.settle()
    empty = h.view.grab().toImage().pixelColor(h.px(90, 80))
    body = h.view.grab().toImage().pixelColor(h.px(55, 33))
    h.session.edit("Move", move_cavities, {"panel/F6": Point(90, 80)})
    image = h.view.grab().toImage()
    assert image.pixelColor(h.px(90, 73)) == body
    assert image.pixelColor(h.px(55, 33)) == empty


def test_a_new_legend_shows(hand: Put) -> None:
    h = hand(six_map())
    before = h.view.grab().toImage()
    h.session.edit("Set legend", set_texts, ["panel/F6"], "legend", "STOP-HAZ")
    assert h.view.grab().toImage() != before


def test_findings_show_and_go(hand: Put) -> None:
    h = hand(six_map())
    clean = h.view.grab().toImage()
    h.view.set_findings({"panel/F1": "error", "panel/F2": "advice", "gone": "error"})
    assert h.view.grab().toImage() != clean
    h.view.set_findings({"panel/F1": "information"})
    assert h.view.grab().toImage() == clean


def test_dark_is_paper_and_ink_reversed(hand: Put) -> None:
    h = hand(six_map())
    try:
        set_appearance("dark")
        image = h.view.grab().toImage()
        assert image.pixelColor(5, 300) == QColor(DARK.resolve("paper"))
    finally:
        set_appearance("light")
    assert h.view.grab().toImage().pixelColor(5, 300) == QColor(LIGHT.resolve("paper"))


def test_painting_for_long_loses_no_reference_to_none(hand: Put) -> None:
    # Some Qt bindings release None once too often at each painter call; a long run
    # then ends in a crash. 2,000 paints would lose tens of thousands.
    h = hand(six_map())
    h.select("F1", "F2")
    h.view.set_findings({"panel/F3": "error"})
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    h.view.render(image, QPointF(0, 0).toPoint())
    before = sys.getrefcount(None), sys.getrefcount(True), sys.getrefcount(False)
    for _ in range(2000):
        h.view.backing.spoil()
        h.view.render(image, QPointF(0, 0).toPoint())
    after = sys.getrefcount(None), sys.getrefcount(True), sys.getrefcount(False)
    assert all(abs(a - b) < 500 for a, b in zip(after, before, strict=True))


def test_the_sign_of_a_finding_leaves_the_letters_of_its_place_free(hand: Put) -> None:
    h = hand(load(layout("saloon-ceramic-row")).document)
    h.view.content.book.settle()
    cavity = h.document.cavities["panel/9"]
    label = h.view.content.book.label_box(cavity)
    assert label is not None
    signs = h.view.signs.of(h.view, [(cavity, "error")])
    sign, _ = signs.by_level["error"]
    assert not sign.boundingRect().intersects(h.view.frame_now.rect_px(label))
