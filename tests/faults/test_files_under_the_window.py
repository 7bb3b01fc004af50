"""A map's file that is changed, removed, protected or full under the open window."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.disk import Disk
from blockmap.files.map_writer import map_text
from blockmap.files.store import load, save
from blockmap.model.document import Map
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
from blockmap.window.main_window import MainWindow
from tests.faults.sample import after, panel, saved_panel
from tests.faults.window_at_work import (
    Answers,
    answers,
    change,
    look_at_disk,
    new_window,
    window,
)

__all__ = ["answers", "new_window", "window"]

posix = pytest.mark.skipif(os.name != "posix", reason="links and modes of POSIX")
New = Callable[[], MainWindow]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return the file of a saved map."""
    folder = tmp_path / "maps"
    folder.mkdir()
    return saved_panel(folder)


MINE, THEIRS = after(panel(), 1), after(panel(), 9)


def in_place(path: Path, document: Map) -> None:
    """Write as an editor does that keeps the file and its times."""
    times = path.stat()
    path.write_text(map_text(document), encoding="utf-8")
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))


def replaced(path: Path, document: Map) -> None:
    """Write as a program does that renames a new file over the old one, three times."""
    for n in (7, 8):
        save(path, after(panel(), n))
    save(path, document)


@pytest.mark.parametrize("write", [in_place, replaced])
def test_a_change_by_another_program_is_asked_about_in_words(
    window: MainWindow, path: Path, answers: Answers, write: Callable[..., None]
) -> None:
    write(path, THEIRS)
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_changed_on_disk"]
    assert "The file alters 1 × cavity: panel/F1." in answers.last
    assert load(path).document == THEIRS
    assert window.session.document == MINE
    assert not window.session.saved


def test_keep_mine_saves_mine_and_keeps_theirs_beside(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    in_place(path, THEIRS)
    answers.disk = DiskChoice.KEEP_MINE
    assert window.map_file.save().wait()
    assert load(path).document == MINE
    assert load(path.with_name(path.name + "~")).document == THEIRS
    assert window.session.saved


def test_take_theirs_can_be_undone(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    in_place(path, THEIRS)
    answers.disk = DiskChoice.TAKE_THEIRS
    assert not window.map_file.save().wait()
    assert window.session.document == THEIRS
    assert window.session.saved
    window.session.stack.undo()
    assert window.session.document == MINE
    assert not window.session.saved


def test_take_theirs_that_cannot_be_read_loses_nothing(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    path.write_text("- not a map", encoding="utf-8")
    answers.disk = DiskChoice.TAKE_THEIRS
    assert not window.map_file.save().wait()
    assert "cannot be read now" in answers.asked[0][1]
    assert answers.kinds[-1] == "tell"
    assert window.session.document == MINE
    assert not window.session.saved


def test_save_beside_leaves_theirs(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    in_place(path, THEIRS)
    beside = path.with_name("mine.blockmap.yaml")
    answers.disk, answers.save_to = DiskChoice.SAVE_BESIDE, [beside]
    assert window.map_file.save().wait()
    assert load(path).document == THEIRS
    assert load(beside).document == MINE
    assert window.session.path == beside


def test_coming_back_to_the_window_tells_of_a_change(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    in_place(path, THEIRS)
    look_at_disk(window)
    assert "changed by another program" in window.bar.text
    assert window.session.document == MINE
    assert window.map_file.save().wait() is False
    answers.disk = DiskChoice.KEEP_MINE
    assert window.map_file.save().wait()
    in_place(path, THEIRS)
    look_at_disk(window)  # nothing is unsaved here: theirs is shown
    assert window.session.document == THEIRS
    assert window.session.saved
    path.write_text("half a fi", encoding="utf-8")
    look_at_disk(window)
    assert "cannot be read" in window.bar.text
    assert window.session.document == THEIRS


def test_a_removed_file_is_told_and_written_again_only_when_wished(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    path.unlink()
    look_at_disk(window)
    assert "is gone" in window.bar.text
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_gone"]
    assert not path.exists()
    answers.gone = DiskChoice.KEEP_MINE
    assert window.map_file.save().wait()
    assert load(path).document == MINE


def test_a_removed_folder_leaves_the_map_in_the_window_and_kept(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    for file in path.parent.iterdir():
        file.unlink()
    path.parent.rmdir()
    answers.gone = DiskChoice.KEEP_MINE
    answers.elsewhere = True
    elsewhere = path.parent.parent / "there.blockmap.yaml"
    answers.save_to = [elsewhere]
    assert window.map_file.save().wait()
    assert "there is no such folder" in answers.asked[1][1]
    assert load(elsewhere).document == MINE
    change(window, "STEP 2")
    window.keeping.flush()
    assert window.keeping.keeper.file.exists()


@posix
def test_a_protected_file_is_not_touched_and_save_as_is_offered(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    path.chmod(0o444)
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_elsewhere"]
    assert "write-protected" in answers.last
    assert load(path).document == panel()
    assert stat.S_IMODE(path.stat().st_mode) == 0o444
    answers.elsewhere = True
    answers.save_to = [path.with_name("other.blockmap.yaml")]
    assert window.map_file.save().wait()
    assert load(path).document == panel()
    assert window.session.saved


@posix
def test_a_protected_folder_is_told(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    path.parent.chmod(0o555)
    if os.access(path.parent, os.W_OK):
        path.parent.chmod(0o755)
        pytest.skip("this user may write everywhere; the failing disk stands for it")
    try:
        assert not window.map_file.save().wait()
    finally:
        path.parent.chmod(0o755)
    assert "may not write in this folder" in answers.last
    assert load(path).document == panel()


@pytest.mark.parametrize(
    ("call", "code", "words"),
    [
        ("create", errno.EACCES, "may not write in this folder"),
        ("create", errno.EROFS, "this disk can only be read"),
        ("create", errno.EMFILE, "too many files are open"),
        ("write", errno.ENOSPC, "the disk is full; make room for"),
        ("flush", errno.ENOSPC, "the disk is full; make room for"),
        ("write", errno.EDQUOT, "your share of the disk is full"),
        ("flush", errno.EIO, "look at the disk"),
        ("replace", errno.EPERM, "may not write in this folder"),
    ],
)
def test_a_failing_disk_is_told_and_everything_is_as_it_was(
    window: MainWindow,
    path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
    call: str,
    code: int,
    words: str,
) -> None:
    def fail(*_given: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as failing:
        failing.setattr(Disk, call, fail)
        assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_elsewhere"]
    assert words in answers.last
    assert load(path).document == panel()
    assert {f.name for f in path.parent.iterdir()} <= {path.name, path.name + "~"}
    assert window.session.document == MINE
    assert not window.session.saved
    assert window.map_file.save().wait()


def test_two_faults_at_once_leave_old_or_new_and_the_map_in_the_window(
    window: MainWindow,
    path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    in_place(path, THEIRS)
    answers.disk, answers.elsewhere = DiskChoice.SAVE_BESIDE, True
    answers.save_to = [path.with_name("a"), path.with_name("b")]
    codes = iter((errno.EIO, errno.ENOSPC, errno.EIO))

    def write(_disk: Disk, handle: int, data: memoryview) -> int:
        code = next(codes)
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as failing:
        failing.setattr(Disk, "write", write)
        window.keeping.flush()
        assert not window.map_file.save().wait()
    assert next(codes, None) is None
    assert answers.kinds.count("ask_elsewhere") == 2
    assert load(path).document == THEIRS
    assert {f.name for f in path.parent.iterdir()} == {path.name}
    assert window.session.document == MINE
    assert not window.session.saved
    assert not window.map_file.save().wait()  # the file of theirs is still asked about
    assert answers.kinds[-2:] == ["ask_changed_on_disk", "ask_save_file"]


@posix
def test_link_mode_and_second_name_are_kept_or_told(
    new_window: New, path: Path, answers: Answers
) -> None:
    link = path.with_name("link.blockmap.yaml")
    link.symlink_to(path.name)
    path.chmod(0o664)
    window = new_window()
    assert window.map_file.open(link).wait()
    change(window, "STEP 1")
    assert window.map_file.save().wait()
    assert link.is_symlink()
    assert stat.S_IMODE(path.stat().st_mode) == 0o664
    assert load(path).document == MINE
    os.link(path, path.with_name("second"))
    change(window, "STEP 2")
    assert window.map_file.save().wait()
    assert "known under a second name" in window.bar.text
    assert answers.kinds == []


def test_what_the_reader_notes_stands_in_the_window(
    new_window: New, path: Path
) -> None:
    path.write_text("# mine\n" + path.read_text("utf-8"), encoding="utf-8")
    window = new_window()
    assert window.map_file.open(path).wait()
    assert "saving leaves them out" in window.bar.text


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Return a folder on a disk of 64 kB."""
    folder = tmp_path / "small"
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    try:
        mounted = subprocess.run(command, capture_output=True, check=False).returncode
    except OSError:
        mounted = 1
    if mounted:
        pytest.skip("only root may mount a small disk; the failing disk stands for it")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def _fill(path: Path) -> None:
    """Write until the disk takes not one byte more."""
    with path.open("wb", buffering=0) as file:
        for size in (4096, 1):
            with contextlib.suppress(OSError):
                while file.write(b"x" * size):
                    pass


def test_a_disk_that_is_really_full(
    new_window: New, small_disk: Path, answers: Answers
) -> None:
    path = saved_panel(small_disk)
    window = new_window()
    assert window.map_file.open(path).wait()
    change(window, "STEP 1")
    ballast = small_disk / "ballast"
    _fill(ballast)
    assert not window.map_file.save().wait()
    assert "the disk is full; make room for" in answers.last
    assert load(path).document == panel()
    assert {f.name for f in small_disk.iterdir()} <= {
        "ballast",
        path.name,
        f"{path.name}~",
    }
    ballast.unlink()
    assert window.map_file.save().wait()
    assert load(path).document == MINE


def test_a_full_state_folder_is_told_once_and_work_goes_on(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, answers: Answers
) -> None:
    def full(*_given: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    with monkeypatch.context() as failing:
        failing.setattr(Disk, "write", full)
        for step in (2, 3):
            change(window, f"STEP {step}")
            window.keeping.flush()
            QApplication.processEvents()  # what the worker said comes this way
    assert "Recovery is off, save often" in window.bar.text
    assert "the disk is full" in window.bar.text
    change(window, "STEP 4")
    window.keeping.flush()
    QApplication.processEvents()
    assert "Recovery" not in window.bar.text
    assert window.map_file.save().wait()
    assert answers.kinds == []


def test_closing_with_unsaved_work_saves_or_stays(
    window: MainWindow, path: Path, answers: Answers, qtbot: QtBot
) -> None:
    answers.unsaved = UnsavedChoice.SAVE
    path.chmod(0o444)
    window.close()
    qtbot.waitUntil(lambda: "ask_elsewhere" in answers.kinds)
    assert window.isVisible()
    path.chmod(0o644)
    window.close()
    qtbot.waitUntil(lambda: not window.isVisible())
    assert load(path).document == MINE
