"""Two programs on one file know of each other, and a dead one holds nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from blockmap.files.holding import Hold, hold_of, is_held, twin_of

posix = pytest.mark.skipif(os.name != "posix", reason="signals and links of POSIX")

_HOLDER = """
import sys, time
from pathlib import Path
from blockmap.files.holding import hold_of
print(hold_of(Path(sys.argv[1]), sys.argv[2]).take(), flush=True)
time.sleep(60)
"""


def test_one_of_two_holds_and_letting_go_passes_it_on(tmp_path: Path) -> None:
    first, second = Hold(tmp_path / "a.lock"), Hold(tmp_path / "a.lock")
    assert first.take()
    assert first.take()
    assert not second.take()
    assert second.held_here
    assert is_held(first.file)
    first.let_go()
    assert not is_held(first.file)
    assert not first.file.exists()
    assert second.take()
    second.let_go()
    second.let_go()


@posix
def test_another_program_holds_until_it_is_killed(tmp_path: Path) -> None:
    map_file = tmp_path / "car"
    link = tmp_path / "link"
    link.symlink_to("car")
    child = subprocess.Popen(
        [sys.executable, "-c", _HOLDER, str(tmp_path / "open"), str(map_file)],
        stdout=subprocess.PIPE,
    )
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"True\n"
        mine = hold_of(tmp_path / "open", link)  # by whatever name it is opened
        assert not mine.take()
        assert not mine.held_here
        assert is_held(mine.file)
        child.send_signal(signal.SIGKILL)
    assert mine.file.exists()
    assert not is_held(mine.file)
    assert mine.take()
    mine.let_go()


@posix
def test_another_name_of_a_held_file_is_known_by_the_file(tmp_path: Path) -> None:
    # A hard link; on a disk that ignores case, other letters do the same.
    map_file, other = tmp_path / "car", tmp_path / "second"
    map_file.write_bytes(b"x")
    os.link(map_file, other)
    folder = tmp_path / "open"
    child = subprocess.Popen(
        [sys.executable, "-c", _HOLDER, str(folder), str(map_file)],
        stdout=subprocess.PIPE,
    )
    theirs = hold_of(folder, map_file).file
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"True\n"
        assert twin_of(hold_of(folder, other), other) == theirs
        assert twin_of(hold_of(folder, map_file), map_file) is None  # it is itself
        unlike = tmp_path / "unlike"
        unlike.write_bytes(b"x")
        assert twin_of(hold_of(folder, unlike), unlike) is None
        other.unlink()
        other.write_bytes(b"x")  # as saving does, which parts the names
        assert twin_of(hold_of(folder, other), other) is None
        other.unlink()
        os.link(map_file, other)
        (folder / "garbage.lock").write_bytes(b"\xff\n\0" * 9000)
        child.send_signal(signal.SIGKILL)
    assert theirs.exists()
    assert twin_of(hold_of(folder, other), other) is None


@pytest.mark.parametrize("text", [b"", b"\xff" * 5000, b"12345 other-host\n"])
def test_what_stands_in_a_stale_hold_does_not_matter(
    tmp_path: Path, text: bytes
) -> None:
    hold = Hold(tmp_path / "a.lock")
    hold.file.write_bytes(text)
    assert not is_held(hold.file)
    assert hold.take()
    hold.let_go()


def test_a_folder_that_cannot_be_made_is_an_error_to_the_caller(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(OSError, match=r"file"):
        Hold(tmp_path / "file" / "a.lock").take()
    assert not is_held(tmp_path / "file" / "a.lock")
