"""Keeps the open map safe while it is edited, and lets it go once it is saved.

The map is an immutable value, so a worker thread can write it while editing goes on. A
failure to keep it is said once and never stops the work.
"""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import (
    QCoreApplication,
    QObject,
    QTimer,
    Signal,
)

from blockmap.files.recovery import Keeper, Kept
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError
from blockmap.window.guard import guarded
from blockmap.window.session import Session
from blockmap.window.worker import Worker

__all__ = ["SafeKeeping", "kept_words", "recovery_folder"]

QUIET_MS = 1_500
"""Kept when nothing was changed for this long."""
LONGEST_MS = 8_000
"""Kept after this long even when changes go on."""
WAIT_MS = 80
"""Longest wait for the worker while somebody may be typing."""
SURVIVED_MS = 10_000
"""Unsaved work that was opened and is still open after this long did no harm."""


def recovery_folder(state: Path) -> Path:
    """Return the folder in the user's state folder that recovery files stand in."""
    return state / "recovery"


def kept_words(kept: Kept) -> str:
    """Return what unsaved work holds, from when it is, and what to know of it."""
    when = _day_and_minute(kept.when)
    text = (
        _tr("%1, kept %2: %3 cavities, car “%4”")
        .replace("%1", kept.source.name if kept.source else _tr("Untitled map"))
        .replace("%2", when)
        .replace("%3", str(kept.cavities))
        .replace("%4", kept.car)
    )
    more = {
        "changed": _tr("its file has been changed since, and saving will ask"),
        "newer": _tr("its file was saved later than this, and saving will ask"),
        "gone": _tr("its file is gone or was moved, and saving will ask"),
    }.get(kept.file_now(), "")
    tried = ""
    if kept.tries:
        tried = _tr("the program ended %1 times after opening this").replace(
            "%1", str(kept.tries)
        )
    return "; ".join(part for part in (text, more, kept.damage, tried) if part)


def _tr(text: str) -> str:
    return QCoreApplication.translate("SafeKeeping", text)


def _day_and_minute(when: float) -> str:
    try:
        return datetime.datetime.fromtimestamp(when).strftime("%Y-%m-%d %H:%M")
    except (OverflowError, OSError, ValueError):
        return "?"


class _Keep:
    def __init__(
        self, keeping: SafeKeeping, document: Map, path: Path | None, base: str | None
    ) -> None:
        self._keeping, self._document = keeping, document
        self._path, self._base = path, base
        self._ticket = keeping.keeper.ticket()

    @guarded()
    def run(self) -> None:
        said = ""
        try:
            self._keeping.keeper.keep(
                self._document, self._path, self._base, self._ticket
            )
        except (BlockmapError, OSError) as problem:
            said = str(problem)
        with contextlib.suppress(RuntimeError):  # the window is gone meanwhile
            self._keeping.kept.emit(said)


class SafeKeeping(QObject):
    """Follows one session; failed carries a sentence, "" once keeping works again.

    base returns the fingerprint of the file that the map was read from.
    """

    kept = Signal(str)
    failed = Signal(str)

    def __init__(
        self,
        session: Session,
        folder: Path,
        base: Callable[[], str | None],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._base = session, base
        self.keeper = Keeper(folder)
        self._trouble = ""
        self._worker = Worker(self)
        self._quiet = _single_shot(self, QUIET_MS, self.keep_now)
        self._longest = _single_shot(self, LONGEST_MS, self.keep_now)
        self._survived = _single_shot(
            self, SURVIVED_MS, lambda: self.keeper.note_tries(0)
        )
        self.kept.connect(self._told)
        session.changed.connect(self._changed)
        session.saved_changed.connect(self._saved)

    def keep_now(self) -> None:
        """Keep the map as it is, unless it is saved."""
        self._quiet.stop()
        self._longest.stop()
        if self._session.saved or not self._session.document.blocks:
            return
        task = _Keep(self, self._session.document, self._session.path, self._base())
        self._worker.clear()
        self._worker.start(task.run)

    def note_tries(self, count: int) -> None:
        """Note that opening this map was begun so often, until it has done no harm."""
        self.keeper.note_tries(count)
        self._survived.start()

    def close(self) -> None:
        """Forget the map: it is saved, or its changes were discarded."""
        self._stop()
        self._survived.stop()
        self.keeper.note_tries(0)
        self.keeper.close()

    def flush(self) -> None:
        """Keep the map now and wait for it: the program is being ended."""
        self.keep_now()
        self._worker.wait(800)

    def _changed(self, _change: object) -> None:
        self._quiet.start()
        if not self._longest.isActive():
            self._longest.start()

    def _saved(self) -> None:
        if self._session.saved:
            self._stop()
            self.keeper.forget()

    def _stop(self) -> None:
        """Wait for the worker, so that nothing is kept after this.

        A disk that does not answer is not waited for: the keeper removes what comes
        too late.
        """
        self._quiet.stop()
        self._longest.stop()
        self._worker.clear()
        self._worker.wait(WAIT_MS)

    def _told(self, trouble: str) -> None:
        if trouble != self._trouble:
            self._trouble = trouble
            self.failed.emit(trouble)


def _single_shot(parent: QObject, after_ms: int, slot: Callable[[], None]) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(after_ms)
    timer.timeout.connect(slot)
    return timer
