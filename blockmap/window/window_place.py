"""Where the window stands on the screen, remembered between starts."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QSize
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from blockmap.window.settings import Settings

__all__ = ["fit_on_screen", "remember_place", "restore_place"]

FIRST_SIZE = QSize(1280, 800)
FRAME_ROOM = QSize(8, 40)
"""The title bar and frame need room too, or the bottom line is out of sight."""


def fit_on_screen(window: QWidget, wished: QSize) -> None:
    """Give a window the size it wishes, or as much of it as its screen has room for."""
    room = window.screen().availableGeometry().size() - FRAME_ROOM
    window.resize(wished.boundedTo(room))


def restore_place(window: QWidget, settings: Settings) -> None:
    """Put a window where it was, if that is still on a screen."""
    window.resize(FIRST_SIZE)
    geometry = settings.state.value("geometry")
    if isinstance(geometry, QByteArray):
        window.restoreGeometry(geometry)
    screens = [screen.availableGeometry() for screen in QGuiApplication.screens()]
    frame = window.frameGeometry()
    here = next((s for s in screens if s.contains(frame.center())), screens[0])
    window.resize(window.size().boundedTo(here.size() - FRAME_ROOM))
    if not any(screen.intersects(frame) for screen in screens):
        window.move(here.topLeft())


def remember_place(window: QWidget, settings: Settings) -> None:
    """Keep where a window stands."""
    settings.state.setValue("geometry", window.saveGeometry())
