"""The parts list and the work sheets from the command line."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from blockmap import __main__
from blockmap.resources import layout

DEMO = str(layout("demo"))


def test_parts_go_to_standard_output_or_a_file(
    capfd: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert __main__.main(["parts", DEMO]) == 0
    out, err = capfd.readouterr()
    assert err == ""
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [row["sort"] for row in rows].count("strip") == 1
    file = tmp_path / "parts.csv"
    assert __main__.main(["parts", DEMO, "-o", str(file), "--bom"]) == 0
    data = file.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf")
    # Line ends as in RFC 4180.
    assert data.decode("utf-8-sig").replace("\r\n", "\n") == out.replace("\r\n", "\n")
    assert data.count(b"\r\n") == len(rows) + 1


def test_parts_never_overwrite_the_map(tmp_path: Path) -> None:
    file = tmp_path / "a.blockmap.yaml"
    file.write_bytes(Path(DEMO).read_bytes())
    assert __main__.main(["parts", str(file), "-o", str(file)]) == 2
    assert file.read_bytes() == Path(DEMO).read_bytes()


@pytest.mark.parametrize(
    "sheet", ["rear", "condition", "worklist", "flags", "release", "parts"]
)
def test_every_work_sheet_is_printed_by_its_name(sheet: str, tmp_path: Path) -> None:
    file = tmp_path / f"{sheet}.pdf"
    command = ["print", sheet, DEMO, "-o", str(file), "--paper", "letter"]
    assert __main__.main(command) == 0
    assert file.read_bytes().startswith(b"%PDF-")
