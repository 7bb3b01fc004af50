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

__all__ = ["Hold", "hold_of", "is_held"]

_ours: dict[Path, Hold] = {}
"""The holds of this process; here, so that none ends because nobody refers to it."""

_TIMES = 5
_AGAIN_S = 0.01
"""Somebody who only looks whether it is held has let go of it after this."""


class Hold:
    """One hold; take() it, and let_go() when done."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self._handle: IO[bytes] | None = None

    @property
    def held(self) -> bool:
        """True between a take() that succeeded and let_go()."""
        return self._handle is not None

    @property
    def held_here(self) -> bool:
        """True when this process holds it, by this object or by another."""
        return self.file in _ours

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
                _ours[self.file] = self
                return True
            handle.close()  # another let go of it and removed it in between
        return False

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
    return Hold(folder / f"{name}.lock")


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
