"""On a small screen the figure keeps its room, and windows stay on the screen."""

from __future__ import annotations

from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.resources import layout
from blockmap.window.preferences import Preferences
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from tests.window_fixtures import OpenMap


def demo() -> Map:
    path = layout("demo")
    return read_map(path.read_bytes(), path.name).document


def test_the_key_leaves_the_figure_its_room(open_map: OpenMap, qtbot: QtBot) -> None:
    window = open_map(demo())
    window.resize(640, 500)
    key = window.key
    qtbot.waitUntil(lambda: "jumper wire" in key.accessibleDescription())
    qtbot.wait(200)
    assert window.figure.height() > 1.5 * key.height()
    assert "jumper wire" in key.toolTip().splitlines()
    window.resize(1600, 1400)
    qtbot.waitUntil(lambda: key.toolTip() == "")
    assert window.figure.height() > key.height()


def test_the_window_of_the_sheets_is_no_larger_than_the_screen(
    open_map: OpenMap,
) -> None:
    window = open_map(demo())
    preview = SheetPreview(window.session, window.selection, window.settings, window)
    room = preview.screen().availableGeometry()
    assert preview.width() < room.width()
    assert preview.height() < room.height()


def test_the_button_of_the_preferences_is_reached_on_a_small_screen(
    qtbot: QtBot, settings: Settings
) -> None:
    page = Preferences(settings)
    qtbot.addWidget(page)
    page.resize(400, 250)
    page.show()
    close = page.findChild(QDialogButtonBox)
    assert close is not None
    assert page.height() < 300, "the choices take what room there is, and roll"
    assert page.rect().contains(close.geometry())
