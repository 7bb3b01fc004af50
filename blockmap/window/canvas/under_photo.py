"""The photo that lies under the figure: squared up, to draw over it.

It is read and squared up off the window's thread. A front photo is shown where the
block is seen from the front, a rear photo where it is seen from behind, each turned
with the view; a photo is never shown mirrored, because no block looks like that.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPolygonF, QTransform

from blockmap.model.document import FacePhoto
from blockmap.model.geometry import Point, Size, View
from blockmap.window.theme import dark_now

if TYPE_CHECKING:
    from blockmap.window.canvas.stage import Stage

__all__ = ["UnderPhoto", "side_of", "squared", "squared_photo"]

MOST_PX = 1600
"""Longest side of the squared picture."""
MOST_READ_PX = (2000, 2000)
STRENGTH_LIGHT, STRENGTH_DARK = 0.42, 0.25
"""How much of the photo is seen: ink must stand out from the darkest or brightest."""

_TURNED = (View.TURNED, View.FLIPPED)


def side_of(view: View) -> str:
    """Return the side of the block that a view shows: front or rear."""
    return "rear" if view.mirrored else "front"


class UnderPhoto(QObject):
    """The photo of the block and side that a stage shows, when there is one.

    words say why it cannot be shown; they are empty when it can, or is on its way.
    failed tells them once they are known.
    """

    failed = Signal(str)

    def __init__(self, stage: Stage) -> None:
        super().__init__(stage)
        self._stage = stage
        self._reader: QObject | None = None
        self._wanted: tuple[object, ...] | None = None
        self._of: tuple[object, ...] | None = None
        self.image: QImage | None = None
        self.words = ""
        self._shown = True

    def set_shown(self, shown: bool) -> None:
        """Show the photo under the figure, or leave it out."""
        if shown != self._shown:
            self._shown = shown
            self.follow()

    def follow(self) -> None:
        """Show the photo of what the stage shows now; what is the same is kept."""
        content, path = self._stage.content, self._stage.session.path
        block, side = content.block, side_of(content.view)
        photo = block.photo_of(side) if block is not None and self._shown else None
        wanted = (photo, block.size, path) if block is not None and photo else None
        if wanted == self._wanted:
            return
        self._wanted, self.words = wanted, ""
        of = (block.id, side) if block is not None and photo else None
        if of != self._of:
            self._of = of
            self._put(None)
        if wanted is not None and photo is not None and block is not None:
            self._read(photo, block.size, path, wanted)

    def _read(
        self, photo: FacePhoto, size: Size, path: Path | None, wanted: object
    ) -> None:
        from blockmap.window.behind.photo_reading import PhotoReader

        if self._reader is None:
            self._reader = PhotoReader(self)
        assert isinstance(self._reader, PhotoReader)
        self._reader.ask(
            lambda: squared_photo(photo, size, path),
            lambda found: self._take(wanted, found),
        )

    def _take(self, wanted: object, found: QImage | str) -> None:
        if wanted is not self._wanted:
            return
        self.words = found if isinstance(found, str) else ""
        if self.words:
            self.failed.emit(self.words)
        self._put(None if isinstance(found, str) else found)

    def _put(self, image: QImage | None) -> None:
        if image is not self.image:
            self.image = image
            self._stage.backing.spoil()
            self._stage.viewport().update()

    def draw(self, painter: QPainter) -> None:
        """Draw the photo over the ground; the painter is in view millimetres."""
        content = self._stage.content
        if self.image is None or content.block is None:
            return
        wide, high = content.block.size
        painter.save()
        painter.setOpacity(STRENGTH_DARK if dark_now() else STRENGTH_LIGHT)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if content.view in _TURNED:
            painter.translate(wide, high)
            painter.rotate(180)
        painter.drawImage(QRectF(0.0, 0.0, wide, high), self.image)
        painter.restore()


def squared_photo(photo: FacePhoto, size: Size, path: Path | None) -> QImage | str:
    """Return a photo squared up, or why it cannot be shown; for any thread."""
    from blockmap.window.behind.photo_reading import read_image

    read = read_image(photo, path, MOST_READ_PX)
    if read.image is None or read.image.isNull():
        return read.words
    return squared(read.image, photo.seen_corners, size)


def squared(image: QImage, corners: Sequence[Point], size: Size) -> QImage:
    """Return what lies between four corners of a picture as a rectangle of a size.

    corners are in percent of the picture, clockwise from the top left; lines that are
    straight on the block stay straight, as seen from right before it.
    """
    scale = MOST_PX / max(size)
    wide, high = max(1, round(size[0] * scale)), max(1, round(size[1] * scale))
    across, down = image.width() / 100, image.height() / 100
    there = QPolygonF([QPointF(x * across, y * down) for x, y in corners])
    here = QPolygonF(QRectF(0.0, 0.0, wide, high))
    here.removeLast()  # a closed polygon names its first corner twice
    made = QImage(wide, high, QImage.Format.Format_RGB32)
    made.fill(Qt.GlobalColor.white)
    way = QTransform()
    if QTransform.quadToQuad(there, here, way):
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(way)
        painter.drawImage(QPointF(0.0, 0.0), image)
        painter.end()
    return made
