"""Work and odds of a map's fault search: what is kept, refused, and gone back on."""

from __future__ import annotations

import pytest

from blockmap.analysis.isolation.assumptions import Assumptions, assumptions_of
from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.assumed import ODDS_KEYS, OwnOdds, OwnWork
from blockmap.model.document import Map
from blockmap.model.edits import forget_assumed, set_odds, set_work
from blockmap.model.errors import DocumentRefused, EditRefused
from blockmap.model.schema import properties
from blockmap.reference.work_rows import ODDS_ROWS, WORK_ROWS


def test_a_map_can_keep_every_kind_of_work_and_every_kind_of_part() -> None:
    keys = [row.key for row in properties(OwnWork)]
    assert keys == [*WORK_ROWS, "lamp_w", "block_is_down"]
    assert list(ODDS_KEYS.values()) == list(ODDS_ROWS)


def test_a_map_of_its_own_without_any_has_the_defaults() -> None:
    assert assumptions_of(Map()) == Assumptions()


def test_what_is_set_holds_in_the_search_and_is_in_the_file() -> None:
    document = set_work(Map(), "rear_min", "20 min")
    document = set_work(document, "block_is_down", "yes")
    document = set_odds(document, "supply-wire", "open", "7,5")
    assumed = assumptions_of(document)
    assert assumed.work.access_min["block down"] == 20
    assert assumed.work.block_is_down
    assert assumed.odds["supply wire"] == (7.5, 0.3, 0.05)
    assert assumed.odds["wire"] == Assumptions().odds["wire"]
    text = map_text(document)
    assert "  supply-wire:\n    open: 7.5\n" in text
    assert read_map(text.encode()).document == document


def test_an_empty_text_goes_back_to_the_default_and_leaves_nothing() -> None:
    document = set_odds(set_work(Map(), "seat_min", "3"), "fuse", "short", "1")
    document = set_work(document, "seat_min", " ")
    document = set_odds(document, "fuse", "short", "")
    assert document == Map()
    assert set_work(document, "seat_min", "") is document
    assert set_odds(document, "fuse", "open", "") is document


def test_going_back_on_all_is_one_edit_and_changes_nothing_twice() -> None:
    document = set_odds(set_work(Map(), "seat_min", "3"), "fuse", "open", "1")
    again = forget_assumed(document)
    assert (again.work, dict(again.odds)) == (OwnWork(), {})
    assert forget_assumed(again) is again


@pytest.mark.parametrize("text", ["-1", "601", "soon"])
def test_work_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(EditRefused):
        set_work(Map(), "front_min", text)


@pytest.mark.parametrize(
    ("key", "text"), [("fuse", "-1"), ("fuse", "x"), ("fuze", "1")]
)
def test_odds_that_cannot_be_are_refused(key: str, text: str) -> None:
    with pytest.raises(EditRefused):
        set_odds(Map(), key, "open", text)


def test_a_file_with_odds_of_an_unknown_kind_is_refused_with_the_nearest() -> None:
    with pytest.raises(DocumentRefused) as refused:
        read_map(b"blockmap: 1\nodds:\n  fuze:\n    open: 2\n...\n")
    (problem,) = refused.value.problems
    assert "fuze" in problem.sentence()
    assert "fuse" in problem.sentence()
    assert OwnOdds(open=2) != OwnOdds()
