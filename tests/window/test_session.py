"""The session: one undo step a gesture, honest differences, refusals told."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from blockmap.model.changes import Change
from blockmap.model.document import Map, empty_map
from blockmap.model.edits import Grid, add_block, add_grid, move_cavities, set_texts
from blockmap.model.geometry import Point, Size
from blockmap.window import history
from blockmap.window import session as session_module
from blockmap.window.selection import Selection
from blockmap.window.session import Session


@pytest.fixture
def session(qapp: QObject) -> Session:
    document, block = add_block(empty_map(), "Dash", Size(135, 105))
    grid = Grid(first=Point(15, 15), columns=4, first_designation="F1")
    return Session(add_grid(document, block, grid))


def test_an_edit_is_one_named_step_that_undo_takes_back(session: Session) -> None:
    before = session.document
    assert session.edit("Set rating of F1", set_texts, ["dash/F1"], "rating_a", "20")
    assert session.document.cavities["dash/F1"].rating_a == 20
    assert session.stack.undoText() == "Set rating of F1"
    session.stack.undo()
    assert session.document is before
    session.stack.redo()
    assert session.document.cavities["dash/F1"].rating_a == 20


def test_a_refusal_is_told_and_leaves_no_step(session: Session, qtbot: QtBot) -> None:
    before = session.document
    with qtbot.waitSignal(session.refused) as told:
        assert not session.edit("x", set_texts, ["dash/F1"], "rating_a", "twenty")
    assert "F1" in told.args[0]
    assert "twenty" in told.args[0]
    assert session.document is before
    assert session.stack.count() == 0


def test_an_edit_carried_out_runs_once_and_hands_its_refusal_back(
    session: Session, qtbot: QtBot
) -> None:
    runs: list[str] = []

    def rated(document: Map, text: str) -> Map:
        runs.append(text)
        return set_texts(document, ["dash/F1"], "rating_a", text)

    assert session.carry_out("Set rating of F1", rated, "20") is None
    assert session.document.cavities["dash/F1"].rating_a == 20
    with qtbot.assertNotEmitted(session.refused):
        refusal = session.carry_out("Set rating of F1", rated, "twenty")
    assert refusal
    assert "twenty" in refusal
    assert session.document.cavities["dash/F1"].rating_a == 20
    assert session.stack.count() == 1
    assert runs == ["20", "twenty"]


def test_an_edit_that_changes_nothing_leaves_no_step(session: Session) -> None:
    assert not session.edit("x", move_cavities, {"dash/F1": Point(15, 15)})
    assert session.stack.count() == 0
    assert session.saved


def test_edits_of_one_gesture_become_one_step(session: Session) -> None:
    gesture = object()
    for x in (16, 17, 18):
        place = {"dash/F1": Point(x, 15)}
        session.edit("Move F1", move_cavities, place, gesture=gesture)
    assert session.stack.count() == 1
    session.stack.undo()
    assert session.document.cavities["dash/F1"].x_mm == 15


def test_a_gesture_does_not_grow_a_step_that_was_undone(session: Session) -> None:
    gesture = object()
    session.edit("a", move_cavities, {"dash/F1": Point(16, 15)}, gesture=gesture)
    session.edit("b", move_cavities, {"dash/F2": Point(36, 15)})
    session.stack.undo()
    session.edit("c", move_cavities, {"dash/F1": Point(17, 15)}, gesture=gesture)
    session.stack.undo()
    session.stack.undo() if session.stack.canUndo() else None
    assert session.document.cavities["dash/F1"].x_mm == 15


def test_views_hear_the_difference_and_nothing_else(
    session: Session, qtbot: QtBot
) -> None:
    heard: list[Change] = []
    session.changed.connect(heard.append)
    session.edit("x", set_texts, ["dash/F2"], "legend", "STOP")
    assert len(heard) == 1
    assert heard[0].cavities.altered == {"dash/F2"}
    assert not heard[0].blocks
    assert not heard[0].car


def test_a_failing_edit_keeps_the_map_and_is_reported(
    session: Session, caught_failures: list[tuple[str, BaseException]]
) -> None:
    before = session.document

    def broken(document: Map) -> Any:
        del document
        raise ZeroDivisionError

    assert not session.edit("break", broken)
    assert session.document is before
    assert [type(p) for _, p in caught_failures] == [ZeroDivisionError]
    caught_failures.clear()


def test_saved_follows_undo_and_redo(session: Session) -> None:
    session.edit("x", set_texts, ["dash/F1"], "legend", "STOP")
    assert not session.saved
    session.mark_saved()
    session.stack.undo()
    assert not session.saved
    session.stack.redo()
    assert session.saved


def test_the_selection_lets_go_of_what_left_the_map(session: Session) -> None:
    selection = Selection(session)
    session.edit("x", set_texts, ["dash/F1"], "legend", "STOP")
    grid = Grid(first=Point(15, 50), columns=1, first_designation="F9")
    session.edit("Add", add_grid, "dash", grid)
    selection.select(["dash/F1", "dash/F9"])
    session.stack.undo()
    assert selection.ids == ("dash/F1",)
    assert selection.current == "dash/F1"


def renamed_throughout(session: Session, steps: int) -> list[Map]:
    """Edit every place so many times; return the map before and after each."""
    ids = list(session.document.cavities)
    seen = [session.document]
    for step in range(steps):
        assert session.edit(f"Step {step}", set_texts, ids, "legend", f"S{step}")
        seen.append(session.document)
    return seen


def test_a_history_that_holds_too_much_lets_go_of_its_oldest_steps(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[Change] = []
    session.changed.connect(heard.append)
    monkeypatch.setattr(session_module, "MOST_BYTES", 500 * 4 * 1000)
    monkeypatch.setattr(history, "MOST_BYTES", 500 * 4 * 1000)
    seen = renamed_throughout(session, 900)
    assert len(heard) == 900
    left = session.stack.count()
    assert 250 <= left <= 600
    assert session.document is seen[-1]
    assert session.stack.undoText() == "Step 899"
    for number in range(left):
        session.stack.undo()
        assert session.document is seen[-2 - number]
    assert not session.stack.canUndo()
    for number in range(left):
        session.stack.redo()
        assert session.document is seen[len(seen) - left + number]
    held = {id(map_) for map_ in session.maps()}
    assert held == {id(map_) for map_ in seen[-1 - left :]}


def test_two_hundred_steps_stay_however_much_they_hold(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session_module, "MOST_BYTES", 10)
    monkeypatch.setattr(history, "MOST_BYTES", 10)
    renamed_throughout(session, 420)
    assert 200 <= session.stack.count() <= 250


def test_what_is_saved_and_a_gesture_outlast_a_shortened_history(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    gesture = object()
    renamed_throughout(session, 260)
    session.mark_saved()
    for x in (16, 17):
        place = {"dash/F1": Point(x, 15)}
        session.edit("Move F1", move_cavities, place, gesture=gesture)
    steps = session.stack.count()
    monkeypatch.setattr(session_module, "MOST_BYTES", 10)
    monkeypatch.setattr(history, "MOST_BYTES", 10)
    session.edit("Move F1", move_cavities, {"dash/F1": Point(18, 15)}, gesture=gesture)
    assert steps == 261
    assert session.stack.count() == 200
    session.edit("Move F1", move_cavities, {"dash/F1": Point(19, 15)}, gesture=gesture)
    assert session.stack.count() == 200
    assert not session.saved
    session.stack.undo()
    assert session.saved
    assert session.document.cavities["dash/F1"].x_mm == 15
    session.stack.undo()
    assert not session.saved
