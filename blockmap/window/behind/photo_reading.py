"""Reads and decodes photos off the window's thread; only the latest wish counts.

A picture that cannot be shown gives the reason in words in its place.
"""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from blockmap.files.photos import show_photo
from blockmap.files.pictures import small_picture
from blockmap.model.document import Photo
from blockmap.model.errors import StoreFailed
from blockmap.window.guard import report_exception
from blockmap.window.worker import Worker

__all__ = ["Aside", "ReadImage", "read_image"]


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


class Aside(QObject):
    """Works something out in the worker thread and hands it over in the window's."""

    done = Signal(object, object)
    failed = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._worker = Worker(self)
        self.done.connect(self._hand_over)

    def ask(self, work: Callable[[], Any], then: Callable[[Any], None]) -> None:
        """Do work next, in place of what waits, and call then with what it gives."""

        def run() -> None:
            try:
                answer = work()
            except Exception as problem:
                report_exception("a photo", problem)
                answer = None
            with contextlib.suppress(RuntimeError):  # the window is gone already
                self.done.emit(then, answer)

        self._worker.start(run)

    def stop(self) -> None:
        """Wait for the worker; nothing comes after."""
        self.done.disconnect(self._hand_over)
        self._worker.clear()
        self._worker.wait(10_000)

    def _hand_over(self, then: Callable[[Any], None], answer: Any) -> None:
        if answer is None:
            self.failed.emit()
        else:
            then(answer)
