"""An exception inside the program is told once and costs nobody the map."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.analysis import findings
from blockmap.model.document import Map
from blockmap.window import application, guard
from blockmap.window import session as session_module
from blockmap.window.application import Windows, failure_report, without_paths
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from tests.faults.overrides import overrides
from tests.faults.sample import after, panel
from tests.faults.window_at_work import Answers, answers, change, new_window

__all__ = ["answers", "new_window"]

New = Callable[[], MainWindow]
Caught = list[tuple[str, BaseException]]


@pytest.fixture
def window(settings: Settings, answers: Answers) -> Iterator[MainWindow]:
    """Return the window of a running program, which is told of every failure."""
    windows = Windows(settings)
    guard.set_report_hook(windows.failed.emit)
    made = windows.open(None)
    made.map_file.start(panel())
    yield made
    made.session.mark_saved()
    made.close()
    QApplication.sendPostedEvents(None, 52)  # the deferred deletes


@pytest.fixture
def our_hooks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let what nobody catches go where it goes in the program."""
    monkeypatch.setattr(sys, "excepthook", application._uncaught)
    monkeypatch.setattr(threading, "excepthook", application._uncaught_in_thread)


def test_every_function_that_qt_calls_is_guarded() -> None:
    every = list(overrides())
    assert len(every) > 80
    assert [one.words for one in every if not one.guarded] == []


def test_the_process_lives_while_every_one_of_them_raises() -> None:
    ended = subprocess.run(
        [sys.executable, "-m", "tests.faults.overrides", "mixed"],
        capture_output=True,
        timeout=100,
        check=False,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    assert ended.returncode == 0, ended.stderr[-2000:]
    reached = ended.stdout.split()
    assert int(reached[0]) * 10 >= int(reached[2]) * 7


def _raise(*_given: object) -> None:
    raise KeyError("/home/anna/cars/secret.yaml", "C:\\Users\\anna\\x", "F1")


@pytest.mark.qt_no_exception_capture
def test_a_failing_slot_is_told_once_with_a_report_to_copy(
    window: MainWindow, our_hooks: None, qtbot: QtBot
) -> None:
    change(window, "STEP 1")
    for _ in range(3):
        QTimer.singleShot(0, _raise)
    qtbot.waitUntil(lambda: bool(window.bar.text))
    assert "The map is as it was" in window.bar.text
    window.bar._copy.click()
    report = QGuiApplication.clipboard().text()
    assert "KeyError" in report
    assert "test_failures_inside.py" in report
    assert "F1" in report
    for secret in ("anna", "secret", str(Path.home()), os.sep + "blockmap"):
        assert secret not in report
    window.bar._close()
    assert not window.bar.isVisible()
    assert window.session.document == after(panel(), 1)


def test_a_failure_in_a_thread_reaches_the_window(
    window: MainWindow, our_hooks: None, qtbot: QtBot
) -> None:
    thread = threading.Thread(target=_raise)
    thread.start()
    thread.join()
    assert not window.bar.isVisible()  # only the thread of the window may show it
    qtbot.waitUntil(window.bar.isVisible)


def test_failing_checks_are_a_finding_and_not_silence(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_given: object) -> None:
        raise ZeroDivisionError

    with monkeypatch.context() as failing:
        failing.setattr(findings, "checked", fail)
        with qtbot.waitSignal(window.checker.checked):
            change(window, "STEP 1")
        (finding,) = window.checker.latest
    assert finding.code == "checks-failed"
    assert "this map is not checked" in finding.what
    assert window.findings._table.rowCount() == 1
    qtbot.waitUntil(window.bar.isVisible)
    with qtbot.waitSignal(window.checker.checked):
        change(window, "STEP 2")
    assert all(one.code != "checks-failed" for one in window.checker.latest)


def test_a_failing_report_harms_nobody(caplog: pytest.LogCaptureFixture) -> None:
    def hook(_where: str, _problem: BaseException) -> None:
        raise RuntimeError

    guard.set_report_hook(hook)
    _guarded_failure()
    assert "could not be reported" in caplog.text


@guard.guarded()
def _guarded_failure() -> None:
    raise ValueError


@pytest.mark.parametrize(
    ("text", "clean"),
    [
        ("no such file: '/home/anna/a b/car.yaml'", "no such file: '(path)'"),
        ("C:\\Users\\anna\\car.yaml", "(path)"),
        ("\\\\server\\anna\\car", "(path)"),
        ("~/cars/x", "(path)"),
        ("5 A/10 A and 1 / 2, m/s", "5 A/10 A and 1 / 2, m/s"),
    ],
)
def test_reports_name_no_path(text: str, clean: str) -> None:
    assert without_paths(text) == clean
    assert clean in failure_report("x", ValueError(text))


def test_an_exception_in_an_edit_leaves_map_and_history(
    new_window: New, caught_failures: Caught
) -> None:
    window = new_window()
    window.map_file.start(panel())
    change(window, "STEP 1")
    for kind in (ZeroDivisionError, IndexError, KeyError, MemoryError, RecursionError):

        def fail(_document: Map, kind: type[Exception] = kind) -> Map:
            raise kind

        assert not window.session.edit("Fail", fail)
        assert window.session.document == after(panel(), 1)
        assert window.session.stack.count() == 1
    assert len(caught_failures) == 5
    caught_failures.clear()
    window.session.stack.undo()
    assert window.session.document == panel()


def test_a_failure_in_the_middle_of_undo_or_redo_leaves_map_and_history_together(
    new_window: New, caught_failures: Caught, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = new_window()
    window.map_file.start(panel())
    for step in (1, 2, 3):
        change(window, f"STEP {step}")
    maps = [panel(), *(after(panel(), step) for step in (1, 2, 3))]
    session, stack = window.session, window.session.stack

    def fail(*_given: object) -> None:
        raise KeyError

    for turn in (stack.undo, stack.undo, stack.redo, stack.undo, stack.undo):
        for name in ("changes_between", "garbage"):
            with monkeypatch.context() as failing:
                failing.setattr(session_module, name, fail)
                turn()
            assert session.document == maps[stack.index()]
        back = stack.redo if turn == stack.undo else stack.undo
        back()
        assert session.document == maps[stack.index()]
    assert caught_failures
    caught_failures.clear()
    stack.setIndex(0)
    assert session.document == panel()
    stack.setIndex(3)
    assert session.document == maps[3]
