"""Each rule: what it finds, what it leaves alone, and in which order it is told."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from blockmap.analysis.findings import Finding, Level, check
from blockmap.analysis.overlaps import OVERLAP_LIMIT
from blockmap.model.document import (
    Block,
    Car,
    Cavity,
    Condition,
    Contact,
    InterimMeasure,
    Jumper,
    Load,
    Map,
    Repair,
    Strip,
    Wire,
)
from blockmap.model.geometry import Point
from blockmap.reference.wire_colours import WireColour
from tests.strategies import maps

PANEL = Block(id="p", name="Panel", width_mm=200.0, height_mm=100.0)
BROWN = WireColour("brown")


def fuse(number: int, **more: Any) -> Cavity:
    """Return a healthy fuse F<number>, apart from those of other numbers."""
    fields = {
        "own": f"F{number}",
        "x_mm": 10.0 + 15 * number,
        "y_mm": 50.0,
        "width_mm": 19.1,
        "height_mm": 5.1,
        "turn_deg": 90.0,
        "feed_end": "start",
        "form": "medium blade",
        "rating_a": 20.0,
        "circuit": f"circuit {number}",
        "legend": f"C{number}",
        **more,
    }
    return Cavity(id=f"p/F{number}", block="p", **fields)


def panel(*cavities: Cavity, **more: Any) -> Map:
    """Return a map of one block with these cavities."""
    parts = {"blocks": {"p": PANEL}, **more}
    return Map(cavities={c.id: c for c in cavities}, **parts)


def wired(*wires: Wire) -> dict[str, Contact]:
    """Return contacts with these wires at the load side."""
    return {"load": Contact(wires=wires)}


def told(document: Map) -> list[tuple[str, str]]:
    """Return level and code of every finding, in order."""
    return [(str(finding.level), finding.code) for finding in check(document)]


def only(document: Map) -> Finding:
    """Return the one finding there is."""
    (finding,) = check(document)
    return finding


def strip(key: str, *members: str, **more: Any) -> Strip:
    """Return a strip of the panel."""
    return Strip(id=f"p/{key}", block="p", name=key, members=members, **more)


def test_a_healthy_panel_gives_no_finding() -> None:
    load = Load(name="lamps", amps_a=8.0)
    healthy = [
        fuse(n, fitted_a=20.0, fitted_form="medium blade", loads=(load,))
        for n in range(10)
    ]
    feeds = strip("BAT", "F1.feed", "F2.feed", jumpers=(Jumper(to="F3.feed"),))
    assert check(panel(*healthy, strips={feeds.id: feeds})) == ()


def test_an_empty_map_gives_no_finding() -> None:
    assert check(Map()) == ()


def test_two_places_on_one_another_are_an_error() -> None:
    found = only(panel(fuse(1), fuse(2, x_mm=28.0)))
    assert (found.code, found.level) == ("places-overlap", Level.ERROR)
    assert found.objects == ("p/F1", "p/F2")
    assert found.what == "F1 and F2 overlap"


def test_places_of_different_blocks_never_overlap() -> None:
    other = dataclasses.replace(fuse(1), id="q/F1", block="q")
    blocks = {"p": PANEL, "q": dataclasses.replace(PANEL, id="q")}
    assert check(panel(fuse(1), other, blocks=blocks)) == ()


def test_thousands_on_one_place_are_listed_in_part_and_said_so() -> None:
    crowd = [fuse(n, x_mm=50.0) for n in range(3000)]
    found = [f for f in check(panel(*crowd)) if f.level is Level.ERROR]
    codes = [finding.code for finding in found]
    assert codes.count("places-overlap") == OVERLAP_LIMIT
    assert codes.count("places-overlap-more") == 1
    (more,) = (f for f in found if f.code == "places-overlap-more")
    assert str(OVERLAP_LIMIT) in more.what


@pytest.mark.parametrize(
    ("x_mm", "words"), [(1.0, "reaches over"), (-40.0, "lies outside")]
)
def test_a_place_off_the_outline_is_advice(x_mm: float, words: str) -> None:
    found = only(panel(fuse(1, x_mm=x_mm)))
    assert (found.code, found.level) == ("place-off-outline", Level.ADVICE)
    assert words in found.what


def test_an_in_line_holder_may_lie_anywhere() -> None:
    away = fuse(1, x_mm=-40.0, off_panel=True)
    assert check(panel(away, fuse(2, x_mm=-40.0, off_panel=True))) == ()


def test_one_name_for_two_places_is_an_error() -> None:
    found = only(panel(fuse(1), fuse(2, own="F1")))
    assert (found.code, found.level) == ("designation-double", Level.ERROR)
    assert set(found.objects) == {"p/F1", "p/F2"}


def test_a_double_moulded_name_is_found_behind_own_names() -> None:
    doubled = panel(fuse(1, moulded="3"), fuse(2, moulded="3"))
    assert only(doubled).code == "designation-double"


def test_a_manual_may_count_the_other_way_than_the_block() -> None:
    ways = panel(
        fuse(1, own="", moulded="1", manual="2"),
        fuse(2, own="", moulded="2", manual="1"),
    )
    assert check(ways) == ()


def test_the_same_name_in_two_blocks_is_usual() -> None:
    other = dataclasses.replace(fuse(1), id="q/F1", block="q")
    blocks = {"p": PANEL, "q": dataclasses.replace(PANEL, id="q")}
    assert told(panel(fuse(1), other, blocks=blocks)) == []


def test_a_larger_fuse_than_specified_is_an_error() -> None:
    found = only(panel(fuse(1, fitted_a=25.0)))
    assert (found.code, found.level) == ("fitted-above-rating", Level.ERROR)
    assert "25 A" in found.what
    assert "20 A" in found.what
    assert "never fit a larger fuse than specified" in found.why


def test_a_smaller_fuse_than_specified_is_information() -> None:
    found = only(panel(fuse(1, fitted_a=15.0)))
    assert (found.code, found.level) == ("fitted-below-rating", Level.INFORMATION)


def test_another_body_than_the_place_takes_is_advice() -> None:
    found = only(panel(fuse(1, fitted_form="mini blade")))
    assert (found.code, found.level) == ("fitted-other-form", Level.ADVICE)


@pytest.mark.parametrize("kind", ["fuse", "breaker"])
def test_a_fuse_in_use_without_rating_is_advice(kind: str) -> None:
    found = only(panel(fuse(1, kind=kind, rating_a=None)))
    assert (found.code, found.level) == ("rating-missing", Level.ADVICE)


@pytest.mark.parametrize("kind", ["relay", "tab", "link", "blank"])
def test_other_kinds_need_no_rating(kind: str) -> None:
    assert check(panel(fuse(1, kind=kind, rating_a=None))) == ()


def test_a_place_nobody_has_tagged_is_information_once_for_a_block() -> None:
    bare = [fuse(n, circuit="", legend="", rating_a=None) for n in range(10)]
    found = only(panel(*bare))
    assert (found.code, found.level) == ("place-untagged", Level.INFORMATION)
    assert len(found.objects) == 10
    assert found.what.startswith("F0, F1, F2 and 7 more")


def test_unknown_feed_sides_are_information_once_for_a_block() -> None:
    found = only(panel(*(fuse(n, feed_end="unknown") for n in (1, 2))))
    assert (found.code, found.level) == ("feed-end-unknown", Level.INFORMATION)
    assert "F1 and F2" in found.what


@pytest.mark.parametrize(
    ("form", "rating_a", "usual"),
    [
        # Ratings of torpedo fuses: encyclopedia text of 2007 on DIN 72581-1.
        ("ceramic 6 x 25", 16.0, True),
        ("ceramic 6 x 25", 20.0, False),
        # Ratings of medium blades: guide of blade fuse colours by rating.
        ("medium blade", 7.5, True),
        ("medium blade", 8.0, False),
    ],
)
def test_a_rating_the_form_is_not_made_in_is_advice(
    form: str, rating_a: float, usual: bool
) -> None:
    expected = [] if usual else [("advice", "rating-unusual")]
    assert told(panel(fuse(1, form=form, rating_a=rating_a))) == expected


@pytest.mark.parametrize(
    ("gauge", "amps_a", "bears"),
    [
        # Source: 33 CFR 183.425 Table 5, column for insulation of 105 °C.
        ("16 AWG", 25.0, True),
        ("16 AWG", 30.0, False),
        ("16", 30.0, False),
        ("16 SAE", 30.0, False),
        ("18 AWG", 20.0, True),
        ("18 AWG", 25.0, False),
        ("14 AWG", 30.0, True),
        # 0.5 mm² is thinner than 18 AWG, 0.823 mm², whose 20 A are in the table.
        ("0.5 mm2", 20.0, False),
        ("0.5 mm2", 7.5, True),
    ],
)
def test_a_fuse_above_what_its_wire_bears_is_an_error(
    gauge: str, amps_a: float, bears: bool
) -> None:
    guarded = fuse(1, rating_a=amps_a, contacts=wired(Wire(gauge=gauge)))
    assert told(panel(guarded)) == ([] if bears else [("error", "fuse-above-wire")])


def test_the_thinnest_wire_and_the_larger_of_fitted_and_rating_count() -> None:
    wires = wired(Wire(gauge="10 AWG"), Wire(gauge="16 AWG"))
    found = check(panel(fuse(1, fitted_a=30.0, contacts=wires)))
    assert [f.code for f in found] == ["fitted-above-rating", "fuse-above-wire"]
    assert "30 A" in found[1].what
    assert "16 AWG" in found[1].what
    assert "183.425" in found[1].why


def test_the_supply_wire_is_not_what_the_fuse_guards() -> None:
    fed = fuse(1, rating_a=30.0, contacts={"feed": Contact(wires=(Wire(gauge="18"),))})
    assert check(panel(fed)) == ()


def test_loads_above_the_rating_are_an_error() -> None:
    loads = (Load(name="a", amps_a=12.0), Load(name="b", amps_a=9.0))
    found = only(panel(fuse(1, loads=loads)))
    assert (found.code, found.level) == ("loads-above-rating", Level.ERROR)
    assert "21 A" in found.what


def test_loads_given_in_watts_count_at_the_voltage_of_the_car() -> None:
    # 150 W at 6 V are 25 A, and 20.7 A at the 7.25 V of charging; at 12 V 12.5 A.
    loads = (Load(name="lamps", watts_w=150.0),)
    assert told(panel(fuse(1, loads=loads), car=Car(volts=6.0))) == [
        ("error", "loads-above-rating")
    ]
    assert told(panel(fuse(1, loads=loads), car=Car(volts=12.0))) == []


def test_watts_that_pass_the_rating_at_one_end_of_the_band_only_are_advice() -> None:
    # 130 W are 21.7 A at 6 V and 17.9 A at the 7.25 V of charging.
    loads = (Load(name="lamps", watts_w=130.0),)
    found = only(panel(fuse(1, loads=loads), car=Car(volts=6.0)))
    assert (found.code, found.level) == ("loads-perhaps-above-rating", Level.ADVICE)
    assert "17.9 to 26.2 A" in found.what


@pytest.mark.parametrize(
    ("amps_a", "duty", "expected"),
    [
        (15.0, "continuous", []),
        (15.1, "continuous", [("advice", "loads-above-share")]),
        (15.1, None, [("advice", "loads-above-share")]),
        (19.0, "intermittent", []),
        (20.0, "in-rush", []),
    ],
)
def test_long_loads_above_three_quarters_of_the_rating_are_advice(
    amps_a: float, duty: str | None, expected: list[tuple[str, str]]
) -> None:
    # 75 % for long use: common practice, no source.
    load = Load(name="fan", amps_a=amps_a, duty=duty)
    assert told(panel(fuse(1, loads=(load,)))) == expected


@pytest.mark.parametrize("member", ["F9.feed", "F1.87", "F1", "feed"])
def test_a_contact_a_strip_names_in_vain_is_an_error(member: str) -> None:
    named = strip("BAT", member)
    found = only(panel(fuse(1), strips={named.id: named}))
    assert (found.code, found.level) == ("strip-contact-missing", Level.ERROR)
    assert member in found.what
    assert "p/BAT" in found.objects


def test_where_the_supply_lands_must_exist_too() -> None:
    named = strip("BAT", "F1.feed", lands_at="F7.feed")
    assert told(panel(fuse(1), strips={named.id: named})) == [
        ("error", "strip-contact-missing")
    ]


def test_a_contact_on_two_strips_is_an_error() -> None:
    strips = [
        strip("BAT", "F1.feed", "F2.feed"),
        strip("RUN", "F3.feed", jumpers=(Jumper(to="F2.feed"),)),
    ]
    found = only(panel(*map(fuse, range(4)), strips={s.id: s for s in strips}))
    assert (found.code, found.level) == ("contact-on-two-strips", Level.ERROR)
    assert found.objects[0] == "p/F2"


def test_a_feed_from_a_place_that_is_not_there_is_an_error() -> None:
    lost = fuse(1, contacts={"feed": Contact(fed_from="F9.load")})
    assert told(panel(lost)) == [("error", "feed-from-missing")]


@pytest.mark.parametrize("words", ["F2.load", "the light switch", "splice, 14 AWG."])
def test_a_feed_from_a_place_or_in_words_is_left_alone(words: str) -> None:
    fed = fuse(1, contacts={"feed": Contact(fed_from=words)})
    assert check(panel(fed, fuse(2))) == ()


def test_a_fuse_in_a_place_not_to_be_used_is_advice() -> None:
    found = only(panel(fuse(1, do_not_use=True, fitted_a=20.0)))
    assert (found.code, found.level) == ("do-not-use-fitted", Level.ADVICE)


BURNT = {"load": Contact(condition=Condition(state="annealed", severity=3))}


def test_grave_damage_that_nobody_tends_is_advice() -> None:
    found = only(panel(fuse(1, contacts=BURNT)))
    assert (found.code, found.level) == ("damage-untended", Level.ADVICE)
    assert "load: annealed" in found.what


@pytest.mark.parametrize("severity", [None, 1, 2])
def test_lesser_damage_may_wait(severity: int | None) -> None:
    worn = Contact(condition=Condition(state="spread", severity=severity))
    assert check(panel(fuse(1, contacts={"load": worn}))) == ()


def test_damage_is_tended_by_a_mark_a_patch_or_a_repair() -> None:
    marked = fuse(1, contacts=BURNT, do_not_use=True)
    assert check(panel(marked)) == ()
    patched = fuse(1, contacts=BURNT, interim=InterimMeasure(what="in-line holder"))
    assert told(panel(patched)) == [("information", "interim-measure")]
    for at in ("F1.load", "F1", "p/F1", "p/F1.load"):
        repairs = {"r": Repair(at=at)}
        assert check(panel(fuse(1, contacts=BURNT), repairs=repairs)) == ()
    elsewhere = {"r": Repair(at="F2.load")}
    assert told(panel(fuse(1, contacts=BURNT), repairs=elsewhere)) == [
        ("advice", "damage-untended")
    ]


def test_every_patch_is_listed_with_where_it_is() -> None:
    measure = InterimMeasure(what="in-line holder", where="behind the block")
    found = only(panel(fuse(1, interim=measure)))
    assert found.level is Level.INFORMATION
    assert "in-line holder" in found.what
    assert "behind the block" in found.what


def test_equal_colours_of_different_circuits_are_information() -> None:
    brown = wired(Wire(colour=BROWN))
    found = only(panel(fuse(1, contacts=brown), fuse(2, contacts=brown)))
    assert (found.code, found.level) == ("wires-alike", Level.INFORMATION)
    assert found.objects == ("p/F1", "p/F2")


def test_equal_colours_are_shown_in_the_code_of_the_map() -> None:
    brown = wired(Wire(colour=BROWN))
    car = Car(colour_code="north american")
    found = only(panel(fuse(1, contacts=brown), fuse(2, contacts=brown), car=car))
    assert "BRN" in found.what


def test_equal_colours_of_one_circuit_are_usual() -> None:
    brown = wired(Wire(colour=BROWN))
    fan = (Load(name="fan"),)
    same = [fuse(n, contacts=brown, circuit="tail lamps") for n in (1, 2)]
    assert check(panel(*same)) == ()
    shared = [fuse(n, contacts=brown, loads=fan) for n in (1, 2)]
    assert check(panel(*shared)) == ()
    fed = {**brown, "feed": Contact(fed_from="F1.load")}
    assert check(panel(fuse(1, contacts=brown), fuse(2, contacts=fed))) == ()


def test_the_gravest_come_first_then_the_order_of_the_map() -> None:
    document = panel(
        fuse(0, fitted_a=10.0),
        fuse(1, contacts=BURNT),
        fuse(2, fitted_a=30.0),
        fuse(3, fitted_a=25.0),
    )
    found = check(document)
    assert [(f.level, f.objects[0]) for f in found] == [
        (Level.ERROR, "p/F2"),
        (Level.ERROR, "p/F3"),
        (Level.ADVICE, "p/F1"),
        (Level.INFORMATION, "p/F0"),
    ]


def test_blocks_come_in_the_order_of_the_map() -> None:
    blocks = {"q": dataclasses.replace(PANEL, id="q"), "p": PANEL}
    late = dataclasses.replace(fuse(1, fitted_a=30.0), id="q/F1", block="q")
    found = check(panel(fuse(1, fitted_a=30.0), late, blocks=blocks))
    assert [f.objects[0] for f in found] == ["q/F1", "p/F1"]


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(maps())
def test_any_map_can_be_checked_and_gives_the_same_twice(document: Map) -> None:
    found = check(document)
    assert check(document) == found
    known = {*document.blocks, *document.cavities, *document.strips}
    for finding in found:
        assert finding.what
        assert finding.why
        assert finding.todo
        assert finding.objects
        assert set(finding.objects) <= known
        assert not finding.why.endswith(".")


def test_a_place_on_a_notch_is_off_the_outline() -> None:
    corners = ((0, 0), (100, 0), (100, 20), (60, 20), (60, 100), (0, 100))
    block = dataclasses.replace(
        PANEL, width_mm=100.0, outline=tuple(Point(x, y) for x, y in corners)
    )
    off = only(panel(fuse(5, y_mm=60.0), blocks={"p": block}))
    assert (off.code, off.objects) == ("place-off-outline", ("p/F5",))
