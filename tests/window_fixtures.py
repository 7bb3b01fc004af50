"""A window's surroundings for tests: own settings, and failures that fail the test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.model.document import Map
from blockmap.window import guard
from blockmap.window.application import leave_text_on_clipboard
from blockmap.window.main_window import MainWindow
from blockmap.window.settings import Settings
from blockmap.window.theme import load_fonts, set_appearance

__all__ = [
    "OpenMap",
    "caught_failures",
    "dressed",
    "open_map",
    "qapp_cls",
    "settings",
]


@pytest.fixture(scope="session")
def qapp_cls() -> type[QApplication]:
    return QApplication


@pytest.fixture(scope="session", autouse=True)
def dressed(qapp: QApplication) -> Iterator[None]:
    """Give the application its looks, and let it end as the program does."""
    qapp.setStyle("Fusion")
    load_fonts()
    set_appearance("light")
    yield
    leave_text_on_clipboard()


@pytest.fixture(autouse=True)
def caught_failures() -> Iterator[list[tuple[str, BaseException]]]:
    """Exceptions the guard caught; a test that leaves any fails."""
    caught: list[tuple[str, BaseException]] = []
    guard.set_report_hook(lambda where, problem: caught.append((where, problem)))
    yield caught
    guard.set_report_hook(None)
    assert not caught, f"caught inside the window: {caught}"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings of a user who has never started the program."""
    return Settings(tmp_path / "config", tmp_path / "state")


OpenMap = Callable[[Map | None], MainWindow]


@pytest.fixture
def open_map(qtbot: QtBot, settings: Settings) -> OpenMap:
    """Return what shows a map, or the start page, in an active window of its own."""

    def opened(document: Map | None) -> MainWindow:
        window = MainWindow(settings)
        qtbot.addWidget(window, before_close_func=_forget)
        if document is not None:
            window.map_file.start(document)
        window.show()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        # What is built after the first frame shifts the figure: places stand after it.
        qtbot.waitUntil(lambda: window.after_frame.done)
        QApplication.processEvents()
        return window

    return opened


def _forget(window: object) -> None:
    """Leave unsaved what a test changed; nobody is there to be asked."""
    assert isinstance(window, MainWindow)
    window.session.stack.setClean()
