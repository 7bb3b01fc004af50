"""Printing never costs the last PDF, and what cannot be printed is said before."""

from __future__ import annotations

import errno
import os
import threading
from collections.abc import Callable
from pathlib import Path
from threading import Event
from typing import Any

import pdfplumber
import pytest
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from pytestqt.qtbot import QtBot

from blockmap.drawing.primitives import Text
from blockmap.files.disk import Disk, Stopped
from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.model.edits import set_texts
from blockmap.sheets.catalogue import SHEETS, SheetKind, SheetOptions
from blockmap.sheets.pdf import pdf_bytes
from blockmap.window import printing
from blockmap.window.main_window import MainWindow
from blockmap.window.page_view import page_image, page_sizes_mm
from blockmap.window.printing import paint_pages
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.table_files import export_table
from tests.faults.sample import panel, saved_panel
from tests.faults.window_at_work import Answers, answers, change, new_window

__all__ = ["answers", "new_window"]


class _Printers:
    """Stands for the class of printers and always gives this one."""

    PrinterMode = QPrinter.PrinterMode

    def __init__(self, printer: QPrinter) -> None:
        self._printer = printer

    def __call__(self, *_given: object) -> QPrinter:
        return self._printer


@pytest.fixture
def window(new_window: Callable[[], MainWindow], tmp_path: Path) -> MainWindow:
    """Return a window with a saved map."""
    made = new_window()
    assert made.map_file.open(saved_panel(tmp_path)).wait()
    return made


@pytest.fixture
def preview(window: MainWindow, qtbot: QtBot) -> SheetPreview:
    """Return the sheets of the map, composed."""
    made = SheetPreview(window.session, window.selection, window.settings, window)
    made.show()
    qtbot.waitUntil(lambda: made.pdf.startswith(b"%PDF"), timeout=20_000)
    return made


def saved(preview: SheetPreview) -> None:
    """Save the PDF and wait until that has ended."""
    preview.save_pdf()
    for job in list(preview.disk._jobs):
        job.wait()


@pytest.mark.parametrize(
    ("call", "code", "words"),
    [
        ("write", errno.ENOSPC, "the disk is full"),
        ("flush", errno.EIO, "the earlier file is whole"),
        ("replace", errno.EACCES, "may not write"),  # open in a viewer that locks it
    ],
)
def test_a_failing_disk_keeps_the_old_pdf(
    preview: SheetPreview,
    tmp_path: Path,
    answers: Answers,
    monkeypatch: pytest.MonkeyPatch,
    call: str,
    code: int,
    words: str,
) -> None:
    old = tmp_path / "old.pdf"
    old.write_bytes(b"%PDF old")
    answers.save_to = [old, old]

    def fail(*_given: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as failing:
        failing.setattr(Disk, call, fail)
        saved(preview)
    assert old.read_bytes() == b"%PDF old"
    assert "The PDF was not saved" in answers.last
    assert words in answers.last
    saved(preview)
    assert old.read_bytes() == preview.pdf
    preview.close()


def test_a_pdf_or_a_table_never_replaces_the_map(
    preview: SheetPreview, window: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    path = window.session.path
    assert path is not None
    link = tmp_path / "link.pdf"
    link.symlink_to(path.name)
    answers.save_to = [path, link, path]
    preview.save_pdf()
    preview.save_pdf()
    export_table(window)
    assert answers.kinds.count("tell") == 3
    assert load(path).document == panel()
    preview.close()


def a_printer(target: Path) -> QPrinter:
    """Return a printer that prints into a file."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(target))
    printer.setResolution(150)
    return printer


def test_pages_are_printed_beside_the_work_at_true_size(
    preview: SheetPreview,
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    target, released, begun = tmp_path / "print.pdf", Event(), Event()
    printer = a_printer(target)

    def page(*given: Any) -> QImage:
        assert threading.current_thread() is not threading.main_thread()
        begun.set()
        assert released.wait(60)
        return page_image(*given)

    monkeypatch.setattr(printing, "page_image", page)
    monkeypatch.setattr(printing, "QPrinter", _Printers(printer))
    monkeypatch.setattr(QPrintDialog, "exec", lambda _dialog: 1)
    preview.print_pages()
    qtbot.waitUntil(begun.is_set)
    qtbot.waitUntil(lambda: "Printing" in preview.disk.text, timeout=20_000)
    released.set()
    for job in list(preview.disk._jobs):
        assert job.wait()
    with pdfplumber.open(target) as printed:
        assert len(printed.pages) == len(page_sizes_mm(preview.pdf))
        (width, height), *_ = page_sizes_mm(preview.pdf)
        first = printed.pages[0]
        assert float(first.width) / 72 * 25.4 == pytest.approx(width, abs=0.2)
        assert float(first.height) / 72 * 25.4 == pytest.approx(height, abs=0.2)
        assert first.images
    preview.close()


def test_printing_can_be_cancelled_between_pages(
    preview: SheetPreview, tmp_path: Path
) -> None:
    def stop() -> None:
        raise Stopped

    with pytest.raises(Stopped):
        paint_pages(a_printer(tmp_path / "x.pdf"), preview.pdf, stop)
    assert not (tmp_path / "x.pdf").exists()
    preview.close()


def test_closing_while_a_sheet_is_composed_does_no_harm(
    window: MainWindow, qtbot: QtBot
) -> None:
    for _ in range(3):
        made = SheetPreview(window.session, window.selection, window.settings, window)
        made.show()
        change(window, f"STEP {_}")
        made.close()
    window.checker.stop()
    qtbot.wait(50)
    assert window.bar.text == ""


HARD_TEXTS = {
    "Han": "保险丝盒",
    "emoji": "🔌🚗",
    "right to left": "مصباح",
    "marks": "e" + "\u0301" * 60,
    "bidi": "abc\u202edef",
    "markup": "<b>&amp;</b> <img src='file:///etc/passwd'/> %s {0}",
    "long": "W" * 200,
}


def tagged(text: str) -> Map:
    """Return the map with the text wherever a person may write one."""
    document = panel()
    for key in ("legend", "legend_long", "legend_short", "circuit", "notes"):
        document = set_texts(document, ["panel/F1"], key, text)
    return document


@pytest.mark.parametrize("kind", SHEETS, ids=lambda kind: kind.name)
@pytest.mark.parametrize("name", HARD_TEXTS)
def test_a_hard_text_is_printed_or_named(kind: SheetKind, name: str) -> None:
    sheet = kind.compose(tagged(HARD_TEXTS[name]), SheetOptions())
    assert pdf_bytes(sheet, "Hard").startswith(b"%PDF")
    if kind.name in ("labels", "card") and name in ("Han", "emoji", "right to left"):
        codes = [f"U+{ord(char):04X}" for char in dict.fromkeys(HARD_TEXTS[name])]
        said = " ".join(sheet.notes)
        assert all(code in said for code in codes[:4])
        if len(codes) > 4:
            assert f"and {len(codes) - 4} more" in said, "the rest is counted"


def test_ten_thousand_characters_are_printed_whole_or_named() -> None:
    document = tagged("word " * 1999)
    for kind in SHEETS:
        sheet = kind.compose(document, SheetOptions())
        assert pdf_bytes(sheet, "Long").startswith(b"%PDF")
        if kind.name == "labels":
            assert any("does not fit" in note for note in sheet.notes)
        if kind.name == "card":
            texts = [
                one.text
                for page in sheet.pages
                for one in page.primitives
                if isinstance(one, Text)
            ]
            assert sum(text.count("word") for text in texts) >= 1999
