"""The open map and its history: every edit goes through here, every view hears of it.

A session holds the current document and Qt's undo stack. Do, undo, redo, reload and
recovery all install a document; the notice to views is the computed difference.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QSignalBlocker, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from blockmap.model.changes import changes_between
from blockmap.model.document import Map, empty_map
from blockmap.model.errors import EditRefused
from blockmap.window import garbage
from blockmap.window.aside import quickly
from blockmap.window.guard import guarded, report_exception
from blockmap.window.history import (
    HISTORY_LIMIT,
    MOST_BYTES,
    step_bytes,
    steps_kept,
)

__all__ = ["Session"]


class _SwapDocuments(QUndoCommand):
    """The one undo command: it swaps the document before with the one after."""

    def __init__(
        self, session: Session, text: str, before: Map, after: Map, gesture: object
    ) -> None:
        super().__init__(text)
        self._session, self._before, self._after = session, before, after
        self._gesture = gesture
        self._undone = False
        self._done = False
        self.bytes_held = 0

    def copied_onto(self, stack: QUndoStack) -> Callable[[], None]:
        """Return what pushes a copy of this step, which was done before, on a stack."""
        copy = _SwapDocuments(self._session, self.text(), *self.maps, None)
        copy.bytes_held = self.bytes_held
        copy._done = True

        def push() -> None:
            stack.push(copy)  # without a gesture, so that it stays a step of its own
            copy._gesture, copy._undone = self._gesture, self._undone
            if copy._session.is_saved(copy._after):
                stack.setClean()

        return push

    @property
    def maps(self) -> tuple[Map, Map]:
        """The map before and the map after."""
        return self._before, self._after

    @guarded()
    def redo(self) -> None:
        if self._done:
            self._done = False
        else:
            self._session.install(self._after)

    @guarded()
    def undo(self) -> None:
        self._undone = True
        self._session.install(self._before)

    @guarded(-1)
    def id(self) -> int:
        return 1 if self._gesture is not None else -1

    @guarded(False)
    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _SwapDocuments) or self._undone:
            return False
        if self._gesture is None or other._gesture is not self._gesture:
            return False
        if self._session.is_saved(self._after):
            return False  # undo must lead back to what is in the file
        self._after = other._after
        self.bytes_held = max(self.bytes_held, other.bytes_held)
        other.bytes_held = 0
        self.setText(other.text())
        return True


class Session(QObject):
    """One open map.

    changed carries the Change between the old and the new document; refused carries
    a sentence for the status line.
    """

    changed = Signal(object)
    refused = Signal(str)
    path_changed = Signal()
    saved_changed = Signal()

    def __init__(
        self,
        document: Map | None = None,
        path: Path | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document or empty_map()
        self._in_file: Map | None = self._document
        self._path = path
        self.stack = QUndoStack(self)
        self.stack.setUndoLimit(HISTORY_LIMIT)
        self._bytes_held = 0
        self.stack.cleanChanged.connect(self._clean_changed)
        self.last_result: Any = None

    @property
    def document(self) -> Map:
        """The map as it is now."""
        return self._document

    @property
    def path(self) -> Path | None:
        """The file it was read from or saved to; None when it has none yet."""
        return self._path

    def is_its_file(self, path: Path) -> bool:
        """Tell whether a path means the file of this map, by whatever name."""
        its = self._path
        if its is None:
            return False
        if path.absolute() == its.absolute():
            return True

        def is_the_same() -> bool:
            return os.path.realpath(path) == os.path.realpath(its) or (
                path.exists() and path.samefile(its)
            )

        return bool(quickly(is_the_same, False))

    @property
    def saved(self) -> bool:
        """True when the map is the one that its file holds."""
        return self._in_file is self._document

    def is_saved(self, document: Map) -> bool:
        """Tell whether this is the map that the file holds."""
        return self._in_file is document

    def set_path(self, path: Path | None) -> None:
        """Say which file holds the map from now on."""
        if path != self._path:
            self._path = path
            self.path_changed.emit()

    def mark_saved(self, document: Map | None = None) -> None:
        """Say that the file holds this map: the one there is now, or one before it.

        A save takes its time, and the map may have been edited meanwhile.
        """
        self._in_file = document or self._document
        if self.saved:
            self.stack.setClean()
        else:
            self.stack.resetClean()
        self.saved_changed.emit()

    def mark_unsaved(self) -> None:
        """Say that no file holds the map."""
        self._in_file = None
        self.stack.resetClean()
        self.saved_changed.emit()

    def carry_out(
        self,
        text: str,
        function: Callable[..., Any],
        *args: Any,
        gesture: object | None = None,
        **kwargs: Any,
    ) -> str | None:
        """Edit as edit() does; a refusal is returned and told nobody."""
        refusals: list[str] = []

        def unless_refused(document: Map) -> Any:
            try:
                return function(document, *args, **kwargs)
            except EditRefused as refusal:
                refusals.append(str(refusal))
                return document

        self.edit(text, unless_refused, gesture=gesture)
        return refusals[0] if refusals else None

    def edit(
        self,
        text: str,
        function: Callable[..., Any],
        *args: Any,
        gesture: object | None = None,
        **kwargs: Any,
    ) -> bool:
        """Apply an edit of blockmap.model.edits to the document as one undo step.

        function(document, *args, **kwargs) returns the new map, or the map and more,
        which last_result then holds. Edits of one gesture become one step. Returns
        False when the edit was refused, which is told, or changed nothing.
        """
        before = self._document
        self.last_result = None
        try:
            result = function(before, *args, **kwargs)
        except EditRefused as refusal:
            self.refused.emit(str(refusal))
            return False
        except Exception as problem:
            report_exception(f"edit “{text}”", problem)
            self.refused.emit(
                self.tr("This edit failed inside the program; the map is as it was")
            )
            return False
        after = result
        if isinstance(result, tuple):
            after, self.last_result = result
        if after is before or after == before:
            return False
        step = _SwapDocuments(self, text, before, after, gesture)
        step.bytes_held = step_bytes(before, after)
        self.stack.push(step)
        self._bytes_held += step.bytes_held  # nothing when the step before took it in
        if self._bytes_held > MOST_BYTES:
            self._forget_oldest()
        return True

    def _forget_oldest(self) -> None:
        """Let go of the oldest steps when all of them hold too much memory.

        Qt's stack forgets by number alone: it is emptied, and filled again with copies
        of the newest steps. The map stays as it is.
        """
        steps = list(self._steps())
        held = [step.bytes_held for step in steps]
        kept = steps_kept(held)
        self._bytes_held = sum(held[len(held) - kept :])
        if kept == len(steps):
            return
        first_before = steps[-kept].maps[0]
        copies = [step.copied_onto(self.stack) for step in steps[-kept:]]
        with QSignalBlocker(self.stack):
            self.stack.clear()
            if not self.is_saved(first_before):
                self.stack.resetClean()
            for push in copies:
                push()
        self.stack.indexChanged.emit(self.stack.index())

    def replace(self, document: Map, path: Path | None) -> None:
        """Open another map in this session; its history starts anew."""
        self.stack.clear()
        self._bytes_held = 0
        self.set_path(path)
        self._in_file = document
        self.install(document)
        self.mark_saved()

    def install(self, document: Map) -> None:
        """Make this the current document and tell the views what differs."""
        before = self._document
        if document is before:
            return
        was_saved = self.saved
        self._document = document
        garbage.stir()
        change = changes_between(before, document)
        if change:
            self.changed.emit(change)
        if self.saved != was_saved:
            self.saved_changed.emit()

    def maps(self) -> Iterator[Map]:
        """Yield the map as it is, then every one that undo and redo can bring back."""
        yield self._document
        for step in self._steps():
            yield from step.maps

    def _steps(self) -> Iterator[_SwapDocuments]:
        for number in range(self.stack.count()):
            step = self.stack.command(number)
            assert isinstance(step, _SwapDocuments)
            yield step

    def _clean_changed(self, clean: bool) -> None:
        if clean and not self.saved:
            self.mark_saved()
