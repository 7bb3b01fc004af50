"""The flags of readings on the figure: what they cover, and what the key says."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.resources import layout
from blockmap.window.canvas.flag_places import FlagPlaces
from blockmap.window.main_window import MainWindow
from tests.window_fixtures import OpenMap


@pytest.fixture
def window(open_map: OpenMap, qtbot: QtBot) -> MainWindow:
    """The demo with its readings, before the pane of faults is in front."""
    path = layout("demo")
    made = open_map(read_map(path.read_bytes(), path.name).document)
    made.resize(1280, 800)
    qtbot.waitUntil(lambda: made.figure.content.book.exact, timeout=10_000)
    QApplication.processEvents()
    return made


def in_front(window: MainWindow, qtbot: QtBot) -> None:
    window.panes.bring("fault")
    qtbot.waitUntil(lambda: bool(window.figure.probed.values), timeout=20_000)
    window.figure.settle()
    QApplication.processEvents()


def test_a_flag_covers_the_label_of_no_place(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[QRectF] = []
    placed = FlagPlaces.of

    def watched(self, view, flags, values):  # type: ignore[no-untyped-def]
        drawn[:] = placed(self, view, flags, values)
        return list(drawn)

    monkeypatch.setattr(FlagPlaces, "of", watched)
    in_front(window, qtbot)
    figure = window.figure
    figure.grab()
    labels = {
        cavity.id: figure.frame_now.rect_px(box)
        for cavity in figure.content.cavities
        if (box := figure.content.book.label_box(cavity)) is not None
    }
    assert len(drawn) == 3
    assert len(labels) > 20
    covered = [
        id_ for id_, label in labels.items() for box in drawn if box.intersects(label)
    ]
    assert covered == []


def test_the_key_names_signs_and_readings_while_they_are_shown(
    window: MainWindow, qtbot: QtBot
) -> None:
    def said() -> list[str]:
        return window.key.accessibleDescription().split("; ")

    qtbot.waitUntil(lambda: "finding: advice" in said(), timeout=10_000)
    assert "finding: error" not in said()
    assert "reading" not in said()
    in_front(window, qtbot)
    qtbot.waitUntil(lambda: "reading" in said())
    window.panes.docks["fault"].hide()
    qtbot.waitUntil(lambda: "reading" not in said())
