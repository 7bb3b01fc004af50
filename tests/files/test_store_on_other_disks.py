"""Disks that know no modes, no second names, or only reading; machines that share."""

from __future__ import annotations

import errno
import os
import shutil
import stat
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from blockmap.files.disk import Disk
from blockmap.files.map_writer import map_text
from blockmap.files.store import load, save, saving_problem, write_bytes
from blockmap.files.strays import temporary_in
from blockmap.model.errors import DocumentRefused, StoreFailed
from tests.faults.sample import after, panel, saved_panel

OLD, NEW = panel(), after(panel(), 1)
posix = pytest.mark.skipif(os.name != "posix", reason="modes and names of POSIX")


def refusing(code: int, *calls: str) -> Disk:
    """Return a disk that knows nothing of some calls."""

    def refuse(*_given: Any) -> None:
        raise OSError(code, os.strerror(code))

    names: dict[str, Any] = dict.fromkeys(calls, staticmethod(refuse))
    made: Callable[[], Disk] = type("_Refusing", (Disk,), names)
    return made()


# A stick with FAT answers so, in the kernel or mounted by a program.
WITHOUT_MODES = [errno.ENOSYS, errno.EPERM, errno.ENOTSUP]


@posix
@pytest.mark.parametrize("code", WITHOUT_MODES)
def test_a_disk_without_modes_is_saved_to_again_and_again(
    tmp_path: Path, code: int
) -> None:
    path = saved_panel(tmp_path)
    path.chmod(0o600)
    disk = refusing(code, "copy_rights")
    for document in (NEW, OLD, NEW):
        assert save(path, document, disk=disk) == ()
    assert load(path).document == NEW
    path.chmod(0o644)
    (note,) = save(path, OLD, disk=disk)
    assert "did not take over who may read and write it" in note
    assert load(path).document == OLD
    assert stat.S_IMODE(path.stat().st_mode) == 0o600  # rather too closed


@pytest.mark.parametrize("code", [*WITHOUT_MODES, errno.EMLINK])
def test_where_a_file_has_one_name_the_version_before_is_copied(
    tmp_path: Path, code: int
) -> None:
    path = saved_panel(tmp_path)
    path.chmod(0o640)
    disk = refusing(code, "link")
    before = path.with_name(path.name + "~")
    for step in (1, 2, 3):
        assert save(path, after(panel(), step), disk=disk) == ()
        assert load(before).document == after(panel(), step - 1)
        assert before.stat().st_mode == path.stat().st_mode
    assert {file.name for file in tmp_path.iterdir()} == {path.name, before.name}


class OneNameAndNoRoom(Disk):
    """A disk with one name for each file, that is full once the new one is written."""

    def __init__(self) -> None:
        self.created = 0

    def link(self, source: Path, name: Path) -> None:
        del source, name
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    def create(self, path: Path, mode: int) -> int:
        self.created += 1
        return super().create(path, mode)

    def write(self, handle: int, data: memoryview) -> int:
        if self.created > 1:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().write(handle, data)


def test_without_room_for_the_version_before_the_map_is_saved_and_that_is_told(
    tmp_path: Path,
) -> None:
    path = saved_panel(tmp_path)
    (note,) = save(path, NEW, disk=OneNameAndNoRoom())
    assert "saved, but the earlier version could not be kept" in note
    assert load(path).document == NEW
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


def test_an_earlier_file_that_cannot_be_read_keeps_nobody_from_saving(
    tmp_path: Path,
) -> None:
    path = saved_panel(tmp_path)
    codes = refusing(errno.EIO, "read")
    disk = refusing(errno.EPERM, "link")
    disk.read = codes.read  # type: ignore[method-assign]
    (note,) = save(path, NEW, disk=disk)
    assert "could not be kept beside it" in note
    assert load(path).document == NEW
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


class OnlyRead(Disk):
    """A disk that was mounted to be read."""

    def is_read_only(self, path: Path) -> bool:
        return path.exists()


@posix
def test_why_a_file_cannot_be_saved_is_known_before_it_is_tried(tmp_path: Path) -> None:
    path = saved_panel(tmp_path)
    assert saving_problem(path) == ""
    assert saving_problem(tmp_path / "new") == ""
    path.chmod(0o444)
    assert "the file is write-protected; save under another name" in (
        saving_problem(path)
    )
    only_read = OnlyRead()
    words = "this disk can only be read; save elsewhere"
    assert words in saving_problem(path, disk=only_read)
    with pytest.raises(StoreFailed, match=words):
        save(path, NEW, disk=only_read)
    assert load(path).document == OLD


_SWEEP = "import sys; from blockmap.files.store import load; load(sys.argv[1])"


@pytest.mark.parametrize("alone", ["--uts", "--pid"])
def test_what_another_machine_is_just_writing_is_not_swept(
    tmp_path: Path, alone: str
) -> None:
    """Process numbers of another machine or container mean nothing here."""
    path = saved_panel(tmp_path)
    rename = 'hostname elsewhere; exec "$@"' if alone == "--uts" else 'exec "$@"'
    apart = ["unshare", alone, "--fork", "sh", "-c", rename, "sh"]
    if os.name != "posix" or os.geteuid() != 0:
        pytest.skip("only root may stand for two machines")
    if subprocess.run([*apart, "true"], check=False, capture_output=True).returncode:
        pytest.skip("this system keeps nobody apart")
    mine = temporary_in(tmp_path)
    mine.write_bytes(map_text(NEW).encode())
    with subprocess.Popen([sys.executable, "-c", ""]) as child:
        child.wait()
    dead = mine.with_name(mine.name.replace(f"-{os.getpid()}-", f"-{child.pid}-"))
    dead.touch()
    subprocess.run(
        [*apart, sys.executable, "-c", _SWEEP, str(path)],
        check=True,
        cwd=Path(__file__).parents[2],
    )
    assert mine.exists()
    assert dead.exists()
    write_bytes(path, b"x")
    assert not dead.exists()


def _rights(entries: list[tuple[int, int, int]]) -> bytes:
    """Return an access list as Linux keeps it: acl(5), include/uapi posix_acl_xattr.h.

    Each entry is a tag, permissions and the number of whom it is about.
    """
    return struct.pack("<I", 2) + b"".join(
        struct.pack("<HHI", tag, bits, number) for tag, bits, number in entries
    )


@pytest.mark.skipif(not hasattr(os, "setxattr"), reason="attributes of Linux")
def test_group_attributes_and_access_list_outlive_a_save(tmp_path: Path) -> None:
    path = saved_panel(tmp_path)
    path.chmod(0o664)
    nobody = 0xFFFFFFFF
    access = _rights(
        [(1, 6, nobody), (2, 4, 1234), (4, 6, nobody), (16, 6, nobody), (32, 4, nobody)]
    )
    try:
        os.setxattr(path, "user.comment", b"grey estate")
        os.setxattr(path, "system.posix_acl_access", access)
    except OSError:
        pytest.skip("this disk keeps no attributes")
    if os.geteuid() == 0:
        os.chown(path, 65534, 65534)
    before = path.stat()
    save(path, NEW)
    now = path.stat()
    assert load(path).document == NEW
    assert (now.st_uid, now.st_gid) == (before.st_uid, before.st_gid)
    assert stat.S_IMODE(now.st_mode) == stat.S_IMODE(before.st_mode) == 0o664
    assert now.st_ino != before.st_ino, "it was written beside and put in place"
    assert os.getxattr(path, "user.comment") == b"grey estate"
    assert os.getxattr(path, "system.posix_acl_access") == access


def test_files_that_the_system_makes_up_are_refused_or_read_and_never_replaced(
    tmp_path: Path,
) -> None:
    made_up = Path("/proc/self/status")
    if not made_up.is_file():
        pytest.skip("this system makes up no files there")
    with pytest.raises(DocumentRefused):
        load(made_up)
    for place in (made_up, Path("/proc/version"), Path("/proc/blockmap")):
        with pytest.raises(StoreFailed):
            save(place, NEW)
    link = tmp_path / "link"
    link.symlink_to(made_up)
    with pytest.raises(StoreFailed):
        save(link, NEW)


_SAVING = """
import sys
from blockmap.files.store import load, save
from blockmap.model.errors import DocumentRefused, StoreFailed
from tests.faults.sample import after, panel
try:
    print("saved", save(sys.argv[1], after(panel(), 1)))
except StoreFailed as problem:
    print("refused", problem)
"""
SYSTEM_CALLS = [
    ("fsync", "ENOSPC", "refused", "the disk is full; make room for"),
    ("fsync", "EIO", "refused", "look at the disk, or save elsewhere"),
    ("fsync", "EINVAL", "saved", "does not confirm"),
    ("rename", "EIO", "refused", "look at the disk, or save elsewhere"),
    ("fsync", "EINTR", "saved", "()"),
    ("write", "EINTR", "saved", "()"),
]


@pytest.mark.parametrize(("call", "code", "word", "more"), SYSTEM_CALLS)
def test_what_the_system_itself_answers_is_told_and_loses_nothing(
    tmp_path: Path, call: str, code: str, word: str, more: str
) -> None:
    path = saved_panel(tmp_path)
    strace = shutil.which("strace")
    if strace is None:
        pytest.skip("strace makes the system answer so; the failing disk stands for it")
    times = ":when=1" if code == "EINTR" else ""
    injected = f"inject={call}:error={code}{times}"
    command = [strace, "-f", "-qq", "-o", os.devnull, "-e", injected]
    ended = subprocess.run(
        [*command, sys.executable, "-c", _SAVING, str(path)],
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).parents[2],
        env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert ended.stdout.startswith(word), ended.stderr[-500:]
    assert more in ended.stdout
    assert load(path).document == (NEW if word == "saved" else OLD)
    assert {f.name for f in tmp_path.iterdir()} <= {path.name, path.name + "~"}
