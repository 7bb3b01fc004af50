"""The system calls that reading and saving make, as one object.

Tests put another in its place that fails, writes short or forgets. Each method does
one thing and decides nothing.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

__all__ = ["DISK", "Disk"]

_ALWAYS = getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


class Disk:
    """The real disk."""

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


DISK = Disk()
"""The disk that is used unless a test gives another."""
