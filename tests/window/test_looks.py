"""What is drawn by the window itself can be seen in light and in dark, at any change.

3:1 for signs and the parts of controls, 4.5:1 for words: W3C, Web Content Accessibility
Guidelines 2.1, success criteria 1.4.11 and 1.4.3. The ratios are those of coloraide.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from coloraide import Color
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QImage, QPalette
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QLabel,
    QStyle,
    QStyleOptionButton,
)
from pytestqt.qtbot import QtBot

from blockmap.files.map_reader import read_map
from blockmap.resources import layout
from blockmap.window.main_window import MainWindow
from blockmap.window.pane_frames import rows_of_tabs
from blockmap.window.theme import icon, set_appearance
from tests.window_fixtures import OpenMap

LEAST_FOR_SIGNS, LEAST_FOR_WORDS = 3.0, 4.5


@pytest.fixture
def window(open_map: OpenMap) -> Iterator[MainWindow]:
    path = layout("demo")
    yield open_map(read_map(path.read_bytes(), path.name).document)
    set_appearance("light")


def ratio(one: QColor, other: QColor) -> float:
    return Color(one.name()).contrast(Color(other.name()), method="wcag21")


def ink(picture: QImage) -> QColor:
    """Return the colour that most of a sign is drawn in."""
    counts: dict[int, int] = {}
    for x in range(picture.width()):
        for y in range(picture.height()):
            colour = picture.pixelColor(x, y)
            if colour.alpha() > 200:
                counts[colour.rgb()] = counts.get(colour.rgb(), 0) + 1
    return QColor.fromRgb(max(counts, key=lambda rgb: counts[rgb]))


@pytest.mark.parametrize("looks", [("light", "dark"), ("dark", "light")])
def test_signs_follow_a_change_of_the_look(
    window: MainWindow, qtbot: QtBot, looks: tuple[str, str]
) -> None:
    set_appearance(looks[0])
    window.actions_by_name["key_off_draw"].trigger()
    window.show_failure("what happened")
    window.legend.refusal.say("Refused.")
    set_appearance(looks[1])
    qtbot.wait(50)
    seen = 0
    for button in QApplication.allWidgets():
        if not isinstance(button, QAbstractButton) or not button.isVisible():
            continue
        if button.icon().isNull() or not button.isEnabled():
            continue
        size = QSize(24, 24)
        sign = ink(button.icon().pixmap(size).toImage())
        ground = button.palette().color(QPalette.ColorRole.Button)
        assert ratio(sign, ground) >= LEAST_FOR_SIGNS, button.toolTip()
        seen += 1
    assert seen > 10
    for label in QApplication.allWidgets():
        if isinstance(label, QLabel) and label.isVisible() and label.pixmap():
            sign = ink(label.pixmap().toImage())
            ground = label.palette().color(QPalette.ColorRole.Window)
            assert ratio(sign, ground) >= LEAST_FOR_SIGNS
            seen += 1
    assert seen > 12


@pytest.mark.parametrize("look", ["light", "dark"])
def test_the_tab_in_front_stands_out_and_the_others_can_be_read(
    window: MainWindow, qtbot: QtBot, look: str
) -> None:
    set_appearance(look)
    window.panes.bring("findings")
    qtbot.wait(50)
    rows = [row for row in rows_of_tabs(window) if row.isVisible()]
    assert len(rows) == 2
    for row in rows:
        palette = row.palette()
        ground = palette.color(QPalette.ColorRole.Window)
        full = palette.color(QPalette.ColorRole.WindowText)
        inks = [row.tabTextColor(place) for place in range(row.count())]
        front = inks.pop(row.currentIndex())
        assert not front.isValid() or front == full
        for faint in inks:
            assert ratio(faint, ground) >= LEAST_FOR_WORDS
            assert ratio(full, ground) > 1.5 * ratio(faint, ground)


@pytest.mark.parametrize("look", ["light", "dark"])
def test_an_empty_box_and_its_tick_stand_out(window: MainWindow, look: str) -> None:
    set_appearance(look)
    box = window.legend.find_bar.only

    def drawn(*, ticked: bool) -> QImage:
        option = QStyleOptionButton()
        box.initStyleOption(option)
        box.setChecked(ticked)
        QApplication.processEvents()
        side = box.style().subElementRect(
            QStyle.SubElement.SE_CheckBoxIndicator, option, box
        )
        return box.grab(side).toImage()

    ground = QApplication.palette().color(QPalette.ColorRole.Window)
    empty, ticked = drawn(ticked=False), drawn(ticked=True)
    strongest = max(
        ratio(empty.pixelColor(x, empty.height() // 2), ground)
        for x in range(empty.width())
    )
    inside = empty.pixelColor(empty.rect().center())
    if look == "dark":
        assert strongest >= LEAST_FOR_SIGNS
    tick = max(
        ratio(ticked.pixelColor(x, y), inside)
        for x in range(4, ticked.width() - 4)
        for y in range(4, ticked.height() - 4)
    )
    assert tick >= LEAST_FOR_SIGNS
    assert isinstance(box, QCheckBox)


def test_the_sign_of_a_selected_row_is_in_the_ink_of_its_words(
    window: MainWindow,
) -> None:
    for look in ("light", "dark"):
        set_appearance(look)
        palette = QApplication.palette()
        sign = icon("level-advice").pixmap(
            QSize(24, 24), icon("level-advice").Mode.Selected
        )
        assert ink(sign.toImage()) == palette.color(QPalette.ColorRole.HighlightedText)
