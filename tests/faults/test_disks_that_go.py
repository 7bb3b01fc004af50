"""Disks that are taken out, put back, made read-only; what is said of it goes again."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from blockmap.files.store import load
from blockmap.window.dialogs import DiskChoice
from blockmap.window.main_window import MainWindow
from tests.faults.hung_share import HungShare, share
from tests.faults.sample import after, panel, saved_panel
from tests.faults.window_at_work import (
    Answers,
    answers,
    change,
    look_at_disk,
    new_window,
    window,
)

__all__ = ["answers", "new_window", "share", "window"]

New = Callable[[], MainWindow]
MINE = after(panel(), 1)


def run(*command: str | Path) -> bool:
    """Run a command of the system; tell whether it worked."""
    try:
        return not subprocess.run(command, capture_output=True, check=False).returncode
    except OSError:
        return False


class Stick:
    """A disk that can be taken out while files are open on it, and put back."""

    def __init__(self, place: Path) -> None:
        self.kept, self.at = place / "kept", place / "stick"
        self.kept.mkdir()
        self.at.mkdir()
        made = run("mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", self.kept)
        if not made or not self.put_in():
            run("umount", "-l", self.kept)
            pytest.skip("only root may put in a disk and take it out")

    def put_in(self) -> bool:
        return run("mount", "--bind", self.kept, self.at)

    def take_out(self) -> None:
        assert run("umount", "-l", self.at)

    def only_read(self, yes: bool) -> None:
        how = "remount,bind,ro" if yes else "remount,bind,rw"
        assert run("mount", "-o", how, self.at)


@pytest.fixture
def stick(tmp_path: Path) -> Iterator[Stick]:
    """Return a disk that is in."""
    made = Stick(tmp_path)
    yield made
    for place in (made.at, made.kept):
        run("umount", "-l", place)


@pytest.fixture
def path(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Return the file of a saved map: on the stick or share, if there is one."""
    if "stick" in request.fixturenames:
        folder: Path = request.getfixturevalue("stick").at
    elif "share" in request.fixturenames:
        folder = request.getfixturevalue("share").folder
    else:
        folder = tmp_path
    return saved_panel(folder)


def test_a_stick_that_is_pulled_out_is_named_and_nothing_goes_elsewhere_unasked(
    window: MainWindow, stick: Stick, path: Path, answers: Answers
) -> None:
    stick.take_out()
    look_at_disk(window)
    assert "The disk of this map is gone" in window.bar.text
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_gone"]
    assert answers.last == f"{path.name}\nTrue"  # the disk is gone, not the file alone
    assert list(stick.at.iterdir()) == []
    change(window, "STEP 2")
    window.keeping.flush()
    assert window.keeping.keeper.file.exists()
    assert stick.put_in()
    look_at_disk(window)
    assert window.bar.text == ""
    assert window.map_file.save().wait()
    assert answers.kinds == ["ask_gone"]
    assert load(path).document == after(panel(), 2)


def test_a_removed_file_is_not_called_a_removed_disk(
    window: MainWindow, path: Path, answers: Answers
) -> None:
    path.unlink()
    look_at_disk(window)
    assert "The file of this map is gone" in window.bar.text
    assert not window.map_file.save().wait()
    assert answers.last == f"{path.name}\nFalse"
    answers.gone = DiskChoice.KEEP_MINE
    assert window.map_file.save().wait()
    assert window.bar.text == ""


def test_a_disk_that_became_read_only_is_called_so_and_saved_to_once_it_is_not(
    window: MainWindow, stick: Stick, path: Path, answers: Answers
) -> None:
    stick.only_read(True)
    assert not window.map_file.save().wait()
    assert answers.kinds == ["ask_elsewhere"]
    assert "this disk can only be read; save elsewhere" in answers.last
    assert load(path).document == panel()
    assert not window.session.saved
    stick.only_read(False)
    assert window.map_file.save().wait()
    assert load(path).document == MINE


def test_a_map_on_a_disk_that_can_only_be_read_is_told_when_it_is_opened(
    new_window: New, stick: Stick, path: Path
) -> None:
    stick.only_read(True)
    window = new_window()
    assert window.map_file.open(path).wait()
    assert "What is changed here cannot be saved in its place" in window.bar.text
    assert "this disk can only be read" in window.bar.text


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
def test_a_protected_map_is_told_when_it_is_opened_and_can_be_worked_in(
    new_window: New, path: Path, answers: Answers
) -> None:
    path.chmod(0o444)
    window = new_window()
    assert window.map_file.open(path).wait()
    assert "the file is write-protected; save under another name" in window.bar.text
    change(window, "STEP 1")
    assert window.session.document == MINE
    assert load(path).document == panel()
    assert answers.kinds == []


def test_what_was_said_of_a_cancelled_save_goes_with_one_that_worked(
    window: MainWindow, share: HungShare, path: Path, qtbot: QtBot
) -> None:
    share.hang("create")
    job = window.map_file.save()
    qtbot.waitUntil(share.entered.is_set, timeout=20_000)
    job.cancel()
    assert "was cancelled" in window.bar.text
    share.release()
    qtbot.waitUntil(lambda: [f.name for f in share.folder.iterdir()] == [path.name])
    assert window.map_file.save().wait()
    assert window.bar.text == ""
    assert load(path).document == MINE


def test_what_was_said_of_a_change_goes_when_the_file_is_as_it_was(
    window: MainWindow, path: Path
) -> None:
    before = path.read_bytes()
    path.write_bytes(before.replace(b"Grey", b"Blue"))
    look_at_disk(window)
    assert "changed by another program" in window.bar.text
    path.write_bytes(before)
    look_at_disk(window)
    assert window.bar.text == ""
