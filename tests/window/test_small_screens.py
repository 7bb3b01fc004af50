"""On a small screen the figure keeps its room, and windows stay on the screen."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import (
    QApplication,
    QDialogButtonBox,
    QListWidget,
    QPushButton,
    QScrollArea,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.model.document import Map
from blockmap.resources import layout
from blockmap.window.isolating.shared_page import SharedPage
from blockmap.window.main_window import MainWindow
from blockmap.window.page_view import PageView
from blockmap.window.preferences import Preferences
from blockmap.window.settings import Settings
from blockmap.window.sheet_preview import SheetPreview
from tests.window_fixtures import OpenMap


def demo() -> Map:
    path = layout("demo")
    return read_map(path.read_bytes(), path.name).document


SMALL = QSize(640, 400)
"""A screen of 1280 by 800 at a scale of 200 %."""
MAXIMISED = SMALL - QSize(0, 40)
"""What a title bar leaves of it."""


def in_sight(window: MainWindow, name: str) -> bool:
    dock = window.panes.docks[name]
    return dock.isVisible() and not dock.visibleRegion().isEmpty()


def tabs_shown(window: MainWindow) -> list[QTabBar]:
    direct = Qt.FindChildOption.FindDirectChildrenOnly
    return [
        row for row in window.findChildren(QTabBar, options=direct) if row.isVisible()
    ]


def place_in(window: QWidget, part: QWidget) -> QRect:
    return QRect(part.mapTo(window, QPoint(0, 0)), part.size())


def test_the_window_fits_a_small_screen_with_every_pane(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    for name, dock in window.panes.docks.items():
        window.panes.bring(name)
        qtbot.wait(50)
        assert in_sight(window, name)
        assert window.size() == MAXIMISED, name
        assert window.rect().contains(place_in(window, dock)), name
        parts: list[QWidget] = [window.statusBar(), window.commands.tools]
        for part in (*parts, *tabs_shown(window), window.figure):
            assert window.rect().contains(place_in(window, part)), (name, part)
        assert window.figure.width() > 240, name
        assert window.figure.height() > 180, name


def test_in_a_low_window_panes_share_one_place_and_stand_as_before_in_a_tall_one(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    docks = window.panes.docks
    window.resizeDocks([docks["legend"]], [210], Qt.Orientation.Vertical)
    window.panes.bring("behind")
    qtbot.waitUntil(lambda: in_sight(window, "behind"))
    qtbot.wait(350)  # the window has settled
    stood = docks["legend"].geometry()
    window.resize(MAXIMISED)
    qtbot.waitUntil(lambda: len(tabs_shown(window)) == 1)
    assert tabs_shown(window)[0].count() == len(docks)
    assert [name for name in docks if in_sight(window, name)] == ["legend"]
    docks["numbers"].close()
    window.panes.bring("fault")
    window.resize(800, 760)
    qtbot.waitUntil(lambda: in_sight(window, "legend") and in_sight(window, "fault"))

    assert docks["numbers"].isHidden(), "a closed pane stays closed"
    qtbot.waitUntil(lambda: abs(docks["legend"].height() - stood.height()) < 12)
    assert all(row.count() < len(docks) for row in tabs_shown(window))


def test_a_window_that_was_low_opens_with_its_panes_apart_on_a_larger_screen(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    qtbot.waitUntil(lambda: len(tabs_shown(window)) == 1)
    window.panes.docks["fault"].close()
    window.panes.remember(window.settings)
    window.close()
    again = open_map(demo())
    qtbot.waitUntil(lambda: in_sight(again, "legend") and in_sight(again, "inspector"))
    assert again.panes.docks["fault"].isHidden()


def test_every_tool_is_in_reach_in_a_low_window(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    row = window.commands.tools
    window.resize(MAXIMISED)

    def buttons() -> list[QWidget]:
        made = [row.widgetForAction(a) for a in row.actions() if not a.isSeparator()]
        return [button for button in made if button is not None]

    assert buttons()
    qtbot.waitUntil(lambda: all(button.isVisible() for button in buttons()))
    for button in buttons():
        assert window.rect().contains(place_in(window, button))
        assert button.toolTip(), "its words are in its tip"


def test_what_the_fault_search_offers_is_whole_on_a_small_screen(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    window.actions_by_name["next_reading"].trigger()
    card, repair = window.fault.proposal, window.fault.repair
    qtbot.waitUntil(lambda: repair.isVisible() and card.proposed is not None)
    qtbot.wait(100)
    buttons = (repair.button, card.take_button, card.show_button, card.other_button)
    for button in buttons:
        assert button.width() >= button.minimumSizeHint().width(), button.text()
        right = place_in(window, button).right()
        assert right < window.width(), button.text()
    assert card.words.width() <= window.panes.docks["fault"].width()


SIDE_WINDOWS = (
    "parts_list",
    "families",
    "calculator",
    "tables",
    "what_works",
    "key_off_draw",
    "short_to_ground",
    "work_and_odds",
    "print",
    "walk",
    "keys",
    "cautions",
    "about",
    "preferences",
)


@pytest.mark.parametrize("name", SIDE_WINDOWS)
def test_every_window_beside_the_map_fits_a_small_screen(
    open_map: OpenMap, qtbot: QtBot, name: str
) -> None:
    window = open_map(demo())
    window.selection.select(["panel/F11"])
    window.actions_by_name[name].trigger()
    qtbot.waitUntil(lambda: bool(_beside(window)))
    (beside,) = _beside(window)
    beside.resize(MAXIMISED - QSize(8, 0))
    qtbot.wait(50)
    assert beside.size() == MAXIMISED - QSize(8, 0)
    for button in beside.findChildren(QPushButton):
        if button.isVisible() and not _rolls(button):
            assert beside.rect().contains(place_in(beside, button)), button.text()
    beside.close()


def _beside(window: MainWindow) -> list[QWidget]:
    tops = QApplication.topLevelWidgets()
    return [top for top in tops if top.isVisible() and top is not window]


def _rolls(part: QWidget) -> bool:
    above = part.parentWidget()
    while above is not None and not isinstance(above, QScrollArea):
        above = above.parentWidget()
    return above is not None


@pytest.mark.parametrize("tool", ["cavity", "row", "grid"])
def test_there_is_room_to_draw_beside_the_options_of_a_tool(
    open_map: OpenMap, qtbot: QtBot, tool: str
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    qtbot.waitUntil(lambda: window.panes.low.joined and window.key.isVisible())
    figure, options = window.figure, window.figure.row_options
    figure.setFocus()
    window.actions_by_name[f"tool_{tool}"].trigger()
    qtbot.waitUntil(lambda: not window.key.isVisible())
    qtbot.waitUntil(lambda: figure.viewport().height() > 120)
    assert figure.viewport().height() > options.height()
    for field in (options.form, options.first_y, options.add):
        field.setFocus()
        assert (
            options.viewport()
            .rect()
            .contains(
                QRect(field.mapTo(options.viewport(), QPoint(0, 0)), field.size())
            )
        ), "Tab and keys bring a field into sight"
    body = options.widget()
    assert body is not None
    assert body.width() <= options.viewport().width()
    window.actions_by_name["tool_select"].trigger()
    qtbot.waitUntil(window.key.isVisible)


@pytest.mark.parametrize("size", [(1024, 560), (910, 470), (640, 360)])
def test_a_good_part_of_the_survey_is_seen_on_usual_small_screens(
    open_map: OpenMap, qtbot: QtBot, size: tuple[int, int]
) -> None:
    # 1024 x 600 at 100 %, 1366 x 768 at 150 %, 1280 x 800 at 200 %, less a title bar
    window = open_map(demo())
    window.resize(*size)
    qtbot.waitUntil(lambda: window.panes.low.joined)
    window.actions_by_name["survey"].trigger()
    grid = window.survey.grid
    qtbot.waitUntil(lambda: grid.isVisible() and len(grid.cells.rows) > 20)
    qtbot.wait(50)
    assert grid.rowAt(grid.viewport().height() - 1) >= 3
    words = window.commands.tools.toolButtonStyle()
    wordless = Qt.ToolButtonStyle.ToolButtonIconOnly
    assert (words == wordless) is (size[1] < 500)


def test_the_loads_to_be_ticked_have_the_room_until_parts_are_listed(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(replace(demo(), readings={}))
    page = window.fault.jobs.bring("shared")
    assert isinstance(page, SharedPage)
    page.window().resize(390, 360)
    loads = page.ticks

    def rows_seen() -> int:
        return loads.rowAt(loads.viewport().height() - 1)

    qtbot.waitUntil(lambda: rows_seen() >= 4)
    before = rows_seen()
    page.tick([0], "dead")
    qtbot.waitUntil(page.parts.isVisible)
    qtbot.waitUntil(lambda: page.parts.viewport().height() > 40)
    assert rows_seen() < before
    page.tick([0], "")
    qtbot.waitUntil(lambda: not page.parts.isVisible())
    qtbot.waitUntil(lambda: rows_seen() >= before - 1)
    lines = page.result.height() / page.result.fontMetrics().height()
    assert 1.9 < lines < 3, "and the sentence below them is whole"


def test_a_repair_just_added_is_in_sight_to_be_described(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    window.selection.select(["panel/F11"])
    qtbot.waitUntil(lambda: window.panes.low.joined)
    window.actions_by_name["damage"].trigger()
    qtbot.wait(50)
    window.actions_by_name["add_repair"].trigger()
    page = window.behind.damage
    what = page.repair_fields[1].focusProxy()
    assert what is not None
    qtbot.waitUntil(what.hasFocus)
    qtbot.waitUntil(lambda: not what.visibleRegion().isEmpty())
    assert page.horizontalScrollBar().maximum() == 0


def test_a_message_keeps_to_a_few_lines_on_a_small_screen(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    window.resize(MAXIMISED)
    qtbot.waitUntil(lambda: window.panes.low.joined)
    window.show_failure("what happened")
    qtbot.wait(50)
    bar = window.bar
    lines = bar.height() / bar.fontMetrics().height()
    assert lines < 6
    for button in bar.findChildren(QPushButton):
        assert not button.isVisible() or bar.rect().contains(place_in(bar, button))


def test_the_start_page_needs_no_rolling_sideways_on_a_small_screen(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(None)
    window.resize(MAXIMISED)
    page = window.start_page
    qtbot.waitUntil(lambda: page.width() == MAXIMISED.width())
    assert page.horizontalScrollBar().maximum() == 0
    for layouts in page.findChildren(QListWidget):
        words = [layouts.item(row).text() for row in range(layouts.count())]
        widest = max(map(layouts.fontMetrics().horizontalAdvance, words), default=0)
        assert layouts.viewport().width() > widest


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


def test_the_pages_have_more_room_than_the_choices_beside_them(
    open_map: OpenMap, qtbot: QtBot
) -> None:
    window = open_map(demo())
    preview = SheetPreview(window.session, window.selection, window.settings, window)
    preview.open()
    preview.resize(MAXIMISED)
    pages, kinds = preview.findChild(PageView), preview.findChild(QListWidget)
    assert pages is not None
    assert kinds is not None
    choices = kinds.parentWidget()
    assert choices is not None
    screen = preview.screen().availableGeometry()
    assert choices.width() < 0.36 * screen.width()
    qtbot.waitUntil(lambda: pages.width() > choices.width())
    preview.close()


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
