"""Says what holds the window's thread; run as python -m tests.benchmarks.stalls.

Everything is used once at 500 cavities, and again with 100 damages. Printed for each
act are the longest turn of the event loop in processor time of the window's
thread, the same turn's time by the clock, and how many turns came after it until the
window was at rest. An act is waited for until nothing is left to do, not for some time,
so that every run does the same. Turns over 100 ms are marked.

    python -m tests.benchmarks.stalls [COUNT] [--profile "words of an act"]
"""

from __future__ import annotations

import cProfile
import gc
import os
import pstats
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import chain
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt, QTimer, qInstallMessageHandler
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from blockmap.files.store import save
from blockmap.model.document import Condition, Map, Reading
from blockmap.model.edits import (
    Grid,
    add_block,
    add_grid,
    add_reading,
    move_cavities,
    set_condition,
    set_texts,
)
from blockmap.model.geometry import Point, Size
from blockmap.window import dialogs, garbage
from blockmap.window.application import leave_text_on_clipboard, prepare
from blockmap.window.aside import Aside, wait_for_calls
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.worker import Worker
from tests.benchmarks.synthetic import fed_map, synthetic_map

AIM_MS = 100
LATEST_MS = 3_000
"""Timers that wait longer than this are not waited for: they keep a record."""
STILL_TURNS = 5

Act = Callable[[], object]


class _Turns:
    """Turns the event loop, one at a time, and remembers the longest."""

    def __init__(self, profiled: str) -> None:
        self._profiled = profiled
        self.worst_ms = self.clock_ms = 0.0
        self.count = 0
        self._of_worst: cProfile.Profile | None = None

    def _turn(self, act: Act, profile: cProfile.Profile | None = None) -> None:
        clock, thread = time.perf_counter(), time.thread_time()
        if profile:
            profile.enable()
        act()
        QApplication.processEvents()
        if profile:
            profile.disable()
        spent = (time.thread_time() - thread) * 1000
        took = (time.perf_counter() - clock) * 1000
        self.clock_ms = max(self.clock_ms, took)
        if spent > self.worst_ms:
            self.worst_ms, self._of_worst = spent, profile
        self.count += 1

    def during(self, words: str, act: Act) -> None:
        """Do it and turn until nothing is left to do."""
        self.worst_ms = self.clock_ms = 0.0
        self.count = -STILL_TURNS
        looked_at = bool(words) and words == self._profiled
        self._turn(act, cProfile.Profile() if looked_at else None)
        still = 0
        while still < STILL_TURNS:
            self._turn(lambda: None, cProfile.Profile() if looked_at else None)
            still = 0 if _busy() else still + 1
            time.sleep(0.001)
        if self._of_worst is not None:
            pstats.Stats(self._of_worst).sort_stats("cumtime").print_stats(70)
            self._of_worst = None


def _busy() -> bool:
    """Tell whether a worker works or a timer will soon do something once."""
    if not wait_for_calls(0.0):
        return True
    for widget in QApplication.topLevelWidgets():
        if not widget.isVisible():
            continue
        if isinstance(widget, MainWindow) and widget.map_file.busy:
            return True
        if any(worker.busy for worker in widget.findChildren(Worker)):
            return True
        if any(aside.busy for aside in widget.findChildren(Aside)):
            return True
        for timer in widget.findChildren(QTimer):
            once = timer.isSingleShot() and timer.interval() < LATEST_MS
            if timer.isActive() and once:
                return True
    return False


def main(count: int, profiled: str = "") -> None:
    """Print one line an act."""
    application = prepare()
    qInstallMessageHandler(lambda *_given: None)  # offscreen has its remarks
    for name in dialogs.__all__:
        if name.startswith("ask") or name == "tell":
            setattr(dialogs, name, lambda *_given: None)
    garbage.begin(application)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        plain, worn = place / "plain.blockmap.yaml", place / "worn.blockmap.yaml"
        save(plain, synthetic_map(count))
        save(worn, worn_map(count))
        window = MainWindow(Settings(place / "config", place / "state"))
        window.resize(1280, 800)
        window.show()
        application.processEvents()
        turns = _Turns(profiled)
        turns.during("", lambda: None)
        for words, act in chain(_plain_acts(window, plain), _worn_acts(window, worn)):
            turns.during(words, act)
            mark = "  over" if turns.worst_ms > AIM_MS else ""
            sys.stdout.write(
                f"{words:32} {turns.worst_ms:6.0f} ms {turns.clock_ms:6.0f} ms by the "
                f"clock, {turns.count:4d} turns{mark}\n"
            )
            sys.stdout.flush()
        window.session.mark_saved()
        window.close()
        leave_text_on_clipboard()


def worn_map(count: int) -> Map:
    """Return a map of fed strips, 100 damaged contacts, readings, and a small block."""
    document = fed_map(count)
    ids = list(document.cavities)
    step = max(1, count // 100)
    for id_ in ids[::step]:
        spread = Condition(state="spread", severity=2)
        document = set_condition(document, id_, "load", spread)
    for number, id_ in enumerate(ids[: 10 * step : step]):
        point = f"{document.cavities[id_].designation}.load"
        reading = Reading(point=point, value=11.0 - number / 10, unit="V")
        document = add_reading(document, reading)[0]
    document, block = add_block(document, "Small panel", Size(120, 60))
    grid = Grid(first=Point(15, 20), columns=6, rows=1, first_designation="G1")
    return add_grid(document, block, grid)


def _plain_acts(window: MainWindow, path: Path) -> Iterator[tuple[str, Act]]:
    """Yield words and deeds; each is done before the next is asked for."""
    session, selection, on = window.session, window.selection, window.actions_by_name
    table = window.legend.table

    def on_all(command: str) -> Act:
        def act() -> None:
            window.figure.setFocus()
            on[command].trigger()

        return act

    def all_moved() -> None:
        cavities = session.document.cavities
        centres = {i: Point(cavities[i].x_mm + 1, cavities[i].y_mm) for i in ids}
        session.edit("Move", move_cavities, centres)

    yield "open the map", lambda: window.map_file.open(path)
    ids = list(session.document.cavities)
    yield (
        "set one rating",
        lambda: session.edit("1", set_texts, ids[:1], "rating_a", "2"),
    )
    yield (
        "set another",
        lambda: session.edit("2", set_texts, ids[9:10], "rating_a", "3"),
    )
    yield "set all legends", lambda: session.edit("3", set_texts, ids, "legend", "ALL")
    yield "undo that", session.stack.undo
    yield "move all", all_moved
    yield "undo the move", session.stack.undo
    yield "select all", lambda: selection.select(ids)
    yield "select one", lambda: selection.select(ids[:1])
    yield "other side", on["other_side"].trigger
    yield "zoom in", window.figure.zoom_in
    yield "zoom in again", window.figure.zoom_in
    yield "zoom to fit", window.figure.zoom_fit
    yield "front side", on["other_side"].trigger
    yield "save", window.map_file.save
    yield "keep for recovery", window.keeping.keep_now
    yield "open a legend cell", window.legend.edit_current
    yield "type a letter there", lambda: _type(QApplication.focusWidget(), "h")
    yield "type another", lambda: _type(QApplication.focusWidget(), "o")
    yield "finish the cell", table.typing.finish
    yield "go to the find box", window.legend.begin_find
    yield "type a letter to find", lambda: _type(window.legend.find_bar.line, "c")
    yield "type another to find", lambda: _type(window.legend.find_bar.line, "i")
    yield "type a slip to find", lambda: _type(window.legend.find_bar.line, "q")
    yield "find next", on["find_next"].trigger
    yield "clear the find box", window.legend.find_bar.line.clear
    yield "select all once more", lambda: selection.select(ids)
    yield "copy all", on_all("copy")
    yield (
        "set all legends again",
        partial(session.edit, "4", set_texts, ids, "legend", ""),
    )
    yield "paste all", on_all("paste")
    yield "cut all", on_all("cut")
    yield "paste all into nothing", on_all("paste")
    yield "select all cells of the table", table.selectAll
    yield "copy the cells", table.edits.copy
    yield "clear the cells", table.edits.clear
    yield "undo the clearing", session.stack.undo
    yield "select one once more", lambda: selection.select(ids[:1])
    yield "dark colours", on["look_dark"].trigger
    yield "light colours", on["look_light"].trigger
    yield "the sheets", on["print"].trigger
    yield "close the sheets", lambda: _close_all(window, SheetPreview)
    yield "select all but one", lambda: selection.select(ids[1:])
    yield "delete", on["delete"].trigger
    yield "revert", on["revert"].trigger


def _worn_acts(window: MainWindow, path: Path) -> Iterator[tuple[str, Act]]:
    session, selection = window.session, window.selection
    yield "open a second, worn map", lambda: window.map_file.open(path)
    gc.freeze()
    cavities = session.document.cavities
    ids = [i for i in cavities if cavities[i].block == selection.block]
    worse = Condition(state="corroded", severity=1)

    def worsen(number: int) -> Act:
        return lambda: session.edit("W", set_condition, ids[number], "load", worse)

    yield "select a worn place", lambda: selection.select(ids[5:6])
    for number in (7, 88, 199):
        yield f"set condition {number}", worsen(number)
    yield "undo a condition", session.stack.undo
    # The legend takes the survey's place in front again: a visible survey follows.
    docks = sorted(window.panes.docks, key=lambda name: name != "survey")
    for number, name in enumerate(docks, 300):
        yield f"bring the pane {name}", partial(window.panes.bring, name)
        yield f"{name}: set a condition", worsen(number)
    strip = list(session.document.strips)[1]
    yield "select a strip", lambda: selection.select_strip(strip)
    yield "the other block's tab", lambda: window.blocks.setCurrentIndex(1)
    yield "back to the large block", lambda: window.blocks.setCurrentIndex(0)
    yield "save it", window.map_file.save
    yield "the sheets again", window.actions_by_name["print"].trigger
    yield "close them again", lambda: _close_all(window, SheetPreview)


def _type(widget: QWidget | None, letter: str) -> None:
    assert widget is not None
    QTest.keyClick(widget, getattr(Qt.Key, f"Key_{letter.upper()}"))


def _close_all(window: MainWindow, kind: type[QWidget]) -> None:
    for one in window.findChildren(kind):
        one.close()


if __name__ == "__main__":
    given = sys.argv[1:]
    act = given[given.index("--profile") + 1] if "--profile" in given else ""
    main(int(given[0]) if given and given[0].isdigit() else 500, act)
