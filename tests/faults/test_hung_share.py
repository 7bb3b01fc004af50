"""A share that does not answer: the window does, and nothing is lost.

Nothing here measures time. While the share hangs, keys and timers must be served; once
it answers, the files must hold what was saved.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from blockmap.__main__ import _unusable
from blockmap.files.recovery import Keeper, kept_maps
from blockmap.files.store import fingerprint, load, save
from blockmap.model.document import Condition
from blockmap.model.edits import set_condition
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
from blockmap.window.disk_strip import DiskJob, DiskStrip
from blockmap.window.legend.rows import TABLE_COLUMNS
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.table_files import export_table, fill_from_path
from tests.faults.hung_share import OPEN_FILES, HungShare, share
from tests.faults.sample import after, panel, saved_panel
from tests.faults.window_at_work import (
    Answers,
    answers,
    change,
    look_at_disk,
    new_window,
    window,
)
from tests.pictures import write_picture

__all__ = ["answers", "new_window", "share", "window"]

pytestmark = pytest.mark.skipif(
    not OPEN_FILES.is_dir(), reason="names of open files are read there"
)
RATING = next(n for n, column in enumerate(TABLE_COLUMNS) if column.key == "rating_a")
New = Callable[[], MainWindow]
MINE, LATER = after(panel(), 1), after(panel(), 2)


@pytest.fixture
def path(share: HungShare) -> Path:
    """Return a saved map on the share."""
    return saved_panel(share.folder)


def wait_until_hung(qtbot: QtBot, share: HungShare) -> None:
    qtbot.waitUntil(share.entered.is_set, timeout=20_000)


def cancel_a_save_that_hangs(
    window: MainWindow, share: HungShare, call: str, qtbot: QtBot
) -> DiskJob:
    share.hang(call)
    job = window.map_file.save()
    wait_until_hung(qtbot, share)
    shown(qtbot, window.disk, "Saving “car”")
    press(window.disk, "Cancel")
    return job


def is_served(qtbot: QtBot) -> None:
    """Assert that timers fire."""
    fired: list[int] = []
    QTimer.singleShot(0, lambda: fired.append(1))
    qtbot.waitUntil(lambda: bool(fired))


def can_be_worked_in(qtbot: QtBot, window: MainWindow) -> None:
    """Assert that what is typed into a cell lands in the map; undo takes it back."""
    is_served(qtbot)
    before = window.session.document
    table = window.legend.table
    table.go_to(1, RATING)
    table.edit(table.currentIndex())
    editor = table.typing.editor
    assert editor is not None
    QTest.keyClicks(editor, "15")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert window.session.document.cavities["panel/F2"].rating_a == 15
    window.actions_by_name["undo"].trigger()
    assert window.session.document is before


def press(strip: QWidget, words: str) -> None:
    """Press the button of a strip."""
    (button,) = (b for b in strip.findChildren(QPushButton) if b.text() == words)
    assert button.isVisible()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def shown(qtbot: QtBot, strip: DiskStrip, words: str) -> None:
    """Wait until a strip says this."""
    qtbot.waitUntil(lambda: words in strip.text, timeout=20_000)


def files(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


# saving


@pytest.mark.parametrize(
    "call", ["stat", "open_to_read", "open_folder", "create", "write", "flush"]
)
def test_a_save_that_hangs_lets_work_go_on_and_saves_what_was_there_then(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, call: str
) -> None:
    share.hang(call)
    job = window.map_file.save()
    wait_until_hung(qtbot, share)
    can_be_worked_in(qtbot, window)
    shown(qtbot, window.disk, "Saving “car”")
    change(window, "STEP 2")
    share.release()
    assert job.wait()
    assert window.disk.text == ""
    assert load(path).document == MINE
    assert window.session.document == LATER
    assert not window.session.saved
    window.session.stack.undo()
    assert window.session.saved
    window.session.stack.redo()
    assert window.map_file.save().wait()
    assert load(path).document == LATER


@pytest.mark.parametrize("call", ["stat", "create", "write", "flush"])
def test_a_save_that_is_cancelled_leaves_the_file_for_good(
    window: MainWindow,
    path: Path,
    share: HungShare,
    qtbot: QtBot,
    call: str,
    answers: Answers,
) -> None:
    job = cancel_a_save_that_hangs(window, share, call, qtbot)
    assert job.done
    assert not job.result
    assert "was cancelled: the file is as it was" in window.bar.text
    assert not window.session.saved
    share.release()
    qtbot.waitUntil(lambda: files(path.parent) == {path.name})
    assert load(path).document == panel()
    assert window.map_file.save().wait()
    assert load(path).document == MINE
    assert answers.kinds == []


def test_a_save_cancelled_too_late_is_known_again_as_ours(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    cancel_a_save_that_hangs(window, share, "replace", qtbot)
    assert "the version before or this one, whole" in window.bar.text
    change(window, "STEP 2")
    share.release()
    qtbot.waitUntil(lambda: load(path).document == MINE)
    look_at_disk(window)
    assert "was saved after all" in window.bar.text
    window.session.stack.undo()
    assert window.session.saved
    window.session.stack.redo()
    assert window.map_file.save().wait()
    assert load(path).document == LATER
    assert answers.kinds == []


def test_what_was_cancelled_and_ends_late_never_ends_up_over_a_newer_save(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    cancel_a_save_that_hangs(window, share, "replace", qtbot)
    change(window, "STEP 2")
    again = window.map_file.save()
    can_be_worked_in(qtbot, window)
    assert again.running
    share.release()
    assert again.wait()
    assert load(path).document == LATER
    assert load(path.with_name(path.name + "~")).document == MINE
    assert answers.kinds == []


def test_saving_again_and_again_while_it_hangs_saves_once_more_at_the_end(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot
) -> None:
    share.hang("flush")
    before = share.count
    first = window.map_file.save()
    wait_until_hung(qtbot, share)
    assert window.map_file.save() is first  # nothing was changed since
    change(window, "STEP 2")
    jobs = {window.map_file.save() for _ in range(5)}
    assert len(jobs) == 1
    share.release()
    assert first.wait()
    assert jobs.pop().wait()
    assert load(path).document == LATER
    assert window.session.saved
    assert share.count - before == 2 * 2  # each save puts file and version before


def test_another_place_is_saved_to_while_the_share_still_hangs(
    window: MainWindow,
    path: Path,
    share: HungShare,
    qtbot: QtBot,
    answers: Answers,
    tmp_path: Path,
) -> None:
    share.hang("flush")
    window.map_file.save()
    wait_until_hung(qtbot, share)
    here = tmp_path / "here.blockmap.yaml"
    answers.save_to = [here]
    saving_as = window.map_file.save_as()
    shown(qtbot, window.disk, "Saving “car”")
    press(window.disk, "Cancel")
    assert saving_as.wait()
    assert load(here).document == MINE
    assert window.session.path == here
    assert window.session.saved
    share.release()
    qtbot.waitUntil(lambda: files(path.parent) == {path.name})
    assert load(path).document == panel()


def test_save_and_close_at_once_loses_nothing(
    window: MainWindow, path: Path, qtbot: QtBot, answers: Answers
) -> None:
    window.actions_by_name["save"].trigger()
    window.actions_by_name["close"].trigger()
    qtbot.waitUntil(lambda: not window.isVisible())
    assert load(path).document == MINE
    assert answers.kinds == []


# closing


def test_closing_waits_for_the_save_and_loses_nothing(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    answers.unsaved = UnsavedChoice.SAVE
    share.hang("flush")
    window.close()
    wait_until_hung(qtbot, share)
    assert window.isVisible()
    shown(qtbot, window.disk, "then closing")
    can_be_worked_in(qtbot, window)
    share.release()
    qtbot.waitUntil(lambda: not window.isVisible(), timeout=20_000)
    assert load(path).document == MINE
    assert answers.kinds == ["ask_unsaved"]
    assert kept_maps(window.settings.recovery_folder) == ([], [])


def test_what_is_changed_while_closing_waits_is_asked_about_again(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    share.hang("flush")
    window.map_file.save()
    wait_until_hung(qtbot, share)
    window.close()
    change(window, "STEP 2")
    share.release()
    qtbot.waitUntil(lambda: answers.kinds == ["ask_unsaved"], timeout=20_000)
    assert window.isVisible()
    assert window.session.document == LATER


def test_a_close_is_called_off_with_the_save(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    share.hang("create")
    window.map_file.save()
    wait_until_hung(qtbot, share)
    window.close()
    shown(qtbot, window.disk, "then closing")
    press(window.disk, "Cancel")
    share.release()
    qtbot.wait(50)
    assert window.isVisible()
    assert window.session.document == MINE
    assert load(path).document == panel()
    assert answers.kinds == []


def test_closing_without_waiting_keeps_the_map_for_the_next_start(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    share.hang("create")
    window.map_file.save()
    wait_until_hung(qtbot, share)
    window.close()
    shown(qtbot, window.disk, "then closing")
    press(window.disk, "Close and keep the work")
    assert not window.isVisible()
    folder = window.settings.recovery_folder
    share.release()
    qtbot.waitUntil(lambda: files(path.parent) == {path.name})
    (kept,), damaged = kept_maps(folder)
    assert not damaged
    assert (kept.document, kept.source) == (MINE, path)
    assert load(path).document == panel()


def test_leaving_the_program_closes_the_other_windows_and_waits_for_one(
    window: MainWindow, new_window: New, share: HungShare, qtbot: QtBot, path: Path
) -> None:
    other = new_window()
    other.map_file.start(panel())
    share.hang("flush")
    window.map_file.save()
    wait_until_hung(qtbot, share)
    window.actions_by_name["quit"].trigger()
    qtbot.waitUntil(lambda: not other.isVisible())
    assert window.isVisible()
    share.release()
    qtbot.waitUntil(lambda: not window.isVisible(), timeout=20_000)
    assert load(path).document == MINE


# opening and looking


@pytest.mark.parametrize("call", ["stat", "open_to_read"])
def test_a_file_that_hangs_while_it_is_opened_disturbs_nobody(
    new_window: New, path: Path, share: HungShare, qtbot: QtBot, call: str
) -> None:
    window = new_window()
    wanted: list[object] = []
    window.window_wanted.connect(wanted.append)
    share.hang(call)
    opening = window.map_file.open(path)
    wait_until_hung(qtbot, share)
    shown(qtbot, window.disk, "Opening “car”")
    window.map_file.start(LATER)  # the person begins something else
    share.release()
    assert not opening.wait()
    assert wanted == [path]  # and gets what was asked for in another window
    assert window.session.document == LATER
    window.session.mark_saved()


def test_opening_can_be_cancelled_and_holds_nothing(
    new_window: New, path: Path, share: HungShare, qtbot: QtBot
) -> None:
    window, other = new_window(), new_window()
    share.hang("open_to_read")
    window.map_file.open(path)
    wait_until_hung(qtbot, share)
    shown(qtbot, window.disk, "Opening “car”")
    press(window.disk, "Cancel")
    assert not window.has_map
    share.release()
    assert other.map_file.open(path).wait()
    assert other.map_file._hold is not None


def test_reverting_and_coming_back_to_the_window_wait_for_nobody(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot
) -> None:
    share.hang("open_to_read")
    window.map_file.look_at_disk()
    wait_until_hung(qtbot, share)
    can_be_worked_in(qtbot, window)
    reverting = window.map_file.revert()
    change(window, "STEP 2")
    shown(qtbot, window.disk, "Reading “car” again")
    share.release()
    assert reverting.wait()
    assert window.session.document == panel()
    window.session.stack.undo()
    assert window.session.document == LATER  # one step back, nothing lost


def test_a_conflict_is_asked_about_once_the_share_answers(
    window: MainWindow, path: Path, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    save(path, after(panel(), 9))
    share.hang("stat")
    job = window.map_file.save()
    wait_until_hung(qtbot, share)
    change(window, "STEP 2")
    answers.disk = DiskChoice.KEEP_MINE
    share.release()
    assert job.wait()
    assert answers.kinds == ["ask_changed_on_disk"]
    assert load(path).document == LATER  # what stood there when it was answered
    assert window.session.saved


def test_a_file_that_hangs_at_the_start_is_left_to_the_window(
    path: Path, share: HungShare, monkeypatch: pytest.MonkeyPatch
) -> None:
    really = Path.is_file

    def is_file(file: Path) -> bool:
        share.wait_at("stat", (file,))
        return really(file)

    monkeypatch.setattr(Path, "is_file", is_file)
    assert _unusable([str(path.with_name("missing"))]) is not None
    share.hang("stat")
    assert _unusable([str(path.with_name("missing"))]) is None


def test_the_start_page_is_shown_while_a_recent_file_does_not_answer(
    new_window: New,
    path: Path,
    share: HungShare,
    qtbot: QtBot,
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    keeper = Keeper(settings.recovery_folder)
    keeper.keep(LATER, path, fingerprint(path))
    keeper.let_go()
    settings.add_recent(path)
    settings.add_recent(path.with_name("gone.yaml"))
    really = Path.is_file

    def is_file(file: Path) -> bool:
        share.wait_at("stat", (file,))
        return really(file)

    monkeypatch.setattr(Path, "is_file", is_file)
    share.hang("stat")
    window = new_window()
    page = window.start_page
    assert page.kept is not None
    assert page._recent.count() == 2
    assert "car.blockmap.yaml, kept 2" in page.kept.list.item(0).text()
    menu = QMenu(window)
    window.commands._fill_recent(menu)
    assert [a.isEnabled() for a in menu.actions()][:2] == [True, True]
    share.release()
    qtbot.waitUntil(lambda: page._recent.item(0).text() == "gone.yaml (missing)")
    assert page._recent.item(1).flags() & Qt.ItemFlag.ItemIsEnabled
    kept = page.kept.list.item(0).data(Qt.ItemDataRole.UserRole)
    assert window.take_kept(kept).wait()
    assert window.session.document == LATER


# what else is read and written


def test_tables_are_written_and_read_beside_the_work(
    window: MainWindow, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    table = share.folder / "table.csv"
    answers.save_to = [table]
    share.hang("write")
    export_table(window)
    wait_until_hung(qtbot, share)
    change(window, "STEP 2")
    shown(qtbot, window.disk, "Writing “table.csv”")
    share.release()
    qtbot.waitUntil(table.exists)
    qtbot.waitUntil(lambda: window.disk.text == "")
    assert "STEP 1" in table.read_text("utf-8")
    share.hang("open_to_read")
    filling = fill_from_path(window, table)
    wait_until_hung(qtbot, share)
    shown(qtbot, window.disk, "Reading “table.csv”")
    can_be_worked_in(qtbot, window)
    share.release()
    assert filling.wait()
    assert window.session.document == MINE
    assert answers.kinds == ["ask_save_file"]


def test_writing_a_table_can_be_cancelled(
    window: MainWindow, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    table = share.folder / "table.csv"
    table.write_text("the earlier one")
    answers.save_to = [table]
    share.hang("flush")
    export_table(window)
    wait_until_hung(qtbot, share)
    shown(qtbot, window.disk, "Writing “table.csv”")
    press(window.disk, "Cancel")
    assert "writing was cancelled, the earlier file is whole" in answers.last
    share.release()
    qtbot.waitUntil(lambda: len(files(share.folder)) == 2)  # the map and the table
    assert table.read_text() == "the earlier one"


def test_a_pdf_is_written_beside_the_preview_which_closes_after_it(
    window: MainWindow, share: HungShare, qtbot: QtBot, answers: Answers
) -> None:
    preview = SheetPreview(window.session, window.selection, window.settings, window)
    preview.show()
    qtbot.waitUntil(lambda: preview.pdf.startswith(b"%PDF"), timeout=20_000)
    pdf, target = preview.pdf, share.folder / "sheet.pdf"
    answers.save_to = [target]
    share.hang("write")
    preview.save_pdf()
    wait_until_hung(qtbot, share)
    is_served(qtbot)
    shown(qtbot, preview.disk, "Writing “sheet.pdf”")
    with qtbot.waitSignal(preview.finished, timeout=20_000):
        preview.close()
        assert preview.isVisible()
        share.release()
    assert target.read_bytes() == pdf


def test_photos_are_copied_beside_the_work_and_can_be_cancelled(
    window: MainWindow, share: HungShare, qtbot: QtBot, tmp_path: Path
) -> None:
    condition = Condition(state="burnt")
    window.session.edit("Damage", set_condition, "panel/F1", "feed", condition)
    window.panes.bring("behind")
    window.selection.select(["panel/F1"])
    row = window.behind.damage.photos
    row.show_place("panel/F1", "feed")
    picture = write_picture(tmp_path / "a.jpg")
    share.hang("flush")
    row.add([picture])
    wait_until_hung(qtbot, share)
    is_served(qtbot)
    qtbot.waitUntil(lambda: not row.disk.isHidden(), timeout=20_000)
    row.disk._cancel.click()
    assert row.photos == ()
    share.release()
    qtbot.waitUntil(lambda: files(share.folder / "car.photos") == set())
    row.add([picture])
    qtbot.waitUntil(lambda: len(row.photos) == 1)


def test_a_state_folder_that_hangs_stops_neither_typing_nor_closing(
    new_window: New,
    share: HungShare,
    settings: Settings,
    qtbot: QtBot,
    tmp_path: Path,
    answers: Answers,
) -> None:
    settings.state_folder = share.folder
    here = saved_panel(tmp_path)
    window = new_window()
    assert window.map_file.open(here).wait()
    share.hang("create")
    change(window, "STEP 1")
    window.keeping.keep_now()
    wait_until_hung(qtbot, share)
    can_be_worked_in(qtbot, window)
    assert window.map_file.save().wait()
    assert load(here).document == MINE
    window.close()
    assert not window.isVisible()
    share.release()
    kept = share.folder / "recovery"
    qtbot.waitUntil(lambda: kept_maps(kept) == ([], []), timeout=20_000)
