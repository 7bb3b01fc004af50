"""The inspector with real keys: reading, typing, refusing, several at once."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import pytest
from PySide6.QtCore import QDate, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)

from blockmap.model.document import Block, Car, Cavity
from blockmap.model.edits import set_texts
from blockmap.model.geometry import Point, View
from blockmap.model.schema import properties
from blockmap.window.inspector.panel import InspectorPanel
from blockmap.window.selection import Selection
from blockmap.window.session import Session

Key = Qt.Key


def line(panel: InspectorPanel, path: str) -> QLineEdit:
    """Return the line of a field, with the focus in it and its text marked."""
    editor = panel.field(path).focusProxy()
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    return editor


def box(panel: InspectorPanel, path: str) -> QComboBox:
    """Return the list of choices of a field, with the focus in it."""
    editor = panel.field(path).focusProxy()
    assert isinstance(editor, QComboBox)
    editor.setFocus()
    return editor


def choose(editor: QComboBox, word: str) -> None:
    """Go to a choice with the arrow keys."""
    wanted = editor.findData(word)
    assert wanted >= 0, word
    while editor.currentIndex() != wanted:
        step = Key.Key_Down if editor.currentIndex() < wanted else Key.Key_Up
        before = editor.currentIndex()
        QTest.keyClick(editor, step)
        assert editor.currentIndex() != before


def type_over(editor: QLineEdit, text: str) -> None:
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Key.Key_Return)


def test_a_length_is_typed_in_inches_and_committed_by_enter(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    type_over(line(panel, "x_mm"), "3/8 in")
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    assert session.document.cavities["panel/F2"].x_mm == pytest.approx(9.525)
    assert line(panel, "x_mm").text() == "9.525"
    assert session.stack.undoText() == "Set x of F2"
    session.stack.undo()
    assert line(panel, "x_mm").text() == "55"


def test_ctrl_semicolon_writes_the_date_of_today(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select([])
    editor = line(panel, "date")
    QTest.keyClick(editor, Key.Key_Semicolon, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(editor, Key.Key_Return)
    assert session.document.car.date == QDate.currentDate().toString("yyyy-MM-dd")


def test_editors_of_a_row_stand_level_though_one_of_them_is_refused(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.select(["panel/F2"])
    panel.resize(700, 700)
    type_over(line(panel, "x_mm"), "wide")
    QApplication.processEvents()
    tops = [
        panel.field(path).focusProxy().mapTo(panel, QPoint(0, 0)).y()  # type: ignore[union-attr]
        for path in ("x_mm", "y_mm")
    ]
    assert panel.field("x_mm").message.isVisible()
    assert tops[0] == tops[1]


def test_leaving_a_field_commits_it(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    QTest.keyClicks(line(panel, "legend"), "HORN")
    QTest.keyClick(line(panel, "legend"), Key.Key_Tab)
    assert session.document.cavities["panel/F2"].legend == "HORN"


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        ("rating_a", "2o", "not a number"),
        ("x_mm", "99999", "from -2000 to 2000 mm"),
        ("x_mm", "nan", "not a length"),
        ("contact/load/wires", "SB 16", "means different colours"),
        ("form", "medum blad", "nearest are medium blade"),
    ],
)
def test_a_refused_text_stays_with_its_reason_beneath(
    panel: InspectorPanel,
    selection: Selection,
    session: Session,
    path: str,
    text: str,
    words: str,
) -> None:
    selection.select(["panel/F2"])
    before, old = session.document, line(panel, path).text()
    editor = line(panel, path)
    type_over(editor, text)
    assert words in panel.field(path).message.text
    assert editor.text() == text
    assert session.document is before
    QTest.keyClick(editor, Key.Key_Escape)
    assert editor.text() == old
    assert panel.field(path).message.text == ""


def test_several_show_what_they_share_and_are_set_in_one_step(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F1", "panel/F2", "panel/F3"])
    assert line(panel, "legend").text() == "STOP"
    rating = line(panel, "rating_a")
    assert (rating.text(), rating.placeholderText()) == ("", "mixed")
    # Passing through a mixed field changes nothing.
    QTest.keyClick(rating, Key.Key_Return)
    assert not session.stack.canUndo()
    type_over(rating, "15")
    assert {c.rating_a for c in session.document.cavities.values()} == {15.0}
    assert session.stack.undoText() == "Set rating of 3 cavities"
    session.stack.undo()
    assert [c.rating_a for c in session.document.cavities.values()] == [20, 20, 10]
    assert not session.stack.canUndo()


def test_a_text_not_yet_committed_goes_to_the_cavity_it_was_typed_for(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    QTest.keyClicks(line(panel, "circuit"), "Horn")
    selection.select(["panel/F3"])
    assert session.document.cavities["panel/F2"].circuit == "Horn"
    assert session.document.cavities["panel/F3"].circuit == ""
    assert line(panel, "circuit").text() == ""


def test_an_edit_elsewhere_does_not_take_away_what_is_being_typed(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    editor = line(panel, "circuit")
    QTest.keyClicks(editor, "Hor")
    session.edit("Set", set_texts, ["panel/F2"], "legend", "HORN")
    assert editor.text() == "Hor"
    assert line(panel, "legend").text() == "HORN"


def test_the_rear_view_speaks_in_its_own_places(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.select(["panel/F1"])
    labels = [w for w in panel.findChildren(QLabel) if w.text().startswith("In ")]
    assert not [w for w in labels if w.isVisible()]
    selection.set_view(View.REAR)
    # x' = width - x = 135 - 35; the start end, left in front, is seen at the right.
    shown = [
        w.text()
        for w in panel.findChildren(QLabel)
        if w.text().startswith("In ") and w.isVisible()
    ]
    assert shown == ["In rear view: x 100 mm, y 25 mm, feed right"]


def test_wires_and_condition_of_a_contact(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    type_over(line(panel, "contact/feed/wires"), "RED 12 AWG; brown/white 18")
    wires = session.document.cavities["panel/F2"].contact("feed").wires
    assert [w.colour.words() for w in wires if w.colour] == ["red", "brown/white"]
    assert wires[0].gauge == "12 AWG"
    severity = panel.field("condition/feed/severity")
    assert not severity.isVisible()
    choose(box(panel, "condition/feed/state"), "spread")
    assert severity.isVisible()
    # What the arrow keys passed on the way is no step of its own.
    session.stack.undo()
    assert session.document.cavities["panel/F2"].contact("feed").condition is None
    session.stack.redo()
    choose(box(panel, "condition/feed/severity"), "2")
    type_over(line(panel, "condition/feed/judged"), "grip test")
    condition = session.document.cavities["panel/F2"].contact("feed").condition
    assert condition is not None
    assert (condition.state, condition.severity) == ("spread", 2)
    assert condition.judged == "grip test"
    assert session.stack.undoText() == "Set feed contact condition of F2"
    choose(box(panel, "condition/feed/state"), "")
    assert session.document.cavities["panel/F2"].contact("feed").condition is None


def test_contacts_follow_the_form(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    type_over(line(panel, "form"), "relay 4-pin")
    assert panel.field("contact/87/wires").isVisible()
    assert not panel.field("contact/feed/wires").isVisible()
    type_over(line(panel, "contact/87/wires"), "BLU 14 AWG")
    assert session.document.cavities["panel/F2"].contact("87").wires[0].gauge


def test_evidence_of_a_fact(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    choose(box(panel, "evidence/legend/how"), "book")
    assert session.document.cavities["panel/F2"].evidence["legend"].how == "book"
    assert session.stack.undoText() == "Set evidence of legend of F2"
    button = panel.findChild(QWidget, "seen today")
    assert button is not None
    button.setFocus()
    QTest.keyClick(button, Key.Key_Space)
    known = session.document.cavities["panel/F2"].evidence
    today = QDate.currentDate().toString(Qt.DateFormat.ISODate)
    assert {e.how for e in known.values()} == {"seen"}
    assert {e.date for e in known.values()} == {today}
    assert {"form", "rating_a", "legend", "feed_end"} <= set(known)
    session.stack.undo()
    assert session.document.cavities["panel/F2"].evidence["legend"].how == "book"


def test_flags_and_notes(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2", "panel/F3"])
    tick = panel.field("do_not_use").focusProxy()
    assert isinstance(tick, QCheckBox)
    tick.setFocus()
    QTest.keyClick(tick, Key.Key_Space)
    assert session.document.cavities["panel/F3"].do_not_use
    selection.select(["panel/F1", "panel/F2"])
    assert tick.checkState() is Qt.CheckState.PartiallyChecked
    notes = panel.field("notes").focusProxy()
    assert isinstance(notes, QPlainTextEdit)
    notes.setFocus()
    QTest.keyClicks(notes, "brown plastic")
    QTest.keyClick(notes, Key.Key_Tab)
    assert session.document.cavities["panel/F1"].notes == "brown plastic"


def test_block_and_car_when_nothing_is_selected(
    panel: InspectorPanel, session: Session
) -> None:
    shown = line(panel, "outline").placeholderText()
    assert shown.startswith("such as 0,0;")  # or it reads as the outline of this block
    type_over(line(panel, "outline"), "0,0; 130,0; 130,80; 60,100; 0,100")
    block = session.document.blocks["panel"]
    assert block.outline[3] == Point(60, 100)
    assert (block.width_mm, block.height_mm) == (130, 100)
    assert session.stack.undoText() == "Set outline of Panel"
    type_over(line(panel, "outline"), "0,0; 10,10; 10,0; 0,10")
    assert "crosses" in panel.field("outline").message.text
    type_over(line(panel, "outline"), "0,0; 10; 10,0")
    assert "Corner 2" in panel.field("outline").message.text
    QTest.keyClick(line(panel, "outline"), Key.Key_Escape)
    choose(box(panel, "polarity"), "positive ground")
    assert session.document.car.polarity == "positive ground"
    type_over(line(panel, "volts"), "6")
    assert session.document.car.volts == 6.0
    assert session.stack.undoText() == "Set system voltage of the car"


def test_every_row_of_the_schema_has_its_field(
    panel: InspectorPanel, selection: Selection
) -> None:
    for record in (Block, Car):
        for row in properties(record):
            if row.key != "photos":  # they have a window of their own
                assert panel.field(row.key)
    selection.select(["panel/F2"])
    deeper = ("contacts", "housing", "fuse", "interim", "evidence", "feed_end", "log")
    for row in properties(Cavity):
        if row.key not in deeper:
            assert panel.field(row.key)


def _visible_controls(panel: InspectorPanel) -> Sequence[QWidget]:
    kinds = (QLineEdit, QComboBox, QCheckBox, QPlainTextEdit)
    return [
        w
        for kind in kinds
        for w in panel.findChildren(kind)
        if w.isVisible() and w.isEnabled()
    ]


def test_every_control_has_a_name_and_is_reached_by_tab(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.select(["panel/F2"])
    controls = _visible_controls(panel)
    assert len(controls) > 30
    assert [w for w in controls if not w.accessibleName()] == []
    first = line(panel, "x_mm")
    reached: list[QWidget] = []
    focus: QWidget | None = first
    while focus is not None and focus not in reached:
        reached.append(focus)
        QTest.keyClick(focus, Key.Key_Tab)
        focus = QApplication.focusWidget()
    missed = [w.accessibleName() for w in controls if w not in reached]
    assert missed == []
    names = [w.accessibleName() for w in reached[:4]]
    assert names == ["x (mm)", "y (mm)", "Length (mm)", "Breadth (mm)"]


def test_tab_goes_down_the_page_also_after_contacts_were_added(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    type_over(line(panel, "form"), "relay 4-pin")
    panel.resize(400, 3000)
    QApplication.processEvents()
    focus: QWidget | None = line(panel, "x_mm")
    heights: list[int] = []
    reached: list[QWidget] = []
    while focus is not None and len(heights) < 60:
        reached.append(focus)
        heights.append(focus.mapTo(panel, focus.rect().topLeft()).y())
        if focus is panel.field("notes").focusProxy():
            break
        QTest.keyClick(focus, Key.Key_Tab)
        focus = QApplication.focusWidget()
    assert panel.field("contact/87/wires").focusProxy() in reached
    assert all(a <= b + 4 for a, b in itertools.pairwise(heights))


def test_a_narrow_pane_needs_no_scrolling_sideways(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.select(["panel/F2"])
    panel.resize(320, 500)
    QApplication.processEvents()
    (page,) = [p for p in panel.findChildren(QScrollArea) if p.isVisible()][:1]
    assert page.horizontalScrollBar().maximum() == 0
    label = panel.field("circuit").label
    field = panel.field("circuit")
    assert label.y() + label.height() <= field.y() + 2


def test_labels_have_access_keys_that_menus_do_not_use(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.select(["panel/F2"])
    keys = [
        text[text.index("&") + 1].casefold()
        for label in panel.findChildren(QLabel)
        if "&" in (text := label.text()) and label.isVisible()
    ]
    assert len(keys) >= 12
    assert len(keys) == len(set(keys))
    assert not set(keys) & set("fevdah")


@pytest.mark.parametrize("width", [300, 640, 1100])
def test_nothing_is_cut_off_at_twice_the_letter_size(
    panel: InspectorPanel, selection: Selection, width: int
) -> None:
    font = panel.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    panel.setFont(font)
    panel.resize(width, 500)
    selection.select(["panel/F2"])
    QApplication.processEvents()
    for label in panel.findChildren(QLabel):
        if label.isVisible() and label.text() and not label.wordWrap():
            assert label.width() >= label.sizeHint().width(), label.text()
            assert label.height() >= label.fontMetrics().height(), label.text()


def test_map_text_is_never_read_as_markup(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    session.edit("Set", set_texts, ["panel/F2"], "own", "<b>F2</b>")
    selection.select(["panel/F2"])
    for label in panel.findChildren(QLabel):
        assert label.textFormat() is Qt.TextFormat.PlainText
    assert panel.heading.text() == "<b>F2</b>"


@pytest.mark.parametrize("width", [330, 440, 530, 560, 600, 760])
@pytest.mark.parametrize("chosen", [(), ("panel/F1",), ("panel/F1", "panel/F2")])
def test_no_width_of_the_pane_hides_a_part_of_the_fields(
    panel: InspectorPanel, selection: Selection, width: int, chosen: tuple[str, ...]
) -> None:
    panel.resize(width, 480)
    selection.select(chosen)
    QApplication.processEvents()
    page = next(p for p in panel.findChildren(QScrollArea) if p.isVisible())
    assert page.horizontalScrollBar().maximum() == 0
    inside = page.widget()
    assert inside is not None
    room = page.viewport().width()
    fields = [w for w in inside.findChildren(QLineEdit) if w.isVisible()]
    assert fields
    for field in fields:
        assert field.mapTo(inside, field.rect().topRight()).x() < room


def test_more_room_gives_two_columns_of_fields_and_less_takes_them_away(
    panel: InspectorPanel, selection: Selection
) -> None:
    selection.clear()

    def beside() -> bool:
        name, kind = line(panel, "name"), box(panel, "kind")
        places = [w.mapTo(panel, w.rect().center()).y() for w in (name, kind)]
        return abs(places[0] - places[1]) < 4

    for width, wanted in ((760, True), (530, False), (760, True)):
        panel.resize(width, 480)
        QApplication.processEvents()
        assert beside() is wanted, width


def test_amps_may_be_written_out(
    panel: InspectorPanel, selection: Selection, session: Session
) -> None:
    selection.select(["panel/F2"])
    for text in ("15 amps", "15A", "15 amp"):
        type_over(line(panel, "rating_a"), "7")
        type_over(line(panel, "rating_a"), text)
        assert session.document.cavities["panel/F2"].rating_a == 15
