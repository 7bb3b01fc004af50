"""A power cut between any two calls of a save leaves the old map or the new one.

The disk here remembers what a real one may forget: the content of a file until it is
flushed, and names given, taken and changed until their folder is flushed. Of those the
first few may have reached the disk, in their order, as file systems with a journal do.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from blockmap.files.disk import Disk
from blockmap.files.map_reader import read_map
from blockmap.files.store import save
from blockmap.model.errors import DocumentRefused
from tests.faults.sample import after, panel, saved_panel

OLD, NEW = panel(), after(panel(), 1)
Names = dict[str, int]


class _Cut(Exception):
    """The power is gone."""


class ForgetfulDisk(Disk):
    """The real disk, and beside it what would be left of it after a power cut."""

    def __init__(self, folder: Path, cut_at: int) -> None:
        self.left = cut_at
        self.calls = 0
        self.flushed: dict[int, bytes] = {}
        self.names: Names = {}
        for path in folder.iterdir():
            number = path.stat().st_ino
            self.names[path.name] = number
            self.flushed[number] = path.read_bytes()
        self.waiting: list[Names] = []

    def _call(self) -> None:
        if self.calls == self.left:
            raise _Cut
        self.calls += 1

    def _now(self, folder: Path) -> None:
        names = {path.name: path.stat().st_ino for path in folder.iterdir()}
        self.waiting.append(names)

    def create(self, path: Path, mode: int) -> int:
        self._call()
        handle = super().create(path, mode)
        self.flushed[os.fstat(handle).st_ino] = b"blockmap: 1\nbloc"  # torn
        self._now(path.parent)
        return handle

    def write(self, handle: int, data: memoryview) -> int:
        self._call()
        return super().write(handle, data)

    def flush(self, handle: int) -> None:
        self._call()
        super().flush(handle)
        found = os.fstat(handle)
        link = Path(f"/proc/self/fd/{handle}")
        if os.path.isdir(link):  # noqa: PTH112 - a link that the system makes up
            if self.waiting:
                self.names = self.waiting[-1]
            self.waiting = []
        else:
            self.flushed[found.st_ino] = Path(os.readlink(link)).read_bytes()  # noqa: PTH115

    def link(self, source: Path, name: Path) -> None:
        self._call()
        super().link(source, name)
        self._now(name.parent)

    def replace(self, source: Path, target: Path) -> None:
        self._call()
        super().replace(source, target)
        self._now(target.parent)

    def unlink(self, path: Path) -> None:
        self._call()
        super().unlink(path)
        self._now(path.parent)

    def after_the_cut(self, name: str) -> Iterator[bytes | None]:
        """Yield what a file may hold when the power is back; None when it is gone."""
        for names in [self.names, *self.waiting]:
            yield self.flushed[names[name]] if name in names else None


def _is(data: bytes | None, documents: tuple[object, ...]) -> bool:
    if data is None:
        return False
    try:
        return read_map(data).document in documents
    except DocumentRefused:
        return False


@pytest.mark.skipif(
    not Path("/proc/self/fd").is_dir(), reason="asks Linux which file a handle is"
)
def test_every_moment_of_a_save(tmp_path: Path) -> None:
    path = saved_panel(tmp_path)
    name = path.name
    for cut_at in range(60):
        save(path, OLD)
        disk = ForgetfulDisk(tmp_path, cut_at)
        try:
            save(path, NEW, disk=disk)
        except _Cut:
            assert all(_is(one, (OLD, NEW)) for one in disk.after_the_cut(name)), cut_at
            for stray in tmp_path.glob(".blockmap-*"):
                stray.unlink()
            continue
        # The save was acknowledged: nothing but the new map may be found.
        assert all(_is(one, (NEW,)) for one in disk.after_the_cut(name))
        break
    assert cut_at > 6
