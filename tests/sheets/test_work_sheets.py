"""The sheets for the bench, measured back from the PDF by a library of its own."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from blockmap.model.document import Block, Condition, Contact, Map, Repair, Wire
from blockmap.model.edits import (
    Grid,
    add_log,
    add_repair,
    advance_repair,
    set_block_text,
    set_condition,
)
from blockmap.model.evidence import count_facts
from blockmap.model.geometry import Point, Size
from blockmap.model.written import wire_text
from blockmap.reference.cautions import SHORT_CAUTION
from blockmap.sheets.catalogue import SHEETS, SheetOptions, sheet_named
from blockmap.sheets.flags_sheet import BRIDGE_MM, LEAF
from blockmap.sheets.pages import Sheet
from blockmap.sheets.parts_sheet import parts_csv
from blockmap.sheets.pdf import pdf_bytes
from tests.sheets.measuring import (
    Measured,
    assert_letters_apart,
    ink_reaches,
    measured,
    squeezed,
)
from tests.sheets.sample_maps import grid_map, shipped

PANELS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "data" / "panels.json").read_text(encoding="utf-8")
)["panels"]
WORK = ("rear", "condition", "worklist", "flags", "release", "parts", "numbers")
EVERY = pytest.mark.parametrize(
    ("stem", "name", "paper"),
    [(s, n, p) for s in PANELS for n in WORK for p in ("a4", "letter")],
)
EACH = pytest.mark.parametrize("stem", PANELS)


def composed(document: Map, name: str, paper: str = "a4") -> Sheet:
    kind = sheet_named(name)
    assert kind is not None
    return kind.compose(document, SheetOptions(paper=paper))


@cache
def printed(stem: str, name: str, paper: str = "a4") -> bytes:
    return pdf_bytes(composed(shipped(stem), name, paper), "Test")


@cache
def pages(stem: str, name: str, paper: str = "a4") -> tuple[Measured, ...]:
    return measured(printed(stem, name, paper))


def text_of(found: tuple[Measured, ...]) -> str:
    return "".join(page.text for page in found)


def told(document: Map, name: str) -> str:
    return text_of(measured(pdf_bytes(composed(document, name), "Test")))


def test_every_work_sheet_is_in_the_catalogue() -> None:
    assert set(WORK) <= {kind.name for kind in SHEETS}


@EVERY
def test_every_page_says_car_view_caution_evidence_and_its_number(
    stem: str, name: str, paper: str
) -> None:
    document, found = shipped(stem), pages(stem, name, paper)
    views = {"rear": "Rear view: mirrored", "condition": "Front view"}
    for number, page in enumerate(found, start=1):
        for words in (
            document.car.name,
            views.get(name, "No view: places by name"),
            SHORT_CAUTION,
            count_facts(document).words(),
            f"Page {number} of {len(found)}",
        ):
            assert squeezed(words) in page.text


@EVERY
def test_nothing_is_printed_within_5_mm_of_the_edge(
    stem: str, name: str, paper: str
) -> None:
    assert ink_reaches(printed(stem, name, paper), 5.0) == []
    short, long = {"a4": (210, 297), "letter": (215.9, 279.4)}[paper]
    for page in pages(stem, name, paper):
        sides = sorted((page.width, page.height))
        assert sides == pytest.approx([short, long], abs=0.1)


@EVERY
def test_no_two_texts_of_a_table_are_printed_over_each_other(
    stem: str, name: str, paper: str
) -> None:
    for page in pages(stem, name, paper):
        assert_letters_apart(page)


@EACH
def test_the_rear_sheet_gives_every_place_mirrored(stem: str) -> None:
    panel, text = PANELS[stem], text_of(pages(stem, "rear"))
    width = panel["block_mm"][0]
    for place in panel["places"]:
        x, y = f"{width - place['x']:g}", f"{place['y']:g}"
        assert f"{place['pos']}{x}{y}" in text


def test_the_place_at_55_in_front_is_printed_at_80_and_its_feed_side_swapped() -> None:
    text = text_of(pages("demo", "rear"))
    assert "F38015feedtop" in text
    assert "F5 25 15 feed right".replace(" ", "") in text  # left in front
    assert "stripACCNO" in text
    assert "F128" not in text


def test_the_rear_sheet_shows_a_wire_nobody_has_seen_as_doubtful() -> None:
    (first, *_) = pages("demo", "rear")
    letters = [one for one in first.letters if one.text.strip()]
    italics = "".join(one.text for one in letters if "Italic" in one.font)
    assert "ORN16AWG?" in italics  # F1, from the book
    plain = "".join(one.text for one in letters if "Italic" not in one.font)
    assert "ORN/WHT16AWG" in plain  # F2, seen from behind


def test_the_rear_sheet_says_where_a_supply_lands_and_a_flag_is_not_too_long() -> None:
    document = shipped("demo")
    strip = document.strips["panel/RUN"]
    text = told(document, "rear")
    assert "atF7feed" in text
    for lands, lands_at, words, flag in (
        ("hidden at the rear", "", "hiddenattherear", "stripRUNhidden"),
        ("middle", "F7.feed", "inthemiddle,byF7feed", "stripRUNbyF7feed"),
        ("end", "", "atoneend", "stripRUNatoneend"),
    ):
        changed = replace(strip, lands=lands, lands_at=lands_at)
        other = replace(document, strips={**document.strips, strip.id: changed})
        assert words in told(other, "rear")
        assert flag in told(other, "flags")


@EACH
def test_the_wire_of_every_place_stands_on_the_rear_sheet(stem: str) -> None:
    document, text = shipped(stem), text_of(pages(stem, "rear"))
    for cavity in document.cavities.values():
        for contact in cavity.contacts.values():
            for wire in contact.wires:
                said = squeezed(wire_text(wire, document.car.colour_code))
                assert said in text


@EACH
def test_the_condition_sheet_holds_all_that_was_found(stem: str) -> None:
    text = text_of(pages(stem, "condition"))
    words = {"1": "watch", "2": "repair soon", "3": "do not use as is"}
    for row in PANELS[stem]["damage"]:
        assert squeezed(row["found"]) in text
        assert squeezed(f"{row['severity']} {words[row['severity']]}") in text
    document = shipped(stem)
    for cavity in document.cavities.values():
        if cavity.unusable:
            assert cavity.designation in text
            assert "DONOTUSE" in text
        if cavity.interim:
            assert squeezed(cavity.interim.what) in text


def test_a_log_and_the_stages_of_a_repair_are_printed() -> None:
    document = add_log(shipped("demo"), "panel/F1", "smells of fish", "2024-07-01")
    document, key = add_repair(document, Repair(at="F5.load", date="2024-07-02"))
    document = advance_repair(document, key, "ordered", "2024-07-03")
    text = told(document, "condition")
    assert "F12024-07-01smellsoffish" in text
    assert "found2024-07-02,ordered2024-07-03" in text


def test_a_map_without_damage_says_so() -> None:
    grid = Grid(first=Point(10, 10), columns=3, pitch_x_mm=20)
    plain = grid_map(Size(60, 30), grid)
    assert "Nodamage,nopatch" in told(plain, "condition")
    assert "asksfornopart" in told(plain, "parts")
    assert "Noopendamage" in told(plain, "worklist")
    assert "Nowireofthisblock" in told(plain, "flags")
    assert "namesaterminalfamilyyet" in told(plain, "release")


def test_the_parts_sheet_lists_the_strip_once_and_the_terminals_by_gauge() -> None:
    text = text_of(pages("demo", "parts"))
    assert text.count("stripRUN(F7,F8,F11)") == 1
    for gauge in ("12AWG", "16AWG", "18AWG"):
        assert gauge in text
    assert text_of(pages("saloon-ceramic-row", "parts")).count("strip15(7,8,9,10)") == 1


def test_prices_are_summed_and_lines_without_one_are_counted() -> None:
    document = shipped("demo")
    repairs = {
        key: replace(repair, price=2.5, source="yard")
        for key, repair in document.repairs.items()
    }
    text = told(replace(document, repairs=repairs), "parts")
    assert "Sumofthepricesentered:5.00;3of5lineshavenopriceyet." in text
    assert "yard" in text


def test_prices_of_two_currencies_are_not_added_up() -> None:
    document = shipped("demo")
    one, other = document.repairs
    repairs = {
        one: replace(document.repairs[one], price=2.5, currency="EUR"),
        other: replace(document.repairs[other], price=1.25, currency="GBP"),
    }
    text = told(replace(document, repairs=repairs), "parts")
    assert "Sumofthepricesentered:1.25GBP+2.50EUR;" in text


@EACH
def test_the_parts_as_csv_are_the_parts_of_the_sheet(stem: str) -> None:
    rows = list(csv.DictReader(io.StringIO(parts_csv(shipped(stem)))))
    text = text_of(pages(stem, "parts"))
    assert rows
    for row in rows:
        if row["sort"] != "spare fuse":
            assert squeezed(row["part"]) in text
            assert int(row["need"]) + int(row["perhaps"] or 0) >= 1
    fuses = [row for row in rows if row["sort"] == "spare fuse"]
    in_use = sum(int(row["why"].split()[0]) for row in fuses)
    rated = [p for p in PANELS[stem]["places"] if p["kind"] in ("fuse", "inline")]
    assert in_use == sum(p["amps"] is not None for p in rated)


def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless() -> None:
    document, _ = add_repair(shipped("demo"), Repair(at="x", part="=1+1"))
    rows = list(csv.DictReader(io.StringIO(parts_csv(document))))
    assert "'=1+1" in {row["part"] for row in rows}


@EACH
def test_there_are_two_flags_of_the_right_size_for_every_wire(stem: str) -> None:
    document = shipped(stem)
    wires = sum(
        len(contact.wires)
        for cavity in document.cavities.values()
        for contact in cavity.contacts.values()
    )
    for strip in document.strips.values():
        wires += len(strip.jumpers)
        wires += bool(strip.supply_colour or strip.supply_gauge)
    wide = 2 * LEAF.width_mm + BRIDGE_MM
    frames = [
        shape
        for page in pages(stem, "flags")
        for shape in page.shapes
        if abs(shape.width - wide) < 0.01 and abs(shape.height - LEAF.height_mm) < 0.01
    ]
    assert len(frames) == 2 * wires
    assert squeezed(f"{wires} wires, {2 * wires} flags") in text_of(
        pages(stem, "flags")
    )


def test_a_flag_says_place_wire_and_other_end_on_both_leaves() -> None:
    found = text_of(pages("demo", "flags"))
    for words in ("F11 load", "BRN 12 AWG", "from F11 load"):
        assert found.count(squeezed(words)) >= 2
    assert found.count("tochokeheater") == 2
    assert found.count("fromF12load") == 2


def test_the_other_end_of_a_wire_is_named_as_a_person_would() -> None:
    demo, plug = shipped("demo"), shipped("connector-12-places")
    pin = plug.cavities["connector/4"]
    contact = Contact(wires=(Wire(gauge="16 AWG", to="panel/F11.load"),))
    cavities = {
        **demo.cavities,
        **plug.cavities,
        pin.id: replace(pin, contacts={"pin": contact}),
    }
    blocks = {**demo.blocks, **plug.blocks}
    document = replace(demo, blocks=blocks, cavities=cavities)
    kind = sheet_named("flags")
    assert kind is not None
    made = kind.compose(document, SheetOptions(block="connector"))
    assert "toFusepanelF11load" in text_of(measured(pdf_bytes(made, "Test")))
    kind = sheet_named("rear")
    assert kind is not None
    made = kind.compose(document, SheetOptions(block="connector"))
    text = text_of(measured(pdf_bytes(made, "Test")))
    assert "toFusepanelF11load" in text
    assert "Seenfromthewireside" in text
    assert "fromF7load" in text_of(pages("demo", "rear"))


def test_a_flag_stays_inside_its_leaf_whatever_it_has_to_say() -> None:
    long = "a very long name of a load that nobody could fit on a flag"
    document = shipped("home-built-special")
    cavity = document.cavities["panel/1"]
    contact = Contact(wires=(Wire(to=long),))
    changed = replace(
        document,
        cavities={
            **document.cavities,
            cavity.id: replace(cavity, contacts={"load": contact}),
        },
    )
    sheet = composed(changed, "flags")
    assert any(long in note for note in sheet.notes)
    (page, *_) = measured(pdf_bytes(sheet, "Test"))
    wide = 2 * LEAF.width_mm + BRIDGE_MM
    first = next(s.box for s in page.shapes if abs(s.width - wide) < 0.01)
    inside = [
        letter.box
        for letter in page.letters
        if first[0] < letter.box[0] < first[2] and first[1] < letter.box[1] < first[3]
    ]
    assert inside
    left_leaf = [b for b in inside if b[0] < first[0] + LEAF.width_mm]
    assert max(box[2] for box in left_leaf) <= first[0] + LEAF.width_mm
    assert max(box[2] for box in inside) <= first[2]


@EACH
def test_the_work_list_keeps_the_safe_order(stem: str) -> None:
    text = text_of(pages(stem, "worklist"))
    order = (
        "Disconnect the battery, ground cable first",
        "Photograph the block from the front",
        "Out before the block moves",
        "Take the block down",
        "Photograph the block from the rear",
        "Flag both ends",
        "Count, before the battery is connected",
        "No tool, blade, cut wire or flag is left",
        "Battery connected, ground cable last",
    )
    places = [text.index(squeezed(words)) for words in order]
    assert places == sorted(places)


@EACH
def test_the_work_list_has_two_boxes_for_every_fuse_and_every_terminal(
    stem: str,
) -> None:
    kinds = ("fuse", "inline", "breaker", "relay", "flasher")
    out = [p for p in PANELS[stem]["places"] if p["kind"] in kinds]
    text = text_of(pages(stem, "worklist"))
    assert squeezed(f"Out: ____ of {len(out)}") in text
    shapes = [s for page in pages(stem, "worklist") for s in page.shapes]
    ticks = [s for s in shapes if abs(s.width - 3.4) < 0.01 and s.closed]
    terminals = re.search(r"Terminalsout:____of(\d+)", text)
    number = int(terminals[1]) if terminals else 0
    for word in ("out", "back"):
        assert sum(_ticked(page, word) for page in pages(stem, "worklist")) == number
    assert len(ticks) >= 2 * len(out) + 2 * number


def _ticked(page: Measured, word: str) -> int:
    """Return how often a word stands close to the right of a box to tick."""
    boxes = [s.box for s in page.shapes if abs(s.width - 3.4) < 0.01 and s.closed]
    letters = [one for one in page.letters if one.text.strip()]
    found = 0
    for at, first in enumerate(letters):
        if "".join(one.text for one in letters[at : at + len(word)]) == word:
            left, _, _, bottom = first.box
            found += any(
                0 < left - b[2] < 1.5 and b[1] < bottom
                for b in boxes
                if bottom - b[3] < 1.5
            )
    return found


def test_a_contact_of_a_strip_is_never_on_the_list_of_terminals() -> None:
    text = text_of(pages("demo", "worklist"))
    table, _, rest = text.partition("Workthatreleasesnoterminal")
    assert "F11feed" not in table.partition("Oneterminalatatime")[2]
    assert "partofstripRUN:donotreleaseit" in rest
    assert "F11load" in table


def test_what_is_only_watched_is_looked_at_where_it_is() -> None:
    text = text_of(pages("hatchback-right-to-left", "worklist"))
    table, _, rest = text.partition("Workthatreleasesnoterminal")
    assert "16load,heat-marked" in rest
    assert "16loadred" not in table


@EACH
def test_a_release_card_is_printed_for_the_family_of_the_block(stem: str) -> None:
    document, text = shipped(stem), text_of(pages(stem, "release"))
    (block,) = document.blocks.values()
    assert squeezed(block.terminal) in text
    for words in ("Lock first", "Tool", "Grip test", "Used at", "common practice"):
        assert squeezed(words) in text
    riveted = "NOTRELEASEDSINGLY" in text
    assert riveted is (stem == "saloon-ceramic-row")


def test_a_card_for_each_family_of_two_blocks() -> None:
    document = set_block_text(
        shipped("demo"), "panel", "terminal", "female, two side locks"
    )
    cavity = document.cavities["panel/F1"]
    load = replace(cavity.contact("load"), terminal="single female, one tang")
    changed = replace(cavity, contacts={**cavity.contacts, "load": load})
    document = replace(document, cavities={**document.cavities, cavity.id: changed})
    text = told(document, "release")
    assert "singlefemale,onetang" in text
    assert "female,twosidelocks" in text
    assert "twin-bladetool" in text


def test_a_map_of_no_block_is_refused_where_a_block_is_needed() -> None:
    for name in ("rear", "flags", "worklist"):
        with pytest.raises(ValueError, match="no block"):
            composed(Map(), name)
    for name in ("condition", "parts", "release"):
        assert composed(Map(), name).pages
    with pytest.raises(ValueError, match="paper"):
        composed(shipped("demo"), "parts", "napkin")


def test_a_huge_and_a_tiny_block_fit_on_the_page() -> None:
    for size in (Size(900, 700), Size(12, 9), Size(1500, 40)):
        document = Map(blocks={"b": Block(id="b", width_mm=size[0], height_mm=size[1])})
        for name in ("rear", "condition"):
            data = pdf_bytes(composed(document, name), "Test")
            assert ink_reaches(data, 5.0) == []


@pytest.mark.parametrize("name", WORK)
def test_hundreds_of_places_run_on_to_more_pages_and_nothing_is_lost(name: str) -> None:
    grid = Grid(
        first=Point(8, 15),
        columns=20,
        rows=10,
        pitch_x_mm=9,
        pitch_y_mm=25,
        turn_deg=90,
        rating_a=10.0,
        first_designation="F1",
    )
    document = grid_map(Size(190, 260), grid)
    for number in range(1, 101):
        bad = Condition(state="spread", severity=2, note=f"note {number}.")
        document = set_condition(document, f"b/F{number}", "load", bad)
    sheet = composed(document, name)
    data = pdf_bytes(sheet, "Test")
    assert ink_reaches(data, 5.0) == []
    text = text_of(measured(data))
    wanted = {"rear": 200, "condition": 100, "worklist": 100, "parts": 100}
    for number in range(1, wanted.get(name, 0) + 1):
        assert f"F{number}" in text
    if name in ("condition", "worklist"):
        for number in range(1, 101):
            assert f"note{number}." in text
