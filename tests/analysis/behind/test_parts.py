"""The parts list, against what was decided for each damage as it was written down."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from blockmap.analysis.behind.part import Part, price_sums
from blockmap.analysis.behind.parts import parts_needed
from blockmap.analysis.behind.stock import fuse_stock
from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text
from blockmap.model.document import Car, Condition, Contact, Map, Repair, Strip
from blockmap.model.edits import add_repair, advance_repair, set_condition
from tests.analysis.behind.sample_wiring import block, place, wire
from tests.sheets.sample_maps import shipped

PANELS: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "data" / "panels.json").read_text(encoding="utf-8")
)["panels"]
ROWS = [(stem, row) for stem, panel in PANELS.items() for row in panel["damage"]]
GAUGE = re.compile(r"\d+ AWG|[\d.]+ mm2")
SIDES = {
    "F": ("feed",),
    "L": ("load", "pin"),
    "both": ("feed", "load"),
    "wire": ("load wire",),
    "fuse": ("fuse",),
    "plate": ("housing",),
}


def asked(decision: str) -> tuple[str, str]:
    """Return what a decision asks for in its own words: sort of part, and gauge."""
    found = GAUGE.search(decision)
    gauge = found[0] if found else ""
    if "is one part" in decision or "not replaceable alone" in decision:
        return "strip", ""
    if re.search(r"else new", decision):
        return "perhaps", gauge
    if re.search(r"new [\w ]*(female|contact|tab)\b", decision):
        return "terminal", gauge
    if "re-crimp" in decision:
        return "terminal", ""
    if "new link" in decision:
        return "wire", ""
    if "donor face plate" in decision:
        return "other", ""
    if re.search(r"^new \w+ fuse|^fit [\d-]+ A\b|^\d+ A;", decision):
        return "fuse", ""
    return "", ""


def parts_at(document: Map, row: dict[str, str]) -> list[Part]:
    """Return the parts listed for the place and side of a damage."""
    names = {f"{row['pos']} {side}" for side in SIDES[row["side"]]}
    if row["side"] == "F" and "fuse" in row["decision"]:
        names.add(f"{row['pos']} fuse")  # seen at the contact, mended by a fuse
    return [p for p in parts_needed(document) if names & set(p.places)]


@pytest.mark.parametrize(
    ("stem", "row"), ROWS, ids=lambda v: v if isinstance(v, str) else v["pos"]
)
def test_each_damage_asks_for_what_was_decided_and_nothing_else(
    stem: str, row: dict[str, str]
) -> None:
    sort, gauge = asked(row["decision"])
    found = parts_at(shipped(stem), row)
    if sort == "perhaps":
        assert [(p.perhaps, p.gauge) for p in found] == [(1, gauge)]
        return
    assert {p.sort for p in found} == ({sort} if sort else set())
    if gauge:
        assert gauge in {p.gauge for p in found}


@pytest.mark.parametrize("stem", PANELS)
def test_no_part_is_listed_that_no_decision_asks_for(stem: str) -> None:
    rows = [row for at, row in ROWS if at == stem]
    placed = {
        place
        for row in rows
        for p in parts_at(shipped(stem), row)
        for place in p.places
    }
    for part in parts_needed(shipped(stem)):
        beside = {place.removesuffix(" wire") for place in part.places}
        assert beside <= placed | {p.removesuffix(" wire") for p in placed}


def test_the_feed_of_f11_gives_the_strip_once_and_no_terminal() -> None:
    parts = parts_needed(shipped("demo"))
    (strip,) = [p for p in parts if p.sort == "strip"]
    assert strip.name.startswith("strip RUN (F7, F8, F11), riveted")
    assert strip.name.endswith("donor or whole block")
    assert strip.count == 1
    assert all("F11 feed" not in p.places for p in parts if p is not strip)
    assert {(p.gauge, p.count, p.perhaps) for p in parts if p.sort == "terminal"} == {
        ("12 AWG", 1, 0),
        ("16 AWG", 1, 1),
        ("18 AWG", 1, 0),
    }


def test_the_riveted_bridge_7_to_10_is_listed_once() -> None:
    document = shipped("saloon-ceramic-row")
    bad = Condition(state="loose rivet", severity=3)
    for key in ("8", "9", "10"):
        document = set_condition(document, f"panel/{key}", "feed", bad)
    strips = [p for p in parts_needed(document) if p.sort == "strip"]
    assert [(p.count, p.places) for p in strips] == [
        (1, ("7 feed", "8 feed", "9 feed", "10 feed"))
    ]
    assert "(7, 8, 9, 10)" in strips[0].name
    assert not [p for p in parts_needed(document) if p.sort == "terminal"]


def test_a_link_is_as_much_thinner_as_the_one_that_was_written_down() -> None:
    written = next(
        p for p in PANELS["pickup-power-box"]["places"] if p["pos"] == "U14"
    )["body"]
    link, guarded = re.findall(r"(\d+) GA", written)
    (part,) = [p for p in parts_needed(shipped("pickup-power-box")) if p.sort == "wire"]
    assert part.gauge == f"{link} AWG"
    assert f"to guard {guarded} AWG" in part.name
    document = shipped("pickup-power-box")
    own = replace(document, limits=replace(document.limits, link_steps=2.0))
    (part,) = [p for p in parts_needed(own) if p.sort == "wire"]
    assert part.gauge == f"{int(guarded) + 2} AWG"
    assert "set by you" in part.name


def bare(document: Map) -> Map:
    """Return a map with all damage, repairs and interim measures taken out."""
    cavities = {}
    for cavity in document.cavities.values():
        contacts = {
            name: replace(
                contact,
                condition=None,
                wires=tuple(replace(w, condition=None) for w in contact.wires),
            )
            for name, contact in cavity.contacts.items()
        }
        cavities[cavity.id] = replace(
            cavity, contacts=contacts, housing=None, fuse=None, interim=None
        )
    return replace(document, cavities=cavities, repairs={})


@pytest.mark.parametrize("stem", PANELS)
def test_damage_and_repairs_entered_by_hand_give_the_same_list(stem: str) -> None:
    known = shipped(stem)
    document = bare(known)
    assert not [p for p in parts_needed(document) if p.sort != "fuse"]
    for cavity in known.cavities.values():
        for where, condition in cavity.conditions:
            document = set_condition(document, cavity.id, where, condition)
    for key, repair in known.repairs.items():
        document, given = add_repair(document, repair, key)
        assert given == key
    assert parts_needed(document) == parts_needed(known)
    assert read_map(map_text(document).encode()).document == document
    logged = [c.designation for c in document.cavities.values() if c.log]
    assert {row["pos"] for at, row in ROWS if at == stem} <= set(logged)


SPREAD = Condition(state="spread", severity=2)


def panel(**conditions: Condition) -> Map:
    """Return fuses F1 to F3 with 16 AWG load wires, F1 and F2 on an unbolting bar."""
    cavities = [
        place(
            "p",
            key,
            rating_a=10.0,
            contacts={
                "feed": Contact(),
                "load": Contact(wires=(wire("red"),), condition=conditions.get(key)),
            },
        )
        for key in ("F1", "F2", "F3")
    ]
    strip = Strip(
        id="p/S",
        block="p",
        name="BAR",
        members=("F1.feed", "F2.feed"),
        made="solid bar that unbolts",
    )
    return Map(
        blocks={"p": block("p", terminal="sealed female under a lock comb")},
        cavities={c.id: c for c in cavities},
        strips={strip.id: strip},
    )


def test_equal_terminals_are_one_line_and_a_seal_goes_by_its_wire() -> None:
    (part,) = parts_needed(panel(F1=SPREAD, F3=SPREAD))
    assert (part.count, part.places) == (2, ("F1 load", "F3 load"))
    assert part.seal == "cable seal for 16 AWG"


def test_a_terminal_at_another_side_or_gauge_is_another_line() -> None:
    document = panel(F1=SPREAD, F3=SPREAD)
    third = document.cavities["p/F3"]
    thin = replace(
        third,
        contacts={
            "load": Contact(wires=(wire("red", gauge="20 AWG"),), condition=SPREAD)
        },
    )
    changed = replace(document, cavities={**document.cavities, thin.id: thin})
    assert [p.gauge for p in parts_needed(changed)] == ["16 AWG", "20 AWG"]
    both = set_condition(changed, "p/F3", "feed", SPREAD)
    assert [p.side for p in parts_needed(both)] == ["load", "load", "feed"]


@pytest.mark.parametrize("stage", ["fitted", "proved", "retired", "watch"])
def test_what_is_done_or_only_watched_is_not_bought(stage: str) -> None:
    assert parts_needed(panel(F1=replace(SPREAD, stage=stage))) == ()
    document, key = add_repair(panel(F1=SPREAD), Repair(at="F1.load"))
    assert parts_needed(document)
    assert parts_needed(advance_repair(document, key, stage)) == ()


def test_a_repair_brings_its_price_source_and_dates() -> None:
    document, key = add_repair(
        panel(F1=SPREAD),
        Repair(at="F1.load", price=1.5, source="the corner shop", stage="found"),
    )
    document = advance_repair(document, key, "ordered", "2024-05-02")
    document = advance_repair(document, key, "received", "2024-05-09")
    (part,) = parts_needed(document)
    assert (part.price, part.source) == (1.5, "the corner shop")
    assert (part.ordered, part.received) == ("2024-05-02", "2024-05-09")
    assert part.stage == "received"


def test_prices_are_summed_within_one_currency_only() -> None:
    def line(price: float | None, currency: str, count: int = 1) -> Part:
        return Part(sort="fuse", name="x", price=price, currency=currency, count=count)

    lines = (line(2.5, "EUR", 2), line(1.0, "eur"), line(4.0, ""), line(None, "CHF"))
    assert price_sums(lines) == ((6.0, "EUR"), (4.0, ""))


def test_equal_parts_at_two_prices_stay_two_lines() -> None:
    document = panel(F1=SPREAD, F2=SPREAD)
    (whole,) = parts_needed(document)
    assert whole.count == 2
    document, _ = add_repair(document, Repair(at="F1.load", price=1.5))
    (whole,) = parts_needed(document)
    assert (whole.count, whole.price) == (2, 1.5)
    document, _ = add_repair(document, Repair(at="F2.load", price=2.0))
    assert [(p.count, p.price) for p in parts_needed(document)] == [(1, 1.5), (1, 2.0)]
    assert price_sums(parts_needed(document)) == ((3.5, ""),)


def test_a_price_without_a_currency_is_in_the_one_of_the_map() -> None:
    document = replace(panel(F1=SPREAD), car=Car(currency="EUR"))
    document, _ = add_repair(document, Repair(at="F1.load", price=1.5))
    (part,) = parts_needed(document)
    assert (part.price, part.currency) == (1.5, "EUR")


@pytest.mark.parametrize("stage", ["found", "watch", "part wanted", "fitted"])
def test_a_broken_housing_asks_for_its_block_once_a_part_is_wanted(stage: str) -> None:
    broken = Condition(state="broken", severity=3, stage=stage)
    document = shipped("demo")
    for key in ("panel/F1", "panel/F2"):
        document = set_condition(document, key, "housing", broken)
    found = [p for p in parts_needed(document) if p.name.startswith("housing of")]
    wanted = ["F1 housing", "F2 housing"]
    places = [place for part in found for place in part.places]
    assert [p.split(",")[0] for p in places] == (
        wanted if stage == "part wanted" else []
    )
    assert len(found) <= 1
    assert all(part.count == 1 for part in found)


def test_a_repair_of_a_strip_contact_orders_the_bar_and_no_terminal() -> None:
    wanted = Repair(at="F1.feed", stage="part wanted", part="female terminal")
    document, _ = add_repair(panel(), wanted)
    (part,) = parts_needed(document)
    assert part.sort == "strip"
    assert "the bar, or a donor block" in part.name


def test_a_part_for_a_place_that_is_not_on_the_map_is_not_lost() -> None:
    document, _ = add_repair(panel(), Repair(at="the dash", part="grommet"))
    assert [(p.sort, p.name, p.places) for p in parts_needed(document)] == [
        ("other", "grommet", ("the dash",))
    ]


def test_every_fuse_in_use_is_in_stock_once_with_a_spare_for_each_four() -> None:
    # One spare for each four in use: common practice, no source.
    for stem, written in PANELS.items():
        rated = [
            p
            for p in written["places"]
            if p["kind"] in ("fuse", "inline") and p["amps"] is not None
        ]
        stock = fuse_stock(shipped(stem))
        assert sum(one.in_use for one in stock) == len(rated)
        assert {one.rating_a for one in stock} == {p["amps"] for p in rated}
        for one in stock:
            assert one.spares >= 1
            assert one.spares * 4 >= one.in_use > (one.spares - 1) * 4
