"""Odd settings, odd folders, little memory, long undoing: the window goes on."""

from __future__ import annotations

import _thread
import os
import subprocess
import sys
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.disk import Disk
from blockmap.files.store import load, save
from blockmap.model.document import Map, empty_map
from blockmap.model.edits import set_texts
from blockmap.model.errors import StoreFailed
from blockmap.window import aside
from blockmap.window.main_window import DROP_LIMIT, MainWindow
from blockmap.window.session import Session
from blockmap.window.settings import Settings
from tests.faults.driven import driven
from tests.faults.sample import after, panel, saved_panel
from tests.faults.window_at_work import Answers, answers, change, new_window

__all__ = ["answers", "new_window"]

New = Callable[[], MainWindow]


@pytest.mark.qt_log_ignore("an instance of an invalid type", extend=True)
@pytest.mark.parametrize(
    "garbage",
    [
        b"\xff\xfe\x00garbage",
        b"[General]\nappearance=mauve\npaper=@Invalid()\ncorrect_x=nan-ish\nsnap=x\n"
        b"geometry=@ByteArray(nonsense)\npanes=@ByteArray(\\xff)\nrecent=@Variant(9)\n"
        b"folder=12\nlegend_columns=@Variant(garbage)\n",
        b"[General\n" * 1000,
    ],
)
def test_damaged_settings_count_as_none(
    tmp_path: Path, qtbot: QtBot, answers: Answers, garbage: bytes
) -> None:
    for place in (
        tmp_path / "config" / "preferences.ini",
        tmp_path / "state" / "window.ini",
    ):
        place.parent.mkdir()
        place.write_bytes(garbage)
    settings = Settings(tmp_path / "config", tmp_path / "state")
    window = MainWindow(settings)
    qtbot.addWidget(window)
    window.show()
    screen = QApplication.primaryScreen().availableGeometry()
    assert screen.intersects(window.frameGeometry())
    window.map_file.start(panel())
    assert settings.value("correct_x") == 1.0
    window.session.mark_saved()


@pytest.mark.skipif(os.name != "posix", reason="HOME is a matter of POSIX")
def test_without_a_home_that_can_be_written_it_starts(tmp_path: Path) -> None:
    home = tmp_path / "file"
    home.write_text("no folder")
    body = "edit(1); window().keeping.flush(); app.processEvents()\nsay('up')"
    with driven(body, home, saved_panel(tmp_path)) as child:
        child.wait_for("up")
        child.process.terminate()
        code, _, wrong = child.end()
        assert (code, wrong) == (0, "")


def test_no_step_of_saving_or_keeping_survives_a_missing_byte_of_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = saved_panel(tmp_path)
    for name in ("create", "write", "flush", "replace"):

        def fail(*_given: object) -> None:
            raise MemoryError

        with monkeypatch.context() as failing:
            failing.setattr(Disk, name, fail)
            with pytest.raises(StoreFailed, match="there is not enough memory"):
                save(path, after(panel(), 1))
        assert load(path).document == panel()
        assert {f.name for f in tmp_path.iterdir()} <= {path.name, path.name + "~"}


_NO_FILE_LEFT = """
import resource
asked = []
dialogs.ask_elsewhere = lambda _window, *words: asked.append(" ".join(words))
def starve():
    hard = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    last = max(map(int, os.listdir("/proc/self/fd")))
    resource.setrlimit(resource.RLIMIT_NOFILE, (last + 3, hard))
    taken = []
    while True:
        try:
            taken.append(os.open("/dev/null", os.O_RDONLY))
        except OSError:
            break
    job = window().map_file.save()
    window().keeping.flush()
    for each in taken:
        os.close(each)
    words = window().bar.text
    say(job.result, "too many files are open" in asked[0])
    say("Recovery is off" in words and "too many files are open" in words)
    say(window().map_file.save().wait(), window().session.saved)
edit(1)
# A thread of Qt that starts meanwhile would be ended by a library below Qt.
QTimer.singleShot(1000, starve)
"""


@pytest.mark.skipif(
    not Path("/proc/self/fd").is_dir(), reason="names of open files are read there"
)
def test_when_no_file_can_be_opened_any_more_that_is_told_and_passes(
    tmp_path: Path,
) -> None:
    path = saved_panel(tmp_path)
    with driven(_NO_FILE_LEFT, tmp_path, path) as child:
        child.wait_for("False True")
        child.wait_for("True")
        child.wait_for("True True")
        child.process.terminate()
        code, _, wrong = child.end()
    assert (code, wrong) == (0, "")
    assert load(path).document == after(panel(), 1)


def test_without_memory_a_map_is_not_read_and_that_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_given: object) -> None:
        raise MemoryError

    path = saved_panel(tmp_path)
    for name in ("read", "fstat", "open_to_read"):
        with monkeypatch.context() as failing:
            failing.setattr(Disk, name, fail)
            with pytest.raises(StoreFailed, match="not read: there is not enough mem"):
                load(path)
    assert load(path).document == panel()


def test_without_a_thread_a_save_fails_and_the_map_stays(
    new_window: New,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    caught_failures: list[tuple[str, BaseException]],
) -> None:
    path = saved_panel(tmp_path)
    window = new_window()
    assert window.map_file.open(path).wait()
    change(window, "STEP 1")

    def refuse(*_given: object) -> None:
        raise RuntimeError("can't start new thread")

    with monkeypatch.context() as failing:
        failing.setattr(_thread, "start_new_thread", refuse)
        assert not window.map_file.save().wait()
        window.keeping.flush()
    assert {str(problem) for _, problem in caught_failures} == {
        "can't start new thread"
    }
    caught_failures.clear()
    assert load(path).document == panel()
    assert not window.session.saved
    assert aside.wait_for_calls(5)
    assert window.map_file.save().wait()
    assert load(path).document == after(panel(), 1)


def test_thousands_of_steps_back_and_forth(qtbot: QtBot) -> None:
    session = Session(panel())
    tracemalloc.start()
    for step in range(3000):
        text = f"STEP {step}"
        session.edit("Set", set_texts, ["panel/F1"], "legend", text)
    used = tracemalloc.get_traced_memory()[0]
    tracemalloc.stop()
    assert used / 3000 * 20_000 < 100 * 1024 * 1024  # what a full history holds
    last = session.document
    session.mark_saved()
    for _ in range(3000):
        session.stack.undo()
    assert session.document == panel()
    assert not session.saved
    for _ in range(3000):
        session.stack.redo()
    assert session.document is last
    assert session.saved


def test_a_drop_of_many_files_is_bounded_and_odd_ones_are_refused(
    new_window: New, tmp_path: Path, answers: Answers
) -> None:
    window = new_window()
    wanted: list[object] = []
    window.window_wanted.connect(wanted.append)
    window.map_file.start(panel())
    files = [QUrl.fromLocalFile(str(tmp_path / f"{n}")) for n in range(500)]
    data = QMimeData()
    data.setUrls([QUrl("https://example.invalid/x"), *files])
    window.dropEvent(
        QDropEvent(
            QPointF(1, 1),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )
    assert len(wanted) == DROP_LIMIT
    for odd in (tmp_path, tmp_path / "missing", tmp_path / ("x" * 300)):
        assert not window.map_file.open(odd).wait()
    assert answers.kinds == ["tell"] * 3


def test_zooming_without_end_and_windows_without_room(new_window: New) -> None:
    window = new_window()
    window.map_file.start(empty_map())
    window.map_file.start(panel())
    figure = window.figure
    for size in ((1, 1), (5000, 10), (10, 5000), (900, 600)):
        window.resize(*size)
        figure.zoom_fit()
        QApplication.processEvents()
    for step in (figure.zoom_in, figure.zoom_out):
        for _ in range(400):
            step()
        assert 0 < figure.frame_now.scale < 1e6
        figure.viewport().repaint()
    figure.zoom_fit()


NASTY = ("W" * 9000, "e" + "\u0301" * 5000, "\u202e<b>x</b>&amp;%s\u200f", "a\tb")


@pytest.mark.parametrize("text", NASTY, ids=["long", "marks", "bidi", "tab"])
def test_hard_texts_are_painted_and_never_read_as_markup(
    new_window: New, text: str, answers: Answers
) -> None:
    window = new_window()
    document: Map = panel()
    for key in ("legend", "circuit", "notes"):
        document = set_texts(document, ["panel/F1"], key, text)
    window.map_file.start(document)
    window.selection.select(["panel/F1"])
    QApplication.processEvents()
    picture = window.grab()
    assert not picture.isNull()
    change(window, "SHORT")


@pytest.mark.parametrize(
    "surroundings",
    [
        {"LC_ALL": "C"},
        {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"},
        {"LC_ALL": "tr_TR.ISO-8859-9"},
        {"PYTHONUTF8": "0", "LC_ALL": "POSIX"},
    ],
)
def test_files_are_alike_in_every_locale(
    tmp_path: Path, surroundings: dict[str, str]
) -> None:
    path = tmp_path / "é.yaml"
    code = (
        "import locale, sys\n"
        "try: locale.setlocale(locale.LC_ALL, '')\n"
        "except locale.Error: pass\n"
        "from blockmap.files.store import save\n"
        "from blockmap.model.edits import set_texts\n"
        "from tests.faults.sample import panel\n"
        "m = set_texts(panel(), ['panel/F1'], 'rating_a', '7,5')\n"
        "text = 'I\\u011e\\u0130 \\xe9'\n"
        "save(sys.argv[1], set_texts(m, ['panel/F1'], 'legend', text))\n"
    )
    subprocess.run(
        [sys.executable, "-c", code, os.fsencode(path)],
        check=True,
        env=os.environ | surroundings,
        cwd=Path(__file__).parents[2],
    )
    cavity = load(path).document.cavities["panel/F1"]
    assert (cavity.rating_a, cavity.legend) == (7.5, "IĞİ é")
    assert "rating_a: 7.5" in path.read_text(encoding="utf-8")
