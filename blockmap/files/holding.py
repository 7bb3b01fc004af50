"""Holds on files, so that two windows on one map know of each other.

A hold is a small file that the operating system locks for as long as the program runs
and lets go of however it ends, so nothing stale can be left: what stands in it and how
old it is does not matter. It hinders nobody from writing a map; it only tells.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
import time
from pathlib import Path
from typing import IO

__all__ = ["Hold", "hold_of", "is_held", "is_held_here", "twin_of"]

_ours: dict[Path, Hold] = {}
"""The holds of this process; here, so that none ends because nobody refers to it."""

NOTE_LIMIT = 8192
"""Bytes; what is longer was not written here."""
_TIMES = 5
_AGAIN_S = 0.01
"""Somebody who only looks whether it is held has let go of it after this."""


class Hold:
    """One hold; take() it, and let_go() when done."""

    def __init__(self, file: Path, on: str | None = None) -> None:
        self.file = file
        self._on = on
        self._handle: IO[bytes] | None = None

    @property
    def held(self) -> bool:
        """True between a take() that succeeded and let_go()."""
        return self._handle is not None

    @property
    def held_here(self) -> bool:
        """True when this process holds it, by this object or by another."""
        return is_held_here(self.file)

    def take(self) -> bool:
        """Try to hold; tell whether it is held now. Raises OSError."""
        if self.held:
            return True
        self.file.parent.mkdir(parents=True, exist_ok=True)
        for _ in range(_TIMES):
            handle = self.file.open("a+b")
            if not _lock(handle):
                handle.close()
                time.sleep(_AGAIN_S)
                continue
            if _is_still(handle, self.file):
                self._handle = handle
                self._note()
                _ours[self.file] = self
                return True
            handle.close()  # another let go of it and removed it in between
        return False

    def _note(self) -> None:
        """Write down whose hold it is, for twin_of(); failing that costs only this."""
        if self._on is None or self._handle is None:
            return
        with contextlib.suppress(OSError):
            device = Path(self._on).stat().st_dev
            self._handle.truncate(0)
            self._handle.write(f"{device}\n".encode() + os.fsencode(self._on))
            self._handle.flush()

    def let_go(self) -> None:
        """Stop holding; harmless when it is not held."""
        if self._handle is None:
            return
        _ours.pop(self.file, None)
        with contextlib.suppress(OSError):
            self.file.unlink(missing_ok=True)
        self._handle.close()
        self._handle = None


def hold_of(folder: Path, path: str | os.PathLike[str]) -> Hold:
    """Return the hold of a map file: the same for every way to write its name."""
    whole = os.path.realpath(path)
    name = hashlib.sha256(os.fsencode(whole)).hexdigest()[:32]
    return Hold(folder / f"{name}.lock", whole)


def twin_of(hold: Hold, path: str | os.PathLike[str]) -> Path | None:
    """Return the hold that is on the same file by another name, None when none is.

    A hard link is another name, and one in other letters where a disk takes them for
    the same. Only names on the disk of this path are looked at: others may not answer.
    """
    try:
        ours = Path(path).stat()
        others = [file for file in hold.file.parent.iterdir() if file != hold.file]
    except (OSError, ValueError):
        return None
    for file in others:
        try:
            device, _, name = file.read_bytes()[:NOTE_LIMIT].partition(b"\n")
            if device != str(ours.st_dev).encode() or not is_held(file):
                continue
            if os.path.samestat(Path(os.fsdecode(name)).stat(), ours):
                return file
        except (OSError, ValueError):
            continue
    return None


def is_held_here(file: Path) -> bool:
    """Tell whether this process holds it."""
    return file in _ours


def is_held(file: Path) -> bool:
    """Tell whether any running program holds it."""
    if file in _ours:
        return True
    try:
        with file.open("r+b") as handle:
            return not _lock(handle, shared=True)
    except OSError:
        return False


def _is_still(handle: IO[bytes], file: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle.fileno()), file.stat())
    except OSError:
        return False


if sys.platform == "win32":  # pragma: no cover - not run where this was written
    import msvcrt

    def _lock(handle: IO[bytes], *, shared: bool = False) -> bool:
        del shared
        handle.seek(0)
        try:
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock(handle: IO[bytes], *, shared: bool = False) -> bool:
        kind = fcntl.LOCK_SH if shared else fcntl.LOCK_EX
        try:
            fcntl.flock(handle, kind | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
