"""Saving never loses what was saved, whatever fails."""

from __future__ import annotations

import errno
import os
import random
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from blockmap.files.disk import Disk
from blockmap.files.map_reader import BYTES_LIMIT
from blockmap.files.map_writer import map_text
from blockmap.files.store import (
    fingerprint,
    load,
    read_bytes_safely,
    save,
    write_bytes,
)
from blockmap.model.document import Block, Map
from blockmap.model.errors import DocumentRefused, StoreFailed


def named(name: str) -> Map:
    """Return a map of one block with a name."""
    return Map(blocks={"p": Block(id="p", name=name, width_mm=100.0, height_mm=50.0)})


OLD, NEW = named("old"), named("new")
posix = pytest.mark.skipif(os.name != "posix", reason="links, modes and kills of POSIX")
unprivileged = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write everywhere"
)


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """Return a file that holds the old map."""
    path = tmp_path / "car.blockmap.yaml"
    assert save(path, OLD) == ()
    return path


def names(folder: Path) -> set[str]:
    """Return the names of the files in a folder."""
    return {path.name for path in folder.iterdir()}


def test_saving_keeps_one_earlier_version(target: Path) -> None:
    assert save(target, NEW) == ()
    assert load(target).document == NEW
    backup = target.with_name(target.name + "~")
    assert load(backup).document == OLD
    assert save(target, OLD) == ()
    assert load(backup).document == NEW
    assert names(target.parent) == {target.name, backup.name}


def test_an_output_that_is_no_map_leaves_no_backup(tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    write_bytes(path, b"1")
    write_bytes(path, b"2")
    assert path.read_bytes() == b"2"
    assert names(tmp_path) == {"labels.pdf"}


@posix
def test_a_link_stays_a_link_and_the_mode_stays(target: Path) -> None:
    link = target.parent / "link"
    link.symlink_to(target.name)
    target.chmod(0o640)
    save(link, NEW)
    assert link.is_symlink()
    assert load(target).document == NEW
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


@posix
def test_a_dangling_link_gets_its_target(tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to("later.yaml")
    save(link, NEW)
    assert link.is_symlink()
    assert load(tmp_path / "later.yaml").document == NEW


@posix
def test_a_second_name_is_told(target: Path) -> None:
    os.link(target, target.parent / "other")
    (note,) = save(target, NEW)
    assert "known under a second name" in note
    assert load(target.parent / "other").document == OLD


@posix
def test_a_write_protected_file_stays_as_it_is(target: Path) -> None:
    target.chmod(0o444)
    with pytest.raises(StoreFailed, match="write-protected; save under another name"):
        save(target, NEW)
    assert load(target).document == OLD
    assert stat.S_IMODE(target.stat().st_mode) == 0o444


@posix
@unprivileged
def test_a_write_protected_folder_is_told(target: Path) -> None:
    target.parent.chmod(0o555)
    try:
        with pytest.raises(StoreFailed, match="may not write in this folder"):
            save(target, NEW)
    finally:
        target.parent.chmod(0o755)
    assert load(target).document == OLD


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(StoreFailed, match="there is no such folder"):
        save(tmp_path / "gone" / "a.yaml", NEW)


def odd_places(tmp_path: Path) -> Iterator[Path]:
    """Yield paths that are no ordinary file."""
    yield tmp_path
    fifo = tmp_path / "fifo"
    os.mkfifo(fifo)
    yield fifo
    loop = tmp_path / "loop"
    loop.symlink_to("loop")
    yield loop
    yield Path("/dev/full")
    yield tmp_path / "a\0b"
    yield tmp_path / ("x" * 300)


@posix
def test_what_is_no_ordinary_file_is_refused_at_once(tmp_path: Path) -> None:
    for path in odd_places(tmp_path):
        with pytest.raises(StoreFailed):
            load(path)
        with pytest.raises(StoreFailed):
            save(path, NEW)


def test_a_sparse_file_is_refused_by_its_size(tmp_path: Path) -> None:
    path = tmp_path / "huge"
    with path.open("wb") as file:
        file.truncate(10 * 1024**3)
    with pytest.raises(StoreFailed, match=r"10,240 MB large and 16 MB is the most"):
        load(path)


def test_a_file_that_grows_while_it_is_read_is_refused(tmp_path: Path) -> None:
    class Growing(Disk):
        def read(self, handle: int, count: int) -> bytes:
            del handle
            return b"x" * count

    path = tmp_path / "a"
    path.write_bytes(b"x")
    with pytest.raises(StoreFailed, match="is the most"):
        read_bytes_safely(path, 1000, disk=Growing())


def test_a_name_with_a_line_end_stays_on_one_line(tmp_path: Path) -> None:
    path = tmp_path / "a\nb\udc80.yaml"
    save(path, NEW)
    assert load(path).document == NEW
    path.write_bytes(b"- a")
    with pytest.raises(DocumentRefused) as refused:
        load(path)
    assert "a\\nb\\x80.yaml:1:1: " in str(refused.value)


def test_a_name_as_long_as_can_be_is_saved_without_its_backup(tmp_path: Path) -> None:
    path = tmp_path / ("x" * 255)
    assert save(path, OLD) == ()
    (note,) = save(path, NEW)
    assert "the earlier version could not be kept" in note
    assert load(path).document == NEW
    assert names(tmp_path) == {path.name}


class FailingDisk(Disk):
    """A disk whose n-th call that changes or confirms something fails."""

    def __init__(self, number: int, code: int) -> None:
        self.number = number
        self.code = code
        self.calls: list[str] = []

    def __getattribute__(self, name: str) -> Any:
        method = super().__getattribute__(name)
        if name not in (
            "open_folder",
            "create",
            "write",
            "copy_rights",
            "flush",
            "close",
            "link",
            "replace",
        ):
            return method

        def call(*given: Any) -> Any:
            self.calls.append(name)
            if len(self.calls) == self.number:
                if name == "close":
                    method(*given)
                raise OSError(self.code, os.strerror(self.code))
            return method(*given)

        return call


@pytest.mark.parametrize(
    "code", [errno.EIO, errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EMFILE]
)
def test_any_failing_call_leaves_a_whole_file_and_no_other(
    target: Path, code: int
) -> None:
    backup = target.with_name(target.name + "~")
    told: list[str] = []
    for number in range(1, 50):
        save(target, OLD)
        disk = FailingDisk(number, code)
        try:
            told += save(target, NEW, disk=disk)
            now = NEW
        except StoreFailed as failed:
            told.append(str(failed))
            # Once renamed, only the confirmation can fail: the new file is whole.
            now = NEW if "written, but" in str(failed) else OLD
        assert load(target).document == now, disk.calls
        assert names(target.parent) <= {target.name, backup.name}, disk.calls
        if number > len(disk.calls):
            break
    assert disk.calls.count("flush") == 2
    assert len(told) >= len(disk.calls) - 1  # only closing the folder fails unsaid


def test_a_full_disk_is_named_with_the_room_needed(target: Path) -> None:
    with pytest.raises(StoreFailed, match=r"the disk is full; make room for [\d,]+ by"):
        save(target, NEW, disk=FailingDisk(3, errno.ENOSPC))


def test_short_writes_are_finished(target: Path) -> None:
    class Short(Disk):
        def write(self, handle: int, data: memoryview) -> int:
            return os.write(handle, data[:7])

    save(target, NEW, disk=Short())
    assert target.read_text(encoding="utf-8") == map_text(NEW)


def test_a_write_of_nothing_is_an_error(target: Path) -> None:
    class Nothing(Disk):
        def write(self, handle: int, data: memoryview) -> int:
            del handle, data
            return 0

    with pytest.raises(StoreFailed):
        save(target, NEW, disk=Nothing())
    assert load(target).document == OLD


def test_a_disk_without_flushing_is_told_once(target: Path) -> None:
    class Unflushed(Disk):
        def flush(self, handle: int) -> None:
            del handle
            raise OSError(errno.EINVAL, "not here")

    (note,) = save(target, NEW, disk=Unflushed())
    assert "does not confirm" in note
    assert load(target).document == NEW


def test_an_interrupt_leaves_no_temporary_file(target: Path) -> None:
    class Interrupted(Disk):
        def flush(self, handle: int) -> None:
            del handle
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        save(target, NEW, disk=Interrupted())
    assert load(target).document == OLD
    assert names(target.parent) == {target.name}


def test_everything_is_flushed_before_the_rename_and_the_folder_after(
    target: Path,
) -> None:
    disk = FailingDisk(0, errno.EIO)
    save(target, NEW, disk=disk)
    order = [name for name in disk.calls if name in ("write", "flush", "replace")]
    assert order == ["write", "flush", "replace", "replace", "flush"]


def test_the_fingerprint_follows_the_content(target: Path) -> None:
    before = fingerprint(target)
    save(target, NEW)
    assert fingerprint(target) not in (before, None)
    save(target, OLD)
    assert fingerprint(target) == before
    target.unlink()
    assert fingerprint(target) is None


_KILLS = """
import os, random, signal, sys, time
from pathlib import Path
from blockmap.files.map_writer import map_text
from blockmap.files.store import save
from blockmap.files.strays import sweep
from blockmap.model.document import Block, Map
numbered = [
    Map(blocks={"p": Block(id="p", name="x" * 200000, width_mm=100.0, height_mm=50.0,
                           notes=str(n))})
    for n in range(2)
]
path, chance = Path(sys.argv[1]), random.Random(int(sys.argv[2]))
whole = [path.read_bytes(), *(map_text(each).encode() for each in numbered)]
within = 0
for number in range(200):
    process = os.fork()
    while not process:
        for each in numbered:
            save(path, each)
    time.sleep(chance.uniform(0, 0.02))
    os.kill(process, signal.SIGKILL)
    os.waitpid(process, 0)
    assert path.read_bytes() in whole, number
    strays = {f.name for f in path.parent.iterdir()} - {path.name, path.name + "~"}
    assert sweep(path.parent) == len(strays), number
    within += bool(strays)
print(within)
"""


@posix
def test_two_hundred_kills_while_saving_leave_a_whole_file(target: Path) -> None:
    seed = random.randrange(1 << 32)
    ended = subprocess.run(
        [sys.executable, "-c", _KILLS, str(target), str(seed)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, f"seed {seed}: {ended.stderr[-800:]}"
    assert int(ended.stdout) > 20, "too few fell within a save"
    assert names(target.parent) <= {target.name, f"{target.name}~"}


@posix
def test_only_strays_of_dead_processes_here_are_swept(target: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as child:
        child.wait()
    host = _host_part(target)
    mine = f".blockmap-{host}-{os.getpid()}-00000000.tmp"
    dead = f".blockmap-{host}-{child.pid}-00000000.tmp"
    other = f".blockmap-00000000-{child.pid}-00000000.tmp"
    for name in (mine, dead, other):
        (target.parent / name).touch()
    load(target)
    assert names(target.parent) == {target.name, mine, other}


def _host_part(target: Path) -> str:
    """Return how this machine is called in temporary names, seen while saving."""
    seen: list[str] = []

    class Watching(Disk):
        def create(self, path: Path, mode: int) -> int:
            seen.append(path.name)
            return super().create(path, mode)

    write_bytes(target, target.read_bytes(), disk=Watching())
    return seen[0].split("-")[1]


def test_the_limit_is_that_of_the_reader(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b" " * (BYTES_LIMIT + 1))
    with pytest.raises(StoreFailed, match="16 MB is the most"):
        load(path)
