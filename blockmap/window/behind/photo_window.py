"""One photo, large, in a window beside the map that stops nobody from working on.

It shows what it is given; it reads no file of its own accord and edits nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QImage, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from blockmap.window.aside import Aside
from blockmap.window.guard import guarded
from blockmap.window.window_place import fit_on_screen

if TYPE_CHECKING:
    from blockmap.window.behind.photo_reading import ReadImage

__all__ = ["PhotoWindow"]

MOST_PX = (2000, 2000)


class _Picture(QWidget):
    """An image as large as there is room, its shape kept; or words."""

    def __init__(self) -> None:
        super().__init__()
        self.image = QImage()
        self.words = ""
        expanding = QSizePolicy.Policy.Expanding
        self.setSizePolicy(expanding, expanding)

    def show_image(self, image: QImage | None, words: str) -> None:
        """Show an image, or words when there is none."""
        self.image, self.words = image or QImage(), words
        self.setAccessibleDescription(words)
        self.update()

    @guarded(lambda: QSize(320, 240))
    def minimumSizeHint(self) -> QSize:
        return QSize(320, 240)

    @guarded()
    def paintEvent(self, event: QPaintEvent) -> None:
        del event
        painter = QPainter(self)
        if self.image.isNull():
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(20, 20, -20, -20), flags, self.words)
        else:
            keep = Qt.AspectRatioMode.KeepAspectRatio
            size = self.image.size().scaled(self.size(), keep)
            place = QRect(0, 0, size.width(), size.height())
            place.moveCenter(self.rect().center())
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(place, self.image)
        painter.end()


class PhotoWindow(QWidget):
    """The large picture and its note; the latest photo asked for is shown."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._aside = Aside(self._take, self)
        self._asked: object = None
        self.picture = _Picture()
        self.note = QLabel()
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        column = QVBoxLayout(self)
        column.addWidget(self.picture, 1)
        column.addWidget(self.note)
        fit_on_screen(self, QSize(800, 640))

    def show_words(self, title: str, note: str, waiting: str) -> None:
        """Say what is shown, and what stands until the picture is there."""
        self.setWindowTitle(title)
        self.picture.setAccessibleName(f"{title}: {note}" if note else title)
        self.note.setText(note)
        self.note.setVisible(bool(note))
        self.picture.show_image(None, waiting)

    def ask(self, work: Callable[[tuple[int, int]], ReadImage]) -> None:
        """Show what work reads, off the window's thread."""
        self._asked = work
        self._aside.start_next(lambda: (work, work(MOST_PX)))

    def _take(self, read: tuple[object, ReadImage]) -> None:
        work, answer = read
        if work is self._asked:
            self.picture.show_image(answer.image, answer.words)

    def stop(self) -> None:
        """Let what is being read be, and close."""
        self._asked = None
        self._aside.leave()
        self.close()

    @guarded()
    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        else:
            super().keyPressEvent(event)
