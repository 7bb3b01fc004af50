"""Reads and decodes photos off the window's thread; only the latest wish counts.

A picture that cannot be shown gives the reason in words in its place.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from blockmap.files.photos import show_photo
from blockmap.files.pictures import small_picture
from blockmap.model.document import Photo
from blockmap.model.errors import StoreFailed
from blockmap.window.aside import Aside

__all__ = ["PhotoReader", "ReadImage", "read_image"]


@dataclasses.dataclass(frozen=True, slots=True)
class ReadImage:
    """A decoded picture, or None and the words in its place."""

    image: QImage | None
    words: str = ""


def read_image(photo: Photo, path: Path | None, most_px: tuple[int, int]) -> ReadImage:
    """Return a photo decoded to fit in a size; it may run in any thread."""
    shown = show_photo(photo, path)
    if shown.data is None:
        return ReadImage(None, shown.words)
    try:
        made = small_picture(shown.data, most_px, "photo")
    except StoreFailed as problem:
        return ReadImage(None, str(problem))
    return ReadImage(QImage.fromData(made.data))


class PhotoReader(QObject):
    """Works something out aside and hands it to whoever asked last."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._aside = Aside(self._hand_over, self)

    def ask(self, work: Callable[[], Any], then: Callable[[Any], None]) -> None:
        """Do work next, in place of what waits, and call then with what it gives."""
        self._aside.start_next(lambda: (then, work()))

    def stop(self) -> None:
        """Let it be: nothing comes after."""
        self._aside.leave()

    def _hand_over(self, answered: tuple[Callable[[Any], None], Any]) -> None:
        then, answer = answered
        then(answer)
