"""The walk from a wire flag in the hand to its contact in the rear view."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QCursor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from blockmap.model.geometry import Point, View
from blockmap.window.legend.search import contact_meant, find_cavities
from blockmap.window.main_window import MainWindow
from tests.window.behind.conftest import layout


@pytest.mark.parametrize(
    ("flag", "places", "contact"),
    [
        # What stands on the flags of the demo panel, in one line or in part.
        ("F8 load GRN/YEL 16 AWG", ["F8"], "load"),
        ("F8 load", ["F8"], "load"),
        ("f8.load", ["F8"], "load"),
        ("from F8 load", ["F8"], "load"),
        ("WASH-MIRR GRN/YEL 16 AWG from F8 load", ["F8"], "load"),
        ("GRN/YEL 16 AWG", ["F8"], "load"),
        ("F1 load", ["F1"], "load"),
        ("F13 feed RED 12 AWG jumper from strip BAT", ["F13"], "feed"),
        ("strip BAT at F1 feed RED 10 AWG from supply", ["F1"], "feed"),
        ("R1 87 DK GRN 14 AWG", ["R1"], "87"),
        ("strip ACC", ["F4", "F5"], ""),
    ],
)
def test_what_a_flag_says_finds_its_place_and_contact(
    flag: str, places: list[str], contact: str
) -> None:
    document = layout("demo.")
    found = find_cavities(document, flag, "panel")
    assert not found.nearest
    assert [document.cavities[id_].designation for id_ in found.ids] == places
    assert contact_meant(document, found.ids[0], flag) == contact


def test_the_contact_is_lit_and_told_in_rear_coordinates(
    demo: MainWindow, qtbot: QtBot
) -> None:
    demo.selection.set_view(View.REAR)
    demo.figure.settle()
    demo.legend.begin_find()
    line = QApplication.focusWidget()
    assert line is not None
    QTest.keyClicks(line, "F8 load")
    assert demo.selection.ids == ("panel/F8",)
    assert demo.selection.contact == "load"
    # F8 lies at 55 mm from the left of 135 mm in front, so at 80 mm in the rear; its
    # load contact is below its middle, which is at 40 mm from the top.
    heading = demo.behind.heading.text()
    assert heading.startswith("F8 load: x 80, y 4")
    assert heading.endswith("rear view")
    labels = demo.behind.contacts.labels
    shown = demo.behind.contacts.viewport().rect()
    page = demo.behind.contacts.viewport()

    def in_sight() -> bool:
        load = [w for w in labels if "contact:panel/F8.load" in w.text()]
        return bool(load) and shown.contains(load[0].mapTo(page, QPoint(2, 2)))

    qtbot.waitUntil(in_sight)
    assert "load contact at x 80 mm" in demo.figure.accessibleDescription()
    QApplication.processEvents()
    picture = demo.figure.viewport().grab().toImage()
    demo.selection.select_contact("")
    QApplication.processEvents()
    after = demo.figure.viewport().grab().toImage()
    assert picture != after
    assert "load contact at" not in demo.figure.accessibleDescription()


def test_a_contact_is_asked_for_on_its_page_and_let_go_with_its_place(
    demo: MainWindow, qtbot: QtBot
) -> None:
    demo.selection.select(["panel/F8"])
    labels = demo.behind.contacts.labels
    qtbot.waitUntil(lambda: any("contact:panel/F8.load" in w.text() for w in labels))
    label = next(w for w in labels if "contact:panel/F8.load" in w.text())
    label.linkActivated.emit("contact:panel/F8.load")
    assert demo.selection.contact == "load"
    assert demo.behind.heading.text().startswith("F8 load: x 55, ")
    demo.selection.select(["panel/F9"])
    assert demo.selection.contact == ""
    assert demo.behind.heading.text() == "F9"


def test_the_readout_follows_when_the_view_turns_under_a_still_pointer(
    demo: MainWindow, qtbot: QtBot
) -> None:
    figure = demo.figure
    qtbot.waitUntil(lambda: demo.after_frame.done)
    QApplication.processEvents()  # the figure is fitted into its room
    figure.settle()
    place = figure.frame_now.to_px(Point(55.0, 40.0)).toPoint()
    QCursor.setPos(figure.viewport().mapToGlobal(place))
    QTest.mouseMove(figure.viewport(), place)
    QApplication.processEvents()
    figure.viewport().setAttribute(Qt.WidgetAttribute.WA_UnderMouse)
    told: list[str] = []
    figure.pointer_moved.connect(told.append)
    demo.actions_by_name["other_side"].trigger()
    assert told, "nothing is said until the pointer moves"
    assert "Rear view" in told[-1]
    # 55 mm from the left of 135 mm in the rear is 80 mm in front, where F9 is.
    assert told[-1].startswith("F9 ")
