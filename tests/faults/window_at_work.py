"""The real window with its questions answered, for tests that have no hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from blockmap.model.edits import set_texts
from blockmap.window import dialogs
from blockmap.window.dialogs import DiskChoice, UnsavedChoice
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings

__all__ = ["Answers", "answers", "change", "look_at_disk", "new_window", "window"]


class Answers:
    """What was asked and said, and what is answered: nothing unless a test says."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, str]] = []
        self.unsaved = UnsavedChoice.CANCEL
        self.disk = DiskChoice.CANCEL
        self.gone = DiskChoice.CANCEL
        self.elsewhere = False
        self.save_to: list[Path | None] = []

    @property
    def last(self) -> str:
        """The words of the last question."""
        return self.asked[-1][1]

    @property
    def kinds(self) -> list[str]:
        """Which questions were asked."""
        return [kind for kind, _ in self.asked]


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Answers:
    """Return what answers every question of the window."""
    made = Answers()

    def answer(name: str, value: Callable[[], Any]) -> None:
        def dialog(_parent: object, *given: Any) -> Any:
            made.asked.append((name, "\n".join(str(g) for g in given)))
            return value()

        monkeypatch.setattr(dialogs, name, dialog)

    answer("ask_unsaved", lambda: made.unsaved)
    answer("ask_changed_on_disk", lambda: made.disk)
    answer("ask_gone", lambda: made.gone)
    answer("ask_elsewhere", lambda: made.elsewhere)
    answer("ask_save_file", lambda: made.save_to.pop(0) if made.save_to else None)
    answer("tell", lambda: None)
    return made


@pytest.fixture
def new_window(
    qtbot: QtBot, settings: Settings, answers: Answers
) -> Callable[[], MainWindow]:
    """Return what opens the real window; all are closed at the end."""

    def make() -> MainWindow:
        window = MainWindow(settings)
        qtbot.addWidget(window, before_close_func=_settle)
        window.show()
        return window

    return make


@pytest.fixture
def window(new_window: Callable[[], MainWindow], path: Path) -> MainWindow:
    """Return a window with the map of the test open and one change unsaved."""
    made = new_window()
    assert made.map_file.open(path).wait()
    change(made, "STEP 1")
    return made


def look_at_disk(window: MainWindow) -> None:
    """Come back to the window, and wait until it has looked at its file."""
    window.map_file.look_at_disk()
    assert window.map_file._looking.wait(20_000)


def _settle(window: MainWindow) -> None:
    window.session.mark_saved()
    window.checker.stop()


def change(window: MainWindow, text: str) -> None:
    """Change the legend of F1, as a hand at the table does."""
    assert window.session.edit("Set legend", set_texts, ["panel/F1"], "legend", text)
