"""Says what stalls the window's thread; run as python -m tests.benchmarks.stalls.

A timer ticks every 5 ms at a map of 500 cavities while everything is used once; the
longest gap between two ticks during each act is printed, those over 100 ms marked.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from blockmap.files.store import save
from blockmap.model.edits import move_cavities, set_texts
from blockmap.model.geometry import Point
from blockmap.window import dialogs
from blockmap.window.application import leave_text_on_clipboard, prepare
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from tests.benchmarks.synthetic import synthetic_map

LONGEST_MS = 100


class _Ticks:
    """Remembers the longest time that the event loop did not turn."""

    def __init__(self) -> None:
        self._last = time.perf_counter()
        self.longest_ms = 0.0
        self._timer = QTimer(interval=5)
        self._timer.timeout.connect(self._tick)
        self._timer.start()

    def _tick(self) -> None:
        now = time.perf_counter()
        self.longest_ms = max(self.longest_ms, (now - self._last) * 1000)
        self._last = now

    def during(self, act: Callable[[], object], wait_ms: int) -> float:
        """Return the longest gap in an act and a while after it."""
        self._tick()
        self.longest_ms = 0.0
        act()
        end = time.perf_counter() + wait_ms / 1000
        while time.perf_counter() < end:
            QApplication.processEvents()
            time.sleep(0.001)
        self._tick()
        return self.longest_ms


def main(count: int) -> None:
    """Print one line an act."""
    application = prepare()
    for name in dialogs.__all__:
        if name.startswith("ask") or name == "tell":
            setattr(dialogs, name, lambda *_given: None)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        path = place / "large.blockmap.yaml"
        save(path, synthetic_map(count))
        window = MainWindow(Settings(place / "config", place / "state"))
        window.resize(1280, 800)
        window.show()
        application.processEvents()
        _report(window, path)
        window.session.mark_saved()
        window.close()
        leave_text_on_clipboard()


def _report(window: MainWindow, path: Path) -> None:
    session, selection, on = window.session, window.selection, window.actions_by_name
    ids: list[str] = []

    def preview() -> SheetPreview:
        on["print"].trigger()
        found = window.findChildren(SheetPreview)
        return found[-1]

    def all_moved() -> None:
        cavities = session.document.cavities
        centres = {i: Point(cavities[i].x_mm + 1, cavities[i].y_mm) for i in ids}
        session.edit("Move", move_cavities, centres)

    def copy_all() -> None:
        selection.select(ids)
        on["copy"].trigger()

    def find() -> None:
        window.legend.begin_find()
        on["find_next"].trigger()

    acts: list[tuple[str, Callable[[], object], int]] = [
        ("open the map", lambda: window.map_file.open(path), 1500),
        ("list the cavities", lambda: ids.extend(session.document.cavities), 10),
        (
            "set one rating",
            lambda: session.edit("Set", set_texts, ids[:1], "rating_a", "15"),
            600,
        ),
        (
            "set all legends",
            lambda: session.edit("Set", set_texts, ids, "legend", "ALL"),
            1500,
        ),
        ("undo that", session.stack.undo, 1500),
        ("move all", all_moved, 1500),
        ("select all", lambda: selection.select(ids), 600),
        ("select one", lambda: selection.select(ids[:1]), 600),
        ("other side", on["other_side"].trigger, 600),
        ("zoom in", window.figure.zoom_in, 400),
        ("zoom to fit", window.figure.zoom_fit, 400),
        ("save", window.map_file.save, 400),
        ("keep for recovery", window.keeping.keep_now, 600),
        ("copy all", copy_all, 600),
        ("paste all", on["paste"].trigger, 1500),
        ("dark colours", on["look_dark"].trigger, 800),
        ("find", find, 600),
        ("delete all but one", lambda: selection.select(ids[1:]), 300),
        ("the sheets", preview, 6000),
        (
            "close the sheets",
            lambda: [one.close() for one in window.findChildren(SheetPreview)],
            300,
        ),
        ("delete", on["delete"].trigger, 1500),
        ("revert", window.map_file.revert, 1500),
    ]
    ticks = _Ticks()
    ticks.during(lambda: None, 200)
    for words, act, wait_ms in acts:
        gap = ticks.during(act, wait_ms)
        mark = "  over" if gap > LONGEST_MS else ""
        sys.stdout.write(f"{words:24} {gap:7.0f} ms{mark}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
