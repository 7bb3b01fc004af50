"""Keeps the open map safe between saves, and finds what a crash left behind.

Each open map has one recovery file in the user's state folder: a first line that says
which map it is, when it was kept and what its body must hash to, then the map itself.
The version kept before stands beside it, for the case that the disk spoils the latest.
A hold tells whether the program that wrote it still runs. Listing what was left reads
no map, so a map that ends the program cannot end it again at every start. Nothing here
touches the user's own file.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import threading
import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from blockmap.files.disk import DISK
from blockmap.files.holding import Hold, is_held
from blockmap.files.map_reader import BYTES_LIMIT, read_map
from blockmap.files.map_writer import map_text
from blockmap.files.salvage import salvaged
from blockmap.files.shown import shown_name
from blockmap.files.store import fingerprint, read_bytes_safely, write_bytes
from blockmap.files.store_words import writing_todo
from blockmap.files.strays import sweep
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, StoreFailed

__all__ = ["STALE_DAYS", "FileNow", "Keeper", "Kept", "kept_for", "kept_maps"]

ENDING = ".kept"
LOCK_ENDING = ".lock"
TRIES_ENDING = ".tries"
ASIDE_ENDING = ".aside"
STALE_DAYS = 30
"""What was put aside, or holds nothing readable, is removed after so many days."""
HEAD_LIMIT = 64 * 1024
MOST_KEEPS = 1 << 53
"""A number above this was not counted, it is damage."""

FileNow = str
"""What became of the file of a kept map: "same", "changed", "newer", "gone", "none"."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A map that an earlier run left unsaved.

    source is the file it belongs to, None for one never saved; base the fingerprint
    of that file when it was read; when is in seconds since 1970 by the clock of then;
    sequence counts the keeps in this folder, whatever the clock says. car and cavities
    say what it holds; damage is
    a sentence, empty when it is whole; tries counts how often opening it was begun
    and not survived.
    """

    file: Path
    source: Path | None
    base: str | None
    when: float
    sequence: int
    car: str = ""
    cavities: int = 0
    damage: str = ""
    tries: int = 0
    body_from: Path | None = None

    @property
    def document(self) -> Map:
        """The map, read now. Raises BlockmapError when nothing of it can be read."""
        return self.read()[0]

    def read(self) -> tuple[Map, tuple[str, ...]]:
        """Return the map and what is to be known of it. Raises BlockmapError."""
        data = read_bytes_safely(self.body_from or self.file, BYTES_LIMIT + HEAD_LIMIT)
        _, _, body = data.partition(b"\n")
        name = self.source.name if self.source else "unsaved map"
        if not self.damage or self.body_from is not None:
            notes = (self.damage,) if self.damage else ()
            return read_map(body, name).document, notes
        document, lost = salvaged(body if body else data, name)
        left_out = f"lines left out because they are spoilt: {lost}" if lost else ""
        return document, tuple(note for note in (self.damage, left_out) if note)

    def file_now(self) -> FileNow:
        """Say what became of its file since it was read."""
        if self.source is None:
            return "none"
        now = fingerprint(self.source)
        if now is None:
            return "gone"
        if now == self.base:
            return "same"
        with contextlib.suppress(OSError):
            if self.source.stat().st_mtime > self.when:
                return "newer"
        return "changed"

    def note_try(self, more: int = 1) -> None:
        """Note that it is being opened, so that a crash in that is known of.

        more is 0 to take that back: it was refused, and the program lives.
        """
        _write_tries(self.file, self.tries + more)

    def discard(self) -> None:
        """Forget it: it is kept elsewhere now."""
        _remove(self.file)

    def put_aside(self) -> None:
        """Offer it no more; it can be brought back by hand for STALE_DAYS days."""
        with contextlib.suppress(OSError):
            self.file.replace(self.file.with_suffix(ASIDE_ENDING))
            os.utime(self.file.with_suffix(ASIDE_ENDING))
        _remove(self.file)


class Keeper:
    """Keeps one open map; close() forgets it, a crash does not."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file = folder / f"{uuid.uuid4().hex}{ENDING}"
        self._hold = Hold(self._file.with_suffix(LOCK_ENDING))
        self._sequence = 0
        self._forgotten = 0
        self._counting = threading.Lock()

    @property
    def file(self) -> Path:
        """Where the map is kept."""
        return self._file

    def ticket(self) -> int:
        """Return the number of a keep to come: forget() also undoes those not done."""
        with self._counting:
            self._sequence += 1
            return self._sequence

    def keep(
        self,
        document: Map,
        source: Path | None,
        base: str | None,
        ticket: int | None = None,
    ) -> None:
        """Write the map as it is now. Raises StoreFailed."""
        sequence = self.ticket() if ticket is None else ticket
        if sequence <= self._forgotten:
            return
        try:
            self._hold.take()
        except OSError as error:
            name = shown_name(self._folder)
            raise StoreFailed(f"{name}: {writing_todo(error, HEAD_LIMIT)}") from error
        body = map_text(document).encode("utf-8")
        head = {
            "blockmap kept": 1,
            "source": os.fspath(source.absolute()) if source else None,
            "base": base,
            "when": time.time(),
            "sequence": 1 + _latest_sequence(self._folder),
            "car": document.car.name[:200],
            "cavities": len(document.cavities),
            "sha256": hashlib.sha256(body).hexdigest(),
        }
        line = json.dumps(head, ensure_ascii=True).encode("ascii")
        write_bytes(self._file, line + b"\n" + body, backup=True)
        with self._counting:
            late = sequence <= self._forgotten
        if late:  # the map was saved while a slow disk took its time over this
            _remove_versions(self._file)

    @property
    def latest(self) -> int:
        """The number of the latest ticket."""
        return self._sequence

    def forget(self, upto: int | None = None) -> None:
        """Remove what is kept: the map is saved, or was discarded on purpose.

        Keeps with a ticket after upto, all of them when it is None, still count.
        """
        with self._counting:
            self._forgotten = self._sequence if upto is None else upto
        _remove_versions(self._file)

    def note_tries(self, count: int) -> None:
        """Note how often opening this map was begun and not survived; 0 forgets."""
        with contextlib.suppress(OSError):
            if count:
                _write_tries(self._file, count)
            else:
                self._file.with_suffix(TRIES_ENDING).unlink(missing_ok=True)

    def close(self) -> None:
        """Forget the map and let go of the hold."""
        self.forget()
        self.let_go()

    def let_go(self) -> None:
        """Let the next start have what is kept."""
        self._hold.let_go()


def kept_maps(
    folder: Path, look: Callable[[Path], bool] = lambda _file: True
) -> tuple[list[Kept], list[str]]:
    """Return what earlier runs left, the latest first, and words on what was damaged.

    Maps of programs that still run are left out. Of what holds nothing readable
    nothing is offered, and nothing is removed before it is old. look tells of a map's
    own file whether to look at it, which its disk may hold up; what it holds already
    is left out.
    """
    found: list[Kept] = []
    damaged: list[str] = []
    if not folder.is_dir():
        return found, damaged
    _clean(folder)
    for file in sorted(folder.glob(f"*{ENDING}")):
        if is_held(file.with_suffix(LOCK_ENDING)):
            continue
        try:
            kept = _listed(file, look)
        except BlockmapError as problem:
            if not file.exists():
                continue  # saved or discarded by another window meanwhile
            if _age_days(file) > STALE_DAYS:
                _remove(file)
            else:
                damaged.append(f"{file.name} is damaged and was left alone: {problem}")
            continue
        if kept is not None:
            found.append(kept)
    found.sort(key=lambda kept: (kept.sequence, kept.when), reverse=True)
    return found, damaged


def kept_for(folder: Path, path: Path) -> Kept | None:
    """Return the latest unsaved work on this file that an earlier run left.

    Other disks than that of the file are not looked at: they may not answer.
    """
    named, whole = path.absolute(), Path(os.path.realpath(path))

    def is_it(file: Path) -> bool:
        if file in (named, whole):
            return True
        near = file.parent in (named.parent, whole.parent)
        return near and os.path.realpath(file) == os.fspath(whole)

    for kept in kept_maps(folder, is_it)[0]:
        if kept.source is not None and is_it(kept.source):
            return kept
    return None


def _listed(file: Path, look: Callable[[Path], bool]) -> Kept | None:
    """Return what one recovery file holds, None when it is no more than its map."""
    data = read_bytes_safely(file, BYTES_LIMIT + HEAD_LIMIT)
    tries = _tries_of(file)
    head, body = _parts(data)
    if head is not None and _digest(body) == head["sha256"]:
        source = head["source"]
        if _may_look(source, look) and fingerprint(source) == head["sha256"]:
            _remove(file)  # the file holds the very same: killed right after a save
            return None
        return _kept(file, head, tries)
    earlier = file.with_name(file.name + "~")
    with contextlib.suppress(BlockmapError):
        before, its_body = _parts(read_bytes_safely(earlier, BYTES_LIMIT + HEAD_LIMIT))
        if before is not None and _digest(its_body) == before["sha256"]:
            words = "the latest version is damaged; this is the one kept before it"
            return _kept(file, before, tries, words, earlier)
    words = "it is damaged: look through it before you trust it"
    if head is None:
        head = {"when": file.stat().st_mtime if file.exists() else 0.0}
    return _kept(file, head, tries, words)


def _latest_sequence(folder: Path) -> int:
    """Return the highest number of the keeps that this and other runs made."""
    highest = 0
    for file in folder.glob(f"*{ENDING}"):
        with contextlib.suppress(OSError):
            handle = DISK.open_to_read(file)
            try:
                head, _ = _parts(DISK.read(handle, HEAD_LIMIT))
            finally:
                DISK.close(handle)
            number = head["sequence"] if head is not None else 0
            highest = max(highest, number if number < MOST_KEEPS else 0)
    return highest


def _may_look(source: str | None, look: Callable[[Path], bool]) -> bool:
    return bool(source) and "\0" not in str(source) and look(Path(str(source)))


def _parts(data: bytes) -> tuple[dict[str, Any] | None, bytes]:
    """Return head and body; the head is None when it is not whole."""
    line, _, body = data.partition(b"\n")
    try:
        head = json.loads(line[:HEAD_LIMIT])
    except (ValueError, RecursionError):
        return None, body
    shapes: dict[str, tuple[type, ...]] = {
        "source": (str, type(None)),
        "base": (str, type(None)),
        "when": (float, int),
        "sequence": (int,),
        "sha256": (str,),
    }
    if not isinstance(head, dict) or not all(
        key in head and isinstance(head[key], kinds) for key, kinds in shapes.items()
    ):
        return None, body
    return head, body


def _kept(
    file: Path,
    head: dict[str, Any],
    tries: int,
    damage: str = "",
    body_from: Path | None = None,
) -> Kept:
    source = head.get("source")
    if source and "\0" in source:
        source = None
    cavities = head.get("cavities")
    return Kept(
        file=file,
        source=Path(source) if source else None,
        base=head.get("base"),
        when=float(head.get("when") or 0),
        sequence=int(head.get("sequence") or 0),
        car=str(head.get("car") or ""),
        cavities=cavities if isinstance(cavities, int) else 0,
        damage=damage,
        tries=tries,
        body_from=body_from,
    )


def _digest(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def _tries_of(file: Path) -> int:
    try:
        text = file.with_suffix(TRIES_ENDING).read_text("ascii")[:4]
        return int(text)
    except (OSError, ValueError):
        return 0


def _write_tries(file: Path, count: int) -> None:
    with contextlib.suppress(OSError):
        file.with_suffix(TRIES_ENDING).write_text(str(count), "ascii")


def _clean(folder: Path) -> None:
    """Remove what belongs to no kept map and to no running program."""
    sweep(folder)
    for pattern in (f"*{LOCK_ENDING}", f"*{TRIES_ENDING}", f"*{ENDING}~"):
        for file in folder.glob(pattern):
            stem = file.name.split(".")[0]
            lock = folder / f"{stem}{LOCK_ENDING}"
            if (folder / f"{stem}{ENDING}").exists() or is_held(lock):
                continue
            if _age_days(file) > 1:  # a hold just made has kept nothing yet
                with contextlib.suppress(OSError):
                    file.unlink(missing_ok=True)
    for file in folder.glob(f"*{ASIDE_ENDING}"):
        if _age_days(file) > STALE_DAYS:
            with contextlib.suppress(OSError):
                file.unlink(missing_ok=True)


def _age_days(file: Path) -> float:
    try:
        return (time.time() - file.stat().st_mtime) / 86400
    except OSError:
        return 0.0


def _remove_versions(file: Path) -> None:
    for name in (file, file.with_name(file.name + "~")):
        with contextlib.suppress(OSError):
            name.unlink(missing_ok=True)


def _remove(file: Path) -> None:
    _remove_versions(file)
    for ending in (LOCK_ENDING, TRIES_ENDING):
        with contextlib.suppress(OSError):
            file.with_suffix(ending).unlink(missing_ok=True)
