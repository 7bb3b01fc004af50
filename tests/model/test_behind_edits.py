"""Edits of damage, repairs, the log and terminal families."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import (
    Block,
    Cavity,
    Condition,
    Contact,
    LogEntry,
    Map,
    Repair,
    Strip,
    TerminalFamily,
    Wire,
)
from blockmap.model.edits import (
    add_log,
    add_repair,
    add_strip,
    advance_repair,
    assign_family,
    copy_family,
    delete_cavities,
    duplicate_cavities,
    remove_family,
    remove_repair,
    set_block_text,
    set_condition,
    set_conditions,
    set_family,
    set_family_text,
    set_property,
    set_repair_text,
)
from blockmap.model.errors import EditRefused
from blockmap.model.places import condition_at
from blockmap.model.terminals import families, family_named
from blockmap.reference.trade_words import REPAIR_STAGES
from tests.strategies import TRAPS

F1 = "p/F1"
SPREAD = Condition(state="spread", severity=2, judged="grip test", date="2024-05-01")


@pytest.fixture
def panel() -> Map:
    """Return a block with one fuse that has two load wires."""
    contacts = {"load": Contact(wires=(Wire(gauge="16 AWG"), Wire(gauge="18 AWG")))}
    fuse = Cavity(
        id=F1,
        block="p",
        own="F1",
        form="medium blade",
        x_mm=10,
        y_mm=10,
        width_mm=19.1,
        height_mm=5.1,
        contacts=contacts,
    )
    block = Block(id="p", width_mm=50, height_mm=30)
    return Map(blocks={"p": block}, cavities={F1: fuse})


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(["log", "spread", "sound", "ordered", "fitted"])))
def test_nothing_that_is_done_takes_a_line_out_of_the_log(steps: list[str]) -> None:
    fuse = Cavity(
        id=F1, block="p", form="medium blade", x_mm=1, y_mm=1, width_mm=9, height_mm=9
    )
    document = Map(
        blocks={"p": Block(id="p", width_mm=50, height_mm=30)}, cavities={F1: fuse}
    )
    document, key = add_repair(document, Repair(at="F1.load"))
    for number, step in enumerate(steps):
        before = document.cavities[F1].log
        if step == "log":
            document = add_log(document, F1, f"looked at it, {number}")
        elif step in REPAIR_STAGES:
            document = advance_repair(document, key, step)
        else:
            document = set_condition(document, F1, "load", Condition(state=step))
        assert document.cavities[F1].log[: len(before)] == before


def test_the_log_cannot_be_set_from_outside(panel: Map) -> None:
    logged = add_log(panel, F1, "  warm  after an hour ", "2024-05-02")
    assert logged.cavities[F1].log == (
        LogEntry(date="2024-05-02", text="warm after an hour"),
    )
    with pytest.raises(EditRefused):
        set_property(logged, [F1], "log", ())
    for text, date in (("", None), ("a", "2024-02-31"), ("a\x01", None)):
        with pytest.raises(EditRefused):
            add_log(logged, F1, text, date)


def test_the_log_of_one_place_is_not_true_of_its_copy(panel: Map) -> None:
    logged = add_log(panel, F1, "smells of fish")
    copied, (new,) = duplicate_cavities(logged, [F1], 5.0, 0.0)
    assert copied.cavities[new].log == ()


@pytest.mark.parametrize(
    "where", ["feed", "load", "load wire", "load wire 2", "housing", "fuse"]
)
def test_a_condition_is_set_where_it_is_asked_for_and_told(
    panel: Map, where: str
) -> None:
    document = set_condition(panel, F1, where, SPREAD)
    cavity = document.cavities[F1]
    assert condition_at(cavity, where) == SPREAD
    assert len(cavity.conditions) == 1
    (entry,) = cavity.log
    assert entry.date == "2024-05-01"
    assert entry.text == f"{where}: spread 2, judged by grip test"
    worse = set_condition(document, F1, where, replace(SPREAD, state="broken"))
    assert "(before: spread 2)" in worse.cavities[F1].log[1].text
    gone = set_condition(worse, F1, where, None)
    assert gone.cavities[F1].conditions == ()
    assert len(gone.cavities[F1].log) == 3
    assert read_map(map_text(gone).encode()).document == gone


def test_an_equal_condition_changes_nothing(panel: Map) -> None:
    document = set_condition(panel, F1, "load", SPREAD)
    assert set_condition(document, F1, "load", replace(SPREAD)) is document
    assert set_condition(panel, F1, "load", None) is panel


@pytest.mark.parametrize("where", ["lod", "load wire 3", "feed wire", "", "87"])
def test_a_part_that_is_not_there_is_refused(panel: Map, where: str) -> None:
    with pytest.raises(EditRefused):
        set_condition(panel, F1, where, SPREAD)


def test_a_repair_keeps_a_date_for_every_stage_it_came_to(panel: Map) -> None:
    broken = set_condition(panel, F1, "load", SPREAD)
    found = Repair(at="F1.load", part="female", date="2024-05-01")
    document, key = add_repair(broken, found)
    for month, stage in enumerate(REPAIR_STAGES[1:], start=2):
        document = advance_repair(document, key, stage, f"2024-{month:02d}-01")
    repair = document.repairs[key]
    assert repair.stage == "retired"
    assert repair.reached == tuple(
        (stage, date)
        for stage, date in zip(
            REPAIR_STAGES,
            ["2024-05-01", *(f"2024-{m:02d}-01" for m in range(2, 10))],
            strict=True,
        )
    )
    condition = document.cavities[F1].contact("load").condition
    assert condition is not None
    assert condition.stage == "retired"
    told = [entry.text for entry in document.cavities[F1].log]
    assert len(told) == 1 + len(REPAIR_STAGES)
    assert told[1] == f"load: {key}: found, female"
    assert read_map(map_text(document).encode()).document == document


def test_a_mended_contact_is_no_longer_unusable(panel: Map) -> None:
    bad = set_condition(panel, F1, "load", replace(SPREAD, severity=3))
    document, key = add_repair(bad, Repair(at="p/F1.load", stage="ordered"))
    assert document.cavities[F1].unusable
    assert not advance_repair(document, key, "fitted").cavities[F1].unusable


@pytest.mark.parametrize(
    ("typed", "price", "currency"),
    [
        ("12,50 EUR", 12.5, "EUR"),
        ("£3", 3.0, "£"),
        ("4.20 of ours", 4.2, "of ours"),
        ("7", 7.0, ""),
        ("", None, ""),
    ],
)
def test_a_price_keeps_the_currency_as_it_is_written(
    panel: Map, typed: str, price: float | None, currency: str
) -> None:
    document, key = add_repair(panel, Repair(at="F1", price=9.0, currency="CHF"))
    repair = set_repair_text(document, key, "price", typed).repairs[key]
    assert (repair.price, repair.currency) == (price, currency)


@pytest.mark.parametrize("typed", ["3 for 5 EUR", "EUR", "EUR 5 EUR", "-2 EUR"])
def test_what_is_no_price_is_refused(panel: Map, typed: str) -> None:
    document, key = add_repair(panel, Repair(at="F1"))
    with pytest.raises(EditRefused):
        set_repair_text(document, key, "price", typed)


def test_a_repair_without_a_known_place_is_kept_all_the_same(panel: Map) -> None:
    document, key = add_repair(panel, Repair(at="behind the dash", what="grommet"))
    assert document.cavities is panel.cavities
    assert advance_repair(document, key, "fitted").repairs[key].stage == "fitted"


def test_prices_and_sources_are_typed_and_checked(panel: Map) -> None:
    document, key = add_repair(panel, Repair(at="F1"))
    document = set_repair_text(document, key, "price", "12,50")
    document = set_repair_text(document, key, "source", "  the  yard ")
    assert document.repairs[key].price == 12.5
    assert document.repairs[key].source == "the yard"
    for field, text in (("price", "-1"), ("price", "much"), ("ordered", "May")):
        with pytest.raises(EditRefused):
            set_repair_text(document, key, field, text)
    with pytest.raises(EditRefused):
        set_repair_text(document, "R99", "price", "1")
    with pytest.raises(EditRefused):
        advance_repair(document, key, "lost")


def test_repairs_get_keys_of_their_own(panel: Map) -> None:
    document, one = add_repair(panel, Repair(at="F1"))
    document, two = add_repair(document, Repair(at="F1"))
    assert one != two
    left = remove_repair(document, one)
    assert list(left.repairs) == [two]
    assert remove_repair(left, one) is left
    with pytest.raises(EditRefused):
        add_repair(panel, Repair(at=" "))


@pytest.mark.parametrize("text", TRAPS)
def test_what_is_typed_is_refused_or_reads_back(panel: Map, text: str) -> None:
    with suppress(EditRefused):
        document, key = add_repair(panel, Repair(at=text, what=text, source=text))
        document = set_repair_text(document, key, "note", text)
        document = add_log(document, F1, text)
        document = set_condition(document, F1, "load", Condition(note=text))
        document = set_family(document, "own", TerminalFamily(name=text, notes=text))
        assert read_map(map_text(document).encode()).document == document


def test_a_family_of_ones_own_goes_before_a_shipped_one(panel: Map) -> None:
    shipped = families(panel)
    name = shipped[0].name
    own = TerminalFamily(name=name.upper(), tool="a hairpin")
    document = set_family(panel, "mine", own)
    assert len(families(document)) == len(shipped)
    found = family_named(document, name)
    assert found is not None
    assert found.tool == "a hairpin"
    assert family_named(document, "mine") is found
    assert set_family(document, "mine", own) is document
    with pytest.raises(EditRefused):
        set_family(document, "other", own)
    assert remove_family(document, "mine").families == {}
    assert family_named(panel, "") is None
    assert family_named(panel, "unheard of") is None


def paired(panel: Map) -> Map:
    """Return the panel with a second fuse like the first."""
    second = replace(panel.cavities[F1], id="p/F2", own="F2", y_mm=60.0)
    return replace(panel, cavities={**panel.cavities, "p/F2": second})


def test_a_copied_family_stands_beside_the_one_it_is_like(panel: Map) -> None:
    like = families(panel)[0]
    document, key = copy_family(panel, like.name)
    own = document.families[key]
    assert own == replace(like, name=own.name)
    assert family_named(document, like.name) == like
    again, other = copy_family(document, like.name)
    assert again.families[other].name not in (own.name, like.name)
    bare, empty = copy_family(panel, "")
    assert bare.families[empty].singly is None


def test_a_family_is_given_to_contacts_and_follows_its_new_name(panel: Map) -> None:
    document, key = copy_family(paired(panel), families(panel)[0].name)
    name = document.families[key].name
    document = assign_family(document, [F1, "p/F2"], "load", name)
    assert document.cavities[F1].contact("load").terminal == name
    assert document.cavities[F1].contact("feed").terminal == ""
    document = set_block_text(document, "p", "terminal", name)
    document = set_family_text(document, key, "name", "brass clip")
    assert document.cavities["p/F2"].contact("load").terminal == "brass clip"
    assert document.blocks["p"].terminal == "brass clip"
    document = set_family_text(document, key, "strip_mm", "4,5 mm")
    assert document.families[key].strip_mm == 4.5
    everywhere = assign_family(document, [F1], "", "brass clip")
    assert everywhere.cavities[F1].contact("feed").terminal == "brass clip"
    assert assign_family(everywhere, [F1], "", "brass clip") is everywhere
    strip = Strip(id="p/S", block="p", members=("F1.feed",), made="riveted")
    riveted = assign_family(add_strip(document, strip), [F1], "", "brass clip")
    assert riveted.cavities[F1].contact("feed").terminal == "", "metal of a strip"
    with pytest.raises(EditRefused):
        assign_family(document, [F1], "87", name)
    with pytest.raises(EditRefused):
        set_family_text(document, key, "capacity_a", "plenty")
    with pytest.raises(EditRefused):
        set_family_text(document, "none", "tool", "pick")


def test_several_places_are_noted_in_one_step_each_in_its_own_log(panel: Map) -> None:
    spread = Condition(state="spread", note="left")
    before = set_condition(paired(panel), F1, "load", spread)
    values = {"state": "corroded", "severity": 2, "judged": "eye", "date": "2024-06-01"}
    after = set_conditions(before, [F1, "p/F2"], ["load"], values)
    for id_ in (F1, "p/F2"):
        condition = after.cavities[id_].contact("load").condition
        assert condition is not None
        assert (condition.state, condition.severity) == ("corroded", 2)
        last = after.cavities[id_].log[-1]
        assert last.date == "2024-06-01"
        assert "corroded" in last.text
        assert "judged by eye" in last.text
    old = after.cavities[F1].contact("load").condition
    assert old is not None
    assert old.note == "left", "what is not said of all stays"
    assert len(after.cavities[F1].log) == len(before.cavities[F1].log) + 1
    assert set_conditions(after, [F1], ["load"], values) is after
    with pytest.raises(EditRefused):
        set_conditions(panel, [F1], ["87a"], values)
    partly = set_conditions(panel, [F1], ["87a", "housing"], values)
    assert partly.cavities[F1].housing is not None


def test_deleting_a_place_leaves_its_repair_readable(panel: Map) -> None:
    document, key = add_repair(panel, Repair(at="F1.load", stage="ordered"))
    gone = delete_cavities(document, [F1])
    assert advance_repair(gone, key, "received").repairs[key].stage == "received"
