"""Edits of photos: those of damage, told in the log of the place, and of a block.

A picture itself is never changed here, and no file is opened or removed.
"""

from __future__ import annotations

import dataclasses

from blockmap.model.document import Condition, Map, Photo
from blockmap.model.edits.behind import add_log, with_condition
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.geometry import Point
from blockmap.model.ids import BlockId, CavityId
from blockmap.model.map_photos import embedded_bytes, embedded_problem
from blockmap.model.photos import FacePhoto
from blockmap.model.places import condition_at
from blockmap.model.schema import property_named, read_value

__all__ = [
    "add_photos",
    "change_photo",
    "note_photo",
    "remove_face_photo",
    "remove_photo",
    "set_face_photo",
]


_LEAST_TURN = 1.0
"""Square percent: corners nearer to one line than this make no figure."""


def add_photos(
    document: Map, cavity: CavityId, where: str, photos: tuple[Photo, ...]
) -> Map:
    """Add photos to the condition of a part; one not noted yet becomes 'untested'.

    where is a contact's name, 'load wire' or 'load wire 2', 'housing' or 'fuse'.
    Raises EditRefused for a part that the cavity has not, and when more would stand
    in the map than may.
    """
    if not photos:
        return document
    old = condition_at(document.cavities[cavity], where) or Condition()
    new = dataclasses.replace(old, photos=(*old.photos, *photos))
    changed = _changed(document, cavity, where, new)
    count = "photo" if len(photos) == 1 else f"{len(photos)} photos"
    return add_log(changed, cavity, f"{where}: {count} added", photos[0].date)


def remove_photo(
    document: Map, cavity: CavityId, where: str, number: int, date: str | None = None
) -> Map:
    """Take a photo from the map; its file stays. Raises EditRefused for no such one."""
    condition, photo = _photo(document, cavity, where, number)
    left = (*condition.photos[:number], *condition.photos[number + 1 :])
    new = dataclasses.replace(condition, photos=left)
    said = f"{where}: photo removed" + (f": {photo.note}" if photo.note else "")
    return add_log(_changed(document, cavity, where, new), cavity, said, date)


def note_photo(
    document: Map, cavity: CavityId, where: str, number: int, text: str
) -> Map:
    """Write what a photo shows. Raises EditRefused."""
    _, photo = _photo(document, cavity, where, number)
    try:
        note = read_value(property_named(Photo, "note"), text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    new = dataclasses.replace(photo, note=note)
    return change_photo(document, cavity, where, number, new)


def change_photo(
    document: Map, cavity: CavityId, where: str, number: int, photo: Photo
) -> Map:
    """Put another record in place of a photo's, such as the embedded one.

    Raises EditRefused when more would stand in the map than may.
    """
    condition, old = _photo(document, cavity, where, number)
    if photo == old:
        return document
    photos = list(condition.photos)
    photos[number] = photo
    new = dataclasses.replace(condition, photos=tuple(photos))
    return _changed(document, cavity, where, new)


def set_face_photo(document: Map, block: BlockId, photo: FacePhoto) -> Map:
    """Put a photo of one side of a block in place of the one there was.

    Raises EditRefused for corners that are no figure of four corners, and when more
    would stand in the map than may.
    """
    held = document.blocks[block]
    if photo == held.photo_of(photo.side):
        return document
    if photo.corners and not _goes_round(photo.corners):
        raise EditRefused(
            "The corners of the block are four, one after another clockwise from the "
            "top left; none may lie between the others"
        )
    others = (other for other in held.photos if other.side != photo.side)
    return _with_face_photos(document, block, (*others, photo))


def remove_face_photo(document: Map, block: BlockId, side: str) -> Map:
    """Take the photo of one side of a block from the map; its file stays."""
    others = tuple(p for p in document.blocks[block].photos if p.side != side)
    return _with_face_photos(document, block, others)


def _goes_round(corners: tuple[Point, ...]) -> bool:
    """Tell whether four corners turn right at each of them, as a square does."""
    if len(corners) != 4:
        return False
    turns = []
    for number, here in enumerate(corners):
        before, after = corners[number - 1], corners[(number + 1) % 4]
        turns.append(
            (here.x_mm - before.x_mm) * (after.y_mm - here.y_mm)
            - (here.y_mm - before.y_mm) * (after.x_mm - here.x_mm)
        )
    return min(turns) > _LEAST_TURN


def _with_face_photos(
    document: Map, block: BlockId, photos: tuple[FacePhoto, ...]
) -> Map:
    held = document.blocks[block]
    if photos == held.photos:
        return document
    order = {"front": 0, "rear": 1}
    photos = tuple(sorted(photos, key=lambda photo: order[photo.side]))
    new = dataclasses.replace(held, photos=photos)
    changed = dataclasses.replace(document, blocks={**document.blocks, block: new})
    return _within_limit(document, changed)


def _photo(
    document: Map, cavity: CavityId, where: str, number: int
) -> tuple[Condition, Photo]:
    condition = condition_at(document.cavities[cavity], where)
    if condition is None or not 0 <= number < len(condition.photos):
        raise EditRefused("This photo is not in the map any more")
    return condition, condition.photos[number]


def _changed(document: Map, cavity: CavityId, where: str, condition: Condition) -> Map:
    old = document.cavities[cavity]
    new = with_condition(old, where, condition)
    changed = dataclasses.replace(document, cavities={**document.cavities, cavity: new})
    return _within_limit(document, changed)


def _within_limit(document: Map, changed: Map) -> Map:
    """Return the changed map. Raises EditRefused when its pictures are too many."""
    size = embedded_bytes(changed)
    refuse = embedded_problem(size)
    if refuse and size > embedded_bytes(document):
        raise EditRefused(refuse)
    return changed
