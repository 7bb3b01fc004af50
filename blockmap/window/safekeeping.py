"""Keeps the open map safe while it is edited, and lets it go once it is saved.

The map is an immutable value, so a worker thread can write it while editing goes on. A
failure to keep it is said once and never stops the work.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import (
    QCoreApplication,
    QObject,
    QTimer,
    Signal,
)

from blockmap.files.recovery import FileNow, Keeper, Kept
from blockmap.files.shown import shown_name
from blockmap.model.errors import BlockmapError
from blockmap.window.aside import MOMENT_S, Aside, Call
from blockmap.window.session import Session

__all__ = ["SafeKeeping", "kept_words"]

QUIET_MS = 1_500
"""Kept when nothing was changed for this long."""
LONGEST_MS = 8_000
"""Kept after this long even when changes go on."""
WAIT_MS = 40
"""Longest wait for the disk while somebody may be typing."""
FLUSH_MS = 800
"""Longest wait for the disk when the program ends."""
SURVIVED_MS = 10_000
"""Unsaved work that was opened and is still open after this long did no harm."""


def kept_words(kept: Kept, file_now: FileNow) -> str:
    """Return what unsaved work holds, from when it is, and what to know of it.

    file_now is what kept.file_now() says, "" while that is not known.
    """
    when = _day_and_minute(kept.when)
    text = (
        _tr("%1, kept %2: %3 cavities, car “%4”")
        .replace(
            "%1", shown_name(kept.source.name) if kept.source else _tr("Untitled map")
        )
        .replace("%2", when)
        .replace("%3", str(kept.cavities))
        .replace("%4", kept.car)
    )
    more = {
        "changed": _tr("its file has been changed since, and saving will ask"),
        "newer": _tr("its file was saved later than this, and saving will ask"),
        "gone": _tr("its file is gone or was moved, and saving will ask"),
    }.get(file_now, "")
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


class SafeKeeping(QObject):
    """Follows one session; failed carries a sentence, "" once keeping works again.

    base returns the fingerprint of the file that the map was read from. The recovery
    file is written and removed in another thread, one thing after the other.
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
        self._aside = Aside(self._told, self)
        self._quiet = _single_shot(self, QUIET_MS, self.keep_now)
        self._longest = _single_shot(self, LONGEST_MS, self.keep_now)
        self._survived = _single_shot(self, SURVIVED_MS, self._forget_tries)
        session.changed.connect(self._changed)
        session.saved_changed.connect(self._saved)

    def keep_now(self) -> None:
        """Keep the map as it is, unless it is saved."""
        self._stop()
        if not self._session.saved and self._session.document.blocks:
            self._aside.start_next(self._keep())

    def _keep(self) -> Callable[[], str]:
        """Return what keeps the map as it is now and says what went wrong."""
        keeper, document, path = self.keeper, self._session.document, self._session.path
        base, ticket = self._base(), keeper.ticket()

        def keep() -> str:
            try:
                keeper.keep(document, path, base, ticket)
            except (BlockmapError, OSError) as problem:
                return str(problem)
            return ""

        return keep

    def take_over(self, kept: Kept) -> None:
        """Keep what was read from unsaved work of an earlier run in place of that."""
        keep, keeper = self._keep(), self.keeper

        def take_over() -> str:
            keeper.note_tries(kept.tries + 1)
            trouble = keep()
            if not trouble and keeper.file.exists():
                kept.discard()
            return trouble

        self._stop()
        self._aside.start_next(take_over)
        self._aside.wait(WAIT_MS)
        self._survived.start()

    def _forget_tries(self) -> None:
        keeper = self.keeper
        if not self._aside.busy:
            self._aside.start(lambda: keeper.note_tries(0))

    def close(self) -> None:
        """Forget the map: it is saved, or its changes were discarded."""
        keeper = self.keeper

        def close() -> None:
            keeper.note_tries(0)
            keeper.close()

        self._stop()
        self._survived.stop()
        self._aside.start_next(close)
        self._aside.wait(WAIT_MS)

    def leave(self) -> None:
        """Keep the map now and let the next start have it."""
        self.flush()
        self._survived.stop()
        self.let_go()

    def let_go(self) -> None:
        """Let the next start have what is kept."""
        Call(self.keeper.let_go).start().wait(MOMENT_S)

    def flush(self) -> None:
        """Keep the map now and wait for it: the program is being ended."""
        self.keep_now()
        self._aside.wait(FLUSH_MS)

    def _changed(self, _change: object) -> None:
        self._quiet.start()
        if not self._longest.isActive():
            self._longest.start()

    def _saved(self) -> None:
        """Forget what is kept once it is saved.

        What was edited while it was being saved is kept anew: its base is another now.
        """
        if not self._session.saved:
            self._quiet.start()
            return
        self._stop()
        keeper, upto = self.keeper, self.keeper.latest
        self._aside.start_next(lambda: keeper.forget(upto))
        self._aside.wait(WAIT_MS)

    def _stop(self) -> None:
        self._quiet.stop()
        self._longest.stop()

    def _told(self, trouble: str | None) -> None:
        if trouble is None:
            return
        self.kept.emit(trouble)
        if trouble != self._trouble:
            self._trouble = trouble
            self.failed.emit(trouble)


def _single_shot(parent: QObject, after_ms: int, slot: Callable[[], None]) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(after_ms)
    timer.timeout.connect(slot)
    return timer
