"""Damage in the window: conditions with their log, repairs by stages, patches."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from blockmap.model.edits import set_texts
from blockmap.reference.trade_words import REPAIR_STAGES
from blockmap.window.inspector.fields import Field
from blockmap.window.main_window import MainWindow
from tests.window.behind.conftest import Start, layout, type_into


def today() -> str:
    return QDate.currentDate().toString(Qt.DateFormat.ISODate)


def named_field(fields: Sequence[Field], path: str) -> QWidget:
    editor = next(f for f in fields if f.path.endswith(path)).focusProxy()
    assert editor is not None
    return editor


def choose(editor: QWidget, word: str) -> None:
    assert isinstance(editor, QComboBox)
    editor.setFocus()
    place = editor.findData(word)
    assert place >= 0
    editor.setCurrentIndex(place)
    editor.activated.emit(place)


def focused() -> QWidget:
    """Return the widget that a key goes to."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def show(window: MainWindow, id_: str) -> None:
    window.selection.select([id_])
    window.actions_by_name["damage"].trigger()


def test_a_condition_is_told_in_the_log_as_one_line(demo: MainWindow) -> None:
    show(demo, "panel/F3")
    page, session = demo.behind.damage, demo.session
    earlier = session.document.cavities["panel/F3"].log
    page.where.box.setCurrentIndex(page.where.box.findData("load"))
    fields = page.condition.fields
    choose(named_field(fields, "/state"), "spread")
    choose(named_field(fields, "/severity"), "2")
    type_into(named_field(fields, "/judged"), "tug test")
    type_into(named_field(fields, "/note"), "slides off")
    cavity = session.document.cavities["panel/F3"]
    condition = cavity.contact("load").condition
    assert condition is not None
    assert (condition.state, condition.severity) == ("spread", 2)
    assert (condition.judged, condition.note) == ("tug test", "slides off")
    assert cavity.log[: len(earlier)] == earlier, "nothing in the log is changed"
    (line,) = cavity.log[len(earlier) :]
    assert line.date == today()
    assert line.text == "load: spread 2: slides off, judged by tug test"
    assert page.entries.text().startswith(f"{today()}  load: spread 2")


def test_a_later_look_makes_a_line_of_its_own(demo: MainWindow) -> None:
    show(demo, "panel/F3")
    page, session = demo.behind.damage, demo.session
    choose(named_field(page.condition.fields, "/state"), "spread")
    show(demo, "panel/F4")
    show(demo, "panel/F3")
    choose(named_field(page.condition.fields, "/state"), "corroded")
    lines = session.document.cavities["panel/F3"].log
    assert [line.text for line in lines] == [
        "feed: spread",
        "feed: corroded (before: spread)",
    ]
    assert page.entries.text().split("\n")[0].endswith("corroded (before: spread)")


def test_the_inspector_tells_the_log_as_well(demo: MainWindow, qtbot: QtBot) -> None:
    demo.selection.select(["panel/F3"])
    demo.panes.bring("inspector")
    qtbot.waitUntil(demo.inspector.isVisible)
    choose(
        named_field([demo.inspector.field("condition/load/state")], "state"), "spread"
    )
    log = demo.session.document.cavities["panel/F3"].log
    assert [line.text for line in log] == ["load: spread"]
    demo.session.stack.undo()
    assert not demo.session.document.cavities["panel/F3"].log


def test_a_wire_has_a_condition_of_its_own(demo: MainWindow) -> None:
    show(demo, "panel/F1")
    page = demo.behind.damage
    page.where.box.setCurrentIndex(page.where.box.findData("load wire"))
    choose(named_field(page.condition.fields, "/state"), "wire cooked")
    wire = demo.session.document.cavities["panel/F1"].contact("load").wires[0]
    assert wire.condition is not None
    assert wire.condition.state == "wire cooked"
    assert demo.session.stack.undoText() == "Set load wire condition of F1"


def test_a_repair_goes_from_stage_to_stage_by_one_button(demo: MainWindow) -> None:
    show(demo, "panel/F3")
    page, session = demo.behind.damage, demo.session
    page.add_button.click()
    key = page.repair.chosen
    assert session.document.repairs[key].stage == REPAIR_STAGES[0]
    type_into(named_field(page.repair_fields, "part"), "single female, 18 AWG")
    type_into(named_field(page.repair_fields, "price"), "2.50")
    for stage in REPAIR_STAGES[1:]:
        assert page.advance_button.text() == f"Mark as {stage}"
        page.advance_button.click()
        repair = session.document.repairs[key]
        assert (repair.stage, repair.date) == (stage, today())
    assert page.advance_button.isHidden()
    assert session.document.repairs[key].price == 2.5
    assert session.document.repairs[key].part == "single female, 18 AWG"
    told = [line.text for line in session.document.cavities["panel/F3"].log]
    assert sum(f"{key}: " in text for text in told) == len(REPAIR_STAGES)


def test_repairs_of_the_place_are_offered(demo: MainWindow) -> None:
    show(demo, "panel/F11")
    box = demo.behind.damage.repair.box
    assert [box.itemData(n) for n in range(box.count())] == ["R1"]


def test_an_interim_measure_begins_today_and_ends_when_emptied(
    demo: MainWindow,
) -> None:
    show(demo, "panel/F3")
    page, session = demo.behind.damage, demo.session
    type_into(named_field(page.interim_fields, "until"), "the part comes")
    until = next(f for f in page.interim_fields if f.path == "until")
    assert until.message.text == "Write first what was done"
    type_into(named_field(page.interim_fields, "what"), "in-line holder")
    measure = session.document.cavities["panel/F3"].interim
    assert measure is not None
    assert (measure.what, measure.since) == ("in-line holder", today())
    type_into(named_field(page.interim_fields, "what"), " ")
    assert session.document.cavities["panel/F3"].interim is None


def test_a_line_is_added_to_the_log_by_enter(demo: MainWindow) -> None:
    show(demo, "panel/F3")
    line = demo.behind.damage.line
    line.setFocus()
    QTest.keyClicks(line, "cleaned")
    QTest.keyClick(line, Qt.Key.Key_Return)
    entry = demo.session.document.cavities["panel/F3"].log[-1]
    assert (entry.date, entry.text) == (today(), "cleaned")
    assert line.text() == ""


def test_from_a_wire_flag_to_its_contact_in_the_rear_view(
    start: Start, qtbot: QtBot
) -> None:
    """The walk: find the wire, turn the block round, read where its contact lies."""
    window = start(layout("demo."))
    wanted = window.session.document.cavities["panel/F11"]
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    find = window.focusWidget()
    assert isinstance(find, QLineEdit)
    QTest.keyClicks(find, "BRN 12 AWG")
    QTest.keyClick(find, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: wanted.id in window.selection.ids)
    window.selection.select([wanted.id])
    QTest.keyClick(window, Qt.Key.Key_F4)
    block = window.session.document.blocks["panel"]
    said: list[str] = []
    window.figure.pointer_moved.connect(said.append)
    place = window.figure.px_of(wanted.centre).toPoint()
    QTest.mouseMove(window.figure.viewport(), place)
    qtbot.waitUntil(lambda: bool(said))
    assert said[-1].startswith("F11")
    assert "Rear view: mirrored" in said[-1]
    # The definition of the rear view: x is counted from the other edge.
    mirrored = block.width_mm - wanted.x_mm
    shown = float(said[-1].split("x ")[1].split(" mm")[0])
    assert abs(shown - mirrored) < 0.5
    assert "feed top" in said[-1], "F11 stands upright, so top stays top"
    (drawn,) = [d for d in window.figure.drawn() if d.id == wanted.id]
    assert f"here at {mirrored:g} mm from the left" in drawn.words


def test_the_feed_side_of_a_level_cavity_swaps_in_the_rear_view(
    demo: MainWindow,
) -> None:
    level = demo.session.document.cavities["panel/F4"]
    assert level.feed_side == "left"
    demo.actions_by_name["other_side"].trigger()
    for x_mm in ("20", "67.5", "110"):
        demo.session.edit("Move", set_texts, [level.id], "x_mm", x_mm)
        (drawn,) = [d for d in demo.figure.drawn() if d.id == level.id]
        assert drawn.words.endswith("feed right"), x_mm
    demo.actions_by_name["view_flipped"].trigger()
    (drawn,) = [d for d in demo.figure.drawn() if d.id == level.id]
    assert drawn.words.endswith("feed left"), "flipping is not mirroring"


def test_one_condition_is_noted_of_several_places_and_undone_at_once(
    demo: MainWindow,
) -> None:
    session, page = demo.session, demo.behind.damage
    ids = ["panel/F3", "panel/F9", "panel/T1"]
    demo.selection.select(ids)
    demo.actions_by_name["damage"].trigger()
    several = page.several
    assert several.isVisible()
    assert not page.condition.isVisible()
    assert not several.note_button.isEnabled(), "nothing is said yet"
    before = session.document
    steps = session.stack.count()
    several.part.box.setCurrentIndex(several.part.box.findData("load"))
    choose(named_field(several.fields, "/state"), "corroded")
    choose(named_field(several.fields, "/severity"), "2")
    type_into(named_field(several.fields, "/judged"), "eye")
    type_into(named_field(several.fields, "/date"), "2024-06-01")
    assert session.document is before, "a draft is no edit"
    several.note_button.click()
    assert session.stack.count() == steps + 1
    for id_ in ids[:2]:
        cavity = session.document.cavities[id_]
        condition = cavity.contact("load").condition
        assert condition is not None
        assert (condition.state, condition.severity) == ("corroded", 2)
        assert (condition.judged, condition.date) == ("eye", "2024-06-01")
        assert cavity.log[-1].text.startswith("load: corroded 2")
        assert cavity.log[-1].date == "2024-06-01"
        assert len(cavity.log) == len(before.cavities[id_].log) + 1
    assert session.document.cavities["panel/T1"] is before.cavities["panel/T1"]
    assert "T1" in several.said.text()
    session.stack.undo()
    assert session.document == before


def test_a_wrong_date_of_several_places_is_refused_before_it_is_noted(
    demo: MainWindow,
) -> None:
    demo.selection.select(["panel/F3", "panel/F9"])
    demo.actions_by_name["damage"].trigger()
    several = demo.behind.damage.several
    before = demo.session.document
    choose(named_field(several.fields, "/state"), "corroded")
    type_into(named_field(several.fields, "/date"), "yesterday")
    several.note_button.click()
    assert demo.session.document is before
    demo.selection.select(["panel/F3"])
    assert not several.isVisible()
    assert demo.behind.damage.condition.isVisible()


def test_tab_goes_over_the_buttons_of_the_page_too(demo: MainWindow) -> None:
    show(demo, "panel/F8")
    page = demo.behind.damage
    page.where.box.setCurrentIndex(page.where.box.findData("load"))
    named_field(page.condition.shown_fields, "/note").setFocus()
    passed: list[QWidget] = []
    for _ in range(6):
        QTest.keyClick(focused(), Qt.Key.Key_Tab)
        passed.append(focused())
    assert page.add_button in passed, "Add repair stands before the interim measure"
    interim = page.interim_fields[0].focusProxy()
    assert interim not in passed[: passed.index(page.add_button)]


def test_how_it_was_judged_is_told_once_whether_by_was_typed_or_not(
    demo: MainWindow,
) -> None:
    show(demo, "panel/F8")
    page = demo.behind.damage
    page.where.box.setCurrentIndex(page.where.box.findData("load"))
    type_into(named_field(page.condition.shown_fields, "/judged"), "by eye")
    said = demo.session.document.cavities["panel/F8"].log[-1].text
    assert said.endswith(", judged by eye")
