"""The window of the photo that is drawn over: which picture, and where the block lies.

Four corners are put on the corners of the block in the picture; the figure then shows
it squared up and to scale. Each corner that is put down is one step to undo.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.files.photos import embedded, new_photo, put_beside
from blockmap.model.changes import Change
from blockmap.model.document import FacePhoto, Photo
from blockmap.model.edits import remove_face_photo, set_face_photo
from blockmap.model.errors import StoreFailed
from blockmap.model.geometry import Point
from blockmap.window import dialogs
from blockmap.window.behind.photo_reading import PhotoReader, ReadImage, read_image
from blockmap.window.canvas.corners import CornerPicture
from blockmap.window.canvas.under_photo import MOST_READ_PX, side_of
from blockmap.window.disk_strip import DiskStrip, Steps
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.selection import Selection
from blockmap.window.session import Session
from blockmap.window.side_dialog import SideDialog
from blockmap.window.this_day import today
from blockmap.window.window_place import fit_on_screen

__all__ = ["TracingWindow"]

SIDES = ("front", "rear")


def _tr(text: str) -> str:
    return QCoreApplication.translate("tracing", text)


class TracingWindow(SideDialog):
    """Shows and edits the photo of the front or the rear of the shown block."""

    def __init__(
        self, session: Session, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._selection = session, selection
        self._shown: tuple[object, ...] | None = ()
        self._busy = False
        self._reader = PhotoReader(self)
        self.disk = DiskStrip()
        self.message = InlineMessage()
        self.picture = CornerPicture()
        self.picture.moved.connect(self._corners_moved)
        self._make_rows()
        session.changed.connect(self._document_changed)
        session.path_changed.connect(self.refresh)
        selection.block_changed.connect(self.refresh)
        fit_on_screen(self, QSize(860, 700))

    def _make_rows(self) -> None:
        self.side = QComboBox()
        for side, words in zip(SIDES, (_tr("Front"), _tr("Rear")), strict=True):
            self.side.addItem(words, side)
        self.side.currentIndexChanged.connect(lambda _row: self.refresh())
        label = QLabel(_tr("&Side of the block"))
        label.setBuddy(self.side)
        self.choose = QPushButton(_tr("Choose &picture…"))
        self.choose.clicked.connect(self._ask)
        self.remove = QPushButton(_tr("&Remove picture"))
        self.remove.clicked.connect(self._remove)
        self.embed = QCheckBox(_tr("&Embed in the map"))
        self.embed.clicked.connect(self._embed)
        self.hint = QLabel()
        self.hint.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setWordWrap(True)
        close = QPushButton(_tr("&Close"))
        close.clicked.connect(self.close)
        for button in (self.choose, self.remove, close):
            button.setAutoDefault(False)  # Enter presses none, so none looks as if
        top, below = QHBoxLayout(), QHBoxLayout()
        for widget in (label, self.side, self.choose, self.remove, self.embed):
            top.addWidget(widget)
        top.addStretch(1)
        below.addWidget(self.hint, 1)
        below.addWidget(close, 0, Qt.AlignmentFlag.AlignBottom)
        column = QVBoxLayout(self)
        column.addLayout(top)
        column.addWidget(self.disk)
        column.addWidget(self.message)
        column.addWidget(self.picture, 1)
        column.addLayout(below)

    # what is shown

    def show_for_view(self) -> None:
        """Come forward with the side that the figure shows."""
        side = side_of(self._selection.view)
        self.side.setCurrentIndex(SIDES.index(side))
        self.refresh()
        self.show()
        self.raise_()
        (self.picture if self.photo else self.choose).setFocus()

    @property
    def photo(self) -> FacePhoto | None:
        """The photo of the side that is chosen, None when there is none."""
        block = self._session.document.blocks.get(self._selection.block or "")
        return block.photo_of(str(self.side.currentData())) if block else None

    def refresh(self) -> None:
        """Show what the map has now."""
        block = self._session.document.blocks.get(self._selection.block or "")
        title = _tr("Photo to draw over: %1")
        self.setWindowTitle(title.replace("%1", block.name if block else ""))
        photo, path = self.photo, self._session.path
        self.choose.setEnabled(block is not None and not self._busy)
        self.remove.setEnabled(photo is not None)
        self.embed.setVisible(photo is not None)
        self.embed.setChecked(photo is not None and photo.embedded)
        self.embed.setEnabled(path is not None and not self._busy)
        self.hint.setText(
            _corner_hint()
            if photo
            else _tr(
                "Take the photo from far off and straight on. It lies faintly under "
                "the figure, squared up and to scale, and is never printed."
            )
        )
        if photo is not None:
            self.picture.set_corners(photo.seen_corners)
        wanted = (photo.file, photo.data, photo.sha256, path) if photo else None
        if wanted == self._shown:
            return
        self._shown = wanted
        if photo is None:
            self.picture.show_image(None, _tr("No picture of this side yet"))
            return
        self.picture.show_image(None, _tr("The picture is being read…"))
        self._reader.ask(
            lambda: read_image(photo, path, MOST_READ_PX),
            lambda read: self._take(wanted, read),
        )

    def _take(self, wanted: object, read: ReadImage) -> None:
        if wanted is self._shown:
            self.picture.show_image(read.image or QImage(), read.words)

    def _document_changed(self, change: Change) -> None:
        if change.blocks:
            self.refresh()

    # edits

    def _corners_moved(self, corners: tuple[Point, ...], gesture: object) -> None:
        photo = self.photo
        if photo is not None:
            new = dataclasses.replace(photo, corners=corners)
            self._edit(_tr("Place photo of the %1"), set_face_photo, new, gesture)
            self.refresh()

    def _remove(self) -> None:
        side = str(self.side.currentData())
        self._edit(_tr("Remove photo of the %1"), remove_face_photo, side)

    def _edit(
        self,
        title: str,
        function: Callable[..., object],
        what: object,
        gesture: object | None = None,
    ) -> None:
        block = self._selection.block
        if block is None:
            return
        title = title.replace("%1", self.side.currentText().lower())
        said = self._session.carry_out(title, function, block, what, gesture=gesture)
        self.message.say(said or "")

    def _ask(self) -> None:
        path = self._session.path
        chosen = dialogs.ask_pictures(self, str(path.parent) if path else "")
        if chosen:
            self.add(chosen[0])

    def add(self, file: Path) -> None:
        """Take a picture of the chosen side; one that is refused is told why."""
        path, side = self._session.path, str(self.side.currentData())

        def take(found: Photo) -> None:
            known = {f.name: getattr(found, f.name) for f in dataclasses.fields(found)}
            made = FacePhoto(**known, side=side)
            self._edit(_tr("Add photo of the %1"), set_face_photo, made)
            self.picture.setFocus()

        def work(disk: StoppableDisk) -> Photo:
            return new_photo(file, path, date=today(), disk=disk)

        self._fetch(_tr("Copying the picture"), work, take)

    def _embed(self, wanted: bool) -> None:
        """Put the picture into the map, or into the folder beside it."""
        photo, path = self.photo, self._session.path
        if photo is None or path is None:
            return
        title = _tr("Embed photo of the %1") if wanted else _tr("Move photo of the %1")

        def work(disk: StoppableDisk) -> Photo:
            return (
                embedded(photo, path) if wanted else put_beside(photo, path, disk=disk)
            )

        def take(found: Photo) -> None:
            if self.photo == photo:
                self._edit(title, set_face_photo, found)

        self._fetch(_tr("Copying the picture"), work, take)

    def _fetch(
        self,
        words: str,
        work: Callable[[StoppableDisk], Photo],
        take: Callable[[Photo], None],
    ) -> None:
        """Get a photo from the disk, one at a time; why there is none is told."""
        block, path = self._selection.block, self._session.path
        if block is None or self._busy:
            return

        def told(disk: StoppableDisk) -> Photo | str:
            try:
                return work(disk)
            except StoreFailed as problem:
                return str(problem)

        def steps(disk: StoppableDisk) -> Steps:
            try:
                found = yield partial(told, disk)
            except Stopped:
                found = _tr("Cancelled; the map is as it was")
            finally:
                self._set_busy(False)
            if not isinstance(found, str):
                if (self._selection.block, self._session.path) == (block, path):
                    take(found)
                    return True
                found = _tr("The map was changed meanwhile; choose again.")
            self.message.say(found)
            self.refresh()
            return False

        self._set_busy(True)
        self.disk.run(words, steps)

    def _set_busy(self, busy: bool) -> None:
        self._busy = busy
        self.choose.setEnabled(not busy)
        self.embed.setEnabled(not busy and self._session.path is not None)

    def stop(self) -> None:
        """Let what is being read or copied be: nothing comes after."""
        self._reader.stop()
        self.disk.stop()


def _corner_hint() -> str:
    return _tr(
        "Drag each numbered corner onto that corner of the block: 1 is its top left, "
        "then clockwise. Keys 1 to 4 choose a corner, arrows move it, with Shift "
        "further."
    )
