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
import re
import secrets
import socket
import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from blockmap.files.disk import DISK, Disk
from blockmap.files.map_reader import BYTES_LIMIT, ReadMap, read_map
from blockmap.files.map_writer import map_text
from blockmap.files.shown import shown_name
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
    "sweep",
    "write_bytes",
]

AnyPath = str | os.PathLike[str]

_TEMPORARY = re.compile(r"\.blockmap-([0-9a-f]{8})-([0-9]+)-[0-9a-f]{8}\.tmp")
_UNSUPPORTED = {
    errno.EINVAL,
    getattr(errno, "ENOTSUP", errno.EINVAL),
    getattr(errno, "EOPNOTSUPP", errno.EINVAL),
    errno.ENOSYS,
}


def load(path: AnyPath, *, disk: Disk = DISK) -> ReadMap:
    """Return the map in a file.

    Raises StoreFailed when the file cannot be read, DocumentRefused when it holds no
    usable map.
    """
    return load_noting_digest(path, disk=disk)[0]


def load_noting_digest(path: AnyPath, *, disk: Disk = DISK) -> tuple[ReadMap, str]:
    """Load as load() does; return the map and the fingerprint of what was read."""
    data = read_bytes_safely(path, BYTES_LIMIT, disk=disk)
    sweep(Path(path).parent)
    return read_map(data, os.fspath(path)), hashlib.sha256(data).hexdigest()


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
        raise StoreFailed(_reading_failed(name, error)) from error
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
        raise StoreFailed(_reading_failed(name, error)) from error
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
        f"{name}: the file is {_size(size)} large and {_size(limit)} is the most; "
        "choose another, this may not be what it seems"
    )


def _size(count: int) -> str:
    if count >= 1 << 20:
        return f"{count / (1 << 20):,.1f} MB".replace(".0 ", " ")
    return f"{count:,} bytes"


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
        raise StoreFailed(_writing_failed(name, error, len(data))) from error
    except ValueError as error:
        raise StoreFailed(f"{name}: this cannot be the name of a file") from error


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
        raise StoreFailed(
            f"{name}: the file is write-protected; save under another name, or allow "
            "writing to it first"
        )
    return found


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
        temporary = _temporary_in(self.target.parent)
        folder = self.disk.open_folder(self.target.parent)
        try:
            try:
                self._write_temporary(temporary)
                self._note_links()
                self.disk.begin_placing()
                if backup and self.before is not None:
                    self._keep_earlier()
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

    def _write_temporary(self, temporary: Path) -> None:
        mode = 0o666 if self.before is None else 0o600
        handle = self.disk.create(temporary, mode)
        try:
            rest = memoryview(self.data)
            while rest:
                written = self.disk.write(handle, rest)
                if written <= 0:
                    raise OSError(errno.EIO, os.strerror(errno.EIO))
                rest = rest[written:]
            if self.before is not None:
                self.disk.copy_rights(self.target, self.before, handle)
            self._flush(handle)
        except BaseException:
            with suppress(OSError):
                self.disk.close(handle)
            raise
        self.disk.close(handle)

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

    def _keep_earlier(self) -> None:
        """Give the earlier content the name `<name>~`; failing that only costs it."""
        second = _temporary_in(self.target.parent)
        try:
            self.disk.link(self.target, second)
            self.disk.replace(second, _backup_of(self.target))
        except OSError as error:
            self.notes.append(
                f"{shown_name(self.target)}: saved, but the earlier version could not "
                f"be kept beside it ({_reason(error)})"
            )
        finally:
            with suppress(OSError):  # stays when both names were one file already
                self.disk.unlink(second)

    def _confirm_folder(self, folder: int | None) -> None:
        if folder is None:
            return
        try:
            self._flush(folder)
        except OSError as error:
            raise StoreFailed(
                f"{shown_name(self.target)}: written, but the disk could not confirm "
                f"it ({_reason(error)}); save again, better on another disk"
            ) from error


def _backup_of(target: Path) -> Path:
    return target.with_name(target.name + "~")


def _host() -> str:
    return hashlib.sha256(socket.gethostname().encode()).hexdigest()[:8]


def _temporary_in(folder: Path) -> Path:
    return folder / f".blockmap-{_host()}-{os.getpid()}-{secrets.token_hex(4)}.tmp"


def sweep(folder: Path) -> int:
    """Remove temporary files that a killed blockmap of this machine left; count them.

    Those of a running process and of other machines stay.
    """
    removed = 0
    with suppress(OSError, ValueError), os.scandir(folder) as entries:
        for entry in entries:
            match = _TEMPORARY.fullmatch(entry.name)
            if match and match[1] == _host() and not _runs(int(match[2])):
                with suppress(OSError):
                    Path(entry.path).unlink()
                    removed += 1
    return removed


def _runs(process: int) -> bool:
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


def _reason(error: OSError) -> str:
    return error.strerror or type(error).__name__


def _reading_failed(name: str, error: OSError) -> str:
    todo = {
        errno.ENOENT: "there is no such file; look at its name and folder",
        errno.EACCES: "you may not read this file; ask its owner",
        errno.ENOTDIR: "a part of this path is no folder; look at its name",
        errno.ELOOP: "this link leads in a circle; choose the file itself",
        errno.ENAMETOOLONG: "the name is too long",
        errno.EMFILE: "too many files are open; close some and try again",
    }.get(error.errno or 0)
    if todo:
        return f"{name}: {todo}"
    return f"{name}: could not be read ({_reason(error)}); look at the disk"


def _writing_failed(name: str, error: OSError, size: int) -> str:
    need = f"make room for {_size(2 * size)}, or save elsewhere"
    todo = {
        errno.ENOSPC: f"the disk is full; {need}",
        errno.EDQUOT: f"your share of the disk is full; {need}",
        errno.EROFS: "this disk can only be read; save elsewhere",
        errno.EACCES: "you may not write in this folder; save elsewhere",
        errno.EPERM: "you may not write in this folder; save elsewhere",
        errno.ENOENT: "there is no such folder; save elsewhere, or make it first",
        errno.ENOTDIR: "a part of this path is no folder; save elsewhere",
        errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
        errno.ELOOP: "this link leads in a circle; choose the file itself",
        errno.EMFILE: "too many files are open; close some and save again",
    }.get(error.errno or 0, f"{_reason(error)}; look at the disk, or save elsewhere")
    return f"{name}: not saved, the earlier file is whole: {todo}"
