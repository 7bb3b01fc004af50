"""The photos of one damaged part: small pictures, their notes, and their buttons.

Pictures are read and decoded off the window's thread; only the latest wish is shown. A
picture that cannot be shown leaves a frame with the reason in words.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QSignalBlocker, QSize, Qt
from PySide6.QtGui import QIcon, QPalette, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.files.photos import embedded, new_photo, put_beside
from blockmap.model.document import Map, Photo
from blockmap.model.edits import add_photos, change_photo, note_photo, remove_photo
from blockmap.model.errors import StoreFailed
from blockmap.model.ids import CavityId
from blockmap.model.places import condition_at
from blockmap.window import dialogs
from blockmap.window.behind.photo_reading import PhotoReader, ReadImage, read_image
from blockmap.window.behind.photo_window import PhotoWindow
from blockmap.window.disk_strip import DiskStrip, Steps
from blockmap.window.legend.inline_message import InlineMessage
from blockmap.window.plain_tip import plain_tip
from blockmap.window.session import Session
from blockmap.window.this_day import today

__all__ = ["PhotoRow"]

THUMB_PX = (160, 120)
MOST_AT_ONCE = 20


def _tr(text: str) -> str:
    return QCoreApplication.translate("behind", text)


def photos_at(document: Map, cavity: CavityId, where: str) -> tuple[Photo, ...]:
    """Return the photos of a part of a cavity; none of one that is gone."""
    held = document.cavities.get(cavity)
    condition = condition_at(held, where) if held else None
    return condition.photos if condition else ()


def _untinted(pixmap: QPixmap) -> QIcon:
    """Return an icon that is not washed over with colour when it is chosen."""
    icon = QIcon(pixmap)
    icon.addPixmap(pixmap, QIcon.Mode.Selected)
    return icon


class PhotoRow(QWidget):
    """Shows and edits the photos of one part of one cavity."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._cavity: CavityId = ""
        self._where = ""
        self._shown: tuple[object, ...] = ()
        self._busy = False
        self._thumbs = PhotoReader(self)
        self.disk = DiskStrip()
        self.large: PhotoWindow | None = None
        self._make_list()
        self._make_controls()
        self.message = InlineMessage()
        self.words = QLabel()
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(4)
        column.addLayout(self._buttons)
        column.addWidget(self.disk)
        column.addWidget(self.message)
        column.addWidget(self.list)
        column.addLayout(self._row)
        column.addWidget(self.words)
        session.path_changed.connect(self._path_changed)

    def _make_list(self) -> None:
        self.list = QListWidget()
        self.list.setViewMode(QListWidget.ViewMode.IconMode)
        self.list.setFlow(QListWidget.Flow.LeftToRight)
        self.list.setWrapping(False)
        self.list.setMovement(QListWidget.Movement.Static)
        self.list.setIconSize(QSize(96, 72))
        self.list.setGridSize(QSize(112, 72 + 2 * self.fontMetrics().height()))
        self.list.setFixedHeight(72 + 3 * self.fontMetrics().height() + 12)
        self.list.setAccessibleName(_tr("Photos"))
        self.list.itemClicked.connect(lambda _item: self.show_large())
        self.list.itemActivated.connect(lambda _item: self.show_large())
        self.list.currentRowChanged.connect(lambda _row: self._show_current())

    def _make_controls(self) -> None:
        self.add_button = QPushButton(_tr("Add photo…"))
        self.add_button.clicked.connect(self._ask)
        self.remove_button = QPushButton(_tr("Remove photo"))
        self.remove_button.clicked.connect(self.remove)
        self.embed = QCheckBox(_tr("Embed in the map"))
        self.embed.clicked.connect(self._embed)
        self.note = QLineEdit()
        self.note.setPlaceholderText(_tr("what the photo shows"))
        self.note.setAccessibleName(_tr("Note of the photo"))
        self.note.editingFinished.connect(self.commit)
        self._buttons = QHBoxLayout()
        self._buttons.addWidget(self.add_button)
        self._buttons.addWidget(self.remove_button)
        self._buttons.addStretch(1)
        self._row = QHBoxLayout()
        self._row.addWidget(self.note, 1)
        self._row.addWidget(self.embed)

    # what is shown

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos of the part that is shown."""
        return photos_at(self._session.document, self._cavity, self._where)

    def show_place(self, cavity: CavityId, where: str) -> None:
        """Show the photos of a part of a cavity as they are now."""
        photos, path = (
            photos_at(self._session.document, cavity, where),
            self._session.path,
        )
        moved = (cavity, where) != (self._cavity, self._where)
        if moved:
            self.commit()
            self.message.clear()
        wanted = (cavity, where, photos, path)
        if wanted == self._shown:
            return
        self._cavity, self._where, self._shown = cavity, where, wanted
        row = 0 if moved else max(0, min(self.list.currentRow(), len(photos) - 1))
        with QSignalBlocker(self.list):
            self.list.clear()
            for number, photo in enumerate(photos, 1):
                self.list.addItem(self._item(number, photo))
            self.list.setCurrentRow(row if photos else -1)
        self._show_current()
        if photos:
            self._thumbs.ask(
                lambda: [read_image(photo, path, THUMB_PX) for photo in photos],
                lambda images: self._show_thumbs(wanted, images),
            )

    def _item(self, number: int, photo: Photo) -> QListWidgetItem:
        text = photo.note or _tr("Photo %1").replace("%1", str(number))
        item = QListWidgetItem(self._frame(), text)
        item.setData(Qt.ItemDataRole.AccessibleTextRole, text)
        item.setToolTip(plain_tip(text))
        return item

    def _frame(self) -> QIcon:
        pixmap = QPixmap(96, 72)
        pixmap.fill(self.palette().color(QPalette.ColorRole.Mid))
        return _untinted(pixmap)

    def _show_thumbs(self, wanted: object, images: list[ReadImage]) -> None:
        if wanted is not self._shown:
            return
        problems = []
        for number, read in enumerate(images):
            item = self.list.item(number)
            if read.image is not None and not read.image.isNull():
                item.setIcon(_untinted(QPixmap.fromImage(read.image)))
                continue
            problems.append(read.words)
            item.setText(_tr("No picture"))
            item.setToolTip(plain_tip(read.words))
            said = f"{_tr('No picture')}: {read.words}"
            item.setData(Qt.ItemDataRole.AccessibleTextRole, said)
        if problems:
            self.message.say("\n".join(dict.fromkeys(problems)))

    def _show_current(self) -> None:
        photos, row = self.photos, self.list.currentRow()
        photo = photos[row] if 0 <= row < len(photos) else None
        for widget in (self.list, self.note, self.embed, self.remove_button):
            widget.setVisible(photo is not None)
        placeless = self._session.path is None
        self.words.setText(self._place_words(photo) if photo else "")
        self.words.setVisible(photo is not None)
        if photo is None:
            return
        if not (self.note.hasFocus() and self.note.isModified()):
            self.note.setText(photo.note)
        with QSignalBlocker(self.embed):
            self.embed.setChecked(photo.embedded)
        self.embed.setEnabled(not self._busy and not (placeless and photo.embedded))

    def _place_words(self, photo: Photo) -> str:
        if not photo.embedded:
            return _tr("File %1 in the photo folder beside the map").replace(
                "%1", photo.file
            )
        size = f"{len(photo.data) * 3 / 4 / 2**20:.1f}"
        if self._session.path is None:
            return _tr(
                "The picture stands in the map itself (%1 MB), because the map has no "
                "file yet; after saving, it can be put beside the map."
            ).replace("%1", size)
        return _tr("The picture stands in the map itself (%1 MB).").replace("%1", size)

    def _path_changed(self) -> None:
        if self._cavity:
            self.show_place(self._cavity, self._where)

    def show_large(self) -> None:
        """Show the chosen photo large, in a window beside."""
        photos, row = self.photos, self.list.currentRow()
        if not 0 <= row < len(photos):
            return
        if self.large is None:
            self.large = PhotoWindow(self)
        photo, path = photos[row], self._session.path
        title = self._title(_tr("Photo of %1"))
        self.large.show_words(title, photo.note, _tr("The picture is being read…"))
        large = self.large
        large.ask(lambda most_px: read_image(photo, path, most_px))
        large.show()
        large.raise_()

    # edits

    def _title(self, text: str) -> str:
        cavity = self._session.document.cavities.get(self._cavity)
        name = cavity.designation if cavity else ""
        return text.replace("%1", f"{name} {self._where}".strip())

    def _ask(self) -> None:
        path = self._session.path
        self.add(dialogs.ask_pictures(self, str(path.parent) if path else ""))

    def add(self, files: list[Path]) -> None:
        """Take pictures into the map; each that is refused is told with its reason."""
        if not files or not self._cavity or self._busy:
            return
        path, place = self._session.path, (self._cavity, self._where)
        chosen, left = files[:MOST_AT_ONCE], len(files) - MOST_AT_ONCE

        def work(disk: StoppableDisk) -> tuple[list[Photo], list[str]]:
            photos, problems = [], []
            for file in chosen:
                try:
                    photos.append(new_photo(file, path, date=today(), disk=disk))
                except StoreFailed as problem:
                    problems.append(str(problem))
            return photos, problems

        def take(found: tuple[list[Photo], list[str]]) -> None:
            photos, problems = found
            if left > 0:
                said = _tr("Only the first %1 were taken; add the others after.")
                problems.append(said.replace("%1", str(MOST_AT_ONCE)))
            if path != self._session.path:
                self.message.say(_tr("The map was changed meanwhile; add again."))
                return
            self._tell(problems)
            if photos and place[0] in self._session.document.cavities:
                title = self._title(_tr("Add photo to %1"))
                self._edit(title, add_photos, *place, tuple(photos))

        self._do(_tr("Copying photos"), work, take)

    def _do(
        self,
        words: str,
        work: Callable[[StoppableDisk], Any],
        take: Callable[[Any], None],
    ) -> None:
        """Do what needs the disk, one thing at a time, and take what came of it."""

        def steps(disk: StoppableDisk) -> Steps:
            try:
                found = yield partial(work, disk)
            except Stopped:
                self._set_busy(False)
                self._tell([_tr("Cancelled; the map is as it was")])
                return False
            except Exception:
                self._set_busy(False)
                said = _tr("This failed inside the program; the map is as it was")
                self._tell([said])
                raise
            self._set_busy(False)
            take(found)
            return True

        self._set_busy(True)
        self.disk.run(words, steps)

    def _set_busy(self, busy: bool) -> None:
        self._busy = busy
        self.add_button.setEnabled(not busy)
        self._show_current()

    def _tell(self, problems: list[str]) -> None:
        self.message.say("\n".join(problems))

    def _edit(self, title: str, function: Callable[..., Any], *args: Any) -> None:
        refusals: list[str] = []
        self._session.refused.connect(refusals.append)
        self._session.edit(title, function, *args)
        self._session.refused.disconnect(refusals.append)
        if refusals:
            self._tell(refusals)
            self._show_current()

    def _embed(self, wanted: bool) -> None:
        photos, row, path = self.photos, self.list.currentRow(), self._session.path
        if not 0 <= row < len(photos) or self._busy:
            return
        photo, place = photos[row], (self._cavity, self._where)

        def work(disk: StoppableDisk) -> Photo | str:
            try:
                if wanted:
                    return embedded(photo, path)
                if path is None:
                    return photo
                return put_beside(photo, path, disk=disk)
            except StoreFailed as problem:
                return str(problem)

        def take(made: Photo | str) -> None:
            now = photos_at(self._session.document, *place)
            if isinstance(made, str):
                self._tell([made])
            elif row < len(now) and now[row] == photo and path == self._session.path:
                title = _tr("Embed photo of %1") if wanted else _tr("Move photo of %1")
                self._edit(self._title(title), change_photo, *place, row, made)

        words = _tr("Embedding a photo") if wanted else _tr("Copying photos")
        self._do(words, work, take)

    def commit(self) -> None:
        """Write the note that is typed and not committed yet."""
        photos, row = self.photos, self.list.currentRow()
        if not self.note.isModified() or not 0 <= row < len(photos):
            return
        self.note.setModified(False)
        title = self._title(_tr("Note photo of %1"))
        self._edit(title, note_photo, self._cavity, self._where, row, self.note.text())

    def remove(self) -> None:
        """Take the chosen photo from the map; its file stays until it is not used."""
        row = self.list.currentRow()
        if 0 <= row < len(self.photos):
            title = self._title(_tr("Remove photo of %1"))
            self._edit(title, remove_photo, self._cavity, self._where, row, today())

    def stop(self) -> None:
        """Let what is being read or copied be: nothing comes after."""
        self._thumbs.stop()
        self.disk.stop()
        if self.large is not None:
            self.large.stop()
