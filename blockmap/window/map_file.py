"""The file behind a session: saving it, and what must be saved before it is closed.

The window never writes a map except through here, and here never without asking where
something could be lost. Nothing waits for a disk in the window's thread: what is saved
is the map as it was when saving began, and only that counts as saved.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QWidget

from blockmap.files.disk import StoppableDisk, Stopped
from blockmap.files.exchange import Saved, Theirs, save_copy, save_map, sweep_unused
from blockmap.files.photos import carry_photos, loose_photos
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError
from blockmap.window import dialogs
from blockmap.window.aside import Call
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
from blockmap.window.disk_strip import DiskJob, DiskStrip, Steps
from blockmap.window.map_opening import FILE, MapOpening
from blockmap.window.map_words import difference_words, shown_name
from blockmap.window.session import Session
from blockmap.window.settings import Settings

__all__ = ["MapFile"]


class MapFile(MapOpening):
    """Opens, saves and watches the file of one session."""

    def __init__(
        self, session: Session, settings: Settings, disk: DiskStrip, window: QWidget
    ) -> None:
        super().__init__(session, settings, disk, window)
        self._next_save: DiskJob | None = None
        self._writing: Map | None = None

    def save(self) -> DiskJob:
        """Save where the map came from, or ask where when it has no file.

        While it is being saved already, what was changed since is saved after that.
        """
        self.saving.emit()
        last, waiting = self._last, self._next_save
        if waiting is not None and waiting.running:
            return waiting
        after = last if last is not None and last.running else None
        if after is not None and self._writing is self._session.document:
            return after
        job = self._do(
            self.tr("Saving “%1”"), partial(self._saving, after), writes=True
        )
        self._next_save = job if after is not None else None
        return job

    def save_as(self) -> DiskJob:
        """Ask where to save, and go on with that file."""
        self.saving.emit()
        return self._do(self.tr("Saving “%1”"), self._saving_as, writes=True)

    def _saving(self, after: DiskJob | None, disk: StoppableDisk) -> Steps:
        if after is not None:
            self._next_save = None
            if after.writes and not after.result:
                return False  # the same was cancelled or refused a moment ago
        path = self._session.path
        if path is None:
            return (yield from self._saving_as(disk))
        found = yield from self._written(path, disk, self._fingerprint)
        if isinstance(found, Saved) and found.theirs is not None:
            self._change_hold(found.hold)
            choice = self._settle(path, found.theirs)
            if choice is DiskChoice.SAVE_BESIDE:
                return (yield from self._saving_as(disk))
            if choice is not DiskChoice.KEEP_MINE:
                return False
            found = yield from self._written(path, disk, None)
        held = (
            self.tr("The map is open in another window"),
            self.tr("Save it there, or save what stands here under another name."),
        )
        return (yield from self._concluded(found, held, disk))

    def _saving_as(self, disk: StoppableDisk) -> Steps:
        path = self._ask_where(self.tr("Save map as"))
        if path is None:
            return False
        found = yield from self._written(path, disk, None)
        held = (
            self.tr("“%1” is open in another window").replace("%1", path.name),
            self.tr("Nothing was saved. Choose another name."),
        )
        return (yield from self._concluded(found, held, disk))

    def _concluded(
        self, found: Saved | BlockmapError, held: tuple[str, str], disk: StoppableDisk
    ) -> Steps:
        """Say why nothing was saved; save under another name when wished."""
        if isinstance(found, Saved) and found.hold is not None:
            return True
        why = held if isinstance(found, Saved) else (self._not_saved(), str(found))
        if not dialogs.ask_elsewhere(self._window, *why):
            return False
        return (yield from self._saving_as(disk))

    def _not_saved(self) -> str:
        return self.tr("The map was not saved; the file is as it was")

    def _written(
        self, path: Path, disk: StoppableDisk, unless_changed: str | None
    ) -> Generator[Any, Any, Saved | BlockmapError]:
        """Write the map as it is now; what was changed meanwhile stays unsaved."""
        document = self._session.document
        writing = partial(
            save_map,
            path,
            document,
            self._folders(),
            self._hold,
            disk,
            unless_changed=unless_changed,
            device=self._device,
            earlier=self._called_off,
        )
        self._writing = document
        try:
            found: Saved = yield Call(writing, self._undo_hold)
        except BlockmapError as problem:
            return problem
        except Stopped:
            self._tell_called_off(path, document, disk.placed)
            raise
        finally:
            self._writing = None
        if found.digest:
            yield from self._adopt(path, document, found, disk)
        return found

    def _tell_called_off(self, path: Path, document: Map, placed: bool) -> None:
        if placed:
            if path == self._session.path:
                self._called_off += (document,)
            words = self.tr(
                "Saving “%1” was cancelled while it was put in place: once the disk "
                "answers, the file holds the version before or this one, whole. What "
                "you changed is still here; save it again."
            )
        else:
            words = self.tr(
                "Saving “%1” was cancelled: the file is as it was, and what you "
                "changed is still here, not saved."
            )
        self.warned.emit(FILE, words.replace("%1", shown_name(path, "")))

    def _adopt(
        self, path: Path, document: Map, found: Saved, disk: StoppableDisk
    ) -> Generator[Any, Any, None]:
        """Go on with a file that holds this map now."""
        notes, source = found.notes, self._session.path
        stopped = False
        if source is not None and source != path:
            try:
                notes += yield partial(carry_photos, document, source, path, disk=disk)
            except Stopped:
                stopped = True
                notes += (self.tr("The photos were not all copied along"),)
        self._device = found.device
        self._know(found.digest)
        self._session.set_path(path)
        self._change_hold(found.hold)
        self._session.mark_saved(document)
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        self.message.emit(self.tr("Saved %1").replace("%1", path.name))
        if notes:
            self.noted.emit("; ".join(notes))
        if not stopped:
            yield from self._sweep(path)

    def _sweep(self, path: Path) -> Generator[Any, Any, None]:
        """Remove copies of photos that neither undo nor unsaved work can bring back."""
        try:
            if (yield partial(loose_photos, path)):
                maps = tuple(self._session.maps())
                yield partial(sweep_unused, path, maps, self._folders())
        except Stopped:
            return  # it is saved, and they are swept another time

    def _settle(self, path: Path, theirs: Theirs) -> DiskChoice:
        """Ask about a changed or missing file; take what it holds when wished."""
        if theirs.gone:
            return dialogs.ask_gone(self._window, path.name, theirs.disk_gone)
        if theirs.read is not None:
            words = difference_words(self._session.document, theirs.read.document)
        else:
            said = self.tr("The file cannot be read now: %1")
            words = said.replace("%1", str(theirs.problem))
        choice = dialogs.ask_changed_on_disk(self._window, path.name, words)
        if choice is DiskChoice.TAKE_THEIRS:
            self._take_theirs(theirs)
        return choice

    def save_copy(self) -> DiskJob:
        """Ask where to save a copy, and go on with the present file."""
        self.saving.emit()
        return self._do(self.tr("Saving a copy of “%1”"), self._copying, writes=True)

    def _copying(self, disk: StoppableDisk) -> Steps:
        path = self._ask_where(self.tr("Save a copy"))
        if path is None:
            return False
        document, source = self._session.document, self._session.path
        copying = partial(save_copy, path, document, source, self._folders(), disk)
        try:
            notes = yield copying
        except BlockmapError as problem:
            return self._tell(self._not_saved(), problem)
        if notes is None:
            what = self.tr("“%1” is open in a window").replace("%1", path.name)
            why = self.tr("Nothing was saved. Choose another name for the copy.")
            return self._tell(what, why)
        self.message.emit(self.tr("Saved a copy: %1").replace("%1", path.name))
        if notes:
            self.noted.emit("; ".join(notes))
        return True

    def _ask_where(self, title: str) -> Path | None:
        wished = self._session.path or Path(self._settings.last_folder()) / (
            (self._session.document.car.name or self.tr("map")).replace("/", "-")
            + dialogs.MAP_ENDING
        )
        return dialogs.ask_save_file(
            self._window, title, str(wished), self.tr("Maps (*.blockmap.yaml)")
        )

    def may_close(
        self,
        then: Callable[[], object],
        leave: Callable[[], object] | None = None,
    ) -> bool:
        """Ask once about unsaved changes; tell whether the window may close now.

        What has to be written first is waited for, and then is called; leave, if
        given, is called when that takes too long for the person.
        """
        self.saving.emit()
        if self._disk.hold_closing(then, leave):
            return False
        if self._session.saved:
            return True
        choice = dialogs.ask_unsaved(self._window, self.name)
        if choice is not UnsavedChoice.SAVE:
            return choice is UnsavedChoice.DISCARD
        job = self.save()
        return job.result if job.done else not self._disk.hold_closing(then, leave)
