"""Photos of damage in the window: added, dropped, noted, embedded, removed, seen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QAccessible, QColor, QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from blockmap.files.photos import photo_folder
from blockmap.files.store import load, save
from blockmap.model.document import Photo
from blockmap.window import dialogs
from blockmap.window.behind.photo_row import PhotoRow
from blockmap.window.main_window import MainWindow
from tests.pictures import RED, claimed_png, write_picture
from tests.window.behind.conftest import Start, layout
from tests.window.behind.test_damage import show

PLACE = "panel/F3"


@pytest.fixture
def kept(start: Start, tmp_path: Path) -> MainWindow:
    """The demo panel in a file of its own, the damage of F3 in front."""
    path = tmp_path / "maps" / "van.blockmap.yaml"
    path.parent.mkdir()
    save(path, layout("demo."))
    window = start(layout("demo."))
    assert window.map_file.open(path).wait()
    show(window, PLACE)
    return window


def photos_of(window: MainWindow) -> Sequence[Photo]:
    condition = window.session.document.cavities[PLACE].contact("feed").condition
    return condition.photos if condition else ()


def row_of(window: MainWindow) -> PhotoRow:
    row = window.behind.damage.photos
    window.behind.damage.ensureWidgetVisible(row)
    return row


def add(qtbot: QtBot, window: MainWindow, *files: Path) -> PhotoRow:
    row, before = row_of(window), len(photos_of(window))
    row.add(list(files))
    qtbot.waitUntil(row.add_button.isEnabled)
    assert len(photos_of(window)) == before + len(files)
    return row


def thumb_shown(row: PhotoRow, number: int, colour: tuple[int, int, int]) -> bool:
    """Tell whether the picture's upper left part is seen in the list."""
    image = row.list.item(number).icon().pixmap(96, 72).toImage()
    seen = image.pixelColor(image.width() // 4, image.height() // 4)
    want = QColor(*colour)
    pairs = zip(seen.getRgb()[:3], want.getRgb()[:3], strict=True)  # type: ignore[index]
    return all(abs(a - b) < 40 for a, b in pairs)


def test_the_button_asks_which_and_the_picture_is_seen(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = write_picture(tmp_path / "a.jpg", size=(400, 300))
    monkeypatch.setattr(dialogs, "ask_pictures", lambda *_given: [file])
    row = row_of(kept)
    QTest.mouseClick(row.add_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(photos_of(kept)) == 1)
    qtbot.waitUntil(lambda: thumb_shown(row, 0, RED))
    (photo,) = photos_of(kept)
    path = kept.session.path
    assert path is not None
    assert (photo_folder(path) / photo.file).is_file()
    assert photo.file in row.words.text()
    log = kept.session.document.cavities[PLACE].log
    assert log[-1].text == "feed: photo added"


def test_the_note_is_typed_and_undone(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    row.note.setFocus()
    QTest.keyClicks(row.note, "slot spread")
    QTest.keyClick(row.note, Qt.Key.Key_Return)
    assert photos_of(kept)[0].note == "slot spread"
    assert row.list.item(0).text() == "slot spread"
    kept.session.stack.undo()
    assert photos_of(kept)[0].note == ""
    kept.session.stack.undo()
    assert not photos_of(kept)
    assert row.list.isHidden()
    kept.session.stack.redo()
    qtbot.waitUntil(lambda: thumb_shown(row, 0, RED))


def test_a_typed_note_is_not_lost_when_another_place_is_chosen(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    QTest.keyClicks(row.note, "burnt")
    kept.selection.select(["panel/F4"])
    assert photos_of(kept)[0].note == "burnt"
    assert row.photos == ()


def test_a_dropped_picture_is_a_photo_and_a_dropped_map_is_not(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    def dropped(name: str, kind: type[QDropEvent] = QDropEvent) -> bool:
        mime = QMimeData()
        mime.setUrls([QUrl.fromLocalFile(str(tmp_path / name))])
        place = kept.behind.damage
        given = (
            Qt.DropAction.CopyAction,
            mime,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        if kind is QDragEnterEvent:
            enter = QDragEnterEvent(QPointF(5, 5).toPoint(), *given)
            place.dragEnterEvent(enter)
            return enter.isAccepted()
        place.dropEvent(QDropEvent(QPointF(5, 5), *given))
        return True

    write_picture(tmp_path / "a.png", "PNG")
    assert kept.behind.damage.viewport().acceptDrops()
    assert dropped("a.png", QDragEnterEvent)
    assert not dropped("other.blockmap.yaml", QDragEnterEvent)
    dropped("a.png")
    qtbot.waitUntil(lambda: len(photos_of(kept)) == 1)
    assert photos_of(kept)[0].file.endswith(".png")


def test_a_refused_picture_is_told_and_the_others_are_taken(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    large = tmp_path / "large.png"
    large.write_bytes(claimed_png(30_000, 30_000))
    row = row_of(kept)
    row.add([large, write_picture(tmp_path / "a.jpg")])
    qtbot.waitUntil(lambda: len(photos_of(kept)) == 1)
    assert "30,000 × 30,000 pixels" in row.message.text


def test_embedding_and_back_are_steps_that_can_be_undone(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    (beside,) = photos_of(kept)
    row.embed.click()
    qtbot.waitUntil(lambda: photos_of(kept)[0].embedded)
    assert "in the map itself" in row.words.text()
    row.embed.click()
    qtbot.waitUntil(lambda: photos_of(kept)[0] == beside)
    kept.session.stack.undo()
    assert photos_of(kept)[0].embedded
    assert row.embed.isChecked()


def test_without_a_file_the_picture_stands_in_the_map_and_words_say_so(
    demo: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    show(demo, PLACE)
    row = add(qtbot, demo, write_picture(tmp_path / "a.jpg"))
    assert photos_of(demo)[0].embedded
    assert "has no file yet" in row.words.text()
    assert not row.embed.isEnabled()
    path = tmp_path / "new.blockmap.yaml"
    monkeypatch.setattr(dialogs, "ask_save_file", lambda *_given: path)
    assert demo.map_file.save().wait()
    assert row.embed.isEnabled()
    row.embed.click()
    qtbot.waitUntil(lambda: not photos_of(demo)[0].embedded)
    assert (photo_folder(path) / photos_of(demo)[0].file).is_file()


def test_save_as_takes_the_photos_along(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    elsewhere = tmp_path / "elsewhere.blockmap.yaml"
    monkeypatch.setattr(dialogs, "ask_save_file", lambda *_given: elsewhere)
    assert kept.map_file.save_as().wait()
    assert kept.session.path == elsewhere
    assert (photo_folder(elsewhere) / photos_of(kept)[0].file).is_file()
    again = tmp_path / "copy.blockmap.yaml"
    monkeypatch.setattr(dialogs, "ask_save_file", lambda *_given: again)
    assert kept.map_file.save_copy().wait()
    assert (photo_folder(again) / photos_of(kept)[0].file).is_file()


def test_a_removed_photo_stays_on_the_disk_while_it_can_come_back(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    path = kept.session.path
    assert path is not None
    file = photo_folder(path) / photos_of(kept)[0].file
    assert kept.map_file.save().wait()
    QTest.mouseClick(row.remove_button, Qt.MouseButton.LeftButton)
    assert not photos_of(kept)
    assert kept.map_file.save().wait()
    assert kept.map_file.save().wait()  # the version before does not use it either
    assert file.exists()
    kept.session.stack.undo()
    qtbot.waitUntil(lambda: thumb_shown(row, 0, RED))
    kept.session.stack.redo()
    kept.session.stack.setClean()
    assert kept.map_file.open(path).wait()  # the history is gone
    kept.session.edit("x", lambda _old: load(path).document)
    assert kept.map_file.save().wait()
    assert not file.exists()


def test_a_missing_picture_is_told_in_words(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    path = kept.session.path
    assert path is not None
    (photo_folder(path) / photos_of(kept)[0].file).unlink()
    show(kept, "panel/F4")
    show(kept, PLACE)
    qtbot.waitUntil(lambda: "missing in the folder van.photos" in row.message.text)
    assert row.list.item(0).text() == "No picture"
    show(kept, "panel/F4")
    assert row.message.text == ""


def test_a_click_shows_it_large_beside(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    files = (
        write_picture(tmp_path / "a.jpg", size=(900, 300)),
        write_picture(tmp_path / "b.jpg", size=(300, 900)),
    )
    row = add(qtbot, kept, *files)
    row.show_large()  # makes the window; the clicks below must change what it shows
    large = row.large
    assert large is not None
    assert not large.isModal()
    for number, wide in ((0, True), (1, False)):
        place = row.list.visualItemRect(row.list.item(number)).center()
        QTest.mouseClick(row.list.viewport(), Qt.MouseButton.LeftButton, pos=place)
        qtbot.waitUntil(lambda: not large.picture.image.isNull())
        size = large.picture.image.size()
        assert (size.width() > size.height()) is wide
    assert large.windowTitle() == "Photo of F3 feed"
    QTest.keyClick(large, Qt.Key.Key_Escape)
    assert not large.isVisible()


def test_the_photos_can_be_heard(
    kept: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    row = add(qtbot, kept, write_picture(tmp_path / "a.jpg"))
    row.note.setText("melted edge")
    row.note.setModified(True)
    row.commit()
    named = {
        row.list: "Photos",
        row.note: "Note of the photo",
        row.add_button: "Add photo…",
        row.remove_button: "Remove photo",
        row.embed: "Embed in the map",
    }
    for widget, name in named.items():
        heard = QAccessible.queryAccessibleInterface(widget)
        assert heard.text(QAccessible.Text.Name) == name
    item = QAccessible.queryAccessibleInterface(row.list).child(0)
    assert item.text(QAccessible.Text.Name) == "melted edge"
