"""Figures of whole maps: sums by the feed, wires guarded, tabs, and what is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.analysis.numbers.feeds import Node
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.map_figures import MapFigures, figures_of
from blockmap.files.store import load
from blockmap.model.document import (
    Block,
    Car,
    Cavity,
    Contact,
    Jumper,
    Load,
    Map,
    Strip,
    Wire,
)

_LAYOUTS = Path(__file__).parents[3] / "layouts"


def place(key: str, **more: Any) -> Cavity:
    """Return a fuse of block b."""
    more.setdefault("kind", "fuse")
    more.setdefault("form", "medium blade" if more["kind"] == "fuse" else "")
    return Cavity(
        id=f"b/{key}",
        block="b",
        own=key,
        x_mm=1,
        y_mm=1,
        width_mm=9,
        height_mm=5,
        **more,
    )


def draws(*amps: float, name: str = "load") -> tuple[Load, ...]:
    """Return continuous loads of so many amps."""
    return tuple(
        Load(name=f"{name} {n}", amps_a=a, duty="continuous")
        for n, a in enumerate(amps)
    )


def wired(*gauges: str, length_m: float | None = None) -> dict[str, Contact]:
    """Return load contacts with these wires."""
    return {
        "load": Contact(
            wires=tuple(Wire(gauge=gauge, length_m=length_m) for gauge in gauges)
        )
    }


def car(*cavities: Cavity, strips: tuple[Strip, ...] = (), **more: Any) -> Map:
    """Return a map of these cavities and strips in block b."""
    return Map(
        car=Car(**more),
        blocks={"b": Block(id="b", width_mm=100, height_mm=50)},
        cavities={cavity.id: cavity for cavity in cavities},
        strips={strip.id: strip for strip in strips},
    )


def amps_below(figures: MapFigures, key: str) -> tuple[float, float, float]:
    """Return low, value and high of what runs below a cavity."""
    loads = figures.cavities[f"b/{key}"].loads
    assert loads is not None
    running = loads.running
    return running.low, running.value, running.high


def test_a_strip_sums_what_hangs_on_it_and_compares_its_supply_wire() -> None:
    strip = Strip(
        id="b/bar",
        block="b",
        name="BAT",
        members=("1.feed", "2.feed"),
        supply_gauge="18 AWG",
        fed_from="battery",
    )
    document = car(
        place("1", loads=draws(12.5)), place("2", loads=draws(9)), strips=(strip,)
    )
    figures = figures_of(document)
    found = figures.strips["b/bar"]
    assert found.loads is not None
    assert found.loads.running.value == pytest.approx(21.5)
    assert found.loads.running.formula == "1: 12.5 + 2: 9 = 21.5 A"
    # Source: 33 CFR 183.425, table 5: 18 AWG bears 20 A at 105 °C.
    assert found.supply is not None
    assert not found.supply.holds
    assert found.supply.limit.value == 20
    supply = figures.supplies[Node("supply", "battery")]
    assert supply.worst.value == pytest.approx(21.5)


def test_a_load_reached_by_two_ways_counts_once() -> None:
    both = {"feed": Contact(fed_from="1.load"), "load": Contact(fed_from="2.load")}
    document = car(
        place("1", contacts={"feed": Contact(fed_from="post")}),
        place("2", contacts={"feed": Contact(fed_from="post")}),
        place("3", contacts=both, loads=draws(7)),
    )
    figures = figures_of(document)
    assert figures.supplies[Node("supply", "post")].worst.value == 7


def test_a_load_stated_at_the_fuse_and_at_its_flasher_counts_once() -> None:
    flasher = place(
        "FL1",
        kind="flasher",
        form="flasher 2-pin",
        contacts={"feed": Contact(fed_from="F7.load")},
        loads=draws(4.4, name="turn lamps"),
    )
    fuse = place(
        "F7",
        loads=(
            Load(name="gauges", amps_a=1.2),
            Load(name="warning lamps", amps_a=0.8),
            Load(name="turn flasher", amps_a=4.4),
        ),
    )
    figures = figures_of(car(fuse, flasher))
    assert amps_below(figures, "F7") == pytest.approx((6.4, 6.4, 10.8), abs=2.01)
    loads = figures.cavities["b/F7"].loads
    assert loads is not None
    assert loads.running.value == pytest.approx(6.4)
    assert "counted once: turn flasher" in loads.running.note
    assert "stated twice" in loads.running.formula


def test_loads_that_may_be_the_same_leave_a_band() -> None:
    fuse = place("1", rating_a=20, loads=draws(12, name="lights"))
    behind = place(
        "CB",
        kind="breaker",
        form="blade breaker",
        contacts={"feed": Contact(fed_from="1.load")},
        loads=draws(9.5, name="headlamps"),
    )
    figures = figures_of(car(fuse, behind))
    assert amps_below(figures, "1") == pytest.approx((12, 21.5, 21.5))
    check = figures.cavities["b/1"].rating_and_load
    assert check is not None
    assert not check.holds
    assert not check.surely_broken


def test_a_fuse_is_held_against_every_wire_up_to_the_next_fuse() -> None:
    fuse = place("1", rating_a=30, contacts=wired("10 AWG"))
    flasher = place(
        "FL",
        kind="flasher",
        form="flasher 2-pin",
        contacts={"feed": Contact(fed_from="1.load"), **wired("16 AWG")},
    )
    inline = place(
        "2",
        rating_a=10,
        contacts={"feed": Contact(fed_from="1.load"), **wired("20 AWG")},
    )
    figures = figures_of(car(fuse, flasher, inline))
    # Source: 33 CFR 183.425, table 5: 16 AWG bears 25 A at 105 °C.
    check = figures.cavities["b/1"].rating_and_wire
    assert check is not None
    assert check.limit.value == 25
    assert not check.holds
    own = figures.cavities["b/2"].rating_and_wire
    assert own is not None
    assert own.holds
    gauges = [wire.gauge for wire in figures.cavities["b/1"].guarded]
    assert gauges == ["10 AWG", "16 AWG"]


def test_a_strip_behind_a_fuse_hands_on_its_wires() -> None:
    strip = Strip(
        id="b/acc",
        block="b",
        members=("2.feed",),
        jumpers=(Jumper(to="3.feed", gauge="18 AWG"),),
        fed_from="1.load",
        supply_gauge="12 AWG",
    )
    document = car(place("1", rating_a=40), place("2"), place("3"), strips=(strip,))
    wires = figures_of(document).cavities["b/1"].guarded
    assert [wire.gauge for wire in wires] == ["12 AWG", "18 AWG"]


def test_insulation_noted_on_a_wire_is_used() -> None:
    contacts = {"load": Contact(wires=(Wire(gauge="18 AWG", insulation="PVC"),))}
    figures = figures_of(car(place("1", rating_a=20, contacts=contacts)))
    # Source: 33 CFR 183.425, table 5: 18 AWG bears 15 A at 80 °C.
    check = figures.cavities["b/1"].rating_and_wire
    assert check is not None
    assert (check.limit.value, check.holds) == (15, False)


def test_what_is_left_at_the_load() -> None:
    document = car(
        place(
            "1",
            form="mini blade",
            rating_a=10,
            loads=draws(10),
            contacts=wired("16 AWG", length_m=3.0),
        )
    )
    (drop,) = figures_of(document).cavities["b/1"].drops
    # Source: derived table, 13.174 mΩ/m; mini blade datasheet, 108 mV at 10 A.
    assert drop.drop.value == pytest.approx(0.01 * 13.174 * 3, abs=1e-4)
    assert drop.fuse_drop is not None
    assert drop.fuse_drop.value == pytest.approx(0.108)
    assert drop.left.value == pytest.approx(12 - 0.3952 - 0.108, abs=1e-3)
    assert drop.advice.holds


def test_a_named_ground_doubles_the_way() -> None:
    grounded = (Load(name="lamp", amps_a=10, ground="ring on the left wing"),)
    one = place("1", loads=draws(10), contacts=wired("16 AWG", length_m=3.0))
    two = place("2", loads=grounded, contacts=wired("16 AWG", length_m=3.0))
    figures = figures_of(car(one, two))
    (short,), (long,) = figures.cavities["b/1"].drops, figures.cavities["b/2"].drops
    assert long.drop.value == pytest.approx(2 * short.drop.value)
    assert "return" in long.drop.note
    # The way back may be the body of the car: the low end counts one way only.
    assert long.drop.low == pytest.approx(short.drop.low)


def test_a_resistance_from_memory_stays_out_of_what_is_left() -> None:
    document = car(
        place(
            "1",
            rating_a=15,
            loads=draws(10),
            contacts=wired("16 AWG", length_m=3.0),
        )
    )
    (drop,) = figures_of(document).cavities["b/1"].drops
    assert drop.fuse_drop is not None
    assert drop.fuse_drop.uses_memory
    assert not drop.left.uses_memory


def test_room_at_tabs() -> None:
    tab = {"form": "tab 6.3", "kind": "tab"}
    document = car(
        place("F8", rating_a=15, loads=draws(4.2)),
        place("T1", contacts={"pin": Contact(fed_from="F8.load")}, **tab),
        place("T3", **tab),
        place("F5", loads=draws(1)),
        place("T5", contacts={"pin": Contact(fed_from="F5.load")}, **tab),
        strips=(Strip(id="b/bar", block="b", members=("T3.pin", "F8.feed")),),
    )
    rooms = figures_of(document).tabs
    left = rooms["b/T1"].left
    assert left is not None
    assert left.value == pytest.approx(15 * 0.75 - 4.2)
    assert rooms["b/T3"].left is None
    assert "not fused" in rooms["b/T3"].why
    assert "no rating" in rooms["b/T5"].why


def test_an_add_on_uses_the_room_up() -> None:
    tab = {"form": "tab 6.3", "kind": "tab"}
    fuse = place("F8", rating_a=15, loads=draws(4.2))
    pin = {"pin": Contact(fed_from="F8.load")}
    document = car(fuse, place("T1", contacts=pin, loads=draws(9), **tab))
    figures = figures_of(document)
    room = figures.tabs["b/T1"].left
    assert room is not None
    assert room.value == 0
    check = figures.cavities["b/F8"].share_and_load
    assert check is not None
    assert not check.holds


def test_an_added_load_is_never_taken_for_one_of_the_fuses_own() -> None:
    fuse = place("F8", rating_a=20, loads=draws(4, name="fan"))
    pin = {"pin": Contact(fed_from="F8.load")}
    tab = place(
        "T1", kind="tab", form="tab 6.3", contacts=pin, loads=draws(5, name="fan")
    )
    assert amps_below(figures_of(car(fuse, tab)), "F8") == (9, 9, 9)


@pytest.mark.parametrize(
    ("rating_a", "form", "loads", "left_a"),
    [
        # 15 A less 4 A long and 9 A short loads leave 2 A, though 0.75 leaves 7.25 A.
        (
            15,
            "tab 6.3",
            (Load(name="a", amps_a=4), Load(name="b", amps_a=9, duty="intermittent")),
            2,
        ),
        # Common practice, no source: a tab of 2.8 mm bears 15 A.
        (40, "tab 2.8", draws(1), 15),
    ],
)
def test_room_is_bounded_by_what_runs_and_by_the_contact(
    rating_a: float, form: str, loads: tuple[Load, ...], left_a: float
) -> None:
    pin = {"pin": Contact(fed_from="F8.load")}
    tab = place("T1", kind="tab", form=form, contacts=pin)
    fuse = place("F8", rating_a=rating_a, loads=loads)
    left = figures_of(car(fuse, tab)).tabs["b/T1"].left
    assert left is not None
    assert left.value == pytest.approx(left_a)


def test_a_link_is_held_against_the_wire_behind_it() -> None:
    contacts = {
        "feed": Contact(wires=(Wire(gauge="14 AWG"),)),
        "load": Contact(wires=(Wire(gauge="10 AWG"),)),
    }
    link = place("FL", kind="link", form="fusible link", contacts=contacts)
    check = figures_of(car(link)).cavities["b/FL"].link
    assert check is not None
    assert check.verdict == "right"


def test_limits_of_the_map_reach_every_figure() -> None:
    document = car(place("1", rating_a=20, loads=draws(14)))
    usual = figures_of(document).cavities["b/1"].share_and_load
    changed = figures_of(document, Limits(continuous_share=0.6))
    strict = changed.cavities["b/1"].share_and_load
    assert usual is not None
    assert strict is not None
    assert usual.holds
    assert not strict.holds
    assert strict.limit.set_by_you


def _edits(document: Map) -> list[Callable[[Map], Map]]:
    def put(key: str, **more: Any) -> Callable[[Map], Map]:
        def edit(before: Map) -> Map:
            old = before.cavities[f"b/{key}"]
            cavities = {**before.cavities, old.id: replace(old, **more)}
            return replace(before, cavities=cavities)

        return edit

    def strip(**more: Any) -> Callable[[Map], Map]:
        def edit(before: Map) -> Map:
            old = before.strips["b/bar"]
            return replace(before, strips={"b/bar": replace(old, **more)})

        return edit

    def gone(before: Map) -> Map:
        cavities = {k: v for k, v in before.cavities.items() if k != "b/3"}
        return replace(before, cavities=cavities)

    del document
    return [
        put("1", rating_a=5.0),
        put("2", loads=draws(3, 4)),
        put("2", contacts=wired("12 AWG")),
        put("4", contacts={"feed": Contact(fed_from="2.load"), **wired("20 AWG")}),
        put("1", contacts={"feed": Contact(fed_from="4.load")}),
        put("1", own="FAN"),
        put("4", kind="breaker", form="blade breaker"),
        strip(members=("1.feed",)),
        strip(supply_gauge="16 AWG", fed_from="4.load"),
        strip(name="RUN"),
        gone,
        lambda before: replace(before, car=replace(before.car, volts=6.0)),
    ]


def _small() -> Map:
    return car(
        place("1", rating_a=20, loads=draws(4), contacts=wired("14 AWG")),
        place("2", rating_a=10, loads=(Load(name="lamp", watts_w=21),)),
        place("3", loads=draws(1)),
        place(
            "4",
            loads=draws(2),
            contacts={"feed": Contact(fed_from="1.load"), **wired("18 AWG")},
        ),
        place(
            "T",
            kind="tab",
            form="tab 6.3",
            contacts={"pin": Contact(fed_from="4.load")},
        ),
        strips=(
            Strip(
                id="b/bar",
                block="b",
                members=("1.feed", "2.feed", "3.feed"),
                fed_from="post",
                supply_gauge="10 AWG",
            ),
        ),
    )


@settings(deadline=None)
@given(st.lists(st.integers(0, 11), min_size=1, max_size=5))
def test_figures_kept_after_edits_are_those_of_a_fresh_start(steps: list[int]) -> None:
    document = _small()
    figures = figures_of(document)
    edits = _edits(document)
    for step in steps:
        if step == 10 and "b/3" not in document.cavities:
            continue
        document = edits[step](document)
        figures = figures_of(document, before=figures)
        fresh = figures_of(document)
        for part in ("cavities", "strips", "supplies", "tabs"):
            assert getattr(figures, part) == getattr(fresh, part), part


def test_only_figures_whose_inputs_changed_are_made_anew() -> None:
    document = _small()
    before = figures_of(document)
    edited = _edits(document)[1](document)
    after = figures_of(edited, before=before)
    same = {
        key for key in after.cavities if after.cavities[key] is before.cavities[key]
    }
    assert same == {"b/1", "b/3", "b/4", "b/T"}


def test_maps_without_anything_have_no_figures() -> None:
    figures = figures_of(Map())
    assert not figures.cavities
    assert not figures.supplies


@pytest.mark.parametrize("path", sorted(_LAYOUTS.glob("*.yaml")), ids=lambda p: p.stem)
def test_no_fuse_of_a_shipped_factory_panel_is_above_its_wire(path: Path) -> None:
    # The home-built panel has 30 A on 16 AWG, which its story calls a fault.
    figures = figures_of(load(path).document)
    broken = [
        each.cavity
        for each in figures.cavities.values()
        for check in (each.rating_and_wire, each.fitted_and_wire)
        if check is not None
        and not check.holds
        and each.fitted is not None
        and each.fitted.amps != "above"
    ]
    expected = {"panel/2"} if path.stem.startswith("home-built") else set()
    assert set(broken) == expected


def test_every_figure_of_the_shipped_maps_can_be_followed_to_its_origin() -> None:
    for path in sorted(_LAYOUTS.glob("*.yaml")):
        for each in figures_of(load(path).document).cavities.values():
            for check in (each.share_and_load, each.rating_and_wire, each.contact):
                if check is None:
                    continue
                for figure in (*check.figure.trail(), *check.limit.trail()):
                    assert figure.formula
                    assert figure.sources or figure.inputs or figure.note
                    assert not figure.uses_memory
