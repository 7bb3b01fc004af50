"""Printing never costs the last PDF, and what cannot be printed is said before."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from blockmap.drawing.primitives import Text
from blockmap.files.disk import Disk
from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.model.edits import set_texts
from blockmap.sheets.catalogue import SHEETS, SheetKind, SheetOptions
from blockmap.sheets.pdf import pdf_bytes
from blockmap.window.main_window import MainWindow
from blockmap.window.sheet_preview import SheetPreview
from blockmap.window.table_files import export_table
from tests.faults.sample import panel, saved_panel
from tests.faults.window_at_work import Answers, answers, change, new_window

__all__ = ["answers", "new_window"]


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
        for char in HARD_TEXTS[name]:
            assert any(f"U+{ord(char):04X}" in note for note in sheet.notes)


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
