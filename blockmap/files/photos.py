"""Photos beside the map: copied in, read back with care, embedded, carried along.

The photos of `demo.blockmap.yaml` stand in the folder `demo.photos` beside it, each
named by its content. A name in a map never leads out of that folder, and nothing but a
regular file is opened. What cannot be shown is told in words, never guessed at.
"""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from blockmap.files.disk import DISK, Disk
from blockmap.files.map_reader import BYTES_LIMIT
from blockmap.files.pictures import head_of, kept_picture
from blockmap.files.shown import shown_name, shown_text
from blockmap.files.store import AnyPath, read_bytes_safely, write_bytes
from blockmap.model.document import Map, Photo
from blockmap.model.errors import StoreFailed
from blockmap.model.map_photos import photos_of

__all__ = [
    "PICTURE_BYTES_LIMIT",
    "ShownPhoto",
    "carry_photos",
    "embedded",
    "loose_photos",
    "new_photo",
    "photo_folder",
    "put_beside",
    "show_photo",
    "sweep_photos",
]

PICTURE_BYTES_LIMIT = 64 * 1024 * 1024
"""Largest file of a picture that is chosen; kept ones are far smaller."""

_ENDINGS = (".blockmap.yaml", ".blockmap", ".yaml")
_OURS = re.compile(r"[0-9a-f]{24}\.(jpg|png)")
_ENDING_OF = {"jpeg": ".jpg", "png": ".png"}


@dataclass(frozen=True, slots=True)
class ShownPhoto:
    """The bytes of a photo, or None and the words that stand in its place."""

    data: bytes | None
    words: str = ""


def photo_folder(map_path: AnyPath) -> Path:
    """Return the folder that holds the photos of a map's file."""
    path = Path(map_path)
    return path.with_name(_stem(path) + ".photos")


def _stem(path: Path) -> str:
    ending = next((e for e in _ENDINGS if path.name.endswith(e)), "")
    return path.name.removesuffix(ending) or path.name


def new_photo(
    source: AnyPath,
    map_path: AnyPath | None,
    *,
    note: str = "",
    date: str | None = None,
    disk: Disk = DISK,
) -> Photo:
    """Take a chosen picture: a copy goes beside the map.

    A map without a file has no place beside it: the picture then stands in the map
    itself. Raises StoreFailed with a sentence.
    """
    data = read_bytes_safely(source, PICTURE_BYTES_LIMIT, disk=disk)
    made = kept_picture(data, shown_name(Path(source).name))
    photo = Photo(
        data=base64.b64encode(made.data).decode("ascii"),
        sha256=hashlib.sha256(made.data).hexdigest(),
        note=note,
        date=date,
    )
    return photo if map_path is None else put_beside(photo, map_path, disk=disk)


def put_beside(photo: Photo, map_path: AnyPath, *, disk: Disk = DISK) -> Photo:
    """Write an embedded photo into the folder beside the map; return it as a file.

    Raises StoreFailed.
    """
    shown = show_photo(photo, map_path)
    if shown.data is None:
        raise StoreFailed(shown.words)
    digest = hashlib.sha256(shown.data).hexdigest()
    kind = head_of(shown.data, "photo").kind
    name = digest[:24] + _ENDING_OF[kind]
    _put(photo_folder(map_path), name, shown.data, disk)
    return _replaced(photo, file=name, data="", sha256=digest)


def embedded(photo: Photo, map_path: AnyPath | None) -> Photo:
    """Return a photo with its picture in the map itself. Raises StoreFailed."""
    shown = show_photo(photo, map_path)
    if shown.data is None:
        raise StoreFailed(shown.words)
    return _replaced(
        photo,
        file="",
        data=base64.b64encode(shown.data).decode("ascii"),
        sha256=hashlib.sha256(shown.data).hexdigest(),
    )


def _replaced(photo: Photo, *, file: str, data: str, sha256: str) -> Photo:
    return dataclasses.replace(photo, file=file, data=data, sha256=sha256)


_awaited: set[Path] = set()
"""Copies that were put beside a map and are perhaps not in the map yet."""


def _put(folder: Path, name: str, data: bytes, disk: Disk) -> None:
    disk.go_on()
    _awaited.add(folder / name)
    try:
        folder.mkdir(exist_ok=True)
        _refuse_linked(folder)
        with suppress(StoreFailed):
            if read_bytes_safely(folder / name, BYTES_LIMIT) == data:
                return
    except OSError as error:
        raise StoreFailed(
            f"{shown_name(folder)}: the folder for photos could not be made "
            f"({error.strerror or type(error).__name__}); save the map elsewhere"
        ) from error
    write_bytes(folder / name, data, disk=disk)


def _refuse_linked(folder: Path) -> None:
    if folder.is_symlink():
        raise StoreFailed(
            f"{shown_name(folder)}: the folder for photos is a link to another place; "
            "put a folder there"
        )


def show_photo(photo: Photo, map_path: AnyPath | None) -> ShownPhoto:
    """Return a photo's bytes, whose head and checksum fit; else words in its place."""
    try:
        data = _bytes_of(photo, map_path)
        known = photo.sha256
        if known and hashlib.sha256(data).hexdigest() != known:
            raise StoreFailed(
                "The picture has changed or is cut short since it was added; remove "
                "it here and add it again if it is still right"
            )
        head_of(data, "photo")
    except StoreFailed as problem:
        return ShownPhoto(None, str(problem))
    return ShownPhoto(data)


def _bytes_of(photo: Photo, map_path: AnyPath | None) -> bytes:
    if photo.data:
        try:
            return base64.b64decode(photo.data, validate=True)
        except ValueError as error:
            raise StoreFailed("The picture in the map is damaged") from error
    name = photo.file
    if not name:
        raise StoreFailed("There is no picture to this entry; remove it")
    if map_path is None:
        raise StoreFailed(
            f"{shown_text(name, 60)}: this map has no file yet, so no folder of photos"
        )
    return read_bytes_safely(_place_of(name, photo_folder(map_path)), BYTES_LIMIT)


def _place_of(name: str, folder: Path) -> Path:
    """Return the file that a photo's name means. Raises StoreFailed, opens nothing."""
    shown = shown_text(name, 60)
    odd = any(char in name for char in "/\\:\0") or name.startswith((".", "~"))
    if odd or len(name) > 200:
        raise StoreFailed(
            f"{shown}: this is not the name of a file in the folder {folder.name}; "
            "nothing was opened"
        )
    _refuse_linked(folder)
    try:
        whole = folder.resolve()
        target = (whole / name).resolve()
        inside = target.is_relative_to(whole) and target != whole
        there = inside and target.is_file()
    except (OSError, RuntimeError, ValueError) as error:  # links that go in a circle
        raise StoreFailed(f"{shown}: this link leads nowhere") from error
    if not inside:
        raise StoreFailed(
            f"{shown}: this leads out of the folder {folder.name}; nothing was opened"
        )
    if not there:
        if target.exists():
            raise StoreFailed(f"{shown}: this is no ordinary file; nothing was opened")
        raise StoreFailed(
            f"{shown}: the picture is missing in the folder {folder.name}; put it back "
            "there, or remove it here"
        )
    return target


def carry_photos(
    document: Map,
    source: AnyPath | None,
    target: AnyPath,
    *,
    disk: Disk = DISK,
) -> tuple[str, ...]:
    """Copy the pictures a map uses when it is saved as another file.

    Returns what could not be copied, in words; the map is saved all the same.
    """
    if source is None or photo_folder(source) == photo_folder(target):
        return ()
    missing = 0
    words = ""
    folder = photo_folder(target)
    for photo in {
        p.file: p for p in photos_of(document) if p.file and not p.data
    }.values():
        shown = show_photo(photo, source)
        try:
            if shown.data is None:
                raise StoreFailed(shown.words)
            _put(folder, photo.file, shown.data, disk)
        except StoreFailed as problem:
            missing += 1
            words = words or str(problem)
    if not missing:
        return ()
    count = "1 photo was" if missing == 1 else f"{missing} photos were"
    return (f"{count} not copied to the folder {folder.name}: {words}",)


def loose_photos(map_path: AnyPath) -> frozenset[str]:
    """Return the copies in a map's folder that sweep_photos may look into.

    There are none when another map shares the folder.
    """
    path = Path(map_path)
    folder = photo_folder(path)
    try:
        if folder.is_symlink() or not folder.is_dir():
            return frozenset()
        there = {p.name for p in folder.iterdir() if _OURS.fullmatch(p.name)}
    except OSError:
        return frozenset()
    stem = _stem(path)
    others = (stem + e for e in _ENDINGS if stem + e != path.name)
    if any(path.with_name(name).exists() for name in others):
        return frozenset()
    return frozenset(there)


def sweep_photos(map_path: AnyPath, maps: Iterable[Map]) -> int:
    """Remove the copies in a map's folder that none of these maps uses; count them.

    Only files that were named here are removed, none while the earlier version `NAME~`
    uses it or it was just put there, and none when another map shares the folder. maps
    is only looked into when something could go: it may be a long history.
    """
    path = Path(map_path)
    folder = photo_folder(path)
    there = set(loose_photos(path))
    for document in maps:
        if not there:
            return 0
        used = {photo.file for photo in photos_of(document)}
        there -= used
        _awaited.difference_update(folder / name for name in used)
    there = {name for name in there if folder / name not in _awaited}
    if there:
        earlier = _earlier(path)
        there = {name for name in there if name not in earlier}
    removed = 0
    for name in there:
        with suppress(OSError):
            (folder / name).unlink()
            removed += 1
    return removed


def _earlier(path: Path) -> str:
    """Return the text of the version before, which names its photos."""
    with suppress(StoreFailed):
        data = read_bytes_safely(path.with_name(path.name + "~"), BYTES_LIMIT)
        return data.decode("utf-8", "replace")
    return ""
