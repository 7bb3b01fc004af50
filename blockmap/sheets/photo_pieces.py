"""Photos on paper: each small, beside what it shows of which part.

A picture that cannot be shown leaves an empty frame with the reason in words, and the
reason is among the notes of the sheet as well.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from blockmap.drawing.primitives import Face, Primitive, Text, line, rectangle
from blockmap.files.photos import show_photo
from blockmap.files.pictures import small_picture
from blockmap.model.document import Cavity, Condition, Photo
from blockmap.model.errors import StoreFailed
from blockmap.model.geometry import Box, Point, Size
from blockmap.model.written import condition_text
from blockmap.sheets.card_lines import wrapped
from blockmap.sheets.pages import GRID_MM, SMALL_CAP_MM, TEXT_CAP_MM, Picture
from blockmap.sheets.wire_words import contact_words
from blockmap.sheets.work_pages import WorkPages

__all__ = ["put_photos"]

FRAME = Size(40.0, 30.0)
_PRINT_PX = (480, 360)
"""The frame at about 305 pixels an inch, as fine as office printers show."""

_GAP_MM = 4.0
_INSET_MM = 2.0


def put_photos(
    pages: WorkPages, cavities: Iterable[Cavity], map_file: Path | None
) -> None:
    """Set the photos of these places, two in a row, each with its words beside it."""
    shown = [
        (cavity, where, condition, photo)
        for cavity in cavities
        for where, condition in cavity.conditions
        for photo in condition.photos
    ]
    if not shown:
        return
    pages.heading("Photos", keep_mm=FRAME.height_mm)
    for cavity, where, condition, photo in shown:
        _put(pages, contact_words(cavity, where), condition, photo, map_file)
    pages.end_shelf()


def _put(
    pages: WorkPages,
    place: str,
    condition: Condition,
    photo: Photo,
    map_file: Path | None,
) -> None:
    width = (pages.area.width_mm - _GAP_MM) / 2
    items: list[Primitive] = []
    picture, problem = _picture(photo, map_file)
    if picture is None:
        pages.remarks.add(f"{place}: no picture: {problem}")
        items += _empty_frame(problem)
    x = FRAME.width_mm + _INSET_MM
    y = TEXT_CAP_MM + 0.4
    for text, face in (
        (place, Face.BOLD),
        (condition_text(condition), Face.REGULAR),
        (photo.note, Face.REGULAR),
        (photo.date or "", Face.REGULAR),
    ):
        for row in wrapped(text, width - x, face, TEXT_CAP_MM) if text else ():
            items.append(Text(row, Point(x, y), TEXT_CAP_MM, face, "start"))
            y += GRID_MM * 0.95
    size = Size(width, max(FRAME.height_mm, y))
    pages.shelf(items, size, _GAP_MM, pictures=[picture] if picture else [])


def _picture(photo: Photo, map_file: Path | None) -> tuple[Picture | None, str]:
    shown = show_photo(photo, map_file)
    if shown.data is None:
        return None, shown.words
    try:
        made = small_picture(shown.data, _PRINT_PX, "photo")
    except StoreFailed as problem:
        return None, str(problem)
    scale = min(FRAME.width_mm / made.width_px, FRAME.height_mm / made.height_px)
    wide, high = made.width_px * scale, made.height_px * scale
    left = (FRAME.width_mm - wide) / 2
    return Picture(Box(left, 0.0, left + wide, high), made.data), ""


def _empty_frame(words: str) -> Iterable[Primitive]:
    width, height = FRAME
    yield rectangle(Box(0.0, 0.0, width, height), "paper", "ink", 0.2)
    cap, room = SMALL_CAP_MM, width - 2 * _INSET_MM
    pitch = cap * 1.7
    rows = wrapped("NO PICTURE", room, Face.BOLD, cap)
    yield Text(rows[0], Point(width / 2, 4.5), cap, Face.BOLD, "middle")
    yield line((Point(_INSET_MM, 6.5), Point(width - _INSET_MM, 6.5)), "ink", 0.15)
    most = int((height - 8.5) / pitch)
    lines = wrapped(words, room, Face.REGULAR, cap)
    for number, row in enumerate(lines[:most]):
        if number == most - 1 and len(lines) > most:
            row = row.rstrip()[:-1] + "…"
        at = Point(_INSET_MM, 9.5 + number * pitch)
        yield Text(row, at, cap, Face.REGULAR, "start")
