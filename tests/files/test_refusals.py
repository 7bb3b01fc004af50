"""What a map file may not hold, and that the refusal says where, what and what to do.

The texts follow the traps of YAML 1.1 (yaml.org/spec/1.1): aliases, merge keys, tags,
typed scalars, and of text files: marks, encodings, control characters, cut ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockmap.files import migrations
from blockmap.files.composer import MOST_PROBLEMS, Mapping
from blockmap.files.format_text import EXAMPLE
from blockmap.files.map_reader import BYTES_LIMIT, read_map
from blockmap.files.migrations import FORMAT
from blockmap.model.document import (
    Acceptance,
    Block,
    Car,
    Cavity,
    OwnLimits,
    OwnOdds,
    OwnWork,
    Reading,
    Repair,
    Strip,
    TerminalFamily,
)
from blockmap.model.errors import DocumentRefused
from blockmap.model.schema import Property, Shape, properties

HEAD = "blockmap: 1\n"
PANEL = HEAD + "blocks:\n  p:\n    width_mm: 100\n    height_mm: 50\n"
ONE = PANEL + "    cavities:\n      F1: {x_mm: 1, y_mm: 2, width_mm: 5, height_mm: 5}\n"


def refusal(text: str | bytes) -> tuple[str, ...]:
    """Return the sentences with which a text is refused."""
    data = text if isinstance(text, bytes) else text.encode("utf-8")
    with pytest.raises(DocumentRefused) as refused:
        read_map(data, "f.yaml")
    return tuple(problem.sentence() for problem in refused.value.problems)


CASES = {
    "empty file": ("", "f.yaml: the file is empty"),
    "only spaces": (" \n\n", "f.yaml: the file is empty"),
    "only a comment": ("# none\n", "f.yaml: the file holds no map"),
    "a list": ("- a\n", "f.yaml:1:1: a map is a group of keys, not a list"),
    "a text": ("hello", "f.yaml:1:1: a map is a group of keys"),
    "two documents": (HEAD + "---\n" + HEAD, "f.yaml:2:1: a second document starts"),
    "no format": ("car: {}\n", "f.yaml:1:1: this is not a map: the key “blockmap”"),
    "newer format": (
        "blockmap: 2\nanything: x\n",
        "f.yaml:1:11: the file has format 2, written by a newer blockmap; this version "
        "reads formats up to 1; open it with a version of blockmap that reads format 2",
    ),
    "unknown old format": ("blockmap: 0\n", "f.yaml:1:11: this version of blockmap "),
    "odd format": ("blockmap: one\n", "f.yaml:1:11: the number of the file format"),
    "anchor": (HEAD + "car: &a {name: x}\n", "f.yaml:2:6: “&a” names a part"),
    "alias": (HEAD + "car: *a\n", "f.yaml:2:6: “*a” repeats another part; write"),
    "merge key": (HEAD + "car:\n  <<: {name: x}\n", "f.yaml:3:3: “<<” takes over"),
    "object tag": (HEAD + "car: {name: !!python/none x}\n", "f.yaml:2:13: the tag"),
    "binary tag": (HEAD + "car: {name: !!binary aGk=}\n", "f.yaml:2:13: the tag"),
    "own tag": (HEAD + "car: {name: !mine x}\n", "f.yaml:2:13: the tag “!mine”"),
    "tag directive": ("%TAG ! tag:x,2000:\n---\n" + HEAD, "f.yaml:1:1: tags"),
    "key twice": (
        HEAD + "car:\n  name: a\n  name: b\n",
        "f.yaml:4:3: “name” stands twice here; the first is on line 3; remove one",
    ),
    "cavity twice": (
        ONE + "      F1: {x_mm: 1, y_mm: 2, width_mm: 5, height_mm: 5}\n",
        "f.yaml:8:7: “F1” stands twice here; the first is on line 7",
    ),
    "unknown section": (HEAD + "bloks: {}\n", "nearest is “blocks”"),
    "unknown key": (
        HEAD + "car: {nme: x}\n",
        "f.yaml:2:7: car: “nme” is not a key that can stand here; nearest is “name”",
    ),
    "list as key": (HEAD + "? [a]\n: b\n", "f.yaml:2:3: a key must be one word"),
    "tab": (HEAD + "car:\n\tname: a\n", "f.yaml:3:1: this is not YAML: found charac"),
    "open brace": (HEAD + "{", "this is not YAML"),
    "open quote": (HEAD + 'car: {name: "ab', "f.yaml:2:16: this is not YAML"),
    "NUL": (ONE + "\0", "f.yaml:8:1: the control character U+0000 stands here"),
    "control": (HEAD + "car: {name: a\x07}\n", "f.yaml:2:14: the control character U+"),
    "escaped control": (HEAD + 'car: {name: "\\a"}\n', "control character U+0007"),
    "lone surrogate": (HEAD + 'car: {name: "\\ud800"}\n', "f.yaml:2:"),
    "UTF-16": (ONE.encode("utf-16"), "f.yaml: the file is UTF-16 text; save it as UTF"),
    "Latin-1": (ONE.encode() + b"# \xe9\n", "f.yaml:8:3: the byte 0xe9 is not UTF-8"),
    "too large": (b" " * (BYTES_LIMIT + 1), "f.yaml: the file is larger than 16 MB"),
    "no number": (PANEL.replace("100", ".nan"), "f.yaml:4:15: p: width_mm: “.nan” is "),
    "infinite": (PANEL.replace("100", "inf"), "“inf” is not a number"),
    "too large a number": (
        PANEL.replace("100", "1e308"),
        "f.yaml:4:15: p: width_mm: Width must be from 5 to 2000 mm, not 1e308",
    ),
    "5,000 digits": (
        PANEL.replace("100", "9" * 5000),
        "f.yaml:4:15: p: width_mm: “999",
    ),
    "zero": (PANEL.replace("100", "0"), "Width must be from 5 to 2000 mm, not 0"),
    "truth for a number": (PANEL.replace("100", "yes"), "“yes” is not a number"),
    "missing": (
        PANEL + "    cavities:\n      F1: {x_mm: 1, y_mm: 2, width_mm: 5}\n",
        "f.yaml:7:11: p/F1: height_mm is missing: size across the line",
    ),
    "key with a space": (
        PANEL + "    cavities:\n      F 1: {}\n",
        "f.yaml:7:7: p: cavities: “F 1” cannot be a key; use 1 to 40 letters",
    ),
    "key with a control": (HEAD + 'readings: {"\\a": {point: x}}\n', "cannot be a key"),
    "crossing outline": (
        PANEL + "    outline: [[0, 0], [9, 9], [9, 0], [0, 9]]\n",
        "f.yaml:6:5: p: the outline crosses or touches itself, or has no area",
    ),
    "outline of two": (PANEL + "    outline: [[0, 0], [9, 9]]\n", "the outline"),
    "long outline": (
        PANEL
        + f"    outline: [{', '.join(f'[{n}, {n * n % 7}]' for n in range(201))}]",
        "f.yaml:6:5: p: the outline has 201 corners; 200 are the most",
    ),
    "point of one": (PANEL + "    outline: [[0]]\n", "a point is written [x, y]"),
    "point far away": (PANEL + "    outline: [[0, 2001]]\n", "from -2000 to 2000 mm"),
    "strip without cavity": (
        ONE + "    strips:\n      S: {members: [F1.feed, F2.feed]}\n",
        "f.yaml:9:30: p/S: there is no cavity “p/F2” for the contact “F2.feed”; "
        "nearest is “p/F1”",
    ),
    "jumper without cavity": (
        ONE + "    strips:\n      S: {jumpers: [{to: q/F1.feed}]}\n",
        "f.yaml:9:26: p/S: there is no cavity “q/F1”",
    ),
    "strip without contact": (
        ONE + "    strips:\n      S: {members: [F1]}\n",
        "f.yaml:9:21: p/S: “F1” names no contact; write the cavity's key, a dot",
    ),
    "a word that fits another record": (
        ONE.replace("    width_mm", "    kind: power box\n    width_mm", 1).replace(
            "{x_mm: 1", "{kind: power box, x_mm: 1"
        ),
        "f.yaml:8:18: p/F1: kind: Kind cannot be “power box”; write one of fuse",
    ),
    "nested too deep": (HEAD + "car: " + "[" * 70 + "]" * 70, "deeper than 64 levels"),
    "unknown fact": (
        ONE.replace("height_mm: 5}", "height_mm: 5, evidence: {ratng_a: {how: seen}}}"),
        "p/F1: evidence: “ratng_a” is not a fact that can stand here; nearest is “rat",
    ),
}


@pytest.mark.parametrize(("text", "expected"), CASES.values(), ids=CASES.keys())
def test_a_refusal_says_where_and_what(text: str | bytes, expected: str) -> None:
    sentences = refusal(text)
    assert any(expected in sentence for sentence in sentences), sentences
    assert all("\n" not in sentence for sentence in sentences)


def test_everything_wrong_is_told_at_once_in_the_order_of_the_file() -> None:
    text = (
        HEAD
        + "car:\n  volts: [12]\n  year: {a: b}\n  polarity: up\n  states: x\n"
        + "  date: 2024-13-01\n  name: a\n  name: b\n  colr: c\nblocks: 5\n"
    )
    lines = [int(sentence.split(":")[1]) for sentence in refusal(text)]
    assert lines == [3, 4, 5, 6, 7, 9, 10, 11]


def test_reading_stops_after_a_hundred_problems_and_says_so() -> None:
    text = HEAD + "car:\n" + "".join(f"  zz{n}: x\n" for n in range(500))
    sentences = refusal(text)
    assert len(sentences) == MOST_PROBLEMS + 1
    assert "reading stopped here after 100 problems" in sentences[-1]


HOSTILE = {
    "alias bomb": "a0: &a0 [x]\n"
    + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 10)),
    "alias of itself": "&a [*a]",
    "deep lists": "[" * 10_000,
    "deep groups": "{a: " * 10_000,
    "deep blocks": "".join(" " * n + "a:\n" for n in range(2_000)),
    "depth just over": "car: " + "[" * 70 + "]" * 70,
    "very many values": "x:\n" + "- a\n" * 1_100_000,
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_text_is_refused(text: str) -> None:
    assert refusal(HEAD + text)


def rows() -> Iterator[tuple[str, type, Property]]:
    kinds = (Car, Block, Cavity, Strip, Reading, Repair, TerminalFamily, OwnLimits)
    for kind in (*kinds, OwnWork, OwnOdds, Acceptance):
        for row in properties(kind):
            yield f"{kind.__name__}.{row.key}", kind, row


def _with(kind: type, key: str, value: str) -> tuple[str, int]:
    """Return a map whose record of this class has a value, and the value's line."""
    required = {
        Block: {"width_mm": "100", "height_mm": "50"},
        Cavity: {"x_mm": "1", "y_mm": "2", "width_mm": "5", "height_mm": "5"},
        Reading: {"point": "x"},
        Repair: {"at": "x"},
        TerminalFamily: {"name": "x"},
        Acceptance: {"finding": "x", "reason": "x"},
    }.get(kind, {})
    values = {**required, key: value}
    where = {
        Car: (HEAD + "car:\n", 2),
        Block: (HEAD + "blocks:\n  p:\n", 4),
        Cavity: (PANEL + "    cavities:\n      F1:\n", 8),
        Strip: (PANEL + "    strips:\n      S:\n", 8),
        Reading: (HEAD + "readings:\n  r:\n", 4),
        Repair: (HEAD + "repairs:\n  r:\n", 4),
        TerminalFamily: (HEAD + "families:\n  f:\n", 4),
        OwnLimits: (HEAD + "limits:\n", 2),
        OwnWork: (HEAD + "work:\n", 2),
        OwnOdds: (HEAD + "odds:\n  fuse:\n", 4),
        Acceptance: (HEAD + "accepted:\n  A1:\n", 4),
    }
    text, indent = where[kind]
    for name, content in values.items():
        text += " " * indent + f"{name}: {content}\n"
    line = next(
        number
        for number, content in enumerate(text.splitlines(), start=1)
        if content.endswith(f" {key}: {value}")
    )
    return text, line


WRONG_SHAPES = {
    Shape.TEXTS: ("a", "{a: b}", "[[a]]"),
    Shape.POINTS: ("a", "{a: b}", "[a]", "[[a, b]]"),
    Shape.RECORD: ("a", "[a]"),
    Shape.RECORDS: ("a", "{a: b}", "[a]"),
    Shape.RECORD_MAP: ("a", "[a]", "{k: a}"),
}


@pytest.mark.parametrize(
    ("kind", "row"),
    [pytest.param(kind, row, id=name) for name, kind, row in rows()],
)
def test_a_wrong_shape_at_any_key_is_refused_on_its_line(
    kind: type, row: Property
) -> None:
    for value in WRONG_SHAPES.get(row.shape, ("[a]", "{a: b}")):
        text, line = _with(kind, row.key, value)
        sentences = refusal(text)
        assert any(s.startswith(f"f.yaml:{line}:") for s in sentences), sentences
        assert any(row.key in sentence for sentence in sentences)


@pytest.mark.parametrize(
    "mark", [b"", b"\xef\xbb\xbf"], ids=["without a mark", "with a mark"]
)
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
def test_marks_and_line_ends_of_other_systems_are_read(mark: bytes, ends: str) -> None:
    data = mark + EXAMPLE.replace("\n", ends).encode()
    assert read_map(data) == read_map(EXAMPLE.encode())


def test_comments_and_a_missing_end_are_noted() -> None:
    assert read_map(EXAMPLE.encode()).notes == ()
    commented = EXAMPLE.replace("        legend", "        # words\n        legend")
    (note,) = read_map(commented.encode(), "f.yaml").notes
    assert note.startswith("f.yaml:20: the file holds comments, and saving leaves them")
    (note,) = read_map(EXAMPLE.removesuffix("...\n").encode(), "f.yaml").notes
    assert note.startswith("f.yaml: the line “...” that blockmap writes last is miss")
    hashed = EXAMPLE.replace("STOP-HAZ", "STOP # HAZ")
    assert read_map(hashed.encode()).notes == ()


def test_an_unusual_contact_is_noted_not_refused() -> None:
    text = EXAMPLE.replace("          load:", "          laod:")
    (note,) = read_map(text.encode(), "f.yaml").notes
    assert note.startswith("f.yaml:22:11: panel/F1: a medium blade has no contact “lao")
    text = EXAMPLE.replace("F1.feed", "F1.fed")
    (note,) = read_map(text.encode(), "f.yaml").notes
    assert "panel/S1: F1 has no contact “fed”; it has feed, load" in note


def test_a_file_cut_at_any_byte_is_refused_or_noted() -> None:
    whole = EXAMPLE.encode()
    for end in range(len(whole) - 1):  # the last byte is the line end after ...
        try:
            notes = read_map(whole[:end]).notes
        except DocumentRefused:
            continue
        assert notes or whole[:end].endswith(b"..."), end


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_random_damage_never_escapes_as_anything_but_a_refusal(
    data: st.DataObject,
) -> None:
    damaged = bytearray(EXAMPLE.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(damaged) - 1))
        piece = data.draw(st.sampled_from(PIECES))
        damaged[place : place + data.draw(st.integers(0, 6))] = piece
    with suppress(DocumentRefused):
        read_map(bytes(damaged))


PIECES = [
    *(bytes([byte]) for byte in b"\0\t\n :-[]{}#&*!|>%@\"'0\x7f\x80\xff"),
    b"\n\n",
    b"- ",
    b"<<: ",
    b"&a ",
    b"*a",
    b"nan",
    b"\xe2\x80\xa8",
    b"9" * 50,
]


def test_a_file_of_an_older_format_goes_through_the_steps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def step(root: Mapping) -> None:
        vehicle = root.entries.pop("vehicle")
        root.entries["car"] = vehicle

    old = EXAMPLE.replace(f"blockmap: {FORMAT}", "blockmap: 0").replace(
        "car:", "vehicle:"
    )
    assert "knows no file format 0" in refusal(old)[0]
    monkeypatch.setitem(migrations.MIGRATIONS, 0, step)
    assert read_map(old.encode()) == read_map(EXAMPLE.encode())
    broken = old.replace('name: "Works van"', "nme: x")
    assert refusal(broken)[0].startswith("f.yaml:3:3: car: “nme” is not")
