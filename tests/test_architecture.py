"""The rules of the house that a person could break without noticing."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from blockmap import resources
from blockmap.resources import layout_files

ROOT = Path(__file__).resolve().parent.parent


def test_no_part_imports_what_it_may_not() -> None:
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


_WITHOUT_QT = """
import sys

class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ("PySide6", "shiboken6"):
            raise ImportError(f"{name} is blocked in this test")

sys.meta_path.insert(0, Refuse())
from blockmap.__main__ import main

source, folder = sys.argv[1:]
codes = [
    main(["check", source]) in (0, 1),
    main(["table", source, "-o", f"{folder}/a.csv"]) == 0,
    main(["fill", source, f"{folder}/a.csv", "-o", f"{folder}/a.yaml"]) == 0,
    main(["print", "labels", source, "-o", f"{folder}/labels.pdf"]) == 0,
    main(["print", "card", source, "-o", f"{folder}/card.pdf"]) == 0,
]
assert not any(name.partition(".")[0] == "PySide6" for name in sys.modules)
sys.exit(0 if all(codes) else f"failed: {codes}")
"""


@pytest.mark.parametrize("path", layout_files(), ids=lambda path: path.name)
def test_every_layout_is_checked_and_printed_without_qt(
    path: Path, tmp_path: Path
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _WITHOUT_QT, str(path), str(tmp_path)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    for sheet in ("labels.pdf", "card.pdf"):
        assert (tmp_path / sheet).read_bytes().startswith(b"%PDF-")
    assert (tmp_path / "a.yaml").read_bytes() == path.read_bytes()


def _leans_on(file: Path) -> set[str]:
    """Return the modules that a file names in an import, those for types too."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_bytes())):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found.update(f"{node.module}.{name.name}" for name in node.names)
    return found


@pytest.mark.parametrize(
    "part", ["reference", "model", "files", "analysis", "drawing", "sheets", "cli"]
)
def test_no_files_below_the_window_lean_on_each_other_in_a_ring(part: str) -> None:
    root = ROOT / "blockmap"
    named = {
        ".".join(file.relative_to(ROOT).with_suffix("").parts): _leans_on(file)
        for file in (root / part).rglob("*.py")
        if file.name != "__init__.py"
    }
    leans = {name: on & named.keys() for name, on in named.items()}
    assert leans
    while free := [name for name, on in leans.items() if not on]:
        for name in free:
            del leans[name]
        leans = {name: on - set(free) for name, on in leans.items()}
    assert sorted(leans) == []


def test_there_are_layouts_to_test() -> None:
    assert len(layout_files()) >= 14


def test_every_folder_that_the_program_reads_is_packed_into_the_wheel() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        settings = tomllib.load(file)
    packed = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    read = {
        resources.asset("icons").parent.name,
        resources.layout("demo").parent.name,
    }
    assert {name: f"blockmap/_data/{name}" for name in read} == packed
    for name in packed:
        assert any((ROOT / name).iterdir())


@pytest.mark.parametrize("module", ["blockmap.__main__", "blockmap.files.store"])
def test_the_way_to_the_first_frame_loads_nothing_heavy(module: str) -> None:
    code = f"""
import sys, {module}
heavy = {{"numpy", "shapely", "reportlab", "pypdfium2", "click", "yaml", "PySide6"}}
sys.exit(" ".join(sorted(heavy & set(sys.modules))) or 0)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
