"""Two windows on one file, and unsaved work of an earlier run, in the real window."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from blockmap.files.holding import hold_of
from blockmap.files.recovery import Keeper, kept_maps
from blockmap.files.store import fingerprint, load, save
from blockmap.window import safekeeping
from blockmap.window.application import Windows
from blockmap.window.dialogs import UnsavedChoice
from blockmap.window.kept_part import KeptPart
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from tests.faults.driven import driven
from tests.faults.sample import after, panel, saved_panel
from tests.faults.window_at_work import Answers, answers, change, new_window

__all__ = ["answers", "new_window"]

New = Callable[[], MainWindow]


@pytest.fixture
def windows(settings: Settings, answers: Answers) -> Iterator[Windows]:
    """Return the windows of a running program."""
    made = Windows(settings)
    yield made
    for window in made.shown:
        window.session.mark_saved()
        window.close()
    QApplication.sendPostedEvents(None, 52)  # the deferred deletes
    QApplication.processEvents()


def crashed(settings: Settings, step: int, source: Path | None) -> None:
    """Leave unsaved work behind as a killed program does."""
    keeper = Keeper(settings.recovery_folder)
    keeper.keep(after(panel(), step), source, fingerprint(source) if source else None)
    keeper._hold.let_go()


def started(new_window: New) -> MainWindow:
    """Open a window and wait until its page lists what a crash left."""
    window = new_window()
    assert kept_part(window).work.wait(20_000)
    return window


def kept_part(window: MainWindow) -> KeptPart:
    """Return the part of the start page that lists what a crash left."""
    part = window.start_page.kept
    assert part is not None
    return part


def press(window: MainWindow, words: str) -> None:
    """Press the visible button with these words, and wait for what comes of it."""
    buttons = [b for b in window.findChildren(QPushButton) if b.isVisible()]
    named = next(b for b in buttons if b.text().replace("&", "") == words)
    QTest.mouseClick(named, Qt.MouseButton.LeftButton)
    part = window.start_page.kept
    assert part is None or part.work.wait(20_000)
    assert window.keeping._aside.wait(20_000)
    if window.map_file._last is not None:
        window.map_file._last.wait()
        assert window.keeping._aside.wait(20_000)


def test_a_second_window_comes_with_its_map_and_does_not_hold_the_first_up(
    windows: Windows, qtbot: QtBot, tmp_path: Path
) -> None:
    first = windows.open(None)
    qtbot.waitUntil(lambda: first.after_frame.painted)
    path = saved_panel(tmp_path)
    second = windows.open(path)
    # The first window goes on: neither the disk nor the new map is waited for.
    assert second.map_file.busy
    assert not second.has_map
    qtbot.waitUntil(second.isVisible)
    assert second.has_map, "an empty window flashed up before its map"


def test_a_map_is_taken_in_a_turn_of_its_own(
    windows: Windows, qtbot: QtBot, tmp_path: Path
) -> None:
    window = windows.open(None)
    qtbot.waitUntil(lambda: window.after_frame.painted)
    opening = window.map_file.open(saved_panel(tmp_path))
    assert opening.running
    assert not window.has_map
    assert opening.wait()
    assert window.has_map


@pytest.mark.qt_log_ignore("This plugin does not support raise", extend=True)
def test_opening_a_file_again_shows_the_window_that_has_it(
    windows: Windows, qtbot: QtBot, tmp_path: Path
) -> None:
    path = saved_panel(tmp_path)
    first = windows.open(path)
    qtbot.waitUntil(lambda: first.session.path == path)
    link, second = tmp_path / "link", tmp_path / "second"
    link.symlink_to(path.name)
    second.hardlink_to(path)
    for name in (link, second):
        assert windows.open(name) is first
        start = windows.open(None)
        start.start_page.file_wanted.emit(name)
        qtbot.waitUntil(lambda window=start: not window.map_file.busy)  # type: ignore[misc]
        assert not start.session.document.blocks
        start.close()
        qtbot.waitUntil(lambda: windows.shown == (first,))
    start = windows.open(None)
    start.start_page.file_wanted.emit(path)
    qtbot.waitUntil(lambda: not start.map_file.busy)
    assert len(windows.shown) == 2
    assert start.session.path is None
    assert not start.session.document.blocks
    first.close()
    qtbot.waitUntil(lambda: windows.shown == (start,))
    start.start_page.file_wanted.emit(path)
    qtbot.waitUntil(lambda: start.session.path == path)


@pytest.mark.parametrize("by", ["its name", "a second name"])
def test_a_file_open_in_another_program_is_looked_at_and_saved_elsewhere(
    new_window: New, tmp_path: Path, answers: Answers, settings: Settings, by: str
) -> None:
    path = saved_panel(tmp_path)
    same = path
    if by == "a second name":
        same = tmp_path / "second"
        os.link(path, same)
    with driven("say('open')", tmp_path / "home", path) as other:
        other.wait_for("open")
        settings.state_folder = tmp_path / "home" / "state" / "blockmap"
        window = new_window()
        assert window.map_file.open(same).wait()
        assert "open in another window already" in window.bar.text
        change(window, "STEP 1")
        assert not window.map_file.save().wait()
        assert answers.kinds == ["ask_elsewhere"]
        assert load(path).document == panel()
        answers.elsewhere = True
        answers.save_to = [path, tmp_path / "mine.blockmap.yaml"]
        assert window.map_file.save().wait()
        assert load(path).document == panel()
        assert load(tmp_path / "mine.blockmap.yaml").document == after(panel(), 1)


def test_once_the_other_program_is_gone_save_is_save(
    new_window: New, tmp_path: Path, answers: Answers, settings: Settings
) -> None:
    path = saved_panel(tmp_path)
    home = tmp_path / "home"
    with driven("say('open')", home, path) as other:
        other.wait_for("open")
        settings.state_folder = home / "state" / "blockmap"
        window = new_window()
        assert window.map_file.open(path).wait()
    change(window, "STEP 1")
    assert window.map_file.save().wait()
    assert load(path).document == after(panel(), 1)
    assert answers.kinds == []


def test_save_as_and_save_a_copy_leave_a_file_that_is_open_alone(
    windows: Windows, qtbot: QtBot, tmp_path: Path, answers: Answers
) -> None:
    path = saved_panel(tmp_path)
    first = windows.open(path)
    qtbot.waitUntil(lambda: first.session.path == path)
    second = windows.open(None)
    second.map_file.start(after(panel(), 5))
    for command in (second.map_file.save_as, second.map_file.save_copy):
        answers.save_to = [path]
        assert not command().wait()
        assert "is open in a" in answers.last
    assert load(path).document == panel()


def test_closing_lets_go_of_the_file(
    new_window: New, tmp_path: Path, qtbot: QtBot
) -> None:
    path = saved_panel(tmp_path)
    window = new_window()
    assert window.map_file.open(path).wait()
    hold = hold_of(window.settings.state_folder / "open", path)
    assert hold.held_here
    window.close()
    qtbot.waitUntil(lambda: not hold.held_here and not hold.file.exists())


def test_where_the_state_folder_cannot_be_written_work_goes_on(
    new_window: New, tmp_path: Path, settings: Settings, answers: Answers
) -> None:
    blocked = tmp_path / "blocked"
    blocked.touch()
    settings.state_folder = blocked
    path = saved_panel(tmp_path)
    window = new_window()
    assert window.map_file.open(path).wait()
    change(window, "STEP 1")
    window.keeping.flush()
    QApplication.processEvents()
    assert "Recovery is off" in window.bar.text
    assert window.map_file.save().wait()
    assert load(path).document == after(panel(), 1)


def test_the_start_page_says_what_a_crash_left_and_opens_it(
    new_window: New, tmp_path: Path, settings: Settings
) -> None:
    path = saved_panel(tmp_path)
    crashed(settings, 3, path)
    save(path, after(panel(), 8))
    window = started(new_window)
    words = kept_part(window).list.item(0).text()
    assert "car.blockmap.yaml, kept 2" in words
    assert "4 cavities, car “Grey estate”" in words
    assert "saving will ask" in words
    press(window, "Open unsaved work")
    assert window.session.document == after(panel(), 3)
    assert not window.session.saved
    assert load(path).document == after(panel(), 8)
    (only,) = settings.recovery_folder.glob("*.kept")
    assert only == window.keeping.keeper.file


def test_saving_recovered_work_asks_about_a_file_that_is_newer(
    new_window: New, tmp_path: Path, settings: Settings, answers: Answers
) -> None:
    path = saved_panel(tmp_path)
    crashed(settings, 3, path)
    save(path, after(panel(), 8))
    window = started(new_window)
    press(window, "Open unsaved work")
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_changed_on_disk"]
    assert load(path).document == after(panel(), 8)


def test_work_put_aside_leaves_the_page_but_not_the_disk(
    new_window: New, settings: Settings
) -> None:
    crashed(settings, 3, None)
    window = started(new_window)
    press(window, "Put it aside")
    assert kept_part(window).list.count() == 0
    assert kept_maps(settings.recovery_folder) == ([], [])
    assert list(settings.recovery_folder.glob("*.aside"))


def test_work_that_cannot_be_read_is_told_and_stays(
    new_window: New, settings: Settings, answers: Answers
) -> None:
    folder = settings.recovery_folder
    folder.mkdir(parents=True)
    (folder / "x.kept").write_bytes(b"\x00\xff garbage")
    window = started(new_window)
    press(window, "Open unsaved work")
    assert answers.kinds == ["tell"]
    assert not window.session.document.blocks
    assert (folder / "x.kept").exists()
    assert not kept_part(window).list.item(0).text().endswith("after opening this")


def test_opening_a_file_by_name_offers_the_unsaved_work_on_it(
    new_window: New, tmp_path: Path, settings: Settings, answers: Answers
) -> None:
    path = saved_panel(tmp_path)
    crashed(settings, 3, path)
    window = new_window()
    assert window.map_file.open(path).wait()
    assert window.session.document == panel()
    assert "There is unsaved work on this file" in window.bar.text
    change(window, "MINE NOW")
    press(window, "Open unsaved work")  # what stands here is asked about first
    assert answers.kinds == ["ask_unsaved"]
    assert window.session.document != after(panel(), 3)
    window.map_file.open(path).wait()
    answers.unsaved = UnsavedChoice.DISCARD
    press(window, "Open unsaved work")
    assert window.session.document == after(panel(), 3)
    assert window.session.path == path
    assert window.bar.text == ""
    assert window.map_file.save().wait()
    assert load(path).document == after(panel(), 3)
    assert kept_maps(settings.recovery_folder) == ([], [])


def test_messages_wait_behind_one_another(new_window: New) -> None:
    window = new_window()
    window.bar.say("first")
    window.bar.say("about a", about="a")
    window.bar.say("still about a", about="a")
    press(window, "Close")
    assert window.bar.text == "first"
    press(window, "Close")
    assert not window.bar.isVisible()


def test_typing_without_a_pause_is_kept_too(
    new_window: New, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert safekeeping.QUIET_MS <= 2_000
    assert safekeeping.LONGEST_MS <= 10_000
    monkeypatch.setattr(safekeeping, "QUIET_MS", 100_000)
    monkeypatch.setattr(safekeeping, "LONGEST_MS", 50)
    window = new_window()
    window.map_file.start(panel())
    with qtbot.waitSignal(window.keeping.kept):
        change(window, "STEP 1")
        change(window, "STEP 2")
    assert window.keeping.keeper.file.exists()
    window.session.stack.undo()
    window.session.stack.undo()
    assert window.keeping._aside.wait(20_000)
    assert not window.keeping.keeper.file.exists()  # nothing is unsaved any more


def test_a_log_out_that_is_called_off_leaves_everything_as_it_was(
    windows: Windows, qtbot: QtBot, tmp_path: Path
) -> None:
    """The desktop asks for the work to be kept; it may still go on after that."""
    path = saved_panel(tmp_path)
    window = windows.open(path)
    qtbot.waitUntil(lambda: window.session.path == path)
    change(window, "STEP 1")
    windows.keep_all(object())  # what commitDataRequest calls
    keeper = window.keeping.keeper
    assert keeper.file.exists()
    kept = keeper.file.read_bytes()
    assert b"STEP 1" in kept
    assert load(path).document == panel()
    assert not window.session.saved
    assert kept_maps(window.settings.recovery_folder) == ([], [])  # it still runs
    assert window.map_file.save().wait()
    assert window.keeping._aside.wait(20_000)
    assert not keeper.file.exists()


def test_a_clock_that_is_set_back_mixes_up_nothing(
    new_window: New,
    tmp_path: Path,
    answers: Answers,
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = saved_panel(tmp_path)
    now = time.time()
    crashed(settings, 1, path)
    monkeypatch.setattr(time, "time", lambda: now - 400 * 86400)
    keeper = Keeper(settings.recovery_folder)
    for step in (2, 3):  # of another map, kept before the other by the clock
        keeper.keep(after(panel(), step), None, None)
    keeper.let_go()
    window = started(new_window)
    assert kept_part(window).list.count() == 2  # nothing is old, nothing is removed
    found, damaged = kept_maps(settings.recovery_folder)
    assert not damaged
    # The newest first: it is known by its number, whatever the clock says.
    legends = [one.document.cavities["panel/F1"].legend for one in found]
    assert legends == ["STEP 3", "STEP 1"]
    assert window.map_file.open(path).wait()
    change(window, "STEP 5")
    assert window.map_file.save().wait()
    change(window, "STEP 6")
    monkeypatch.setattr(time, "time", lambda: now + 400 * 86400)
    assert window.map_file.save().wait()
    assert answers.kinds == []  # no conflict is seen where there is none
    assert load(path).document == after(panel(), 6)
