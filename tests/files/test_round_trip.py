"""Writing and reading a map gives the same map, and the same bytes."""

from __future__ import annotations

import dataclasses
import difflib
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from blockmap.files import composer
from blockmap.files.format_text import EXAMPLE, format_text
from blockmap.files.map_reader import read_map
from blockmap.files.map_writer import map_text, quoted, yaml_key
from blockmap.model.document import (
    Acceptance,
    Block,
    Car,
    Cavity,
    Condition,
    Contact,
    Map,
    OwnLimits,
    OwnOdds,
    OwnWork,
    Reading,
    Repair,
    Strip,
    TerminalFamily,
    Wire,
)
from blockmap.model.geometry import Point
from blockmap.model.schema import properties
from blockmap.resources import layout_files
from tests.strategies import TRAPS, maps, texts

EVERYTHING = Path(__file__).parent.parent / "data/maps/everything.blockmap.yaml"
"""One map of format 1 that uses every property: what was once written is read."""

BLOCK = Block(id="p", width_mm=100.0, height_mm=50.0)


def cavity(key: str = "F1", **more: Any) -> Cavity:
    """Return a plain cavity in the block p."""
    fields = {"x_mm": 10.0, "y_mm": 20.0, "width_mm": 19.1, "height_mm": 5.1, **more}
    return Cavity(id=f"p/{key}", block="p", **fields)


def one(**more: Any) -> Map:
    """Return a map of one cavity."""
    made = cavity(**more)
    return Map(blocks={"p": BLOCK}, cavities={made.id: made})


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(maps())
def test_every_map_reads_back_equal_and_writes_the_same_bytes(document: Map) -> None:
    text = map_text(document)
    read = read_map(text.encode("utf-8"), "a.yaml")
    assert read.document == document
    assert map_text(read.document) == text


@settings(max_examples=200, deadline=None)
@given(st.one_of(texts(), st.text()))
@example("A\n")  # written bare once: a pattern's $ also matches before the last \n
def test_other_yaml_readers_see_the_quoted_texts(text: str) -> None:
    # PyYAML's safe loader is the oracle: it types plain scalars, quoted ones never.
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return
    loaded = yaml.safe_load(f"{yaml_key(text)}: {quoted(text)}\n")
    assert loaded == {text: text}


@pytest.mark.parametrize("text", TRAPS)
def test_a_legend_that_yaml_would_misread_stays_what_it_is(text: str) -> None:
    expected = one(legend=text)
    assert read_map(map_text(expected).encode()).document == expected


@pytest.mark.parametrize("plain", ["on", "NO", "~", "null", "1:30", "010", "0x1F"])
def test_a_plain_hand_written_value_is_text(plain: str) -> None:
    text = map_text(one(legend="@@@")).replace('"@@@"', plain)
    assert read_map(text.encode()).document.cavities["p/F1"].legend == plain


def test_one_edit_changes_only_the_lines_of_its_cavity() -> None:
    cavities = {c.id: c for c in (cavity(f"F{n}", legend=f"L{n}") for n in range(60))}
    before = Map(blocks={"p": BLOCK}, cavities=cavities)
    changed = dataclasses.replace(cavities["p/F31"], legend="HORN")
    after = dataclasses.replace(before, cavities={**cavities, changed.id: changed})
    lines = list(
        difflib.ndiff(map_text(before).splitlines(), map_text(after).splitlines())
    )
    assert [line for line in lines if line[0] in "+-"] == [
        '-         legend: "L31"',
        '+         legend: "HORN"',
    ]


def test_what_is_bare_but_noted_survives() -> None:
    expected = one(
        housing=Condition(),
        contacts={"feed": Contact(), "30": Contact(wires=(Wire(), Wire(note="x")))},
    )
    text = map_text(expected)
    assert "          feed: {}\n" in text
    assert '          "30":\n' in text
    assert read_map(text.encode()).document == expected


def test_an_outline_is_written_one_corner_a_line() -> None:
    outline = (Point(0.0, 0.0), Point(100.0, 0.0), Point(50.0, 50.5))
    block = dataclasses.replace(BLOCK, outline=outline)
    text = map_text(Map(blocks={"p": block}))
    assert (
        "    outline:\n      - [0, 0]\n      - [100, 0]\n      - [50, 50.5]\n" in text
    )
    assert read_map(text.encode()).document.blocks["p"].outline == outline


def test_the_python_parser_reads_the_same_where_the_c_one_is_missing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = map_text(one(legend="STOP # 1: 2", notes="a\nb")) + "# a comment\n"
    with_c = read_map(text.encode())
    monkeypatch.delattr(yaml, "CSafeLoader")
    assert read_map(text.encode()) == with_c
    assert len(with_c.notes) == 1


@pytest.mark.parametrize("path", layout_files(), ids=lambda path: path.name)
def test_every_layout_reads_without_a_note_and_is_written_as_it_ships(
    path: Any,
) -> None:
    data = path.read_bytes()
    read = read_map(data, path.name)
    assert read.notes == ()
    assert map_text(read.document).encode() == data


def test_the_example_of_the_format_is_read_and_written_as_it_stands() -> None:
    assert map_text(read_map(EXAMPLE.encode()).document) == EXAMPLE


def test_files_of_format_1_stay_readable_byte_for_byte() -> None:
    data = EVERYTHING.read_bytes()
    read = read_map(data)
    assert read.notes == ()
    assert map_text(read.document).encode() == data


def test_the_file_of_everything_holds_every_property() -> None:
    keys = {
        line.strip().removeprefix("- ").partition(":")[0]
        for line in EVERYTHING.read_text(encoding="utf-8").splitlines()
    }
    waiting: list[type] = [Car, Block, Cavity, Strip, Reading, Repair]
    waiting += [TerminalFamily, OwnLimits, OwnWork, OwnOdds, Acceptance]
    while waiting:
        for row in properties(waiting.pop()):
            assert row.key in keys
            if row.record is not None:
                waiting.append(row.record)


def test_the_description_of_the_format_names_every_property() -> None:
    text = format_text()
    for kind in (Block, Cavity, Contact, Wire, Condition):
        for row in properties(kind):
            assert f"| `{row.key}` |" in text
    assert str(composer.MOST_DEPTH) in text
