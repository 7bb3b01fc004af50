"""The file behind a session, as far as it is read: open, revert, look at changes.

Everything waits for the disk in other threads, one thing after the other, and what
comes back is taken only where it still fits. Saving is in map_file.py.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from blockmap.files.disk import DISK, StoppableDisk
from blockmap.files.exchange import (
    Folders,
    Theirs,
    let_go_of,
    open_map,
    read_kept,
    read_theirs,
)
from blockmap.files.holding import Hold
from blockmap.files.recovery import Kept
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.window import dialogs
from blockmap.window.aside import MOMENT_S, Aside, Call
from blockmap.window.disk_strip import DiskJob, DiskStrip, Steps
from blockmap.window.map_words import shown_name
from blockmap.window.session import Session
from blockmap.window.settings import Settings

__all__ = ["FILE", "MapOpening"]

FILE = "file"
"""What a warning about the file of a map is about."""


class MapOpening(QObject):
    """Opens, saves and watches the file of one session.

    Each command returns the disk job it became; wait() for its result. They are done
    one after the other.

    opened follows a load; saving comes before the map is written or asked about, so
    that what is typed and not entered yet can be taken; message carries a passing
    sentence; noted one that stays until it is closed; warned one about something, ""
    once that is put right; kept_found unsaved work of an earlier run on the file just
    opened, and what became of that file; taken such work once it is open; elsewhere a
    file that another window of this program has open.
    """

    opened = Signal()
    saving = Signal()
    message = Signal(str)
    noted = Signal(str)
    warned = Signal(str, str)
    kept_found = Signal(object, str)
    taken = Signal(object)
    elsewhere = Signal(object)

    def __init__(
        self, session: Session, settings: Settings, disk: DiskStrip, window: QWidget
    ) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window
        self._disk = disk
        self._fingerprint: str | None = None
        self._device: int | None = None
        self._hold: Hold | None = None
        self._last: DiskJob | None = None
        self._called_off: tuple[Map, ...] = ()
        self._looking = Aside(self._looked, self)

    @property
    def name(self) -> str:
        """The name for titles and questions."""
        return shown_name(self._session.path, self.tr("Untitled map"))

    @property
    def fingerprint(self) -> str | None:
        """What the file hashed to when it was last read or written here."""
        return self._fingerprint

    @property
    def busy(self) -> bool:
        """True while a command of this map is being done."""
        return self._last is not None and self._last.running

    def start(self, document: Map) -> None:
        """Begin with a map that has no file yet."""
        self.let_go()
        self._install(document, None, None)

    def let_go(self) -> None:
        """Let other windows have the file: it is closed here."""
        self._change_hold(None)
        self._looking.leave()

    def _change_hold(self, hold: Hold | None) -> None:
        before, self._hold = self._hold, hold
        if before is not None and before is not hold:
            Call(before.let_go).start().wait(MOMENT_S)

    def _install(
        self,
        document: Map,
        path: Path | None,
        digest: str | None,
        device: int | None = None,
    ) -> None:
        self._device = device
        self._know(digest)
        self._session.replace(document, path)
        self.opened.emit()

    def _know(self, digest: str | None) -> None:
        """Note what the file is now; what was said against it holds no more."""
        self._fingerprint, self._called_off = digest, ()
        self.warned.emit(FILE, "")

    def _folders(self) -> Folders:
        return Folders(self._settings.state_folder)

    def _do(
        self,
        words: str,
        steps: Callable[[StoppableDisk], Steps],
        *,
        writes: bool = False,
        within_s: float = MOMENT_S,
    ) -> DiskJob:
        """Do this once what was asked for before is done."""
        earlier = self._last

        def in_turn(disk: StoppableDisk) -> Steps:
            if earlier is not None and earlier.running:
                yield earlier
            return (yield from steps(disk))

        words = words.replace("%1", self.name)
        job = self._disk.run(words, in_turn, writes=writes, within_s=within_s)
        self._last = job
        return job

    def _tell(self, text: str, problem: BlockmapError | str) -> bool:
        dialogs.tell(self._window, text, str(problem))
        return False

    # opening

    def open(self, path: Path, *, within_s: float = 0.0) -> DiskJob:
        """Read a map from a file; a refusal is shown in full and changes nothing.

        The disk is waited for so many seconds at once only in a window that nobody sees
        yet: what a new map brings holds it for a while.
        """
        words = self.tr("Opening “%1”").replace("%1", shown_name(path, ""))
        return self._do(words, partial(self._opening, path), within_s=within_s)

    def _opening(self, path: Path, disk: StoppableDisk) -> Steps:
        before, again = self._session.document, path == self._session.path
        reading = partial(
            open_map, path, self._folders(), self._hold, disk, again=again
        )
        try:
            found = yield Call(reading, self._undo_hold)
        except DocumentRefused as refused:
            return self._tell_refused(path, refused)
        except BlockmapError as problem:
            return self._tell(self.tr("The map was not opened"), problem)
        if found.elsewhere or self._session.document is not before:
            if found.hold is not self._hold:
                let_go_of(found)
            self.elsewhere.emit(path)
            return False
        if found.shipped:
            self.start(found.read.document)
            return True
        self._change_hold(found.hold)
        self._install(found.read.document, path, found.digest, found.device)
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        if found.read.notes:
            self.noted.emit("; ".join(found.read.notes))
        if found.hold is None:
            self._note_held()
        elif found.refused:
            words = self.tr("What is changed here cannot be saved in its place. %1")
            self.noted.emit(words.replace("%1", found.refused))
        if found.kept is not None:
            self.kept_found.emit(found.kept, found.file_now)
        return True

    def _undo_hold(self, found: Any) -> None:
        """Let go of a hold that came too late to be taken; called in any thread."""
        hold = found[2] if isinstance(found, tuple) else found.hold
        if hold is not None and hold is not self._hold:
            hold.let_go()

    def _tell_refused(self, path: Path, refused: DocumentRefused) -> bool:
        count = len(refused.problems)
        lines = [problem.sentence() for problem in refused.problems[:30]]
        if count > 30:
            lines.append(self.tr("and %n more", "", count - 30))
        what = self.tr("“%1” is not a usable map").replace("%1", shown_name(path, ""))
        return self._tell(what, "\n\n".join(lines))

    def take_kept(self, kept: Kept) -> DiskJob:
        """Go on with unsaved work of an earlier run; its file is not touched."""
        words = self.tr("Opening unsaved work")
        return self._do(words, partial(self._taking, kept), within_s=0.0)

    def _taking(self, kept: Kept, disk: StoppableDisk) -> Steps:
        before = self._session.document
        reading = partial(read_kept, kept, self._folders(), self._hold, disk)
        try:
            document, notes, hold = yield Call(reading, self._undo_hold)
        except BlockmapError as problem:
            what = self.tr("Nothing of the unsaved work could be read")
            return self._tell(what, problem)
        if self._session.document is not before:
            if hold is not None and hold is not self._hold:
                hold.let_go()
            self.message.emit(self.tr("The map was changed meanwhile; open it again"))
            return False
        self._change_hold(hold)
        # Without a base nothing is known of its file: Save then asks in any case.
        base = kept.base or ("unknown" if kept.source else None)
        self._install(document, kept.source, base)
        self._session.mark_unsaved()
        self.taken.emit(kept)
        if kept.source is not None and hold is None:
            self._note_held()
        if notes:
            self.noted.emit("; ".join(notes))
        return True

    def _note_held(self) -> None:
        self.noted.emit(
            self.tr(
                "This map is open in another window already. Here it is opened to "
                "look at; Save asks for another name as long as it is open there."
            )
        )

    # what other programs do to the file

    def revert(self) -> DiskJob:
        """Take the map as the file has it; undo brings the present one back."""
        words = self.tr("Reading “%1” again")
        return self._do(words, self._reverting, within_s=0.0)

    def _reverting(self, disk: StoppableDisk) -> Steps:
        path = self._session.path
        if path is None:
            return False
        return self._take_theirs((yield partial(read_theirs, path, "", (), disk)))

    def _take_theirs(self, theirs: Theirs) -> bool:
        """Take what the file holds, as one step that can be undone."""
        if theirs.read is None:
            problem = theirs.problem or ""
            return self._tell(self.tr("The file was not read"), problem)
        fresh = theirs.read.document
        self._session.edit(self.tr("Revert to saved"), lambda _old: fresh)
        if self._session.document != fresh:
            return False
        self._know(theirs.digest)
        self._session.mark_saved()
        return True

    def look_at_disk(self) -> None:
        """Take in a change of the file when nothing here is unsaved, else say so."""
        path, known, earlier = self._session.path, self._fingerprint, self._called_off
        device = self._device
        if path is None or known is None or self.busy:
            return
        self._looking.start(
            lambda: (path, known, read_theirs(path, known, earlier, DISK, device))
        )
        self._looking.wait(round(MOMENT_S * 1000))

    def _looked(self, found: tuple[Path, str, Theirs | None]) -> None:
        path, known, theirs = found
        now = (self._session.path, self._fingerprint)
        if self.busy or now != (path, known):
            return
        if theirs is None:
            if not self._called_off:
                self.warned.emit(FILE, "")
        elif theirs.ours is not None:
            self._know(theirs.digest)
            self._session.mark_saved(theirs.ours)
            words = self.tr("The disk has answered: “%1” was saved after all")
            self.noted.emit(words.replace("%1", self.name))
        elif theirs.gone:
            words = self.tr(
                "The file of this map is gone; Save asks whether to write it"
            )
            if theirs.disk_gone:
                words = self.tr(
                    "The disk of this map is gone: it was taken out, or its share is "
                    "not there. The map is still open here; put the disk back, or save "
                    "elsewhere"
                )
            self.warned.emit(FILE, words)
        elif not self._session.saved:
            self.warned.emit(
                FILE, self.tr("The file was changed by another program; Save will ask")
            )
        elif theirs.read is None:
            self.warned.emit(
                FILE,
                self.tr(
                    "Another program has changed the file so that it cannot be read; "
                    "the map stays open as it was: %1"
                ).replace("%1", str(theirs.problem)[:300]),
            )
        elif self._take_theirs(theirs):
            self.message.emit(self.tr("The file was changed and has been read again"))
