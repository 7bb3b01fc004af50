"""Reads and writes whole files so that nothing saved is ever lost.

A file is written beside its target, flushed to the disk, and only then renamed over
it; the folder is flushed as well, because without that a power cut can undo the
rename. A failure at any step leaves the earlier file whole and no temporary file. It
does not lock and does not ask; what it cannot do it says in one sentence.
"""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from blockmap.files.disk import DISK, Disk
from blockmap.files.map_reader import BYTES_LIMIT, ReadMap, read_map
from blockmap.files.map_writer import map_text
from blockmap.files.shown import shown_name
from blockmap.files.store_words import (
    NO_MEMORY,
    reading_failed,
    reason,
    size_words,
    writing_failed,
    writing_todo,
)
from blockmap.files.strays import sweep, temporary_in
from blockmap.model.document import Map
from blockmap.model.errors import StoreFailed

__all__ = [
    "BYTES_LIMIT",
    "fingerprint",
    "fingerprint_of",
    "load",
    "load_noting_digest",
    "read_bytes_safely",
    "save",
    "save_noting_digest",
    "saving_problem",
    "write_bytes",
]

AnyPath = str | os.PathLike[str]

_UNSUPPORTED = {
    errno.EINVAL,
    getattr(errno, "ENOTSUP", errno.EINVAL),
    getattr(errno, "EOPNOTSUPP", errno.EINVAL),
    errno.ENOSYS,
}

_WITHOUT_RIGHTS = {*_UNSUPPORTED, errno.EPERM}
"""What a disk answers that knows no modes, such as that of a stick."""
_WITHOUT_LINKS = {*_UNSUPPORTED, errno.EPERM, errno.EMLINK}
"""What a disk answers that knows one name for each file, or no more names."""


def load(path: AnyPath, *, disk: Disk = DISK) -> ReadMap:
    """Return the map in a file.

    Raises StoreFailed when the file cannot be read, DocumentRefused when it holds no
    usable map.
    """
    return load_noting_digest(path, disk=disk)[0]


def load_noting_digest(path: AnyPath, *, disk: Disk = DISK) -> tuple[ReadMap, str]:
    """Load as load() does; return the map and the fingerprint of what was read."""
    try:
        data = read_bytes_safely(path, BYTES_LIMIT, disk=disk)
        sweep(Path(path).parent)
        return read_map(data, os.fspath(path)), hashlib.sha256(data).hexdigest()
    except MemoryError as error:
        raise StoreFailed(f"{shown_name(path)}: not read: {NO_MEMORY}") from error


def save(path: AnyPath, document: Map, *, disk: Disk = DISK) -> tuple[str, ...]:
    """Write a map to a file, keeping the earlier file as `<name>~`.

    Returns what the user should know besides, most times nothing. Raises StoreFailed.
    """
    return save_noting_digest(path, document, disk=disk)[0]


def save_noting_digest(
    path: AnyPath, document: Map, *, disk: Disk = DISK
) -> tuple[tuple[str, ...], str]:
    """Save as save() does; return its notes and the fingerprint of what was written."""
    data = map_text(document).encode("utf-8")
    notes = write_bytes(path, data, backup=True, disk=disk)
    return notes, hashlib.sha256(data).hexdigest()


def fingerprint(path: AnyPath, *, disk: Disk = DISK) -> str | None:
    """Return a digest of a file's content, None when it cannot be read."""
    try:
        data = read_bytes_safely(path, BYTES_LIMIT, disk=disk)
    except StoreFailed:
        return None
    return hashlib.sha256(data).hexdigest()


def fingerprint_of(document: Map) -> str:
    """Return the digest of the file that saving this map writes."""
    return hashlib.sha256(map_text(document).encode("utf-8")).hexdigest()


def read_bytes_safely(path: AnyPath, limit: int, *, disk: Disk = DISK) -> bytes:
    """Return the content of a regular file of at most limit bytes.

    The kind and the size are looked at before anything is read, and nothing is waited
    for. Raises StoreFailed.
    """
    name = shown_name(path)
    try:
        _refuse_irregular(disk.stat(path), name)
        handle = disk.open_to_read(path)
    except OSError as error:
        raise StoreFailed(reading_failed(name, error)) from error
    except ValueError as error:  # a NUL in the name
        raise StoreFailed(f"{name}: this cannot be the name of a file") from error
    try:
        found = disk.fstat(handle)
        _refuse_irregular(found, name)
        if found.st_size > limit:
            raise StoreFailed(_too_large(name, found.st_size, limit))
        parts, length = [], 0
        while chunk := disk.read(handle, min(1 << 20, limit + 1 - length)):
            parts.append(chunk)
            length += len(chunk)
            if length > limit:
                raise StoreFailed(_too_large(name, length, limit))
    except OSError as error:
        raise StoreFailed(reading_failed(name, error)) from error
    finally:
        with suppress(OSError):
            disk.close(handle)
    return b"".join(parts)


def _refuse_irregular(found: os.stat_result, name: str) -> None:
    if stat.S_ISREG(found.st_mode):
        return
    kind = "a folder" if stat.S_ISDIR(found.st_mode) else "no ordinary file"
    raise StoreFailed(f"{name}: this is {kind}; choose a file")


def _too_large(name: str, size: int, limit: int) -> str:
    return (
        f"{name}: the file is {size_words(size)} large and {size_words(limit)} is the "
        "most; choose another, this may not be what it seems"
    )


def write_bytes(
    path: AnyPath, data: bytes, *, backup: bool = False, disk: Disk = DISK
) -> tuple[str, ...]:
    """Put data in place of a file's content, all of it or nothing.

    A symbolic link is followed and kept. Returns notes for the user; raises
    StoreFailed with the earlier file whole, and Stopped likewise when the work is
    called off before the new content is put in place.
    """
    name = shown_name(path)
    try:
        target = disk.resolve(path)
        with _turn_at(target, disk):
            before = _target_before(target, name, disk)
            with suppress(OSError):
                sweep(target.parent)
            return _Writing(target, data, before, disk).run(backup)
    except OSError as error:
        raise StoreFailed(writing_failed(name, error, len(data))) from error
    except ValueError as error:
        raise StoreFailed(f"{name}: this cannot be the name of a file") from error
    except MemoryError as error:
        raise StoreFailed(f"{name}: not saved: {NO_MEMORY}") from error


_turns: dict[Path, threading.Lock] = {}


@contextmanager
def _turn_at(target: Path, disk: Disk) -> Iterator[None]:
    """Let one thread at a time write a file, in the order in which they came.

    A write that was called off may still hang in the system, and end late: a newer
    content must not be put in place before it.
    """
    turn = _turns.setdefault(target, threading.Lock())
    while not turn.acquire(timeout=0.05):
        disk.go_on()
    try:
        yield
    finally:
        turn.release()


def _target_before(target: Path, name: str, disk: Disk) -> os.stat_result | None:
    try:
        found = disk.stat(target)
    except FileNotFoundError:
        return None
    _refuse_irregular(found, name)
    if not found.st_mode & 0o222 or not disk.may_write(target):
        _refuse_read_only(target, disk)
        raise StoreFailed(
            f"{name}: the file is write-protected; save under another name, or allow "
            "writing to it first"
        )
    return found


def _refuse_read_only(target: Path, disk: Disk) -> None:
    if disk.is_read_only(target):
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))


def saving_problem(path: AnyPath, *, disk: Disk = DISK) -> str:
    """Return why saving in place of a file would be refused, "" as far as is known."""
    name = shown_name(path)
    try:
        target = disk.resolve(path)
        _target_before(target, name, disk)
        if not disk.may_write(target.parent):
            _refuse_read_only(target, disk)
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
    except StoreFailed as problem:
        return str(problem)
    except OSError as error:
        return f"{name}: {writing_todo(error, 0)}"
    return ""


class _Writing:
    """One replacement of a file's content, step by step."""

    def __init__(
        self, target: Path, data: bytes, before: os.stat_result | None, disk: Disk
    ) -> None:
        self.target = target
        self.data = data
        self.before = before
        self.disk = disk
        self.notes: list[str] = []

    def run(self, backup: bool) -> tuple[str, ...]:
        temporary = temporary_in(self.target.parent)
        folder = self.disk.open_folder(self.target.parent)
        try:
            try:
                self._write_new(temporary, self.data)
                self._note_links()
                with self._earlier_version(backup) as earlier:
                    self.disk.begin_placing()
                    if earlier is not None:
                        self._keep_earlier(earlier)
                    self.disk.replace(temporary, self.target)
            except BaseException:
                with suppress(OSError):
                    self.disk.unlink(temporary)
                raise
            self._confirm_folder(folder)
        finally:
            self.disk.end_placing()
            if folder is not None:
                with suppress(OSError):
                    self.disk.close(folder)
        return tuple(self.notes)

    def _write_new(self, path: Path, data: bytes) -> None:
        mode = 0o666 if self.before is None else 0o600
        handle = self.disk.create(path, mode)
        try:
            rest = memoryview(data)
            while rest:
                written = self.disk.write(handle, rest)
                if written <= 0:
                    raise OSError(errno.EIO, os.strerror(errno.EIO))
                rest = rest[written:]
            if self.before is not None:
                self._copy_rights(self.before, handle)
            self._flush(handle)
        except BaseException:
            with suppress(OSError):
                self.disk.close(handle)
            raise
        self.disk.close(handle)

    def _copy_rights(self, before: os.stat_result, handle: int) -> None:
        """Give the new file the rights of the earlier one, where a disk has rights.

        The new one was made for its owner alone: without them it is too closed at
        worst, never too open.
        """
        try:
            self.disk.copy_rights(self.target, before, handle)
        except OSError as error:
            if error.errno not in _WITHOUT_RIGHTS:
                raise
            now = self.disk.fstat(handle).st_mode
            if stat.S_IMODE(now) != stat.S_IMODE(before.st_mode):
                self.notes.append(
                    f"{shown_name(self.target)}: saved, but this disk did not take "
                    "over who may read and write it; look at its permissions"
                )

    def _flush(self, handle: int) -> None:
        try:
            self.disk.flush(handle)
        except OSError as error:
            if error.errno not in _UNSUPPORTED:
                raise
            self._unconfirmed()

    def _unconfirmed(self) -> None:
        note = (
            f"{shown_name(self.target)}: saved, but this disk does not confirm that "
            "it is safe against a power cut"
        )
        if note not in self.notes:
            self.notes.append(note)

    def _note_links(self) -> None:
        if self.before is None or self.before.st_nlink < 2:
            return
        with suppress(OSError):
            earlier = self.disk.stat(_backup_of(self.target))
            if self.before.st_nlink == 2 and os.path.samestat(earlier, self.before):
                return
        self.notes.append(
            f"{shown_name(self.target)}: this file was known under a second name too "
            "(a hard link); the other name keeps the earlier content"
        )

    @contextmanager
    def _earlier_version(self, wanted: bool) -> Iterator[Path | None]:
        """Give the earlier content a second name for as long as this lasts.

        Where a disk knows no second names, as that of a stick, it is copied. Failing
        that only costs it.
        """
        if not wanted or self.before is None:
            yield None
            return
        second = temporary_in(self.target.parent)
        try:
            try:
                self._link_or_copy(second)
            except (OSError, StoreFailed) as error:
                self._note_not_kept(error)
                yield None
            else:
                yield second
        finally:
            with suppress(OSError):  # stays when both names were one file already
                self.disk.unlink(second)

    def _link_or_copy(self, second: Path) -> None:
        try:
            self.disk.link(self.target, second)
        except OSError as error:
            if error.errno not in _WITHOUT_LINKS:
                raise
            earlier = read_bytes_safely(self.target, BYTES_LIMIT, disk=self.disk)
            self._write_new(second, earlier)

    def _keep_earlier(self, second: Path) -> None:
        """Give the earlier content the name `<name>~`; failing that only costs it."""
        try:
            self.disk.replace(second, _backup_of(self.target))
        except OSError as error:
            self._note_not_kept(error)

    def _note_not_kept(self, error: Exception) -> None:
        why = reason(error) if isinstance(error, OSError) else str(error)
        self.notes.append(
            f"{shown_name(self.target)}: saved, but the earlier version could not "
            f"be kept beside it ({why})"
        )

    def _confirm_folder(self, folder: int | None) -> None:
        if folder is None:
            return
        try:
            self._flush(folder)
        except OSError as error:
            raise StoreFailed(
                f"{shown_name(self.target)}: written, but the disk could not confirm "
                f"it ({reason(error)}); save again, better on another disk"
            ) from error


def _backup_of(target: Path) -> Path:
    return target.with_name(target.name + "~")
