"""Who feeds whom: strips, jumpers, fuses and wires, circles and the nearest fuse."""

from __future__ import annotations

from typing import Any

import pytest

from blockmap.analysis.numbers.feed_load import entry_node
from blockmap.analysis.numbers.feeds import Node, contact_node, feed_tree
from blockmap.model.document import Block, Cavity, Contact, Jumper, Map, Strip, Wire


def place(key: str, **more: Any) -> Cavity:
    """Return a fuse of block b; its place does not matter here."""
    more.setdefault("kind", "fuse")
    more.setdefault("form", "medium blade" if more["kind"] == "fuse" else "")
    return Cavity(
        id=f"b/{key}", block="b", x_mm=1, y_mm=1, width_mm=9, height_mm=5, **more
    )


def fed(by: str, at: str = "feed") -> dict[str, Contact]:
    """Return the contacts of a cavity that is fed by a wire."""
    return {at: Contact(fed_from=by)}


def car(*cavities: Cavity, strips: tuple[Strip, ...] = ()) -> Map:
    """Return a map of these cavities and strips in block b."""
    return Map(
        blocks={"b": Block(id="b", width_mm=100, height_mm=50)},
        cavities={cavity.id: cavity for cavity in cavities},
        strips={strip.id: strip for strip in strips},
    )


def bar(*members: str, **more: Any) -> Strip:
    """Return a strip of block b."""
    return Strip(id="b/bar", block="b", members=members, **more)


def test_a_strip_feeds_its_members_and_its_jumpers() -> None:
    strip = bar(
        "1.feed",
        jumpers=(Jumper(to="2.feed", gauge="12 AWG"),),
        fed_from="battery post",
    )
    tree = feed_tree(car(place("1"), place("2"), strips=(strip,)))
    assert tree.supplies == (Node("supply", "battery post"),)
    assert tree.below(Node("supply", "battery post")) == ("b/1", "b/2")
    ways = {feed.target.name: feed.by for feed in tree.fed[Node("strip", "b/bar")]}
    assert ways == {"b/1.feed": "strip", "b/2.feed": "jumper"}


def test_a_load_is_traced_up_through_several_fuses() -> None:
    first = place("1", contacts=fed("battery"))
    second = place("2", contacts=fed("1.load"))
    third = place("3", kind="tab", form="tab 6.3", contacts=fed("2.load", "pin"))
    tree = feed_tree(car(third, second, first))
    up = [feed.source.name for feed in tree.above(contact_node("b/3", "pin"))]
    assert up == ["b/2.load", "b/2.feed", "b/1.load", "b/1.feed", "battery"]
    assert tree.protector(contact_node("b/3", "pin")) == "b/2"
    assert tree.protector(entry_node(second)) == "b/1"
    assert tree.protector(contact_node("b/2", "load")) == "b/2"
    assert tree.protector(entry_node(first)) is None


def test_a_tab_straight_off_a_strip_has_no_fuse() -> None:
    tab = place("3", kind="tab", form="tab 6.3")
    tree = feed_tree(car(place("1"), tab, strips=(bar("1.feed", "3.pin"),)))
    assert tree.protector(contact_node("b/3", "pin")) is None


def test_another_block_is_reached_by_its_full_name() -> None:
    far = Cavity(
        id="dash/F9",
        block="dash",
        x_mm=1,
        y_mm=1,
        width_mm=9,
        height_mm=5,
        contacts={"feed": Contact(fed_from="b/1.load")},
    )
    tree = feed_tree(car(place("1"), far))
    assert tree.below(contact_node("b/1", "feed")) == ("b/1", "dash/F9")


def test_a_wire_to_a_contact_feeds_it() -> None:
    out = {"load": Contact(wires=(Wire(gauge="16 AWG", to="2.feed"),))}
    tree = feed_tree(car(place("1", contacts=out), place("2")))
    assert tree.below(contact_node("b/1", "feed")) == ("b/1", "b/2")


def test_the_wire_of_a_feed_contact_feeds_nothing() -> None:
    back = {"feed": Contact(wires=(Wire(gauge="16 AWG", to="1.load"),))}
    tree = feed_tree(car(place("1"), place("2", contacts=back)))
    assert tree.below(contact_node("b/2", "feed")) == ("b/2",)


def test_a_relay_coil_carries_no_load() -> None:
    relay = place(
        "R",
        kind="relay",
        form="relay 4-pin",
        contacts={"30": Contact(fed_from="1.load"), "86": Contact(fed_from="2.load")},
    )
    tree = feed_tree(car(place("1"), place("2"), relay))
    assert tree.below(contact_node("b/1", "feed")) == ("b/1", "b/R")
    assert tree.below(contact_node("b/2", "feed")) == ("b/2",)


def test_a_circle_is_walked_once_round() -> None:
    one = place("1", contacts=fed("3.load"))
    two = place("2", contacts=fed("1.load"))
    three = place("3", contacts=fed("2.load"))
    outside = place("4", contacts=fed("3.load"))
    tree = feed_tree(car(one, two, three, outside))
    assert set(tree.below(entry_node(one))) == {"b/1", "b/2", "b/3", "b/4"}
    assert len(list(tree.above(entry_node(one)))) == 5
    circle = {node.name for node in tree.circles}
    assert circle == {f"b/{n}.{c}" for n in "123" for c in ("feed", "load")}


def test_words_that_name_no_contact_are_a_supply() -> None:
    tree = feed_tree(car(place("1", contacts=fed("the  switch No. 3"))))
    assert tree.supplies == (Node("supply", "the switch No. 3"),)


@pytest.mark.parametrize("kind", ["fuse", "breaker", "link"])
def test_a_fuse_guards_up_to_the_next_one(kind: str) -> None:
    tab = place("3", kind="tab", form="tab 6.3", contacts=fed("1.load", "pin"))
    tree = feed_tree(
        car(place("1"), place("2", kind=kind, contacts=fed("1.load")), tab)
    )
    guarded = {node.name for node in tree.guarded(contact_node("b/1", "load"))}
    assert guarded == {"b/1.load", "b/2.feed", "b/3.pin"}


def test_an_edit_that_moves_no_wire_keeps_what_was_found() -> None:
    one, two = place("1"), place("2", contacts=fed("1.load"))
    before = feed_tree(car(one, two))
    found = before.nodes_below(entry_node(one))
    renamed = place("1", own="FAN")
    after = feed_tree(car(renamed, two), before)
    assert after.nodes_below(entry_node(one)) is found
    rewired = feed_tree(car(renamed, place("2")), after)
    assert rewired.below(entry_node(one)) == ("b/1",)
    gone = feed_tree(car(two), before)
    assert gone.supplies == (Node("supply", "1.load"),)
