"""A photo under the figure: squared up, on its own side, placed with the hand."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from PIL import Image, ImageDraw
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from blockmap.drawing.palette import DARK, LIGHT, Palette
from blockmap.files.photos import new_photo, photo_folder
from blockmap.files.store import load, save
from blockmap.model.document import FacePhoto, Map, empty_map
from blockmap.model.edits import add_block, remove_face_photo, set_face_photo
from blockmap.model.geometry import Point, Size, View
from blockmap.window import dialogs
from blockmap.window.canvas.photo_drops import PhotoDrops
from blockmap.window.canvas.tracing_window import TracingWindow
from blockmap.window.canvas.under_photo import (
    STRENGTH_DARK,
    STRENGTH_LIGHT,
    squared,
)
from blockmap.window.main_window import MainWindow
from tests.pictures import GREEN, RED, claimed_png, write_picture
from tests.window.canvas.conftest import Hand, bare_map
from tests.window_fixtures import OpenMap

Key = Qt.Key
SHIFT = Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton
SIZE = Size(120.0, 80.0)
CORNERS = (Point(16.25, 15), Point(87.5, 22), Point(83, 84), Point(20, 77.5))
DOTS = ((20.0, 15.0, RED), (100.0, 20.0, GREEN), (60.0, 62.0, (20, 40, 200)))


def photographed(path: Path) -> Path:
    """Write a picture of a block of 120 by 80 mm with dots, seen aslant.

    Source: Pillow, Image.transform with PERSPECTIVE, whose eight coefficients follow
    from the four corners; a library outside the program.
    """
    flat = Image.new("RGB", (960, 640), (235, 235, 235))
    draw = ImageDraw.Draw(flat)
    for x, y, colour in DOTS:
        draw.ellipse((x * 8 - 24, y * 8 - 24, x * 8 + 24, y * 8 + 24), fill=colour)
    there = [(x * 8, y * 6) for x, y in CORNERS]  # a picture of 800 by 600 pixels
    here = [(0, 0), (960, 0), (960, 640), (0, 640)]
    rows, right = [], []
    for (u, v), (x, y) in zip(there, here, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        right += [x, y]
    way = np.linalg.solve(np.array(rows, float), np.array(right, float))
    image = flat.transform(
        (800, 600), Image.Transform.PERSPECTIVE, tuple(way), Image.Resampling.BICUBIC
    )
    image.save(path, quality=95)
    return path


def near(seen: QColor, colour: tuple[int, int, int], most: int = 30) -> bool:
    parts = (seen.red(), seen.green(), seen.blue())
    return all(abs(a - b) <= most for a, b in zip(parts, colour, strict=True))


def tinted(seen: QColor, colour: tuple[int, int, int]) -> bool:
    """Tell whether a colour leans to another: its strongest part stands out."""
    parts = (seen.red(), seen.green(), seen.blue())
    strongest = colour.index(max(colour))
    return parts[strongest] > 15 + max(
        part for number, part in enumerate(parts) if number != strongest
    )


@pytest.fixture
def photo(tmp_path: Path) -> FacePhoto:
    made = new_photo(photographed(tmp_path / "panel.jpg"), None)
    return FacePhoto(data=made.data, sha256=made.sha256, corners=CORNERS)


def seen_at(hand: Hand, x: float, y: float) -> QColor:
    """Return the colour of the figure at a place of the front view."""
    image = hand.port.grab().toImage()
    place = hand.view.px_of(Point(x, y)) * image.devicePixelRatio()
    return image.pixelColor(place.toPoint())


def test_what_lies_between_the_corners_is_squared_up_to_scale(tmp_path: Path) -> None:
    image = QImage(str(photographed(tmp_path / "panel.jpg")))
    made = squared(image, CORNERS, SIZE)
    scale = made.width() / SIZE.width_mm
    assert made.height() == pytest.approx(SIZE.height_mm * scale, abs=1)
    for x, y, colour in DOTS:
        assert near(made.pixelColor(round(x * scale), round(y * scale)), colour)
        for dx, dy in ((-2.4, 0), (2.4, 0), (0, -2.4), (0, 2.4)):  # a dot of 6 mm
            inside = QPointF((x + dx) * scale, (y + dy) * scale).toPoint()
            assert near(made.pixelColor(inside), colour, 60)
        for dx, dy in ((-3.6, 0), (3.6, 0), (0, -3.6), (0, 3.6)):
            outside = QPointF((x + dx) * scale, (y + dy) * scale).toPoint()
            assert near(made.pixelColor(outside), (235, 235, 235), 60)


def put_photo(hand: Hand, photo: FacePhoto) -> None:
    view = hand.view
    hand.session.edit("Add photo", set_face_photo, "panel", photo)
    view.session.edit("Size", _sized)
    hand._qtbot.waitUntil(lambda: view.photo.image is not None)


def _sized(document: Map) -> Map:
    """Give the block the size of the one in the picture."""
    block = dataclasses.replace(document.blocks["panel"], width_mm=120, height_mm=80)
    return dataclasses.replace(document, blocks={"panel": block})


def test_a_front_photo_lies_under_the_front_views_only(
    hand: Callable[[Map], Hand], photo: FacePhoto, qtbot: QtBot
) -> None:
    on = hand(bare_map())
    put_photo(on, photo)
    for view in (View.FRONT, View.TURNED):
        on.selection.set_view(view)
        qtbot.waitUntil(lambda: on.view.photo.image is not None)
        for x, y, colour in DOTS:
            assert tinted(seen_at(on, x, y), colour), (view, x, y)
    for view in (View.REAR, View.FLIPPED):
        on.selection.set_view(view)
        assert on.view.photo.image is None
        assert not tinted(seen_at(on, 20, 15), RED), "never shown mirrored"


def test_a_rear_photo_lies_under_the_views_from_behind_as_it_was_taken(
    hand: Callable[[Map], Hand], photo: FacePhoto, qtbot: QtBot
) -> None:
    on = hand(bare_map())
    put_photo(on, dataclasses.replace(photo, side="front"))
    on.session.edit("x", remove_face_photo, "panel", "front")
    on.session.edit(
        "Add photo", set_face_photo, "panel", dataclasses.replace(photo, side="rear")
    )
    assert on.view.photo.image is None, "nothing in front"
    for view in (View.REAR, View.FLIPPED):
        on.selection.set_view(view)
        qtbot.waitUntil(lambda: on.view.photo.image is not None)
        for x, y, colour in DOTS:  # x as seen from behind: 120 - x in the front view
            assert tinted(seen_at(on, 120 - x, y), colour), (view, x, y)


def test_the_photo_follows_undo_and_can_be_left_out(
    hand: Callable[[Map], Hand], photo: FacePhoto, qtbot: QtBot
) -> None:
    on = hand(bare_map())
    put_photo(on, photo)
    assert tinted(seen_at(on, 20, 15), RED)
    on.view.photo.set_shown(False)
    assert not tinted(seen_at(on, 20, 15), RED)
    on.view.photo.set_shown(True)
    qtbot.waitUntil(lambda: tinted(seen_at(on, 20, 15), RED))
    on.session.stack.undo()
    on.session.stack.undo()
    assert not tinted(seen_at(on, 20, 15), RED)


def test_a_picture_that_is_gone_leaves_the_figure_as_it_is(
    hand: Callable[[Map], Hand], qtbot: QtBot
) -> None:
    on = hand(bare_map())
    on.session.edit("x", set_face_photo, "panel", FacePhoto(file="gone.jpg"))
    qtbot.waitUntil(lambda: bool(on.view.photo.words))
    assert on.view.photo.image is None
    assert "gone.jpg" in on.view.photo.words


# the window that places it


@pytest.fixture
def bench(open_map: OpenMap, tmp_path: Path) -> MainWindow:
    """An empty block of 120 by 80 mm in a file of its own."""
    path = tmp_path / "maps" / "van.blockmap.yaml"
    path.parent.mkdir()
    document, _ = add_block(empty_map(), "Panel", SIZE)
    save(path, document)
    window = open_map(document)
    assert window.map_file.open(path).wait()
    return window


def tracing(window: MainWindow) -> TracingWindow:
    window.actions_by_name["trace_photo"].trigger()
    found = window.findChild(TracingWindow)
    assert found is not None
    return found


def front(window: MainWindow) -> FacePhoto:
    found = window.session.document.blocks["panel"].photo_of("front")
    assert found is not None
    return found


def with_picture(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> TracingWindow:
    chosen = [photographed(tmp_path / "panel.jpg")]
    monkeypatch.setattr(dialogs, "ask_pictures", lambda *_given: chosen)
    page = tracing(window)
    QTest.mouseClick(page.choose, LEFT)
    qtbot.waitUntil(lambda: not page.picture.image.isNull())
    return page


def test_a_photo_is_chosen_and_its_corners_are_dragged_to_those_of_the_block(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = with_picture(bench, qtbot, tmp_path, monkeypatch)
    path = bench.session.path
    assert path is not None
    assert (photo_folder(path) / front(bench).file).is_file(), "copied beside the map"
    assert bench.session.stack.undoText() == "Add photo of the front"
    steps = bench.session.stack.count()
    for number, corner in enumerate(CORNERS):
        start = page.picture.to_px(page.picture.corners[number]).toPoint()
        end = page.picture.to_px(corner).toPoint()
        QTest.mousePress(page.picture, LEFT, pos=start)
        QTest.mouseMove(page.picture, (start + end) / 2)
        QTest.mouseMove(page.picture, end)
        QTest.mouseRelease(page.picture, LEFT, pos=end)
    assert bench.session.stack.count() == steps + 4, "a step to undo for each corner"
    for seen, wanted in zip(front(bench).corners, CORNERS, strict=True):
        assert seen == pytest.approx(wanted, abs=0.3)
    bench.session.stack.undo()
    assert page.picture.corners[3] == Point(0, 100), "the window follows undo"
    assert bench.map_file.save().wait()
    assert load(path).document.blocks["panel"].photos == (front(bench),)


def test_corners_are_moved_by_keys_and_heard(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = with_picture(bench, qtbot, tmp_path, monkeypatch)
    steps = bench.session.stack.count()
    page.picture.setFocus()
    QTest.keyClick(page.picture, Key.Key_3)
    for _ in range(4):
        QTest.keyClick(page.picture, Key.Key_Left, SHIFT)
    QTest.keyClick(page.picture, Key.Key_Up)
    assert front(bench).corners[2] == pytest.approx((96, 99.9))
    assert bench.session.stack.count() == steps + 1, "a run of keys is one step"
    said = page.picture.accessibleDescription()
    assert said == "Corner 3 at 96 % from the left and 99.9 % from the top"
    QTest.keyClick(page.picture, Key.Key_1)
    QTest.keyClick(page.picture, Key.Key_Down)
    assert bench.session.stack.count() == steps + 2


def test_corners_out_of_order_and_other_files_are_refused_in_words(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = with_picture(bench, qtbot, tmp_path, monkeypatch)
    before = bench.session.document
    start, end = (page.picture.to_px(Point(x, y)) for x, y in ((0, 0), (99, 99)))
    QTest.mousePress(page.picture, LEFT, pos=start.toPoint())
    QTest.mouseMove(page.picture, end.toPoint())
    QTest.mouseRelease(page.picture, LEFT, pos=end.toPoint())
    assert bench.session.document is before
    assert "clockwise from the top left" in page.message.text
    assert page.picture.corners[0] == Point(0, 0), "back where it was"
    huge = tmp_path / "huge.png"
    huge.write_bytes(claimed_png(30_000, 30_000))
    page.add(huge)
    qtbot.waitUntil(lambda: "30,000 × 30,000 pixels" in page.message.text)
    assert bench.session.document is before


def test_each_side_has_its_picture_and_it_can_be_taken_away(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = with_picture(bench, qtbot, tmp_path, monkeypatch)
    bench.selection.set_view(View.REAR)
    page = tracing(bench)
    assert page.side.currentText() == "Rear", "the side that the figure shows"
    assert not page.remove.isEnabled()
    assert page.picture.words == "No picture of this side yet"
    page.add(write_picture(tmp_path / "rear.jpg"))
    photos = bench.session.document.blocks["panel"].photos
    qtbot.waitUntil(lambda: len(bench.session.document.blocks["panel"].photos) == 2)
    page.side.setCurrentIndex(0)
    QTest.mouseClick(page.remove, LEFT)
    photos = bench.session.document.blocks["panel"].photos
    assert [photo.side for photo in photos] == ["rear"]


def test_the_picture_stands_in_the_map_or_beside_it(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = with_picture(bench, qtbot, tmp_path, monkeypatch)
    beside = front(bench)
    assert not page.embed.isChecked()
    QTest.mouseClick(page.embed, LEFT, pos=page.embed.rect().center())
    qtbot.waitUntil(lambda: front(bench).embedded)
    assert bench.session.stack.undoText() == "Embed photo of the front"
    assert front(bench).corners == beside.corners
    qtbot.waitUntil(page.embed.isEnabled)
    assert page.embed.isChecked()
    QTest.mouseClick(page.embed, LEFT, pos=page.embed.rect().center())
    qtbot.waitUntil(lambda: front(bench) == beside)


def test_a_missing_picture_is_told_at_the_bottom(
    bench: MainWindow, qtbot: QtBot
) -> None:
    gone = FacePhoto(file="gone.jpg")
    bench.session.edit("x", set_face_photo, "panel", gone)
    qtbot.waitUntil(lambda: "gone.jpg" in bench.statusBar().currentMessage())


def drop(window: MainWindow, *files: Path) -> bool:
    """Drop files on the figure; tell whether the figure itself took them."""
    mime, port = QMimeData(), window.figure.viewport()
    mime.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
    given = (Qt.DropAction.CopyAction, mime, LEFT, Qt.KeyboardModifier.NoModifier)
    watch = window.figure.findChild(PhotoDrops)
    assert watch is not None
    enter = QDragEnterEvent(QPoint(50, 200), *given)
    enter.ignore()
    if not watch.eventFilter(port, enter):
        return False
    assert enter.isAccepted()
    return watch.eventFilter(port, QDropEvent(QPointF(50, 200), *given))


def test_a_picture_dropped_on_the_figure_is_laid_under_it(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    assert drop(bench, photographed(tmp_path / "panel.JPG"))
    qtbot.waitUntil(lambda: bench.session.document.blocks["panel"].photos != ())
    assert tracing(bench).isVisible(), "to put the corners on those of the block"
    path = bench.session.path
    assert path is not None
    assert not drop(bench, path), "a map is opened by the window"
    assert not drop(bench, tmp_path / "panel.JPG", path)


def test_save_as_takes_the_photo_along(
    bench: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_picture(bench, qtbot, tmp_path, monkeypatch)
    elsewhere = tmp_path / "elsewhere.blockmap.yaml"
    monkeypatch.setattr(dialogs, "ask_save_file", lambda *_given: elsewhere)
    assert bench.map_file.save_as().wait()
    assert (photo_folder(elsewhere) / front(bench).file).is_file()


def test_an_empty_block_offers_a_photo_to_draw_over(bench: MainWindow) -> None:
    bench.actions_by_name["tool_select"].trigger()
    buttons = bench.figure.empty.findChildren(QPushButton)
    button = next(b for b in buttons if "photo" in b.text())
    assert button.isVisible()
    QTest.mouseClick(button, LEFT)
    page = bench.findChild(TracingWindow)
    assert page is not None
    assert page.isVisible()


@pytest.mark.parametrize(
    ("palette", "worst", "share"),
    [(LIGHT, "#000000", STRENGTH_LIGHT), (DARK, "#ffffff", STRENGTH_DARK)],
    ids=["light", "dark"],
)
@pytest.mark.parametrize("ground", ["block", "rear block"])
def test_ink_stands_out_from_the_worst_photo(
    palette: Palette, worst: str, share: float, ground: str
) -> None:
    # WCAG 2.1, 1.4.3: 4.5 to 1, computed by coloraide.
    under = Color(palette.resolve(ground)).mix(worst, share, space="srgb")
    assert Color(palette.resolve("ink")).contrast(under, method="wcag21") >= 4.5
