"""What dies with a strip or contact, and the way from a load up to the supply.

The oracle is the panels as they were written down: each place names its feed.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from blockmap.analysis.behind.paths import cavities_of_load, trace_up, what_dies
from blockmap.model.document import Contact, Map, Strip
from blockmap.model.ids import ContactRef, key_of
from blockmap.model.places import find_contact
from tests.analysis.behind.sample_wiring import place, through_connectors, wire
from tests.sheets.sample_maps import shipped

PANELS: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "data" / "panels.json").read_text(encoding="utf-8")
)["panels"]
FEEDS = [
    (stem, feed["name"], tuple(feed["members"]))
    for stem, panel in PANELS.items()
    for feed in panel["feeds"]
    if len(feed["members"]) > 1
]


def below(stem: str, members: tuple[str, ...]) -> set[str]:
    """Return the members and every place that is written down as fed by them."""
    found = set(members)
    while True:
        more = {
            place["pos"]
            for place in PANELS[stem]["places"]
            if place["feed"].removesuffix(" load") in found
            and place["feed"].endswith(" load")
        }
        if more <= found:
            return found
        found |= more


@pytest.mark.parametrize(("stem", "name", "members"), FEEDS)
def test_a_strip_takes_with_it_all_that_is_written_down_as_fed_by_it(
    stem: str, name: str, members: tuple[str, ...]
) -> None:
    document = shipped(stem)
    strip = next(s for s in document.strips.values() if s.name == name)
    dies = what_dies(document, strip.id)
    assert {key_of(i) for i in dies.cavities} == below(stem, members)
    assert dies.still_fed == ()
    loads = {load.name for i in dies.cavities for load in document.cavities[i].loads}
    assert {load.name for load in dies.loads} == loads


@pytest.mark.parametrize(("stem", "name", "members"), FEEDS)
def test_every_place_is_traced_up_to_the_strip_that_feeds_it(
    stem: str, name: str, members: tuple[str, ...]
) -> None:
    document = shipped(stem)
    for key in below(stem, members):
        cavity = next(c for c in document.cavities.values() if c.designation == key)
        traces = trace_up(document, cavity.id)
        assert len(traces) == 1
        assert traces[0].whole
        assert any(node.kind == "strip" for node in traces[0].nodes)
        strip = next(n.name for n in traces[0].nodes if n.kind == "strip")
        assert document.strips[strip].name == name


def test_a_load_is_traced_through_a_holder_two_connector_halves_and_a_fuse() -> None:
    document = through_connectors()
    (cavity,) = cavities_of_load(document, "Rear LAMP")
    (trace,) = trace_up(document, cavity)
    assert [node.name for node in trace.nodes] == [
        "away/IL1.load",
        "away/IL1.feed",
        "C2/3.pin",
        "C1/3.pin",
        "panel/F1.load",
        "panel/F1.feed",
        "panel/BAT",
        "battery",
    ]
    assert trace.whole
    assert trace.words[1] == "through the fuse IL1, 5 A"
    assert trace.words[3].startswith("plugged to 3 of C1")
    assert trace.words[-1] == "supply: battery"


def test_a_contact_takes_the_connectors_and_the_holder_behind_it_along() -> None:
    document = through_connectors()
    dies = what_dies(document, ContactRef("panel/F1", "load"))
    assert dies.connectors == ("C1", "C2")
    assert [load.name for load in dies.loads] == ["rear lamp"]
    assert [feed.source.name for feed in dies.needs] == [
        "panel/F1.feed",
        "panel/BAT",
        "battery",
    ]
    whole = what_dies(document, "panel/BAT")
    assert {load.name for load in whole.loads} == {"radio", "rear lamp"}


def test_what_has_a_second_feed_lives_on() -> None:
    document = through_connectors()
    second = place(
        "panel", "F3", contacts={"load": Contact(wires=(wire("red", "C1.3"),))}
    )
    document = replace(document, cavities={**document.cavities, second.id: second})
    dies = what_dies(document, ContactRef("panel/F1", "load"))
    assert dies.cavities == ("panel/F1",)
    assert "away/IL1" in dies.still_fed
    tops = {trace.nodes[-1].name for trace in trace_up(document, "away/IL1")}
    assert tops == {"battery", "panel/F3.feed"}


def test_a_trace_that_ends_where_the_map_falls_silent_says_so() -> None:
    lonely = place("panel", "F9")
    document = replace(through_connectors(), cavities={lonely.id: lonely})
    (trace,) = trace_up(document, lonely.id)
    assert not trace.whole
    assert trace.nodes[-1].name == "panel/F9.feed"


def test_a_relay_without_its_coil_feeds_nothing() -> None:
    relay = place(
        "panel",
        "R1",
        kind="relay",
        form="relay 4-pin",
        contacts={"86": Contact(fed_from="F2.load")},
    )
    before = through_connectors()
    strip = before.strips["panel/BAT"]
    other = Strip(id="panel/X", block="panel", members=("R1.30",), made="riveted")
    document = replace(
        before,
        cavities={**before.cavities, relay.id: relay},
        strips={strip.id: strip, other.id: other},
    )
    dies = what_dies(document, ContactRef("panel/F2", "load"))
    assert dies.unswitched == ("panel/R1",)
    assert ContactRef("panel/R1", "87") in dies.contacts


def test_a_map_that_feeds_in_a_circle_comes_to_an_end() -> None:
    one = place("panel", "F1", contacts={"feed": Contact(fed_from="F2.load")})
    two = place("panel", "F2", contacts={"feed": Contact(fed_from="F1.load")})
    document = replace(
        through_connectors(), cavities={one.id: one, two.id: two}, strips={}
    )
    assert what_dies(document, ContactRef("panel/F1", "load")).cavities
    assert trace_up(document, "panel/F1") == ()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("F1.load", ("panel/F1", "load")),
        ("panel/F1.load", ("panel/F1", "load")),
        ("F1", ("panel/F1", "load")),
        ("C1.3", ("C1/3", "pin")),
        ("C2/3", ("C2/3", "pin")),
        ("3", None),  # both halves have a place 3
        ("F1.lod", None),
        ("radio", None),
        ("C1.4", None),
    ],
)
def test_an_other_end_is_found_by_the_names_people_use(
    text: str, found: tuple[str, str] | None
) -> None:
    document: Map = through_connectors()
    assert find_contact(document, text, "panel") == found
