"""The shipped maps: what is in them, and what the checks say of them."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from blockmap.analysis.findings import Level, check
from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import Cavity, Map
from blockmap.model.evidence import count_facts
from blockmap.model.ids import key_of
from blockmap.reference.forms import form_named
from blockmap.reference.wire_colours import read_colour
from blockmap.resources import layout, layout_files

# The panels as they were written down before they became maps: the outside source of
# every check here that names a place.
PANELS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "data" / "panels.json").read_text(encoding="utf-8")
)["panels"]

STARTERS = (
    "blade-grid",
    "connector-12-places",
    "connector-round",
    "four-fuse-block",
    "in-line-holders",
    "relay-and-fuse-block",
    "right-to-left-row",
    "single-ceramic-row",
    "two-column-glass",
    "under-hood-box",
)

# What is expected of each car: code and places, by level. Each stands for something
# the panels say; anything else would be a false alarm.
EXPECTED: dict[str, dict[Level, set[tuple[str, str]]]] = {
    "demo": {
        Level.ERROR: set(),
        # F11 carries 18 A and 3.5 A, 86 % of its 25 A. T3: "unfused add-on wire, no
        # grommet", as it was written down.
        Level.ADVICE: {
            ("loads-above-share", "F11"),
            ("damage-untended", "T3"),
            ("tab-not-fused", "T3"),
        },
        Level.INFORMATION: {
            ("wires-alike", "F1 CB2"),
            ("wires-alike", "F6 F11"),
            ("wires-alike", "F9 CB1"),
            ("interim-measure", "F11"),
        },
    },
    "saloon-ceramic-row": {
        # Written down: 25 A in place of 16 A.
        Level.ERROR: {("fitted-above-rating", "9")},
        Level.ADVICE: {("damage-untended", "7")},
        Level.INFORMATION: set(),
    },
    "hatchback-right-to-left": {
        Level.ERROR: set(),
        Level.ADVICE: {("damage-untended", "4")},
        Level.INFORMATION: set(),
    },
    "pickup-power-box": {
        Level.ERROR: set(),
        Level.ADVICE: {("damage-untended", "U2"), ("damage-untended", "U14")},
        Level.INFORMATION: {
            ("wires-alike", "U1 U14"),
            ("feed-end-unknown", "U14"),
        },
    },
    "van-two-columns": {
        Level.ERROR: set(),
        Level.ADVICE: {("damage-untended", "17")},
        Level.INFORMATION: set(),
    },
    "home-built-special": {
        # Written down: 30 A on a wire of 16 AWG, which bears 25 A by 33 CFR 183.425.
        Level.ERROR: {("fuse-above-wire", "2")},
        # 1 carries 12 A and feeds the breaker of the headlamps, 9.5 A, on 20 A: nobody
        # wrote down whether the 9.5 A are in the 12 A.
        Level.ADVICE: {("loads-perhaps-above-rating", "1")},
        Level.INFORMATION: {
            ("wires-alike", "1 I3"),
            ("wires-alike", "I2 CB"),
        },
    },
}

PLACES = [
    (stem, place["pos"]) for stem, panel in PANELS.items() for place in panel["places"]
]


@cache
def shipped(stem: str) -> Map:
    """Return a shipped map, read once."""
    path = layout(stem)
    return read_map(path.read_bytes(), path.name).document


def found_in(stem: str, pos: str) -> tuple[dict[str, Any], Cavity]:
    """Return a place as it was written down and as the map holds it."""
    place = next(p for p in PANELS[stem]["places"] if p["pos"] == pos)
    held = [c for c in shipped(stem).cavities.values() if c.designation == pos]
    assert len(held) == 1
    return place, held[0]


def test_the_folder_holds_these_maps_and_no_other() -> None:
    stems = {path.name.removesuffix(".blockmap.yaml") for path in layout_files()}
    assert stems == {*EXPECTED, *STARTERS}


@pytest.mark.parametrize("stem", [*EXPECTED, *STARTERS])
def test_saving_a_layout_unchanged_changes_no_byte(stem: str) -> None:
    data = layout(stem).read_bytes()
    read = read_map(data, stem)
    assert read.notes == ()
    assert map_text(read.document).encode("utf-8") == data


@pytest.mark.parametrize("stem", EXPECTED)
def test_each_car_has_the_expected_findings_and_no_other(stem: str) -> None:
    told: dict[Level, set[tuple[str, str]]] = {level: set() for level in Level}
    cavities = shipped(stem).cavities
    for finding in check(shipped(stem)):
        names = [cavities[i].designation for i in finding.objects]
        told[finding.level].add((finding.code, " ".join(names)))
    assert told == EXPECTED[stem]


@pytest.mark.parametrize("stem", STARTERS)
def test_a_starter_is_clean_and_says_nothing_of_circuits(stem: str) -> None:
    document = shipped(stem)
    assert {finding.level for finding in check(document)} <= {Level.INFORMATION}
    assert document.cavities
    assert document.car.name == ""
    for cavity in document.cavities.values():
        assert cavity.form
        assert (cavity.circuit, cavity.legend, cavity.loads) == ("", "", ())
        assert not cavity.contacts
    for block in document.blocks.values():
        assert block.numbering


@pytest.mark.parametrize("stem", PANELS)
def test_the_block_is_as_it_was_written_down(stem: str) -> None:
    panel, document = PANELS[stem], shipped(stem)
    (block,) = document.blocks.values()
    assert [block.width_mm, block.height_mm] == panel["block_mm"]
    assert (block.mount, block.numbering) == (panel["mount"], panel["numbering"])
    assert block.release == panel["lock"]
    assert document.car.volts == panel["volts"]
    assert document.car.polarity == panel["polarity"]
    assert document.car.name in panel["name"]
    assert len(document.cavities) == len(panel["places"])


@pytest.mark.parametrize(("stem", "pos"), PLACES)
def test_each_place_is_where_it_was_written_down(stem: str, pos: str) -> None:
    place, cavity = found_in(stem, pos)
    assert (cavity.x_mm, cavity.y_mm) == (place["x"], place["y"])
    assert cavity.turn_deg == {"V": 90, "H": 0, "-": 0}[place["turn"]]
    assert cavity.feed_side == {"-": "unknown"}.get(place["hot"], place["hot"])
    assert cavity.off_panel == (place["kind"] == "inline")


@pytest.mark.parametrize(("stem", "pos"), PLACES)
def test_each_place_says_what_was_written_down(stem: str, pos: str) -> None:
    place, cavity = found_in(stem, pos)
    kinds = {"inline": "fuse", "spare": "blank"}
    assert cavity.kind == kinds.get(place["kind"], place["kind"])
    assert cavity.rating_a == place["amps"]
    assert cavity.legend == re.sub(r" \(label says \w+\)", "", place["legend"])
    for label in re.findall(r"label says (\w+)", place["legend"]):
        assert label in cavity.notes
    wires = [w for name in ("load", "87", "85", "pin") for w in _wires(cavity, name)]
    colours = [read_colour(w["colour"], "north american") for w in place["wires"]]
    assert [wire.colour for wire in wires] == colours
    gauges = [wire.gauge.removesuffix(" AWG") for wire in wires]
    assert gauges == [w["gauge"] for w in place["wires"]]


def _wires(cavity: Cavity, contact: str) -> tuple[Any, ...]:
    return cavity.contact(contact).wires


@pytest.mark.parametrize(("stem", "pos"), PLACES)
def test_the_current_written_down_is_in_the_loads_or_the_notes(
    stem: str, pos: str
) -> None:
    place, cavity = found_in(stem, pos)
    draw_a = place["draw_A"]
    if not draw_a:
        assert not any(load.amps_a for load in cavity.loads)
        return
    amps_a = sum(load.amps_a or 0 for load in cavity.loads)
    assert amps_a == pytest.approx(draw_a) or f"{draw_a:g} A" in cavity.notes


@pytest.mark.parametrize("stem", PANELS)
def test_each_feed_reaches_its_places_and_no_other(stem: str) -> None:
    document = shipped(stem)
    by_name = {strip.name: strip for strip in document.strips.values()}
    for feed in PANELS[stem]["feeds"]:
        if len(feed["members"]) == 1:
            (pos,) = feed["members"]
            contact = found_in(stem, pos)[1].contact("feed")
            assert contact.live
            assert feed["name"] in contact.note
            assert len(contact.wires) == 1
        else:
            strip = by_name.pop(feed["name"])
            reached = {key_of(ref.cavity) for ref in strip.contact_refs()}
            assert reached == set(feed["members"])
            assert strip.live
            assert strip.supply_colour is not None
            enters = re.search(r"enters at (\w+)", feed["enters"])
            landed = strip.lands_at.partition(".")[0]
            assert landed == (enters[1] if enters else landed)
            stud = re.fullmatch(r"stud (left|right) end", feed["enters"])
            if stud is not None:
                assert strip.lands == "end"
                by_x = sorted(
                    feed["members"], key=lambda pos: found_in(stem, pos)[1].x_mm
                )
                on_bar = [pos for pos in by_x if f"{pos}.feed" in strip.members]
                assert landed == on_bar[0 if stud[1] == "left" else -1]
    assert not by_name


@pytest.mark.parametrize(("stem", "pos"), PLACES)
def test_what_is_fed_by_another_place_says_so(stem: str, pos: str) -> None:
    place, cavity = found_in(stem, pos)
    source = re.fullmatch(r"(\w+) load", place["feed"])
    feeds = {contact.fed_from for contact in cavity.contacts.values()} - {""}
    assert feeds == ({f"{source[1]}.load"} if source else set())


@pytest.mark.parametrize(
    ("stem", "row"),
    [(stem, row) for stem, panel in PANELS.items() for row in panel["damage"]],
    ids=lambda value: value if isinstance(value, str) else value["pos"],
)
def test_damage_is_on_the_right_contact(stem: str, row: dict[str, str]) -> None:
    _, cavity = found_in(stem, row["pos"])
    sides = {
        "F": ("feed",),
        "L": ("load", "pin"),
        "both": ("feed", "load"),
        "wire": ("load wire",),
        "fuse": ("fuse",),
        "plate": ("housing",),
    }[row["side"]]
    noted = {
        where: condition
        for where, condition in cavity.conditions
        if where in sides and row["found"] in condition.note
    }
    assert noted
    assert {c.severity for c in noted.values()} == {int(row["severity"])}
    assert all(c.date and c.date.startswith("2024-") for c in noted.values())


def test_the_retired_place_of_the_demo_is_marked_and_patched() -> None:
    cavity = found_in("demo", "F11")[1]
    assert cavity.do_not_use
    assert cavity.unusable
    assert cavity.interim is not None
    assert "in-line holder" in cavity.interim.what
    assert cavity.interim.where


def test_fitted_differs_only_where_it_was_found_to() -> None:
    fitted = {
        (stem, cavity.designation): cavity.fitted_a
        for stem in PANELS
        for cavity in shipped(stem).cavities.values()
        if cavity.fitted_a is not None
    }
    assert fitted == {("saloon-ceramic-row", "9"): 25, ("home-built-special", "2"): 30}


@pytest.mark.parametrize(("stem", "pos"), PLACES)
def test_each_place_takes_a_body_of_its_kind_at_a_plausible_size(
    stem: str, pos: str
) -> None:
    cavity = found_in(stem, pos)[1]
    form = form_named(cavity.form)
    assert form is not None
    assert form.kind == cavity.kind
    if cavity.size != (form.length_mm, form.width_mm):
        assert "room for" in cavity.notes


@pytest.mark.parametrize("stem", PANELS)
def test_some_facts_were_seen_on_the_car_and_some_were_not(stem: str) -> None:
    count = count_facts(shipped(stem))
    assert 0 < count.seen < count.known
    for cavity in shipped(stem).cavities.values():
        for known in cavity.evidence.values():
            if known.how == "seen":
                assert known.test
                assert known.date
