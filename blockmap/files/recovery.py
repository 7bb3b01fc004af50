"""Keeps the open map safe between saves, and finds what a crash left behind.

Each open map has one recovery file in the user's state folder: a first line that says
which map it is, when it was kept and what its body must hash to, then the map itself.
A lock beside it tells whether the program that wrote it still runs: the operating
system lets go of it when that program ends, however it ends. Nothing here touches the
user's own file.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import time
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from blockmap.files.map_reader import BYTES_LIMIT, read_map
from blockmap.files.map_writer import map_text
from blockmap.files.store import read_bytes_safely, write_bytes
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError

try:
    import fcntl
except ImportError:  # pragma: no cover - only where there is no fcntl
    fcntl = None  # type: ignore[assignment]

__all__ = ["Keeper", "Kept", "kept_maps"]

ENDING = ".kept"
LOCK_ENDING = ".lock"
STALE_DAYS = 30
"""Damaged leavings are removed after this many days; whole ones are never."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A map that an earlier run left unsaved.

    source is the file it belongs to, None for one never saved; base the fingerprint
    of that file when it was read; when is in seconds since 1970 by the clock of then;
    sequence counts the keeps of one run, and orders better than a clock.
    """

    file: Path
    document: Map
    source: Path | None
    base: str | None
    when: float
    sequence: int

    def discard(self) -> None:
        """Forget it."""
        _remove(self.file)


class Keeper:
    """Keeps one open map; close() forgets it, a crash does not."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file = folder / f"{uuid.uuid4().hex}{ENDING}"
        self._lock: IO[bytes] | None = None
        self._sequence = 0

    @property
    def file(self) -> Path:
        """Where the map is kept."""
        return self._file

    def keep(self, document: Map, source: Path | None, base: str | None) -> None:
        """Write the map as it is now. Raises StoreFailed."""
        self._folder.mkdir(parents=True, exist_ok=True)
        self._hold()
        self._sequence += 1
        body = map_text(document).encode("utf-8")
        head = {
            "blockmap kept": 1,
            "source": os.fspath(source.absolute()) if source else None,
            "base": base,
            "when": time.time(),
            "sequence": self._sequence,
            "sha256": hashlib.sha256(body).hexdigest(),
        }
        line = json.dumps(head, ensure_ascii=True).encode("ascii")
        write_bytes(self._file, line + b"\n" + body)

    def forget(self) -> None:
        """Remove what is kept: the map is saved, or was discarded on purpose."""
        with contextlib.suppress(OSError):
            self._file.unlink(missing_ok=True)

    def close(self) -> None:
        """Forget the map and let go of the lock."""
        self.forget()
        if self._lock is not None:
            name = Path(self._lock.name)
            self._lock.close()
            self._lock = None
            with contextlib.suppress(OSError):
                name.unlink(missing_ok=True)

    def _hold(self) -> None:
        if self._lock is None:
            lock = self._file.with_suffix(LOCK_ENDING).open("wb")
            if fcntl is not None:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            self._lock = lock


def kept_maps(folder: Path) -> tuple[list[Kept], list[str]]:
    """Return what earlier runs left, the latest first, and words on what was damaged.

    Maps of programs that still run are left out. Of a damaged file nothing is offered
    and nothing is removed before it is old.
    """
    found: list[Kept] = []
    damaged: list[str] = []
    for file in sorted(folder.glob(f"*{ENDING}")) if folder.is_dir() else []:
        if _in_use(file):
            continue
        try:
            found.append(_read(file))
        except (BlockmapError, ValueError, KeyError, TypeError) as problem:
            age_days = (time.time() - file.stat().st_mtime) / 86400
            if age_days > STALE_DAYS:
                _remove(file)
            else:
                damaged.append(f"{file.name} is damaged and was left alone: {problem}")
    found.sort(key=lambda kept: (kept.when, kept.sequence), reverse=True)
    return found, damaged


def _read(file: Path) -> Kept:
    data = read_bytes_safely(file, BYTES_LIMIT + 64 * 1024)
    line, _, body = data.partition(b"\n")
    head = json.loads(line)
    if hashlib.sha256(body).hexdigest() != head["sha256"]:
        raise ValueError("its content does not match its own checksum")
    return Kept(
        file=file,
        document=read_map(body, file.name).document,
        source=Path(head["source"]) if head["source"] else None,
        base=head["base"],
        when=float(head["when"]),
        sequence=int(head["sequence"]),
    )


def _in_use(file: Path) -> bool:
    lock = file.with_suffix(LOCK_ENDING)
    if fcntl is None or not lock.exists():
        return False
    try:
        with lock.open("rb") as handle:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    except OSError:
        return False
    return False


def _remove(file: Path) -> None:
    for name in (file, file.with_suffix(LOCK_ENDING)):
        with contextlib.suppress(OSError):
            name.unlink(missing_ok=True)
