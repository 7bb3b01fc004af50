"""A long day at the real window; run as python -m tests.faults.long_session.

Steps, seed and how often it rests may follow: 20000 1 500.

A hand that a seed moves edits, undoes, looks from all sides, drags, types, copies,
saves, prints and opens the map again. Beside it a replay applies the same edits to the
map alone: both must agree at every rest, and the file must hold what was saved. Memory,
live objects, references to None, messages of Qt and failures inside are watched.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import (
    QMessageLogContext,
    QPoint,
    Qt,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from blockmap.files.store import load, save
from blockmap.model.document import Map
from blockmap.model.edits import Grid, add_grid, set_car_text, set_texts
from blockmap.model.geometry import Point, View
from blockmap.resources import layout
from blockmap.window import dialogs, garbage
from blockmap.window.application import leave_text_on_clipboard, prepare
from blockmap.window.guard import set_report_hook
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.theme import set_appearance
from blockmap.window.worker import Worker
from tests.faults.weights import Weight, weigh

__all__ = ["Day", "Report"]

_OF_THIS_SCREEN = ("propagateSizeHints", "support raise()", "grabbing the keyboard")
_VALUES: dict[str, tuple[str, ...]] = {
    "rating_a": ("5", "7.5", "10", "15", "20", "30", "", "-1", "nan", "ten"),
    "legend": ("STOP", "CLOCK", "", "A" * 40, "éß⏚", "a & b <b>", "\u202eabc"),
    "circuit": ("Stop lamps", "Clock and radio", "", "x" * 200),
    "wires": ("brown 16 AWG", "dark green/white 14 AWG", "", "no colour"),
    "loads": ("lamp 3.5 A", "horn 5 A, lamp 21 W", "", "lamp lots"),
    "feed_side": ("top", "bottom", "left", "nowhere"),
    "form": ("medium blade", "small blade", "no such form"),
    "notes": ("seen", "line 1\nline 2", ""),
}
_COMMANDS = (
    *("turn_right", "turn_left", "align_left", "align_top", "align_row"),
    *("align_column", "distribute_across", "distribute_down", "duplicate", "delete"),
    *("select_all", "select_none", "invert", "fill_down", "copy", "cut", "paste"),
    *("zoom_in", "zoom_out", "zoom_fit", "zoom_selection", "other_side"),
    *("view_front", "view_rear", "view_flipped", "view_turned", "find_next"),
    *("tool_select", "tool_cavity", "tool_row", "tool_grid", "next_pane", "snap"),
)


@dataclass
class Report:
    """What the day showed."""

    steps: int = 0
    edits: int = 0
    refused: int = 0
    undone: int = 0
    redone: int = 0
    saves: int = 0
    prints: int = 0
    opened: int = 0
    weights: list[Weight] = field(default_factory=list)
    qt_messages: list[str] = field(default_factory=list)
    failures: list[str] = field(default_factory=list)


class _Replay:
    """The same edits on the map alone, without a window."""

    def __init__(self, window: MainWindow) -> None:
        self._session = window.session
        self._edit = window.session.edit
        self.documents = [window.session.document]
        self.place = 0
        self._gesture: object | None = None
        window.session.edit = self.edit  # type: ignore[method-assign]

    @property
    def document(self) -> Map:
        return self.documents[self.place]

    def begin(self) -> None:
        """Start anew: the file was opened again."""
        self.documents, self.place = [self._session.document], 0

    def edit(
        self,
        text: str,
        function: Callable[..., Any],
        *args: Any,
        gesture: object | None = None,
        **kwargs: Any,
    ) -> bool:
        """Do an edit in the window, then here."""
        before = self.document
        done = self._edit(text, function, *args, gesture=gesture, **kwargs)
        if done:
            result = function(before, *args, **kwargs)
            after = result[0] if isinstance(result, tuple) else result
            same = gesture is not None and gesture is self._gesture
            keep = (
                self.place
                if same and self._session.stack.count() <= self.place
                else (self.place + 1)
            )
            self.documents[keep:] = [after]
            self.place = keep
            self._gesture = gesture
        return done

    def undo(self) -> None:
        self.place -= 1
        self._gesture = None

    def redo(self) -> None:
        self.place += 1
        self._gesture = None


class Day:
    """One window, one file, one hand."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.chance = random.Random(seed)
        self.report = Report()
        self.path = folder / "car.blockmap.yaml"
        save(self.path, load(layout("demo")).document)
        for name in dialogs.__all__:
            if name.startswith("ask") or name == "tell":
                setattr(dialogs, name, self._asked)
        self.window = MainWindow(Settings(folder / "config", folder / "state"))
        self.window.session.refused.connect(self._refused)
        assert self.window.map_file.open(self.path).wait()
        self.window.show()
        self.replay = _Replay(self.window)
        QApplication.processEvents()

    def _asked(self, *words: object) -> None:
        raise AssertionError(f"asked: {words}")

    def _refused(self, _words: str) -> None:
        self.report.refused += 1

    def live(self, steps: int, rest_every: int = 500) -> Report:
        """Take so many steps and return what they showed."""
        set_report_hook(lambda w, p: self.report.failures.append(f"{w}: {p!r}"))
        earlier = qInstallMessageHandler(self._qt_says)
        try:
            for number in range(1, steps + 1):
                self._step()
                QApplication.processEvents()
                self.report.steps = number
                if number % rest_every == 0:
                    self._rest()
            self._rest()
        finally:
            qInstallMessageHandler(earlier)
            set_report_hook(None)
        return self.report

    def end(self) -> None:
        """Close the window."""
        self.window.session.mark_saved()
        self.window.close()
        QApplication.processEvents()

    def _qt_says(self, _kind: QtMsgType, _at: QMessageLogContext, text: str) -> None:
        if not any(words in text for words in _OF_THIS_SCREEN):
            self.report.qt_messages.append(text)

    def _ids(self) -> list[str]:
        return list(self.window.session.document.cavities)

    def _step(self) -> None:
        kinds = (
            (self._edit, 30),
            (self._choose, 15),
            (self._command, 25),
            (self._undo, 12),
            (self._redo, 6),
            (self._drag, 5),
            (self._type, 3),
            (self._save, 2),
            (self._find, 1),
            (self._look, 0.2),
            (self._print, 0.2),
        )
        acts, weights = zip(*kinds, strict=True)
        ids = self._ids()
        if len(ids) < 10:
            self._grow()
        elif len(ids) > 60:
            self.window.selection.select(self.chance.sample(ids, 30))
            self.window.actions_by_name["delete"].trigger()
        else:
            self.chance.choices(acts, weights)[0]()

    def _grow(self) -> None:
        block = next(iter(self.window.session.document.blocks))
        place = Point(self.chance.uniform(20, 60), self.chance.uniform(20, 60))
        word = f"N{self.chance.randrange(10**6)}"
        grid = Grid(first=place, columns=5, rows=2, first_designation=word)
        self.report.edits += self.window.session.edit("Add", add_grid, block, grid)

    def _edit(self) -> None:
        key = self.chance.choice(list(_VALUES))
        value = self.chance.choice(_VALUES[key])
        ids = self.chance.sample(self._ids(), self.chance.randint(1, 3))
        session = self.window.session
        if self.chance.random() < 0.05:
            self.report.edits += session.edit("Car", set_car_text, "notes", value)
            return
        self.report.edits += session.edit("Set", set_texts, ids, key, value)

    def _choose(self) -> None:
        ids = self._ids()
        self.window.selection.select(
            self.chance.sample(ids, min(len(ids), self.chance.randint(1, 8)))
        )

    def _command(self) -> None:
        action = self.window.actions_by_name[self.chance.choice(_COMMANDS)]
        if action.isEnabled():
            action.trigger()

    def _undo(self) -> None:
        for _ in range(self.chance.randint(1, 5)):
            if self.window.session.stack.canUndo():
                self.window.actions_by_name["undo"].trigger()
                self.replay.undo()
                self.report.undone += 1

    def _redo(self) -> None:
        for _ in range(self.chance.randint(1, 5)):
            if self.window.session.stack.canRedo():
                self.window.actions_by_name["redo"].trigger()
                self.replay.redo()
                self.report.redone += 1

    def _drag(self) -> None:
        port = self.window.figure.viewport()

        def place() -> QPoint:
            return QPoint(
                self.chance.randrange(max(1, port.width())),
                self.chance.randrange(max(1, port.height())),
            )

        QTest.mousePress(
            port,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
            place(),
        )
        for _ in range(3):
            QTest.mouseMove(port, place())
        if self.chance.random() < 0.2:
            QTest.keyClick(self.window.figure, Qt.Key.Key_Escape)
        QTest.mouseRelease(
            port,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
            place(),
        )

    def _type(self) -> None:
        self.window.legend.edit_current()
        target = QApplication.focusWidget()
        if target is not None:
            for char in self.chance.choice(("15", "HORN", "NO SUCH", "")):
                QTest.keyClick(target, Qt.Key(ord(char)))
            end = self.chance.choice((Qt.Key.Key_Return, Qt.Key.Key_Escape))
            QTest.keyClick(QApplication.focusWidget() or target, end)
        self.window.figure.setFocus()

    def _find(self) -> None:
        self.window.legend.begin_find()
        target = QApplication.focusWidget()
        if target is not None:
            QTest.keyClick(target, Qt.Key(ord(self.chance.choice("ABCF1"))))
            QTest.keyClick(target, Qt.Key.Key_Escape)

    def _look(self) -> None:
        set_appearance(self.chance.choice(("light", "dark")))
        self.window.selection.set_view(self.chance.choice(list(View)))

    def _save(self) -> None:
        assert self.window.map_file.save().wait()
        self.report.saves += 1
        assert load(self.path).document == self.window.session.document

    def _print(self) -> None:
        self.window.actions_by_name["print"].trigger()
        preview = self.window.findChild(SheetPreview)
        assert preview is not None
        end = time.monotonic() + 30
        while not preview.pdf and time.monotonic() < end:
            QApplication.processEvents()
        assert preview.pdf.startswith(b"%PDF")
        preview.close()
        self.report.prints += 1

    def _rest(self) -> None:
        """Compare with the replay, open the file again, and measure."""
        document = self.window.session.document
        assert self.replay.document == document, f"at step {self.report.steps}"
        self._save()
        assert self.window.map_file.open(self.path).wait()
        assert self.window.session.document == document
        self.replay.begin()
        self.report.opened += 1
        self.window.checker.stop()
        self.window.keeping._stop()
        for worker in self.window.findChildren(Worker):
            worker.wait(30_000)
        QApplication.sendPostedEvents(None, 52)  # the deferred deletes
        QApplication.processEvents()
        weight = weigh()
        self.report.weights.append(weight)
        sys.stdout.write(f"step {self.report.steps}: {weight.words()}\n")
        sys.stdout.flush()


def main(steps: int, seed: int, rest_every: int) -> None:
    """Live a day and print what it showed."""
    garbage.begin(prepare())
    with tempfile.TemporaryDirectory() as folder:
        day = Day(Path(folder), seed)
        try:
            report = day.live(steps, rest_every)
        finally:
            day.end()
            leave_text_on_clipboard()
    for name, value in vars(report).items():
        if name != "weights":
            sys.stdout.write(f"{name}: {value}\n")
    for row in fields(Weight):
        values = [getattr(weight, row.name) for weight in report.weights]
        sys.stdout.write(f"{row.name}: {values}\n")


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    main(*given, *(20_000, 1, 500)[len(given) :])
