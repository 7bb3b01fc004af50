"""Strips in the window: made, edited, clicked, and what dies with them told."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from blockmap.analysis.behind.paths import what_dies
from blockmap.model.document import Block, Cavity, Contact, Map, Wire
from blockmap.model.geometry import View
from blockmap.window.behind.links import jump
from blockmap.window.inspector.fields import Field
from blockmap.window.main_window import MainWindow
from tests.window.behind.conftest import Start, layout, type_into

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


def named(window: MainWindow, *designations: str) -> list[str]:
    by_name = {c.designation: c.id for c in window.session.document.cavities.values()}
    return [by_name[name] for name in designations]


def field(window: MainWindow, path: str) -> Field:
    page = window.behind.strips
    return next(f for f in page.fields_group.fields if f.path == path)


def test_a_strip_is_made_of_the_feed_contacts_of_selected_places(
    demo: MainWindow,
) -> None:
    session = demo.session
    demo.selection.select(named(demo, "F12", "F3"))
    demo.actions_by_name["make_strip"].trigger()
    strip = session.document.strips[demo.selection.strip or ""]
    assert strip.members == ("F12.feed", "F3.feed")
    assert session.stack.undoText() == "Make a strip"
    type_into(field(demo, "name").focusProxy(), "LPS")
    assert session.document.strips[strip.id].name == "LPS"
    assert session.stack.undoText() == "Set strip LPS"
    session.stack.undo()
    session.stack.undo()
    assert strip.id not in session.document.strips
    assert demo.selection.strip is None, "what has left the map is not selected"


def focused_line() -> QLineEdit:
    line = QApplication.focusWidget()
    assert isinstance(line, QLineEdit)
    return line


def test_the_name_of_a_new_strip_is_in_sight_and_can_be_typed_over(
    demo: MainWindow,
) -> None:
    demo.selection.select(named(demo, "F12", "F3"))
    demo.actions_by_name["make_strip"].trigger()
    QApplication.processEvents()
    line = focused_line()
    assert line is field(demo, "name").focusProxy()
    view = demo.behind.strips.viewport()
    assert view.rect().contains(line.mapTo(view, line.rect().center()))
    QTest.keyClicks(line, "LPS")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert demo.session.document.strips[demo.selection.strip or ""].name == "LPS"


def test_what_is_typed_on_a_row_of_the_list_goes_into_the_field_of_its_column(
    demo: MainWindow,
) -> None:
    demo.actions_by_name["strips"].trigger()
    table = demo.behind.strips.table
    run = table.findItems("RUN", Qt.MatchFlag.MatchExactly)[0]
    row, place = run.row(), table.visualItemRect(run).center()
    QTest.mouseClick(table.viewport(), LEFT, pos=place)
    QTest.keyClicks(table, "I")
    assert focused_line().text() == "I", "the text that stood there is typed over"
    QTest.keyClicks(focused_line(), "GN")
    QTest.keyClick(focused_line(), Qt.Key.Key_Return)
    strip = demo.session.document.strips[demo.selection.strip or ""]
    assert strip.name == "IGN"
    table.setFocus()
    table.setCurrentCell(row, 4)
    QTest.keyClick(table, Qt.Key.Key_F2)
    assert focused_line() is field(demo, "live").focusProxy()


def test_a_state_that_the_map_does_not_know_is_refused_with_those_it_knows(
    demo: MainWindow,
) -> None:
    demo.selection.select(named(demo, "F12", "F3"))
    demo.actions_by_name["make_strip"].trigger()
    live = field(demo, "live")
    type_into(live.focusProxy(), "al")
    strip = demo.selection.strip or ""
    assert demo.session.document.strips[strip].live == ()
    assert "“al” is no key or switch state of this map" in live.message.text
    type_into(live.focusProxy(), "Always")
    assert demo.session.document.strips[strip].live == ("always",)
    type_into(live.focusProxy(), "acc; run")
    assert demo.session.document.strips[strip].live == ("ACC", "RUN")


def test_a_contact_is_part_of_one_piece_of_metal_only(demo: MainWindow) -> None:
    before = demo.session.document
    demo.selection.select(named(demo, "F12", "F8"))
    demo.actions_by_name["make_strip"].trigger()
    assert demo.session.document is before
    assert "F8.feed is part of strip RUN already" in demo.behind.strips.message.text


def test_members_and_jumpers_are_typed_as_people_say_them(demo: MainWindow) -> None:
    demo.behind.show_page("strips")
    demo.selection.select_strip("panel/RUN")
    type_into(field(demo, "members").focusProxy(), "F7.feed; F8")
    type_into(field(demo, "jumpers").focusProxy(), "CB1.feed ORN 12 AWG; F12.feed")
    strip = demo.session.document.strips["panel/RUN"]
    assert strip.members == ("F7.feed", "F8.feed")
    assert [j.to for j in strip.jumpers] == ["CB1.feed", "F12.feed"]
    assert strip.jumpers[0].gauge == "12 AWG"
    type_into(field(demo, "members").focusProxy(), "F7.feed; F99.feed")
    message = field(demo, "members").message.text
    assert "“F99.feed” names no contact of this map" in message
    assert demo.session.document.strips["panel/RUN"].members == ("F7.feed", "F8.feed")


def test_every_field_of_a_strip_reads_back_what_it_shows(start: Start) -> None:
    window = start(layout("saloon"))
    window.behind.show_page("strips")
    before = window.session.document
    for id_ in before.strips:
        window.selection.select_strip(id_)
        for shown in window.behind.strips.fields_group.fields:
            editor = shown.focusProxy()
            if isinstance(editor, QLineEdit):
                text = editor.text()
                type_into(shown.focusProxy(), text + " ")
                assert window.session.document == before, (id_, shown.path, text)


def _middle_of_a_line(window: MainWindow, strip: str) -> tuple[float, float]:
    """Return a place as seen on a strip's line that no body covers."""
    view = window.figure
    for route in view.content.book.strips[strip].routes:
        for a, b in pairwise(route):
            for share in (0.5, 0.3, 0.7):
                x = a[0] + (b[0] - a[0]) * share
                y = a[1] + (b[1] - a[1]) * share
                front = view.content.seen(type(a)(x, y))
                bodies = [c.bounds for c in view.content.cavities]
                if not any(body.grown(0.5).holds(front) for body in bodies):
                    return x, y
    raise AssertionError("no bare place on the line")


@pytest.mark.parametrize("side", [View.FRONT, View.REAR])
def test_a_click_on_its_line_selects_a_strip_and_lights_what_dies(
    demo: MainWindow, qtbot: QtBot, side: View
) -> None:
    demo.selection.set_view(side)
    demo.figure.zoom_fit()
    demo.figure.settle()
    QApplication.processEvents()
    x, y = _middle_of_a_line(demo, "panel/RUN")
    place = demo.figure.frame_now.to_px(type(demo.figure.pressed_at().at)(x, y))
    QTest.mouseClick(demo.figure.viewport(), LEFT, NONE, place.toPoint())
    assert demo.selection.strip == "panel/RUN"
    qtbot.waitUntil(lambda: demo.figure.lit.known)
    dies = what_dies(demo.session.document, "panel/RUN")
    assert demo.figure.lit.dead == set(dies.cavities)
    # What hangs on RUN by the demo's own strips: members and the jumper's breaker.
    assert set(named(demo, "F7", "F8", "F11", "CB1")) <= demo.figure.lit.dead
    assert not set(named(demo, "F1", "F2")) & demo.figure.lit.dead
    QTest.keyClick(demo.figure, Qt.Key.Key_Escape)
    assert demo.selection.strip is None
    assert not demo.figure.lit.dead


def test_what_dies_is_said_in_words_with_links(demo: MainWindow, qtbot: QtBot) -> None:
    demo.behind.show_page("strips")
    demo.selection.select_strip("panel/RUN")
    label = demo.behind.strips.words
    qtbot.waitUntil(lambda: "Dead without it" in label.text())
    assert 'href="cavity:panel/F11"' in label.text()
    jump(demo.session, demo.selection, "cavity:panel/F11")
    assert demo.selection.ids == ("panel/F11",)
    assert demo.selection.strip == "panel/RUN", "it stays while its places are walked"


def test_links_are_walked_by_keys(demo: MainWindow, qtbot: QtBot) -> None:
    demo.behind.show_page("strips")
    demo.selection.select_strip("panel/RUN")
    label = demo.behind.strips.words
    qtbot.waitUntil(lambda: "Dead without it" in label.text())
    first = label.text().split('href="cavity:')[1].split('"')[0]
    label.setFocus()
    QTest.keyClick(label, Qt.Key.Key_Tab)
    QTest.keyClick(label, Qt.Key.Key_Return)
    assert demo.selection.ids == (first,)


def test_the_marks_follow_an_edit_of_the_strip(demo: MainWindow, qtbot: QtBot) -> None:
    demo.behind.show_page("strips")
    demo.selection.select_strip("panel/RUN")
    (lone,) = named(demo, "F3")
    qtbot.waitUntil(lambda: demo.figure.lit.known)
    assert lone not in demo.figure.lit.dead
    demo.selection.select([lone])
    demo.behind.strips.join_button.click()
    qtbot.waitUntil(lambda: lone in demo.figure.lit.dead)
    demo.session.stack.undo()
    qtbot.waitUntil(lambda: lone not in demo.figure.lit.dead)


def test_keys_walk_the_list_and_remove_a_strip(demo: MainWindow) -> None:
    demo.actions_by_name["strips"].trigger()
    table = demo.behind.strips.table
    assert table.hasFocus()
    QTest.keyClick(table, Qt.Key.Key_Down)
    first = demo.selection.strip
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert demo.selection.strip not in (None, first)
    gone = demo.selection.strip
    demo.figure.setFocus()
    QTest.keyClick(demo.figure, Qt.Key.Key_Delete)
    assert gone not in demo.session.document.strips
    assert len(demo.session.document.cavities) == len(layout("demo.").cavities)


def test_whether_a_contact_is_replaced_singly_is_said_with_its_why(
    demo: MainWindow, qtbot: QtBot
) -> None:
    demo.selection.select(["panel/F11"])
    demo.actions_by_name["contacts"].trigger()
    page = demo.behind.contacts

    def said() -> str:
        return " ".join(label.text() for label in page.labels if not label.isHidden())

    qtbot.waitUntil(lambda: "Up to the supply" in said())
    assert "<b>no</b>: it is part of strip RUN, which is riveted together" in said()
    assert "<b>yes</b>: a single terminal" in said()


def test_a_wire_leads_to_its_other_end_and_back(start: Start, qtbot: QtBot) -> None:
    document = _two_ends()
    window = start(document)
    window.selection.select(["panel/F1"])
    window.actions_by_name["contacts"].trigger()
    page = window.behind.contacts

    def said() -> str:
        return " ".join(label.text() for label in page.labels if not label.isHidden())

    qtbot.waitUntil(lambda: 'href="cavity:plug/3"' in said())
    jump(window.session, window.selection, "cavity:plug/3")
    assert window.selection.block == "plug"
    qtbot.waitUntil(lambda: "A wire comes from" in said())
    assert 'href="cavity:panel/F1"' in said()
    assert window.figure.accessibleName().endswith("Seen from the wire side")


def _two_ends() -> Map:
    fuse = Cavity(
        id="panel/F1",
        block="panel",
        own="F1",
        x_mm=20,
        y_mm=20,
        width_mm=19,
        height_mm=5,
        form="medium blade",
        contacts={"load": Contact(wires=(Wire(gauge="16 AWG", to="C1.3"),))},
    )
    place = Cavity(
        id="plug/3",
        block="plug",
        own="3",
        kind="terminal",
        x_mm=20,
        y_mm=20,
        width_mm=10,
        height_mm=10,
    )
    return Map(
        blocks={
            "panel": Block(id="panel", name="Panel", width_mm=60, height_mm=40),
            "plug": Block(
                id="plug",
                name="C1",
                kind="connector",
                face="wire side",
                width_mm=40,
                height_mm=40,
            ),
        },
        cavities={fuse.id: fuse, place.id: place},
    )


def test_where_a_supply_lands_is_typed_and_what_parts_there_is_said(
    demo: MainWindow, qtbot: QtBot
) -> None:
    demo.behind.show_page("strips")
    demo.selection.select_strip("panel/RUN")
    chooser = field(demo, "lands").focusProxy()
    assert isinstance(chooser, QComboBox)
    chooser.setCurrentIndex(chooser.findText("middle"))
    chooser.activated.emit(chooser.currentIndex())
    strip = demo.session.document.strips["panel/RUN"]
    assert (strip.lands, strip.lands_at) == ("middle", "F7.feed")
    item = demo.behind.strips.table.item(demo.behind.strips.table.currentRow(), 2)
    assert item is not None
    assert item.text() == "in the middle, by F7 feed"
    label = demo.behind.strips.words
    qtbot.waitUntil(lambda: "loses one side only" in label.text())
    said = label.text().split("The supply lands between")[1]
    one, other = said.split(" and ", 1)
    assert "F7" in one
    assert "F8" in other
    assert "F11" in other
    demo.session.stack.undo()
    assert demo.session.document.strips["panel/RUN"].lands is None


def test_a_strip_of_another_block_shows_its_line_and_where_it_is(
    start: Start, qtbot: QtBot
) -> None:
    document = layout("demo.")
    here = Block(id="B", name="Second block", width_mm=60, height_mm=40)
    cavity = Cavity(
        id="B/X1",
        block="B",
        kind="tab",
        own="X1",
        x_mm=30,
        y_mm=20,
        width_mm=10,
        height_mm=8,
    )
    run = document.strips["panel/RUN"]
    reaching = replace(run, members=(*run.members, "B/X1.pin"))
    window = start(
        replace(
            document,
            blocks={**document.blocks, "B": here},
            cavities={**document.cavities, "B/X1": cavity},
            strips={**document.strips, run.id: reaching},
        )
    )

    def inked() -> int:
        picture = window.figure.viewport().grab().toImage()
        wanted = window.figure.inks("select").rgb()
        return sum(
            picture.pixel(x, y) == wanted
            for x in range(picture.width())
            for y in range(picture.height())
        )

    window.selection.set_block("B")
    QApplication.processEvents()
    before = inked()
    window.selection.select_strip(run.id)
    qtbot.waitUntil(lambda: window.figure.lit.known)
    QApplication.processEvents()
    assert inked() > before + 5


@pytest.mark.parametrize("side", list(View))
def test_the_lines_of_strips_are_seen_on_the_ground_in_every_view(
    demo: MainWindow, side: View
) -> None:
    demo.selection.set_view(side)
    demo.figure.zoom_fit()
    demo.figure.settle()
    QApplication.processEvents()
    route = demo.figure.content.book.strips["panel/IGN"].routes[0]
    a, b = max(pairwise(route), key=lambda leg: math.dist(*leg))
    middle = type(a)((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    place = demo.figure.frame_now.to_px(middle)
    picture = demo.figure.viewport().grab().toImage()
    wanted = demo.figure.inks("strip")
    found = picture.pixelColor(place.toPoint())
    # The edges of the line are smoothed.
    assert abs(found.red() - wanted.red()) < 24
    assert abs(found.blue() - wanted.blue()) < 24
