"""A lamp in a fuse's place: answers by key, kept, taken up again, taken back."""

from __future__ import annotations

from PySide6.QtTest import QTest

from blockmap.window.isolating.short_page import ShortPage
from blockmap.window.main_window import MainWindow
from tests.window.isolating.at_work import (
    Key,
    draw,
    short,
    text_at,
)

__all__ = ["draw", "short"]


def test_answers_by_one_key_lead_to_the_touch_and_are_kept(
    window: MainWindow, short: ShortPage
) -> None:
    # The touch is in the gauges: dark with all off, bright with them on, dark with
    # them unplugged. Source: lamp in place, branch by branch; common practice.
    assert short.choice.currentText().startswith("fuse F7")
    assert short.do.text().startswith("Pull fuse F7, put a 55 W lamp in its place")
    QTest.keyClick(short.buttons["bright"], Key.Key_K)
    assert short.do.text() == "Only gauges on."
    QTest.keyClick(short.buttons["bright"], Key.Key_B)
    assert short.do.text() == "Unplug gauges."
    QTest.keyClick(short.buttons["bright"], Key.Key_K)
    assert short.do.text() == "The touch of ground is in gauges."
    assert not short.buttons["bright"].isEnabled()
    kept = list(window.session.document.readings.values())
    assert [(r.point, r.seen, r.load, r.out) for r in kept] == [
        ("F7 fuse", "dark", "", ()),
        ("F7 fuse", "bright", "gauges", ()),
        ("F7 fuse", "dark", "gauges", ("gauges",)),
    ]
    assert all(r.meter == "lamp in place" for r in kept)


def test_a_search_is_taken_up_again_where_it_was_left(
    window: MainWindow, short: ShortPage
) -> None:
    short.answer("dark")
    window.fault.jobs.windows["short"].close()
    window.selection.clear()
    window.actions_by_name["short_to_ground"].trigger()
    assert short.choice.currentText().startswith("fuse F7")
    assert short.do.text() == "Only gauges on."
    assert text_at(short.steps, 0, 1) == "dark"
    assert text_at(short.steps, 1, 1) == "now"


def test_the_last_answer_is_taken_back_and_all_of_them_begin_again(
    window: MainWindow, short: ShortPage
) -> None:
    short.answer("dark")
    short.answer("bright")
    QTest.keyClick(short.buttons["dim"], Key.Key_Backspace)
    assert short.do.text() == "Only gauges on."
    short.answer("bright")
    steps = window.session.stack.count()
    short.again.click()
    assert window.session.stack.count() == steps + 1
    assert not window.session.document.readings
    assert short.do.text().startswith("Pull fuse F7")
    assert not short.back.isEnabled()


def test_what_each_answer_means_stands_with_the_step(short: ShortPage) -> None:
    words = short.means.text()
    for start in ("Bright: the touch is in", "Dim: loads draw", "Dark: nothing draws"):
        assert start in words
    assert "With nothing on ground a 55 W lamp would be dark" in words


def test_the_lamp_is_the_one_in_the_map_and_what_it_shows_follows(
    window: MainWindow, short: ShortPage
) -> None:
    # What it shows is worked by hand in tests/analysis/isolation/test_surveys.py.
    short.lamp.line.setFocus()
    QTest.keyClicks(short.lamp.line, "5")
    QTest.keyClick(short.lamp.line, Key.Key_Return)
    assert window.session.document.work.lamp_w == 5
    assert short.do.text().startswith("Pull fuse F7, put a 5 W lamp in its place")
    assert "a 5 W lamp would be dark" in short.means.text()
    short.lamp.line.selectAll()
    QTest.keyClicks(short.lamp.line, "0")
    QTest.keyClick(short.lamp.line, Key.Key_Return)
    assert "1" in short.message.text
    assert short.lamp.line.text() == "0"
    window.session.stack.undo()
    assert window.session.document.work.lamp_w is None
