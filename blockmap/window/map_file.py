"""The file behind a session: new, open, save, and changes made to it by others.

The window never writes a file except through here, and here never without asking
where something could be lost.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from blockmap.files.recovery import Kept
from blockmap.files.store import fingerprint, load, save
from blockmap.model.changes import Change, changes_between
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.resources import layout_files
from blockmap.window import dialogs
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
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

    opened follows a load; message carries a passing sentence; banner one that stays
    until it is put right ("" takes it away).
    """

    opened = Signal()
    message = Signal(str)

    def __init__(self, session: Session, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window
        self._fingerprint: str | None = None

    @property
    def name(self) -> str:
        """The name for titles and questions."""
        return shown_name(self._session.path, self.tr("Untitled map"))

    def start(self, document: Map) -> None:
        """Begin with a map that has no file yet."""
        self._session.replace(document, None)
        self._fingerprint = None
        self.opened.emit()

    @property
    def fingerprint(self) -> str | None:
        """What the file hashed to when it was last read or written here."""
        return self._fingerprint

    def take_kept(self, kept: Kept) -> None:
        """Go on with unsaved work of an earlier run; its file is not touched."""
        self._session.replace(kept.document, kept.source)
        self._session.stack.resetClean()
        self._fingerprint = kept.base
        self.opened.emit()

    def open(self, path: Path) -> bool:
        """Read a map from a file; a refusal is shown in full and changes nothing."""
        try:
            read = load(path)
        except DocumentRefused as refused:
            count = len(refused.problems)
            lines = [problem.sentence() for problem in refused.problems[:30]]
            if count > 30:
                lines.append(self.tr("and %n more", "", count - 30))
            dialogs.tell(
                self._window,
                self.tr("“%1” is not a usable map").replace("%1", path.name),
                "\n\n".join(lines),
            )
            return False
        except BlockmapError as problem:
            dialogs.tell(self._window, self.tr("The map was not opened"), str(problem))
            return False
        if is_shipped(path):
            self.start(read.document)
            return True
        self._session.replace(read.document, path)
        self._fingerprint = fingerprint(path)
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        self.opened.emit()
        if read.notes:
            self.message.emit("; ".join(read.notes))
        return True

    def save(self) -> bool:
        """Save where the map came from, or ask where when it has no file."""
        path = self._session.path
        if path is None:
            return self.save_as()
        if self.changed_on_disk() and not self._settle(path):
            return False
        return self._write(path)

    def save_as(self) -> bool:
        """Ask where to save, and go on with that file."""
        path = self._ask_where(self.tr("Save map as"))
        return path is not None and self._write(path)

    def save_copy(self) -> bool:
        """Ask where to save a copy, and go on with the present file."""
        path = self._ask_where(self.tr("Save a copy"))
        if path is None:
            return False
        try:
            save(path, self._session.document)
        except BlockmapError as problem:
            self._tell_failed(problem)
            return False
        self.message.emit(self.tr("Saved a copy: %1").replace("%1", path.name))
        return True

    def revert(self) -> None:
        """Take the map as the file has it; undo brings the present one back."""
        path = self._session.path
        if path is None:
            return
        try:
            read = load(path)
        except BlockmapError as problem:
            dialogs.tell(self._window, self.tr("The file was not read"), str(problem))
            return
        fresh = read.document
        self._session.edit(self.tr("Revert to saved"), lambda _old: fresh)
        self._fingerprint = fingerprint(path)

    def may_close(self) -> bool:
        """Ask once about unsaved changes; tell whether the window may close."""
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
            self.message.emit(
                self.tr("The file of this map is gone; Save writes it again")
            )
        elif self._session.saved:
            self.revert()
            self._session.mark_saved()
            self.message.emit(self.tr("The file was changed and has been read again"))
        else:
            self.message.emit(
                self.tr("The file was changed by another program; Save will ask")
            )

    def _settle(self, path: Path) -> bool:
        """Ask about a changed file; tell whether to write over it."""
        choice = dialogs.ask_changed_on_disk(
            self._window, path.name, self._difference(path)
        )
        if choice is DiskChoice.TAKE_THEIRS:
            self.revert()
            self._session.mark_saved()
        elif choice is DiskChoice.SAVE_BESIDE:
            self.save_as()
        return choice is DiskChoice.KEEP_MINE

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
        try:
            save(path, self._session.document)
        except BlockmapError as problem:
            self._tell_failed(problem)
            return False
        self._fingerprint = fingerprint(path)
        self._session.set_path(path)
        self._session.mark_saved()
        self._settings.add_recent(path)
        self._settings.set_last_folder(path)
        self.message.emit(self.tr("Saved %1").replace("%1", path.name))
        return True

    def _tell_failed(self, problem: BlockmapError) -> None:
        dialogs.tell(
            self._window,
            self.tr("The map was not saved; the file is as it was"),
            str(problem),
        )


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
