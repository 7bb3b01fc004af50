"""A printer that is gone, takes nothing or does not answer is told; nothing waits.

The command lp of POSIX (IEEE Std 1003.1) stands here as a script of ours.
"""

from __future__ import annotations

import os
import threading
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from pytestqt.qtbot import QtBot

from blockmap.window import printing
from blockmap.window.main_window import MainWindow
from blockmap.window.sheet_preview import SheetPreview
from tests.faults.sample import saved_panel
from tests.faults.test_hung_share import is_served, press
from tests.faults.window_at_work import Answers, answers, new_window, window

__all__ = ["answers", "new_window", "window"]

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the spooler of POSIX")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return the file of a saved map."""
    return saved_panel(tmp_path)


class _Queue(QPrinter):
    """A printer of the system, where there is none."""

    def outputFormat(self) -> QPrinter.OutputFormat:
        return QPrinter.OutputFormat.NativeFormat

    def printerName(self) -> str:
        return "Garage"

    def copyCount(self) -> int:
        return 2


@pytest.fixture
def preview(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> SheetPreview:
    """Return the sheets of the map, about to be printed on a queue of the system."""
    made = SheetPreview(window.session, window.selection, window.settings, window)
    made.show()
    qtbot.waitUntil(lambda: made.pdf.startswith(b"%PDF"), timeout=20_000)
    queue = type("Queues", (), {"PrinterMode": QPrinter.PrinterMode})
    queue.__new__ = lambda *_given: _Queue()  # type: ignore[assignment, method-assign]
    monkeypatch.setattr(printing, "QPrinter", queue)
    monkeypatch.setattr(QPrintDialog, "exec", lambda _dialog: 1)
    return made


def put_lp(folder: Path, script: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let lp be a script."""
    place = folder / "bin"
    place.mkdir()
    (place / "lp").write_text(f"#!/bin/sh\ncd '{folder}'\n{script}\n")
    (place / "lp").chmod(0o755)
    monkeypatch.setenv("PATH", f"{place}{os.pathsep}{os.environ['PATH']}")


def test_the_spooler_gets_the_very_pdf_unscaled_and_as_often_as_wished(
    preview: SheetPreview,
    tmp_path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    put_lp(tmp_path, 'echo "$@" > asked; cat > taken', monkeypatch)
    preview.print_pages()
    for job in list(preview.disk._jobs):
        assert job.wait()
    assert (tmp_path / "taken").read_bytes() == preview.pdf
    asked = (tmp_path / "asked").read_text()
    assert asked.startswith("-d Garage -n 2 -o print-scaling=none -o media=A4")
    assert answers.kinds == []
    preview.close()


@pytest.mark.parametrize(
    "script",
    [
        "cat > /dev/null; echo 'lp: no such printer' >&2; exit 1",
        "echo 'lp: no such printer' >&2; exit 1",  # ends before it has read the pages
    ],
)
def test_a_printer_that_is_gone_is_told_in_the_words_of_the_system(
    preview: SheetPreview,
    tmp_path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
    script: str,
) -> None:
    put_lp(tmp_path, script, monkeypatch)
    preview.print_pages()
    for job in list(preview.disk._jobs):
        assert not job.wait()
    assert answers.kinds == ["tell"]
    assert answers.last.startswith("The printer did not take the pages")
    assert "lp: no such printer" in answers.last
    assert "Save the PDF" in answers.last
    preview.close()


def test_a_print_server_that_does_not_answer_holds_nobody_up(
    preview: SheetPreview,
    tmp_path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot,
) -> None:
    put_lp(tmp_path, "echo $$ > process; exec sleep 600", monkeypatch)
    preview.print_pages()
    qtbot.waitUntil(lambda: "Printing" in preview.disk.text, timeout=20_000)
    is_served(qtbot)
    press(preview.disk, "Cancel")
    assert answers.kinds == ["tell"]
    assert "Printing was cancelled" in answers.last
    gone, process = Event(), int((tmp_path / "process").read_text())

    def is_gone() -> bool:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            gone.set()
        return gone.is_set()

    qtbot.waitUntil(is_gone, timeout=20_000)
    assert threading.main_thread().is_alive()
    preview.close()
