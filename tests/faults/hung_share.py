"""A share that does not answer: every call of the disk below a folder hangs.

Calls elsewhere are done, as on a machine whose network is gone. One that comes in the
window's thread meanwhile is told at the end: it would have held up the window.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from blockmap.files.disk import Disk

__all__ = ["CALLS", "OPEN_FILES", "HungShare", "share"]

OPEN_FILES = Path("/proc/self/fd")
"""Where the system tells the names of open files."""

CALLS = ("stat", "open_to_read", "open_folder", "create", "write", "flush", "replace")


class HungShare:
    """hang() names calls that do not come back before release()."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.entered = threading.Event()
        self._released = threading.Event()
        self._released.set()
        self._calls: frozenset[str] = frozenset()
        self.wrong: list[str] = []
        self.count = 0
        """How often a file was put in place of another, or of a version before."""

    def hang(self, *calls: str) -> None:
        """Let these calls hang from now on."""
        self.entered.clear()
        self._released.clear()
        self._calls = frozenset(calls)

    def release(self) -> None:
        """Let everything go on."""
        self._calls = frozenset()
        self._released.set()

    def wait_at(self, name: str, given: tuple[Any, ...]) -> None:
        """Hang when this call is to hang there."""
        if not self._is_below(given[-1] if name == "replace" else given[0]):
            return
        if name == "replace":
            self.count += 1
        if self._calls and threading.current_thread() is threading.main_thread():
            self.wrong.append(name)
        elif name in self._calls:
            self.entered.set()
            assert self._released.wait(60)

    def _is_below(self, place: int | str | os.PathLike[str]) -> bool:
        if isinstance(place, int):
            name = OPEN_FILES / str(place)
            place = name.readlink() if name.is_symlink() else "/"
        return str(place).startswith(str(self.folder))


@pytest.fixture
def share(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[HungShare]:
    """Return a folder on a share that can hang."""
    folder = tmp_path / "share"
    folder.mkdir()
    made = HungShare(folder)

    def hanging(name: str) -> Callable[..., Any]:
        real = getattr(Disk, name)

        def call(disk: Disk, *given: Any) -> Any:
            made.wait_at(name, given)
            return real(disk, *given)

        return call

    for name in CALLS:
        monkeypatch.setattr(Disk, name, hanging(name))
    yield made
    made.release()
    assert made.wrong == [], "the window's thread waited for the disk"
