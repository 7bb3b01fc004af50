"""Edits of the photos of damage; each tells the log of the place.

A picture itself is never changed here, and no file is opened or removed.
"""

from __future__ import annotations

import dataclasses

from blockmap.model.document import Condition, Map, Photo
from blockmap.model.edits.behind import add_log, with_condition
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import CavityId
from blockmap.model.photos import embedded_bytes, embedded_problem
from blockmap.model.places import condition_at
from blockmap.model.schema import property_named, read_value

__all__ = ["add_photos", "change_photo", "note_photo", "remove_photo"]


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
    size = embedded_bytes(changed)
    refuse = embedded_problem(size)
    if refuse and size > embedded_bytes(document):
        raise EditRefused(refuse)
    return changed
