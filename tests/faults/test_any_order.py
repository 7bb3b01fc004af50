"""Edits, undo, redo, saving and reading again in any order keep every promise.

Hypothesis chooses the order. A list of maps stands beside the session as its oracle.
"""

from __future__ import annotations

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)
from PySide6.QtWidgets import QApplication

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import Map, Reading
from blockmap.model.edits import (
    Grid,
    add_grid,
    add_reading,
    delete_cavities,
    move_cavities,
    remove_reading,
    set_car_text,
    set_texts,
    turn_cavities,
)
from blockmap.model.geometry import Point
from blockmap.window.session import Session
from tests.faults.sample import panel
from tests.strategies import TRAPS

TEXTS = st.sampled_from([*TRAPS, "STOP", "x" * 200])
VALUES = {
    "legend": TEXTS,
    "notes": TEXTS,
    "circuit": TEXTS,
    "rating_a": st.sampled_from(["5", "7.5", "30", "", "nan", "-1", "ten"]),
    "form": st.sampled_from(["medium blade", "mini blade", "", "no such form"]),
}


class AnyOrder(RuleBasedStateMachine):
    """One session, and what it must be."""

    @initialize()
    def begin(self) -> None:
        self.session = Session(panel())
        self.maps: list[Map] = [self.session.document]
        self.at = 0
        self.in_file: Map | None = self.session.document
        self.gesture: object | None = None
        self.last_gesture: object | None = None

    def edit(self, name: str, function: object, *given: object) -> None:
        before = self.session.document
        done = self.session.edit(name, function, *given, gesture=self.gesture)  # type: ignore[arg-type]
        after = self.session.document
        if not done:
            assert after is before
            return
        assert after != before
        held = self.gesture is not None and self.gesture is self.last_gesture
        merges = held and before is not self.in_file
        self.last_gesture = self.gesture
        self.maps[self.at + (not merges) :] = [after]
        self.at += not merges

    def some(self, data: st.DataObject) -> list[str]:
        ids = list(self.session.document.cavities)
        if not ids:
            return []
        return data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=3))

    @rule(data=st.data(), key=st.sampled_from(list(VALUES)))
    def say(self, data: st.DataObject, key: str) -> None:
        self.edit("Set", set_texts, self.some(data), key, data.draw(VALUES[key]))

    @rule(text=TEXTS)
    def name_the_car(self, text: str) -> None:
        self.edit("Car", set_car_text, "name", text)

    @rule(data=st.data(), x=st.integers(0, 200), y=st.integers(0, 200))
    def move(self, data: st.DataObject, x: int, y: int) -> None:
        centres = {id_: Point(x / 4, y / 4) for id_ in self.some(data)[:1]}
        self.edit("Move", move_cavities, centres)

    @rule(data=st.data(), by=st.sampled_from([90, -90, 180, 45]))
    def turn(self, data: st.DataObject, by: int) -> None:
        self.edit("Turn", turn_cavities, self.some(data), by)

    @rule(data=st.data())
    def delete(self, data: st.DataObject) -> None:
        self.edit("Delete", delete_cavities, self.some(data))

    @rule()
    def grow(self) -> None:
        grid = Grid(first=Point(20, 30), columns=2, rows=1, first_designation="N1")
        self.edit("Add", add_grid, "panel", grid)

    @rule(data=st.data())
    def read_a_meter(self, data: st.DataObject) -> None:
        for id_ in self.some(data)[:1]:
            reading = Reading(point=f"{id_}.feed", states=("OFF",), value=12.4)
            self.edit("Read", add_reading, reading)

    @precondition(lambda self: bool(self.session.document.readings))
    @rule()
    def forget_a_reading(self) -> None:
        self.edit("Forget", remove_reading, next(iter(self.session.document.readings)))

    @rule()
    def press(self) -> None:
        self.gesture = object()

    @rule(text=TEXTS, times=st.integers(2, 4))
    def go_on_in_one_gesture(self, text: str, times: int) -> None:
        self.gesture = self.gesture or object()
        for number in range(times):
            self.edit("Car", set_car_text, "notes", f"{text} {number}")
            if number == 1 and times == 4:
                self.save()

    @rule(times=st.integers(1, 4))
    def undo(self, times: int) -> None:
        for _ in range(times):
            assert self.session.stack.canUndo() == (self.at > 0)
            if self.at:
                self.session.stack.undo()
                self.at -= 1
                self.last_gesture = None

    @rule(times=st.integers(1, 4))
    def redo(self, times: int) -> None:
        for _ in range(times):
            assert self.session.stack.canRedo() == (self.at < len(self.maps) - 1)
            if self.at < len(self.maps) - 1:
                self.session.stack.redo()
                self.at += 1
                self.last_gesture = None

    @rule()
    def save(self) -> None:
        self.session.mark_saved()
        self.in_file = self.session.document

    @rule()
    def all_the_way_back_and_forth(self) -> None:
        was = self.at
        while self.session.stack.canUndo():
            self.session.stack.undo()
        assert self.session.document is self.maps[0]
        while self.session.stack.canRedo():
            self.session.stack.redo()
        assert self.session.document is self.maps[-1]
        self.session.stack.setIndex(was)
        self.last_gesture = None

    @invariant()
    def it_is_what_it_must_be(self) -> None:
        if not hasattr(self, "session"):
            return
        document = self.session.document
        assert document is self.maps[self.at]
        assert self.session.saved == (document is self.in_file)
        assert self.session.stack.isClean() == self.session.saved
        text = map_text(document)
        again = read_map(text.encode()).document
        assert again == document
        assert map_text(again) == text


AnyOrder.TestCase.settings = settings(
    max_examples=40, stateful_step_count=25, deadline=None
)


@pytest.mark.usefixtures("qapp")
def test_any_order_of_edits_undo_redo_and_saves(qapp: QApplication) -> None:
    case = AnyOrder.TestCase()
    case.runTest()
