"""The system calls that reading and saving make, as one object.

Tests put another in its place that fails, writes short or forgets. Each method does
one thing and decides nothing.
"""

from __future__ import annotations

import os
import threading
from contextlib import suppress
from pathlib import Path

__all__ = ["DISK", "Disk", "StoppableDisk", "Stopped"]

_ALWAYS = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


class Stopped(Exception):
    """What was being done was called off; nothing more of it is wanted."""


class Disk:
    """The real disk."""

    def go_on(self) -> None:
        """Raise Stopped when the work is called off."""

    def begin_placing(self) -> None:
        """Say that a file is now put in place: it is not called off in between."""

    def end_placing(self) -> None:
        """Say that the file is in place, or will not be."""

    def resolve(self, path: str | os.PathLike[str]) -> Path:
        """Return the file that a path means once every link is followed."""
        return Path(os.path.realpath(path))

    def stat(self, path: str | os.PathLike[str]) -> os.stat_result:
        """Return what is known of a file, following links."""
        return Path(path).stat()

    def fstat(self, handle: int) -> os.stat_result:
        """Return what is known of an open file."""
        return os.fstat(handle)

    def may_write(self, path: Path) -> bool:
        """Tell whether this user may write to the file."""
        return os.access(path, os.W_OK)

    def is_read_only(self, path: Path) -> bool:
        """Tell whether nobody may write there, because the whole disk is so."""
        if not hasattr(os, "statvfs"):
            return False
        return bool(os.statvfs(path).f_flag & os.ST_RDONLY)

    def open_to_read(self, path: str | os.PathLike[str]) -> int:
        """Open a file without waiting for anybody to write into it."""
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
        return os.open(path, flags | _ALWAYS)

    def open_folder(self, folder: Path) -> int | None:
        """Open a folder to flush it later; None where folders cannot be opened."""
        if not hasattr(os, "O_DIRECTORY"):
            return None
        return os.open(folder, os.O_RDONLY | os.O_DIRECTORY | _ALWAYS)

    def create(self, path: Path, mode: int) -> int:
        """Make a new file, never an existing one, and open it to write."""
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0)
        return os.open(path, flags | _ALWAYS, mode)

    def read(self, handle: int, count: int) -> bytes:
        """Read up to count bytes."""
        return os.read(handle, count)

    def write(self, handle: int, data: memoryview) -> int:
        """Write what the system takes; return how many bytes."""
        return os.write(handle, data)

    def copy_rights(self, source: Path, before: os.stat_result, handle: int) -> None:
        """Give an open file the owner, the attributes and the mode of another.

        Owner and attributes are given as far as this user may; the mode always.
        """
        if hasattr(os, "fchown"):
            now = os.fstat(handle)
            if now.st_gid != before.st_gid:
                with suppress(OSError):
                    os.fchown(handle, -1, before.st_gid)
            if now.st_uid != before.st_uid:
                with suppress(OSError):
                    os.fchown(handle, before.st_uid, -1)
        if hasattr(os, "listxattr"):
            with suppress(OSError):
                for name in os.listxattr(source):
                    with suppress(OSError):
                        os.setxattr(handle, name, os.getxattr(source, name))
        if hasattr(os, "fchmod"):
            os.fchmod(handle, before.st_mode & 0o7777)

    def flush(self, handle: int) -> None:
        """Wait until a file or folder is on the disk."""
        os.fsync(handle)

    def link(self, source: Path, name: Path) -> None:
        """Give a file a second name."""
        os.link(source, name)

    def replace(self, source: Path, target: Path) -> None:
        """Rename a file over another in one step."""
        source.replace(target)

    def unlink(self, path: Path) -> None:
        """Remove a file."""
        path.unlink()

    def close(self, handle: int) -> None:
        """Close an open file."""
        os.close(handle)


class StoppableDisk(Disk):
    """The disk for one piece of work that can be called off from another thread.

    A call that hangs cannot be ended, but once stop() was called none is begun after
    it except to tidy up. While a file is put in place the work goes on to its end:
    half of that would be worse than either.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._stopped = self._placing = self._placed = False

    @property
    def placed(self) -> bool:
        """True once a file was put in place, or is just being."""
        with self._lock:
            return self._placed

    def stop(self) -> None:
        """Call the work off."""
        with self._lock:
            self._stopped = True

    def go_on(self) -> None:
        """Raise Stopped when the work is called off."""
        with self._lock:
            if self._stopped and not self._placing:
                raise Stopped

    def begin_placing(self) -> None:
        """Say that a file is now put in place. Raises Stopped."""
        with self._lock:
            if self._stopped:
                raise Stopped
            self._placing = self._placed = True

    def end_placing(self) -> None:
        """Say that the file is in place, or will not be."""
        with self._lock:
            self._placing = False

    def resolve(self, path: str | os.PathLike[str]) -> Path:
        """Return the file that a path means once every link is followed."""
        self.go_on()
        return super().resolve(path)

    def stat(self, path: str | os.PathLike[str]) -> os.stat_result:
        """Return what is known of a file, following links."""
        self.go_on()
        return super().stat(path)

    def open_to_read(self, path: str | os.PathLike[str]) -> int:
        """Open a file without waiting for anybody to write into it."""
        self.go_on()
        return super().open_to_read(path)

    def open_folder(self, folder: Path) -> int | None:
        """Open a folder to flush it later."""
        self.go_on()
        return super().open_folder(folder)

    def create(self, path: Path, mode: int) -> int:
        """Make a new file and open it to write."""
        self.go_on()
        return super().create(path, mode)

    def read(self, handle: int, count: int) -> bytes:
        """Read up to count bytes."""
        self.go_on()
        return super().read(handle, count)

    def write(self, handle: int, data: memoryview) -> int:
        """Write what the system takes."""
        self.go_on()
        return super().write(handle, data)

    def flush(self, handle: int) -> None:
        """Wait until a file or folder is on the disk."""
        self.go_on()
        super().flush(handle)


DISK = Disk()
"""The disk that is used unless a test gives another."""
