"""Tables: delimiters, headings, formulas, and filling a map by designation.

RFC 4180 is the source for quoting and line ends of CSV.
"""

from __future__ import annotations

import csv
import dataclasses
import io
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockmap.files.delimited import delimiter_of, joined, split
from blockmap.files.store import load
from blockmap.files.tables import csv_text, decoded, fill_from_table, table_rows
from blockmap.model.columns import COLUMNS
from blockmap.model.document import Block, Car, Cavity, Contact, Load, Map, Wire
from blockmap.model.errors import DocumentRefused
from blockmap.reference.wire_colours import WireColour
from blockmap.resources import layout_files
from tests.strategies import TRAPS


def cavity(key: str, block: str = "p", **more: Any) -> Cavity:
    """Return a plain fuse cavity."""
    fields = {"x_mm": -10.0, "y_mm": 20.0, "width_mm": 19.1, "height_mm": 5.1, **more}
    return Cavity(id=f"{block}/{key}", block=block, **fields)


def panel(*cavities: Cavity, code: str = "words") -> Map:
    """Return a map with these cavities in the blocks they name."""
    blocks = {c.block: Block(id=c.block, width_mm=100, height_mm=50) for c in cavities}
    return Map(
        car=Car(colour_code=code), blocks=blocks, cavities={c.id: c for c in cavities}
    )


def refusal(document: Map, text: str) -> list[str]:
    """Return the sentences with which a table is refused."""
    with pytest.raises(DocumentRefused) as refused:
        fill_from_table(document, text, "t.csv")
    return [problem.sentence() for problem in refused.value.problems]


def test_a_table_is_plain_csv_in_the_order_of_the_columns() -> None:
    wire = Wire(colour=WireColour("brown", ("white",)), gauge="16 AWG")
    text = csv_text(
        panel(
            cavity(
                "F1",
                form="medium blade",
                rating_a=7.5,
                circuit='lamps, "stop"',
                loads=(Load(name="horn", amps_a=5.0),),
                contacts={"load": Contact(wires=(wire,))},
            )
        )
    )
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == 2
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    assert " ".join(list(row)[:16]) == (
        "block designation kind x_mm y_mm width_mm height_mm turn_deg form rating_a "
        "fitted_a circuit legend wires loads feed_condition"
    )
    assert (row["block"], row["designation"], row["kind"]) == ("p", "F1", "fuse")
    assert (row["x_mm"], row["rating_a"], row["fitted_a"]) == ("-10", "7.5", "")
    assert row["circuit"] == 'lamps, "stop"'
    assert row["wires"] == "brown/white 16 AWG"
    assert row["loads"] == "horn 5 A"


def test_chosen_columns_only() -> None:
    text = csv_text(panel(cavity("F1")), columns=["legend", "designation"])
    assert text == "legend,designation\r\n,F1\r\n"


@pytest.mark.parametrize("path", layout_files(), ids=lambda path: path.name)
def test_filling_a_map_from_its_own_table_changes_nothing(path: Any) -> None:
    document = load(path).document
    filled, notes = fill_from_table(document, csv_text(document))
    assert filled is document
    assert notes[-1].endswith("cavities changed: 0")


def test_a_whole_table_fills_an_empty_panel() -> None:
    wires = (Wire(colour=WireColour("red"), gauge="2.5 mm2"),)
    full = panel(
        cavity(
            "F1",
            form="relay 4-pin",
            kind="relay",
            turn_deg=90.0,
            feed_end="start",
            circuit="=lamps",
            notes="two\nlines",
            contacts={"87": Contact(wires=wires), "30": Contact(fed_from="F2.load")},
        ),
        cavity("F2", do_not_use=True, rating_a=10.0),
    )
    bare = panel(cavity("F1"), cavity("F2"))
    filled, _ = fill_from_table(bare, csv_text(full))
    assert filled == full


@pytest.mark.parametrize("text", [*TRAPS, "-5", "+1", "@a", "'", "''=1", "\t=1"])
def test_no_cell_is_a_formula_and_every_cell_comes_back(text: str) -> None:
    written = joined([[text, "x"]])
    (cells,) = csv.reader(io.StringIO(written, newline=""))
    if cells[0][:1] in ("=", "+", "-", "@", "\t"):
        assert float(cells[0]) is not None  # a number is no formula
    ((_, back),) = split(written, "t", ",")
    assert back[0] == text.removeprefix("\ufeff")


@settings(max_examples=200, suppress_health_check=[HealthCheck.filter_too_much])
@given(
    st.lists(
        st.lists(
            st.text(
                st.characters(codec="utf-8", exclude_characters="\0\r"), max_size=8
            ).map(str.strip),
            min_size=2,
            max_size=4,
        ).filter(any),
        max_size=4,
    ),
    st.sampled_from([",", ";", "\t", "|"]),
)
def test_any_cells_come_back(rows: list[list[str]], delimiter: str) -> None:
    found = [
        list(line.cells) for line in split(joined(rows, delimiter), "t", delimiter)
    ]
    assert found == rows


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("place,rating\nF1,15\n", ","),
        ("place;rating\nF1;7,5\nF2;10\n", ";"),
        ("F1;7,5\nF2;10\n", ";"),
        ("place\trating\nF1\t15, 20\n", "\t"),
        ("place|rating\nF1|15\n", "|"),
        ('place,"a;b;c;d"\nF1,"x;y;z"\n', ","),
        ('place,"a;b;c"\nF1,"x;y;z"\n', ","),
        ("F1,horn 5 A; clock 1 A\nF2,lamp\n", ","),
        ("F1, 15, BLK; RED\nF2, 20, BLK; RED\n", ","),
        ("legend\nHORN\nFAN\n", ","),
        ("", ","),
    ],
)
def test_the_delimiter_is_counted_outside_quotes(text: str, delimiter: str) -> None:
    assert delimiter_of(text) == delimiter


def test_headings_are_known_by_key_label_and_usual_word() -> None:
    table = table_rows("Pos.\tAmps\tFunction\tRemarks\nF1\t15\tHorn\tx\n")
    assert table.columns == ("designation", "rating_a", "circuit", None)
    table = table_rows("no,RATING (A),Long legend\nF1,15,Horn\n")
    assert table.columns == ("designation", "rating_a", "legend_long")
    assert (table.rows, table.lines) == ((("F1", "15", "Horn"),), (2,))


def test_a_table_without_headings_has_the_usual_order() -> None:
    table = table_rows("F1,15,Stop lamps\nF2,10,Horn\n")
    assert table.headings == ()
    assert table.columns == ("designation", "rating_a", "circuit")
    assert len(table.rows) == 2


def test_fuse_heads_the_places_unless_it_can_be_the_amps() -> None:
    by_name = table_rows("Fuse\tFunction\nU1\tHorn\nU2\tFan\n")
    assert by_name.columns == ("designation", "circuit")
    beside = table_rows("Fuse\tAmps\tFunction\n1\t15\tHorn\n2\t30\tFan\n")
    assert beside.columns == ("designation", "rating_a", "circuit")
    amps = table_rows("Place\tFuse\tFunction\nF1\t15\tHorn\n")
    assert amps.columns == ("designation", "rating_a", "circuit")
    alone = table_rows("Fuse\tFunction\n15\tHorn\n10\tFan\n")
    assert alone.columns == ("rating_a", "circuit"), "it cannot be told"


def test_gauges_go_behind_the_colours_they_belong_to() -> None:
    table = table_rows("Place,Colour,AWG\nF1,RED/WHT,10\nF2,BRN; BLU,16; 18\nF3,,12\n")
    cells = [row[1] for row in table.rows]
    assert cells == ["RED/WHT 10 AWG", "BRN 16 AWG; BLU 18 AWG", "12 AWG"]
    assert table.columns == ("designation", "wires", None)
    table = table_rows("Place,Wire colour,mm²\n1,BLK,1.5\n2,RED,2.5 mm2\n")
    assert [row[1] for row in table.rows] == ["BLK 1.5 mm2", "RED 2.5 mm2"]
    alone = table_rows("Place,Gauge\nF1,16\n")
    assert alone.columns == ("designation", None), "it would wipe out the colour"
    assert alone.headings == ("Place", "Gauge"), "and is named as not known"


def test_a_table_with_gauges_apart_fills_a_map() -> None:
    document = panel(cavity("F1"))
    filled, notes = fill_from_table(document, "place,colour,awg\nF1,RED,16\n", "t.csv")
    wires = filled.cavities["p/F1"].contact("load").wires
    assert [(wire.gauge) for wire in wires] == ["16 AWG"]
    assert notes == ("t.csv: rows read: 1, cavities changed: 1",)


def test_one_pasted_cell_is_no_heading() -> None:
    table = table_rows("fuse", delimiter="\t")
    assert table.rows == (("fuse",),)


@pytest.mark.parametrize(
    ("data", "text"),
    [
        ("é".encode(), "é"),
        ("é".encode("utf-8-sig"), "é"),
        ("é".encode("cp1252"), "é"),
        ("é".encode("utf-16"), "é"),
        (b"\x81", "\ufffd"),
    ],
)
def test_files_of_old_spreadsheets_are_decoded(data: bytes, text: str) -> None:
    assert decoded(data) == text


def test_an_open_quote_is_told_with_its_line() -> None:
    (sentence,) = refusal(panel(cavity("F1")), 'place,legend\nF1,"HORN\n')
    assert sentence.startswith("t.csv:2:1: a double quote is opened and never closed;")


def test_old_line_ends_and_empty_lines_are_read() -> None:
    filled, _ = fill_from_table(panel(cavity("F1")), "place,legend\r\r,\rF1,HORN\r")
    assert filled.cavities["p/F1"].legend == "HORN"


def test_a_row_is_matched_by_any_designation_and_only_filled_cells_count() -> None:
    document = panel(cavity("c1", own="F1", moulded="12", legend="X", circuit="Y"))
    filled, _ = fill_from_table(document, "place,legend,circuit\n12,HORN,\n")
    before = document.cavities["p/c1"]
    assert filled.cavities["p/c1"] == dataclasses.replace(before, legend="HORN")


def test_colours_are_read_in_the_code_of_the_map() -> None:
    document = panel(cavity("F1"), code="iec 60757")
    filled, _ = fill_from_table(document, "place,wires\nF1,BN/WH 1.5 mm2\n")
    (wire,) = filled.cavities["p/F1"].contacts["load"].wires
    # IEC 60757 as tabled in tests/data/standards/wire_colours.yaml.
    assert wire.colour == WireColour("brown", ("white",))


def test_every_problem_of_a_table_is_told_at_once() -> None:
    document = panel(
        cavity("F1"), cavity("F2"), cavity("F2", block="q"), cavity("Horn")
    )
    text = (
        "place,rating,kind\n"
        "F1,ten,fuse\n"
        "F9,10,fuse\n"
        "F2,10,fuse\n"
        ",10,fuse\n"
        "Horm,10,fuze\n"
        "F1,10,fuse\n"
    )
    sentences = refusal(document, text)
    starts = [sentence.split(": ")[0] for sentence in sentences]
    assert starts == ["t.csv:2:2", "t.csv:3:1", "t.csv:4:1", *starts[3:]]
    assert len(sentences) == 6
    assert "“ten” is not a number" in sentences[0]
    assert "no cavity is called “F9”" in sentences[1]
    assert "“F2” is the name of 2 cavities: p/F2, q/F2; add a column" in sentences[2]
    assert "this row has no designation" in sentences[3]
    assert "no cavity is called “Horm”; nearest is “Horn”" in sentences[4]
    assert "“F1” has a row already, on line 2" in sentences[5]


def test_a_block_column_tells_cavities_of_one_name_apart() -> None:
    document = panel(cavity("F2"), cavity("F2", block="q"))
    filled, _ = fill_from_table(document, "block,place,legend\nq,F2,HORN\n")
    assert filled.cavities["q/F2"].legend == "HORN"
    assert filled.cavities["p/F2"].legend == ""


def test_unknown_headings_are_named_and_left_out() -> None:
    document = panel(cavity("F1"))
    filled, notes = fill_from_table(document, "place,legnd\nF1,HORN\n", "t.csv")
    assert filled is document
    assert notes[0] == (
        "t.csv:1: the column “legnd” is not known and was left out; nearest is “legend”"
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "t.csv: the table has no rows"),
        ("place,legend\n", "t.csv: the table has no rows"),
        ("rating,legend\n10,HORN\n", "t.csv:1:1: no column gives the designation"),
        ("place,amps,rating\nF1,1,2\n", "the columns “amps” and “rating” both mean"),
        ("place,legend\nF1,HORN,x\n", "t.csv:2:3: this row has more cells than there"),
    ],
)
def test_a_table_that_cannot_be_used_is_told(text: str, expected: str) -> None:
    assert any(expected in sentence for sentence in refusal(panel(cavity("F1")), text))


def test_the_form_is_set_before_what_depends_on_it() -> None:
    text = "place,width_mm,feed_side,form,turn_deg\nF1,25,top,medium blade,90\n"
    filled, _ = fill_from_table(panel(cavity("F1")), text)
    made = filled.cavities["p/F1"]
    assert (made.width_mm, made.form, made.feed_side) == (25.0, "medium blade", "top")


def test_every_column_has_a_heading_that_names_it() -> None:
    head = ",".join(one.key for one in COLUMNS)
    row = ",".join("1" for _ in COLUMNS)
    assert table_rows(f"{head}\n{row}\n").columns == tuple(one.key for one in COLUMNS)
