"""What a window asks of the disk, each as one call that may be made in any thread.

Opening, saving and looking join what belongs together: the hold that tells other
windows, the fingerprint that tells of changes by other programs, and the reading or
writing itself. Nothing here asks anybody; what stands in the way is returned.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from blockmap.files.disk import Disk
from blockmap.files.holding import Hold, hold_of, is_held_here, twin_of
from blockmap.files.map_reader import ReadMap
from blockmap.files.photos import carry_photos, sweep_photos
from blockmap.files.recovery import Kept, kept_for
from blockmap.files.store import (
    fingerprint,
    fingerprint_of,
    load_noting_digest,
    save_noting_digest,
    saving_problem,
)
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, StoreFailed
from blockmap.resources import layout_files

__all__ = [
    "Folders",
    "Opened",
    "Saved",
    "Theirs",
    "let_go_of",
    "open_map",
    "read_kept",
    "read_theirs",
    "save_copy",
    "save_map",
    "sweep_unused",
]


@dataclass(frozen=True, slots=True)
class Folders:
    """Where the state folder has holds and recovery files."""

    state: Path

    @property
    def holds(self) -> Path:
        """The folder of the holds on open files."""
        return self.state / "open"

    @property
    def recovery(self) -> Path:
        """The folder of the recovery files."""
        return self.state / "recovery"


@dataclass(frozen=True, slots=True)
class Opened:
    """A map that was read, or elsewhere when another window here has its file.

    hold is None when another program has it. digest is the fingerprint of the file,
    device the number of its disk, file_now what became of it since unsaved work on it
    was kept; refused is why saving in its place would be, "" as far as is known.
    """

    read: ReadMap | None = None
    digest: str | None = None
    device: int | None = None
    refused: str = ""
    hold: Hold | None = None
    kept: Kept | None = None
    file_now: str = ""
    shipped: bool = False
    elsewhere: bool = False


@dataclass(frozen=True, slots=True)
class Theirs:
    """What a file holds that is not as it was known.

    read is None when that cannot be read, for the reason in problem; gone when it is
    not there, and disk_gone when its folder is on another disk now. ours is a map whose
    saving was called off and ended late: nobody else changed the file.
    """

    digest: str | None
    read: ReadMap | None = None
    problem: BlockmapError | None = None
    gone: bool = False
    disk_gone: bool = False
    ours: Map | None = None


@dataclass(frozen=True, slots=True)
class Saved:
    """What came of saving: held elsewhere, changed by others, or written with notes."""

    hold: Hold | None = None
    theirs: Theirs | None = None
    digest: str = ""
    device: int | None = None
    notes: tuple[str, ...] = ()


def let_go_of(found: Opened | Saved) -> None:
    """Let go of the hold that came with what nobody takes."""
    if found.hold is not None:
        found.hold.let_go()


def _held(folders: Folders, path: Path, ours: Hold | None) -> Hold | None:
    """Return a hold on a file, None when another window or program has it.

    Where the state folder cannot be written nothing is known of others, and the file
    is taken as ours.
    """
    hold = hold_of(folders.holds, path)
    if ours is not None and ours.file == hold.file:
        return ours
    twin = twin_of(hold, path)
    if hold.held_here or (twin is not None and (ours is None or twin != ours.file)):
        return None
    try:
        return hold if hold.take() else None
    except OSError:
        return hold


def _has_here(folders: Folders, path: Path) -> bool:
    """Tell whether a window of this program has a file, by whatever name."""
    hold = hold_of(folders.holds, path)
    if hold.held_here:
        return True
    twin = twin_of(hold, path)
    return twin is not None and is_held_here(twin)


def open_map(
    path: Path, folders: Folders, ours: Hold | None, disk: Disk, *, again: bool
) -> Opened:
    """Read a map to work on it; again when it is the file that the window has.

    Raises BlockmapError.
    """
    if not again and _has_here(folders, path):
        return Opened(elsewhere=True)
    read, digest = load_noting_digest(path, disk=disk)
    if is_shipped(path):
        return Opened(read, shipped=True)
    kept = kept_for(folders.recovery, path)
    file_now = kept.file_now() if kept is not None else ""
    disk.go_on()
    return Opened(
        read,
        digest,
        device_of(path),
        saving_problem(path, disk=disk),
        _held(folders, path, ours),
        kept,
        file_now,
    )


def device_of(path: Path) -> int | None:
    """Return the number of the disk that a file's folder is on, or what is left of it.

    None when nothing of it is there.
    """
    for folder in path.absolute().parents:
        with suppress(OSError):
            return folder.stat().st_dev
    return None


def read_kept(
    kept: Kept, folders: Folders, ours: Hold | None, disk: Disk
) -> tuple[Map, tuple[str, ...], Hold | None]:
    """Read unsaved work, noting the try. Raises BlockmapError."""
    kept.note_try()
    try:
        document, notes = kept.read()
    except BlockmapError:
        kept.note_try(0)
        raise
    disk.go_on()
    hold = _held(folders, kept.source, ours) if kept.source is not None else None
    return document, notes, hold


def read_theirs(
    path: Path,
    known: str | None,
    earlier: Iterable[Map],
    disk: Disk,
    device: int | None = None,
) -> Theirs | None:
    """Return what a file holds now, None when that is as it was known.

    earlier are the maps whose saving was called off; device the disk it was on, if
    that is known.
    """
    now = fingerprint(path, disk=disk)
    if now == known:
        return None
    for document in earlier:
        if fingerprint_of(document) == now:
            return Theirs(now, ours=document)
    try:
        read, digest = load_noting_digest(path, disk=disk)
        return Theirs(digest, read)
    except BlockmapError as problem:
        gone = not path.exists()
        moved = gone and device is not None and device != device_of(path)
        return Theirs(now, problem=problem, gone=gone, disk_gone=moved)


def save_map(
    path: Path,
    document: Map,
    folders: Folders,
    ours: Hold | None,
    disk: Disk,
    *,
    unless_changed: str | None = None,
    device: int | None = None,
    earlier: tuple[Map, ...] = (),
) -> Saved:
    """Save a map, unless another has the file or has changed it.

    unless_changed is the fingerprint that the file must have, None for any; device the
    disk it was on. Raises BlockmapError with the earlier file whole.
    """
    hold = _held(folders, path, ours)
    if hold is None:
        return Saved()
    try:
        if unless_changed is not None:
            theirs = read_theirs(path, unless_changed, earlier, disk, device)
            if theirs is not None and theirs.ours is None:
                if isinstance(theirs.problem, StoreFailed) and not theirs.gone:
                    raise theirs.problem  # nobody changed it: it cannot be looked at
                return Saved(hold, theirs)
        notes, digest = save_noting_digest(path, document, disk=disk)
    except BaseException:
        if hold is not ours:
            hold.let_go()
        raise
    return Saved(hold, digest=digest, device=device_of(path), notes=notes)


def save_copy(
    path: Path, document: Map, source: Path | None, folders: Folders, disk: Disk
) -> tuple[str, ...] | None:
    """Save a copy with its photos; None when a window has that file open.

    Raises BlockmapError.
    """
    if _has_here(folders, path):
        return None
    notes, _digest = save_noting_digest(path, document, disk=disk)
    return notes + carry_photos(document, source, path, disk=disk)


def sweep_unused(path: Path, maps: Iterable[Map], folders: Folders) -> None:
    """Remove copies of photos that neither these maps nor unsaved work uses."""
    everything = list(maps)
    kept = kept_for(folders.recovery, path)
    if kept is not None:
        with suppress(BlockmapError):
            everything.append(kept.read()[0])
    sweep_photos(path, everything)


def is_shipped(path: Path) -> bool:
    """Tell whether a file is one of the shipped layouts, which stay as they are."""
    whole = os.path.realpath(path)
    return whole in {os.path.realpath(layout) for layout in layout_files()}
