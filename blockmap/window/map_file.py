"""The file behind a session: new, open, save, and changes made to it by others.

The window never writes a file except through here, and here never without asking
where something could be lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from blockmap.files.holding import Hold, hold_of
from blockmap.files.photos import carry_photos, sweep_photos
from blockmap.files.recovery import Kept, kept_for
from blockmap.files.store import fingerprint, fingerprint_of, load, save
from blockmap.model.changes import Change, changes_between
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.resources import layout_files
from blockmap.window import dialogs
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
from blockmap.window.safekeeping import recovery_folder
from blockmap.window.session import Session
from blockmap.window.settings import Settings

__all__ = ["MapFile", "shown_name"]


def shown_name(path: Path | None, untitled: str) -> str:
    """Return a file's name for titles: its ending left out, odd characters escaped."""
    if path is None:
        return untitled
    name = path.name
    for ending in (".blockmap.yaml", ".blockmap", ".yaml"):
        name = name.removesuffix(ending)
    return "".join(c if c.isprintable() else "�" for c in name)[:120]


class MapFile(QObject):
    """Opens, saves and watches the file of one session.

    opened follows a load; saving comes before the map is written or asked about, so
    that what is typed and not entered yet can be taken; message carries a passing
    sentence; noted one that stays until it is closed; kept_found unsaved work of an
    earlier run on the file just opened; elsewhere a file that another window of this
    program has open.
    """

    opened = Signal()
    saving = Signal()
    message = Signal(str)
    noted = Signal(str)
    kept_found = Signal(object)
    elsewhere = Signal(object)

    def __init__(self, session: Session, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window
        self._fingerprint: str | None = None
        self._hold: Hold | None = None

    @property
    def name(self) -> str:
        """The name for titles and questions."""
        return shown_name(self._session.path, self.tr("Untitled map"))

    @property
    def fingerprint(self) -> str | None:
        """What the file hashed to when it was last read or written here."""
        return self._fingerprint

    def start(self, document: Map) -> None:
        """Begin with a map that has no file yet."""
        self.let_go()
        self._session.replace(document, None)
        self._fingerprint = None
        self.opened.emit()

    def let_go(self) -> None:
        """Let other windows have the file: it is closed here."""
        if self._hold is not None:
            self._hold.let_go()
            self._hold = None

    def take_kept(self, kept: Kept) -> bool:
        """Go on with unsaved work of an earlier run; its file is not touched."""
        try:
            document, notes = kept.read()
        except BlockmapError as problem:
            dialogs.tell(
                self._window,
                self.tr("Nothing of the unsaved work could be read"),
                str(problem),
            )
            return False
        self.let_go()
        self._session.replace(document, kept.source)
        self._session.stack.resetClean()
        # Without a base nothing is known of its file: Save then asks in any case.
        self._fingerprint = kept.base or ("unknown" if kept.source else None)
        self.opened.emit()
        if kept.source is not None and not self._take_hold(kept.source):
            self._note_held()
        if notes:
            self.noted.emit("; ".join(notes))
        return True

    def open(self, path: Path) -> bool:
        """Read a map from a file; a refusal is shown in full and changes nothing."""
        if path != self._session.path and self._hold_of(path).held_here:
            self.elsewhere.emit(path)
            return False
        # Taken before the reading: a change in between is then asked about at Save.
        before = fingerprint(path)
        try:
            read = load(path)
        except DocumentRefused as refused:
            self._tell_refused(path, refused)
            return False
        except BlockmapError as problem:
            dialogs.tell(self._window, self.tr("The map was not opened"), str(problem))
            return False
        if is_shipped(path):
            self.start(read.document)
            return True
        self.let_go()
        self._session.replace(read.document, path)
        self._fingerprint = before
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        self.opened.emit()
        if read.notes:
            self.noted.emit("; ".join(read.notes))
        if not self._take_hold(path):
            self._note_held()
        kept = kept_for(recovery_folder(self._settings.state_folder), path)
        if kept is not None:
            self.kept_found.emit(kept)
        return True

    def _tell_refused(self, path: Path, refused: DocumentRefused) -> None:
        count = len(refused.problems)
        lines = [problem.sentence() for problem in refused.problems[:30]]
        if count > 30:
            lines.append(self.tr("and %n more", "", count - 30))
        dialogs.tell(
            self._window,
            self.tr("“%1” is not a usable map").replace("%1", shown_name(path, "")),
            "\n\n".join(lines),
        )

    # two windows on one file

    def _hold_of(self, path: Path) -> Hold:
        return hold_of(self._settings.state_folder / "open", path)

    def _take_hold(self, path: Path) -> bool:
        """Hold a file for this window; False when another window has it.

        Where the state folder cannot be written nothing is known of other windows,
        and the file is taken as ours.
        """
        wanted = self._hold_of(path)
        if self._hold is not None and self._hold.file == wanted.file:
            return True
        try:
            taken = wanted.take()
        except OSError:
            return True
        if taken:
            self.let_go()
            self._hold = wanted
        return taken

    def _note_held(self) -> None:
        self.noted.emit(
            self.tr(
                "This map is open in another window already. Here it is opened to "
                "look at; Save asks for another name as long as it is open there."
            )
        )

    def save(self) -> bool:
        """Save where the map came from, or ask where when it has no file."""
        self.saving.emit()
        path = self._session.path
        if path is None:
            return self.save_as()
        if not self._take_hold(path):
            return self._ask_elsewhere(
                self.tr("The map is open in another window"),
                self.tr("Save it there, or save what stands here under another name."),
            )
        if self.changed_on_disk():
            choice = self._settle(path)
            if choice is DiskChoice.SAVE_BESIDE:
                return self.save_as()
            if choice is not DiskChoice.KEEP_MINE:
                return False
        return self._write(path)

    def save_as(self) -> bool:
        """Ask where to save, and go on with that file."""
        self.saving.emit()
        path = self._ask_where(self.tr("Save map as"))
        if path is None:
            return False
        held = path != self._session.path and self._hold_of(path).held_here
        if held or not self._take_hold(path):
            return self._ask_elsewhere(
                self.tr("“%1” is open in another window").replace("%1", path.name),
                self.tr("Nothing was saved. Choose another name."),
            )
        return self._write(path)

    def save_copy(self) -> bool:
        """Ask where to save a copy, and go on with the present file."""
        self.saving.emit()
        path = self._ask_where(self.tr("Save a copy"))
        if path is None:
            return False
        if self._hold_of(path).held_here:
            dialogs.tell(
                self._window,
                self.tr("“%1” is open in a window").replace("%1", path.name),
                self.tr("Nothing was saved. Choose another name for the copy."),
            )
            return False
        try:
            notes = save(path, self._session.document)
            notes += carry_photos(self._session.document, self._session.path, path)
        except BlockmapError as problem:
            dialogs.tell(self._window, self._not_saved(), str(problem))
            return False
        self.message.emit(self.tr("Saved a copy: %1").replace("%1", path.name))
        if notes:
            self.noted.emit("; ".join(notes))
        return True

    def revert(self) -> bool:
        """Take the map as the file has it; undo brings the present one back."""
        path = self._session.path
        if path is None:
            return False
        before = fingerprint(path)
        try:
            fresh = load(path).document
        except BlockmapError as problem:
            dialogs.tell(self._window, self.tr("The file was not read"), str(problem))
            return False
        self._session.edit(self.tr("Revert to saved"), lambda _old: fresh)
        if self._session.document != fresh:
            return False
        self._fingerprint = before
        self._session.mark_saved()
        return True

    def may_close(self) -> bool:
        """Ask once about unsaved changes; tell whether the window may close."""
        self.saving.emit()
        if self._session.saved:
            return True
        choice = dialogs.ask_unsaved(self._window, self.name)
        if choice is UnsavedChoice.SAVE:
            return self.save()
        return choice is UnsavedChoice.DISCARD

    def changed_on_disk(self) -> bool:
        """Tell whether another program has changed or removed the file."""
        path = self._session.path
        return (
            path is not None
            and self._fingerprint is not None
            and fingerprint(path) != self._fingerprint
        )

    def look_at_disk(self) -> None:
        """Take in a change of the file when nothing here is unsaved, else say so."""
        path = self._session.path
        if path is None or not self.changed_on_disk():
            return
        if not path.exists():
            self.noted.emit(
                self.tr("The file of this map is gone; Save asks whether to write it")
            )
        elif not self._session.saved:
            self.noted.emit(
                self.tr("The file was changed by another program; Save will ask")
            )
        elif self._is_readable(path) and self.revert():
            self.message.emit(self.tr("The file was changed and has been read again"))

    def _is_readable(self, path: Path) -> bool:
        try:
            load(path)
        except BlockmapError as problem:
            self.noted.emit(
                self.tr(
                    "Another program has changed the file so that it cannot be read; "
                    "the map stays open as it was: %1"
                ).replace("%1", str(problem)[:300])
            )
            return False
        return True

    def _settle(self, path: Path) -> DiskChoice:
        """Ask about a changed or missing file; take what it holds when wished."""
        if not path.exists():
            return dialogs.ask_gone(self._window, path.name)
        choice = dialogs.ask_changed_on_disk(
            self._window, path.name, self._difference(path)
        )
        if choice is DiskChoice.TAKE_THEIRS:
            self.revert()
        return choice

    def _difference(self, path: Path) -> str:
        try:
            theirs = load(path).document
        except BlockmapError as problem:
            return self.tr("The file cannot be read now: %1").replace(
                "%1", str(problem)
            )
        return difference_words(changes_between(self._session.document, theirs))

    def _ask_where(self, title: str) -> Path | None:
        wished = self._session.path or Path(self._settings.last_folder()) / (
            (self._session.document.car.name or self.tr("map")).replace("/", "-")
            + dialogs.MAP_ENDING
        )
        return dialogs.ask_save_file(
            self._window, title, str(wished), self.tr("Maps (*.blockmap.yaml)")
        )

    def _write(self, path: Path) -> bool:
        document = self._session.document
        try:
            notes = save(path, document)
            notes += carry_photos(document, self._session.path, path)
        except BlockmapError as problem:
            if self._session.path is not None:
                self._take_hold(self._session.path)
            return self._ask_elsewhere(self._not_saved(), str(problem))
        self._fingerprint = fingerprint_of(document)
        self._session.set_path(path)
        self._take_hold(path)
        self._session.mark_saved()
        sweep_photos(path, self._maps_in_use(path))
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        self.message.emit(self.tr("Saved %1").replace("%1", path.name))
        if notes:
            self.noted.emit("; ".join(notes))
        return True

    def _maps_in_use(self, path: Path) -> Iterator[Map]:
        """Yield every map that can still be had: by undo, or as unsaved work."""
        yield from self._session.maps()
        kept = kept_for(recovery_folder(self._settings.state_folder), path)
        if kept is not None:
            with suppress(BlockmapError):
                yield kept.read()[0]

    def _not_saved(self) -> str:
        return self.tr("The map was not saved; the file is as it was")

    def _ask_elsewhere(self, text: str, more: str) -> bool:
        """Say why nothing was saved; save under another name when wished."""
        return dialogs.ask_elsewhere(self._window, text, more) and self.save_as()


def is_shipped(path: Path) -> bool:
    """Tell whether a file is one of the shipped layouts, which stay as they are."""
    return path.resolve() in {p.resolve() for p in layout_files()}


def difference_words(change: Change) -> str:
    """Return in words what another map adds, lacks and alters."""
    parts = []
    for noun, part in (
        ("block", change.blocks),
        ("cavity", change.cavities),
        ("strip", change.strips),
    ):
        for verb, ids in (
            ("adds", part.added),
            ("lacks", part.removed),
            ("alters", part.altered),
        ):
            if ids:
                named = ", ".join(sorted(ids)[:6]) + (" …" if len(ids) > 6 else "")
                parts.append(f"The file {verb} {len(ids)} × {noun}: {named}.")
    if change.car:
        parts.append("The file alters what is said of the car.")
    return "\n".join(parts) or "The file says the same as the map here."
