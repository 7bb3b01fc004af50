"""Hostile and broken input is refused in words, quickly, in little memory."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QMimeData

from blockmap.files.map_reader import BYTES_LIMIT, read_map
from blockmap.files.map_writer import map_text
from blockmap.files.salvage import salvaged
from blockmap.files.tables import csv_text, decoded, fill_from_table
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError, DocumentRefused
from blockmap.resources import layout
from blockmap.window.legend.clipboard import NothingToPaste, read_mime
from tests.faults.sample import after, panel
from tests.faults.spoiling import spoilt, spoilt_many

DEMO = layout("demo").read_bytes()
DEMO_MAP = read_map(DEMO).document
TABLE = csv_text(DEMO_MAP).encode()
MB = 1 << 20


def read_or_refused(data: bytes) -> Map | DocumentRefused:
    """Return the map that bytes hold, or the refusal; nothing else may escape."""
    try:
        return read_map(data, "spoilt").document
    except DocumentRefused as refused:
        return refused


@given(st.integers(0, 1 << 62))
@settings(max_examples=150, deadline=None)
def test_a_spoilt_map_is_refused_or_is_a_map_that_can_be_saved(seed: int) -> None:
    read = read_or_refused(spoilt(DEMO, seed))
    if isinstance(read, DocumentRefused):
        assert read.problems
        assert all(one.what for one in read.problems)
    else:
        assert read_map(map_text(read).encode()).document == read


@given(st.binary(max_size=400))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_refused_or_read(data: bytes) -> None:
    for whole in (data, b"blockmap: 1\nblocks:\n" + data):
        read = read_or_refused(whole)
        assert isinstance(read, Map) or read.problems


@given(st.integers(0, 1 << 62))
@settings(max_examples=60, deadline=None)
def test_a_spoilt_table_fills_the_map_or_is_refused(seed: int) -> None:
    text = decoded(spoilt(TABLE, seed))
    try:
        filled, notes = fill_from_table(DEMO_MAP, text, "table")
    except DocumentRefused:
        return
    assert notes
    assert read_map(map_text(filled).encode()).document == filled


@given(st.integers(0, 1 << 62), st.sampled_from(["text/plain", "text/html"]))
@settings(max_examples=60, deadline=None)
def test_a_spoilt_clipboard_is_read_or_refused(seed: int, kind: str) -> None:
    mime = QMimeData()
    mime.setData(kind, spoilt(TABLE[:3000], seed))
    try:
        cells = read_mime(mime)
    except NothingToPaste:
        return
    assert cells


def test_a_clipboard_made_to_hurt_is_read_or_refused_and_nothing_is_cut_off() -> None:
    for page in (
        b"<!--" * 50_000,
        b"<" * 300_000,
        b"<table " + b'a="' * 100_000,
        b"<table><tr><td>" * 20_000,
        b"<table><tr>" + b"<td>x</td>" * 100_000,
        b"<table>" + b"<tr><td>zz" * 5_001,
        b"<table><tr><td>" + b"&amp;" * 150_000,
        b"<table><tr><td colspan=99999>x",
        b"<table><tr><td>" + b"x" * 200_000,
    ):
        mime = QMimeData()
        mime.setData("text/html", page)
        with pytest.raises(NothingToPaste):
            read_mime(mime)
    mime = QMimeData()
    mime.setData("text/html", b"<TABLE>" + b"<tr><td>zz</td></tr>" * 5_000)
    assert len(read_mime(mime).rows) == 5_000


def test_html_of_spreadsheets_and_browsers_is_read_as_a_browser_shows_it() -> None:
    # Forms of markup by the HTML standard (WHATWG), 13.1.2: names in any letters,
    # ends left out, values in quotes with signs of tags, comments, references.
    page = """<html><head><style>td > a {x: "<td>"}</style></head><body>
        <!-- <table><tr><td>no</td></tr></table> -->
        <Table a='1'><TR><td title="a > b">A &lt; B &eacute;<td>2 < 3<br/>x
        <tr><th COLSPAN="2">wide</th><td>end</td></tr>
        <tr><td><table><tr><td>in</td></tr></table> out</td></tr></Table>
        <table><tr><td>no</td></tr></table>"""
    mime = QMimeData()
    mime.setData("text/html", page.encode())
    assert read_mime(mime).rows == (
        ("A < B é", "2 < 3; x", ""),
        ("wide", "", "end"),
        ("in out", "", ""),
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"Position,Legend\n" + b"ZZ9,STOP\n" * 20_001, "more than 20,000 rows"),
        (b"Position," + b"a," * 200, "more than 20,000 rows or 200 columns"),
        (b"\r" * 1_100_000, "more than 20,000 rows"),
        (b"Position,Legend\nF1," + b"x" * 200_000, "this row cannot be read"),
    ],
    ids=["rows", "columns", "lines", "cell"],
)
def test_a_table_of_too_much_is_refused_before_it_is_worked_on(
    data: bytes, words: str
) -> None:
    with pytest.raises(DocumentRefused) as refused:
        fill_from_table(DEMO_MAP, decoded(data), "table")
    (problem,) = refused.value.problems
    assert words in problem.what


def test_problems_of_a_table_end_after_a_hundred() -> None:
    data = b"Position,Legend\n" + b"ZZ9,STOP\n" * 5_000
    with pytest.raises(DocumentRefused) as refused:
        fill_from_table(DEMO_MAP, decoded(data), "table")
    problems = refused.value.problems
    assert len(problems) == 101
    assert "reading stopped here after 100 problems" in problems[-1].what


def test_a_spoilt_recovery_file_is_salvaged_or_refused() -> None:
    small = map_text(after(panel(), 1)).encode()
    for data in spoilt_many(small, 150):
        try:
            document, _ = salvaged(data, "spoilt")
        except BlockmapError:
            continue
        assert read_map(map_text(document).encode()).document == document


_MEASURED = """
import resource, sys, time
from pathlib import Path
from blockmap.files.store import load
from blockmap.model.document import Map
from blockmap.model.errors import BlockmapError
load(sys.argv[1])
import gc; gc.collect()
def status(key):
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(key))
Path("/proc/self/clear_refs").write_text("5")  # the peak begins anew
before = status("VmRSS")
limit = (status("VmSize") + (400 << 10)) << 10
resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
start = time.process_time()
try:
    load(sys.argv[2])
    words = "read"
except BlockmapError as refused:
    words = str(refused).splitlines()[0][:200]
took = time.process_time() - start
peak = status("VmHWM") - before
print(f"{took:.3f} {peak >> 10} {words}")
"""


def hostile(name: str) -> bytes:
    """Return one of the inputs that are made to hurt."""
    head = b"blockmap: 1\n"
    return {
        "flow depth": head + b"car: " + b"[" * 100_000,
        "block depth": head + b"".join(b" " * n + b"a:\n" for n in range(1, 3000)),
        "aliases": head
        + b"a: &a [x,x,x,x,x,x,x,x,x]\n"
        + b"".join(
            b"%c: &%c [%s]\n" % (97 + n, 97 + n, b",".join([b"*%c" % (96 + n)] * 9))
            for n in range(1, 9)
        ),
        "two million values": head + b"car: [" + b"a," * 2_000_000 + b"a]\n",
        "values in lines": head + b"car:\n" + b"- a\n" * 2_000_000,
        "keys": head + b"car:\n" + b"".join(b" k%d: 1\n" % n for n in range(1_000_000)),
        "one long text": head + b"car: {name: " + b"x" * (15 * MB) + b"}\n",
        "one long line of quotes": head
        + b'car: {name: "'
        + b"\\n" * (7 * MB)
        + b'"}\n',
        "marks": head + b"car: {name: '" + "e\u0301".encode() * (4 * MB) + b"'}\n",
        "control characters": head + b"\x01" * (15 * MB),
        "comments": head + b"#\n" * (7 * MB),
        "line ends": head + b"\n" * (15 * MB),
        "spaces": head + b" " * (15 * MB),
        "anchors": head + b"car:\n" + b"".join(b"- &a%d x\n" % n for n in range(10**6)),
        "tags": head + b"car:\n" + b"- !!python/name:os.system x\n" * 400_000,
        "digits": head + b"car: {year: " + b"9" * (15 * MB) + b"}\n",
        "too large": b"x" * (BYTES_LIMIT + 1),
    }[name]


HOSTILE = (
    "flow depth",
    "block depth",
    "aliases",
    "two million values",
    "values in lines",
    "keys",
    "one long text",
    "one long line of quotes",
    "marks",
    "control characters",
    "comments",
    "line ends",
    "spaces",
    "anchors",
    "tags",
    "digits",
    "too large",
)


def measured(name: str, folder: Path) -> tuple[float, int, str]:
    """Return seconds of work, megabytes used and what was said of an input."""
    good, bad = folder / "good", folder / "bad"
    good.write_bytes(DEMO)
    bad.write_bytes(hostile(name))
    ended = subprocess.run(
        [sys.executable, "-c", _MEASURED, str(good), str(bad)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert ended.returncode == 0, ended.stderr[-1500:]
    took, peak, words = ended.stdout.split(" ", 2)
    return float(took), int(peak), words.strip()


@pytest.mark.skipif(
    not Path("/proc/self/clear_refs").exists(),
    reason="memory is limited and measured by means of Linux",
)
@pytest.mark.parametrize(
    "name", ["aliases", "flow depth", "keys", "control characters", "comments"]
)
def test_hostile_files_fit_into_little_memory(name: str, tmp_path: Path) -> None:
    _, peak, words = measured(name, tmp_path)
    assert peak < 200
    assert words == "read" if name == "comments" else words.startswith(str(tmp_path))


if __name__ == "__main__":
    import tempfile

    for each in HOSTILE:
        with tempfile.TemporaryDirectory() as place:
            sys.stdout.write(f"{each}: {measured(each, Path(place))}\n")
