"""The command line: exit codes, streams, and what stands on them.

The habits are those of the GNU Coding Standards, "Standards for Command Line
Interfaces" (help and version on standard output, `file:line:column:` in errors).
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from blockmap import __main__, __version__
from blockmap.analysis.findings import Level, check
from blockmap.cli import COMMANDS, system_libraries
from blockmap.cli.commands import commands
from blockmap.files.format_text import EXAMPLE, format_text
from blockmap.files.map_reader import read_map
from blockmap.files.store import load, save
from blockmap.files.tables import csv_text
from blockmap.model.document import Map
from blockmap.model.edits import accept_finding
from blockmap.resources import layout, layout_files

DEMO = layout("demo")
WRONG = EXAMPLE.replace("rating_a: 15", "rating_a: 15\n        fitted_a: 30")
"""The example with a fuse of twice the rating fitted: an error of the check."""


class Ran(NamedTuple):
    """What one run of blockmap left."""

    code: int
    out: str
    err: str


class Blockmap:
    """Runs blockmap inside this process and catches its streams."""

    def __init__(self, capfd: pytest.CaptureFixture[str]) -> None:
        self._capfd = capfd

    def __call__(self, *arguments: str | Path) -> Ran:
        self._capfd.readouterr()
        code = __main__.main([str(argument) for argument in arguments])
        out, err = self._capfd.readouterr()
        return Ran(code, out, err)


@pytest.fixture
def blockmap(capfd: pytest.CaptureFixture[str]) -> Blockmap:
    """Return a blockmap to run."""
    return Blockmap(capfd)


@pytest.fixture
def example(tmp_path: Path) -> Path:
    """Return a map without findings of the level error."""
    path = tmp_path / "example.blockmap.yaml"
    path.write_text(EXAMPLE, encoding="utf-8")
    return path


def run_apart(
    arguments: Sequence[str | Path], **more: object
) -> subprocess.CompletedProcess[bytes]:
    """Run blockmap as a process of its own."""
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "blockmap", *map(str, arguments)],
        check=False,
        **{"capture_output": True, **more},
    )


def test_help_and_version_go_to_standard_output(blockmap: Blockmap) -> None:
    assert blockmap("--version") == Ran(0, f"blockmap {__version__}\n", "")
    code, out, err = blockmap("--help")
    assert (code, err) == (0, "")
    for name in COMMANDS:
        assert f"\n  {name} " in out
        own = blockmap(name, "--help")
        assert own.code == 0
        assert own.out.startswith(f"Usage: blockmap {name}")
        assert own.err == ""


def test_every_command_is_told_from_a_file() -> None:
    assert set(COMMANDS) == set(commands.commands)


def test_check_is_clean_at_0_and_found_at_1(blockmap: Blockmap, example: Path) -> None:
    code, out, err = blockmap("check", example)
    assert code == 0
    assert "error" not in out
    assert err.endswith(f"{example}: 0 errors, 0 advice, 0 information\n")
    example.write_text(WRONG, encoding="utf-8")
    code, out, err = blockmap("check", example)
    assert code == 1
    lines = [line for line in out.splitlines() if ": error: " in line]
    assert lines
    for line in lines:
        assert line.startswith(f"{example}: error: ")
        assert ": panel/F1: " in line


def test_check_writes_findings_as_json(blockmap: Blockmap, example: Path) -> None:
    example.write_text(WRONG, encoding="utf-8")
    code, out, _ = blockmap("check", example, "--json")
    assert code == 1
    content = json.loads(out)
    assert content["file"] == str(example)
    finding = next(f for f in content["findings"] if f["level"] == "error")
    assert content["counts"]["error"] >= 1
    assert finding["objects"] == ["panel/F1"]
    keys = {"code", "level", "objects", "what", "why", "todo", "accepted", "figures"}
    assert set(finding) == keys
    assert sum(content["counts"].values()) == len(content["findings"])


def test_a_finding_on_a_number_carries_formula_and_source(
    blockmap: Blockmap, example: Path
) -> None:
    loaded = EXAMPLE.replace(
        "legend:",
        "loads:\n          - name: pump\n            amps_a: 12\n        legend:",
    )
    example.write_text(loaded, encoding="utf-8")
    content = json.loads(blockmap("check", example, "--json").out)
    (finding,) = (f for f in content["findings"] if f["code"] == "loads-above-share")
    limit = next(f for f in finding["figures"] if f["name"] == "Rating for long use")
    assert limit["formula"].startswith("15 A × 0.75 = 11.")
    assert (limit["value"], limit["unit"]) == (11.25, "A")
    assert limit["status"] == "verified"
    assert any("75 %" in title for title in limit["sources"])


def test_an_accepted_error_is_told_and_does_not_fail_the_check(
    blockmap: Blockmap, example: Path
) -> None:
    document = read_map(WRONG.replace("16 AWG", "12 AWG").encode()).document
    (error,) = (f for f in check(document) if f.level is Level.ERROR)
    document, _ = accept_finding(
        document,
        error.code,
        error.objects,
        error.what,
        "the wire was renewed in 2.5 mm²",
        "2024-05-31",
    )
    save(example, document)
    code, out, err = blockmap("check", example)
    assert code == 0
    assert "accepted error: fitted-above-rating" in out
    assert "accepted on 2024-05-31: the wire was renewed in 2.5 mm²" in out
    assert err.endswith("0 errors, 0 advice, 0 information, 1 accepted\n")
    content = json.loads(blockmap("check", example, "--json").out)
    (finding,) = content["findings"]
    assert finding["accepted"]["reason"] == "the wire was renewed in 2.5 mm²"


def test_an_unusable_map_is_told_with_its_place(
    blockmap: Blockmap, example: Path
) -> None:
    example.write_text(EXAMPLE.replace("rating_a: 15", "ratng_a: 15"), encoding="utf-8")
    for command in (["check"], ["check", "--json"], ["table"]):
        code, out, err = blockmap(*command, example)
        assert (code, out) == (2, "")
        assert err.startswith(
            f"{example}:19:9: error: panel/F1: “ratng_a” is not a key that can stand "
        )


@pytest.mark.parametrize(
    "arguments",
    [
        ["check"],
        ["check", "no-such-file"],
        ["check", "."],
        ["check", "--bogus", "x"],
        ["--bogus"],
        ["no-such-file"],
        ["chck", "x"],
        ["."],
        ["a\0b"],
        ["print", "labels", str(DEMO)],
        ["print", "poster", str(DEMO), "-o", "-"],
        ["print", "labels", str(DEMO), "-o", "-", "--block", "no"],
        ["print", "labels", str(DEMO), "-o", "-", "--paper", "b7"],
        ["print", "labels", str(DEMO), "-o", "-", "--correct-x", "2"],
        ["print", "labels", str(DEMO), "-o", "/no/such/folder/a.pdf"],
        ["table", str(DEMO), "--columns", "legend,nothing"],
        ["fill", str(DEMO), "no-such-table", "-o", "-"],
        ["new"],
        ["new", "no-such-layout", "-o", "-"],
    ],
    ids=" ".join,
)
def test_unusable_input_is_2_with_the_reason_on_standard_error(
    blockmap: Blockmap, arguments: list[str]
) -> None:
    code, out, err = blockmap(*arguments)
    assert (code, out) == (2, "")
    assert "rror: " in err
    assert "Traceback" not in err


def test_a_mistyped_command_names_the_nearest(blockmap: Blockmap) -> None:
    assert "nearest is “check”" in blockmap("chck").err


@pytest.mark.parametrize("sheet", ["labels", "card"])
def test_print_writes_the_same_pdf_each_time(
    blockmap: Blockmap, tmp_path: Path, sheet: str
) -> None:
    output = tmp_path / "a.pdf"
    assert blockmap("print", sheet, DEMO, "-o", output).code == 0
    first = output.read_bytes()
    assert first.startswith(b"%PDF-")
    assert blockmap("print", sheet, DEMO, "-o", output).code == 0
    assert output.read_bytes() == first
    assert run_apart(["print", sheet, DEMO, "-o", "-"]).stdout == first
    other = tmp_path / "b.pdf"
    assert blockmap("print", sheet, DEMO, "-o", other, "--view", "rear").code == 0
    assert other.read_bytes() != first


def test_print_says_what_the_fonts_lack(blockmap: Blockmap, tmp_path: Path) -> None:
    text = EXAMPLE.replace("STOP-HAZ", "\\u4e00")
    path = tmp_path / "a.yaml"
    path.write_text(text, encoding="utf-8")
    code, out, err = blockmap("print", "labels", path, "-o", tmp_path / "a.pdf")
    assert (code, out) == (0, "")
    assert "U+4E00" in err


def test_no_output_replaces_the_map_that_is_read(
    blockmap: Blockmap, example: Path
) -> None:
    for command in (["print", "labels"], ["table"]):
        code, _, err = blockmap(*command, example, "-o", example)
        assert code == 2
        assert "this is the file that is read" in err
    assert example.read_text(encoding="utf-8") == EXAMPLE


def test_table_and_fill_go_round(blockmap: Blockmap, tmp_path: Path) -> None:
    table, filled = tmp_path / "t.csv", tmp_path / "f.yaml"
    assert blockmap("table", DEMO, "-o", table) == Ran(0, "", "")
    text = table.read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    document = load(DEMO).document
    assert len(rows) == len(document.cavities)
    assert blockmap("fill", DEMO, table, "-o", filled).code == 0
    assert load(filled).document == document
    name = rows[0]["designation"]
    table.write_text(f"place;legend\n{name};PÖRT\n", encoding="cp1252")
    code, out, err = blockmap("fill", DEMO, table, "-o", "-")
    assert code == 0
    assert "not UTF-8" in err
    changed = read_map(out.encode()).document
    assert next(iter(changed.cavities.values())).legend == "PÖRT"


def test_a_table_that_does_not_fit_writes_nothing(
    blockmap: Blockmap, tmp_path: Path
) -> None:
    table, filled = tmp_path / "t.csv", tmp_path / "f.yaml"
    table.write_text("place,rating\nnobody,10\n", encoding="utf-8")
    code, _, err = blockmap("fill", DEMO, table, "-o", filled)
    assert code == 2
    assert err.startswith(f"{table}:2:1: error: no cavity is called “nobody”")
    assert not filled.exists()


def test_chosen_columns_and_a_mark(blockmap: Blockmap, example: Path) -> None:
    code, out, _ = blockmap("table", example, "--columns", "Place, legend", "--bom")
    assert (code, out) == (0, "\ufeffdesignation,legend\r\nF1,STOP-HAZ\r\n")


def test_new_copies_a_layout_and_replaces_nothing_unasked(
    blockmap: Blockmap, tmp_path: Path
) -> None:
    path = tmp_path / "mine.yaml"
    assert blockmap("new", "demo", "-o", path) == Ran(0, "", "")
    assert path.read_bytes() == DEMO.read_bytes()
    path.write_text("mine", encoding="utf-8")
    code, _, err = blockmap("new", "demo", "-o", path)
    assert code == 2
    assert "--force" in err
    assert path.read_text(encoding="utf-8") == "mine"
    assert blockmap("new", "demo", "-o", path, "--force").code == 0
    assert path.read_bytes() == DEMO.read_bytes()


def test_new_lists_every_layout(blockmap: Blockmap) -> None:
    listed = [line.split()[0] for line in blockmap("new", "--list").out.splitlines()]
    assert listed == [path.name.split(".")[0] for path in layout_files()]


def test_format_describes_the_file(blockmap: Blockmap) -> None:
    assert blockmap("format") == Ran(0, format_text(), "")


def test_doctor_names_the_versions(blockmap: Blockmap) -> None:
    code, out, _ = blockmap("doctor", "--no-display")
    assert code == 0
    assert out.startswith("Python ")


def test_standard_input_is_a_map_too(example: Path) -> None:
    data = example.read_bytes()
    done = run_apart(["table", "-"], input=data)
    assert done.returncode == 0
    expected = csv_text(load(example).document)
    assert done.stdout == expected.encode()


def test_a_file_named_like_a_command_is_read(
    blockmap: Blockmap, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("check").write_text(EXAMPLE, encoding="utf-8")
    assert blockmap("check", "check").code == 0
    opened: list[list[str]] = []
    _fake_window(monkeypatch, opened)
    assert __main__.main(["./check"]) == 7
    assert __main__.main(["--", "check"]) == 7
    assert __main__.main([]) == 7
    assert opened == [["./check"], ["check"], []]


def _fake_window(monkeypatch: pytest.MonkeyPatch, opened: list[list[str]]) -> None:
    """Put a window in place that only notes what it is to open."""

    class Fake:
        @staticmethod
        def run(paths: list[str]) -> int:
            opened.append(list(paths))
            return 7

    monkeypatch.setitem(sys.modules, "blockmap.window.application", Fake)
    monkeypatch.setattr(system_libraries, "window_problem", lambda: None)


def test_a_machine_without_a_display_is_told_before_qt(
    blockmap: Blockmap, example: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[list[str]] = []
    _fake_window(monkeypatch, opened)
    monkeypatch.setattr(system_libraries, "window_problem", lambda: "No display")
    assert blockmap(example) == Ran(2, "", "blockmap: error: No display\n")
    assert opened == []


def test_a_name_with_a_line_end_is_shown_escaped(
    blockmap: Blockmap, tmp_path: Path
) -> None:
    path = tmp_path / "a\nb.yaml"
    path.write_text("- a", encoding="utf-8")
    assert "a\\nb.yaml:1:1: error: " in blockmap("check", path).err


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_goes_away_is_no_fault(tmp_path: Path, unbuffered: str) -> None:
    path = tmp_path / "big.yaml"
    save(path, _repeated(load(DEMO).document, 200))
    with subprocess.Popen(
        [sys.executable, "-m", "blockmap", "table", str(path)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.read(10)
        child.stdout.close()
        assert child.stderr.read() == b""
        assert child.wait() == 0


def test_short_writes_to_standard_output_lose_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    written = bytearray()

    class Short(io.RawIOBase):
        def writable(self) -> bool:
            return True

        def write(self, data: Any) -> int:
            piece = bytes(data[:1000])
            written.extend(piece)
            return len(piece)

    raw: Any = Short()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, write_through=True))
    assert __main__.main(["format"]) == 0
    assert written.decode() == format_text()


def _repeated(document: Map, times: int) -> Map:
    """Return the map with long notes, so that its table fills any pipe."""
    return dataclasses.replace(
        document,
        cavities={
            key: dataclasses.replace(cavity, notes="note " * times * 9)
            for key, cavity in document.cavities.items()
        },
    )


@pytest.mark.skipif(
    not Path("/dev/full").exists(), reason="this system has no /dev/full"
)
def test_a_full_standard_output_is_told() -> None:
    with Path("/dev/full").open("wb") as full:
        done = run_apart(
            ["format"], stdout=full, stderr=subprocess.PIPE, capture_output=False
        )
    assert done.returncode == 2
    assert b"error: standard output: " in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_fault_of_the_program_is_3_and_said(
    blockmap: Blockmap, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken() -> str:
        raise ZeroDivisionError

    monkeypatch.setattr("blockmap.files.format_text.format_text", broken)
    code, out, err = blockmap("format")
    assert (code, out) == (3, "")
    assert err.endswith("this is a fault of the program; no file was changed\n")


def test_the_commands_read_in_any_terminal(example: Path) -> None:
    example.write_text(EXAMPLE.replace("rating_a: 15", "ratng_a: 15"), encoding="utf-8")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii:strict"}
    done = run_apart(["check", example], env=environment)
    assert done.returncode == 2
    assert b"\\u201cratng_a\\u201d" in done.stderr


def test_a_row_for_no_cavity_names_the_nearest_as_it_is_written(
    blockmap: Blockmap, example: Path, tmp_path: Path
) -> None:
    table = tmp_path / "ratings.csv"
    table.write_text("designation,rating_a\nf11x,5\n", encoding="utf-8")
    out = tmp_path / "out.yaml"
    code, _, err = blockmap("fill", example, table, "-o", out)
    assert code == 2
    assert "no cavity is called “f11x”; nearest is “F1”" in err
    assert not out.exists()
