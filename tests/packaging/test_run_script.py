"""The start script opens the map, or writes its sheets where there is no display."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import run
from setup_environment import Machine, Project

if TYPE_CHECKING:
    from tests.packaging.conftest import RecordingShell


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)


def start(
    *arguments: str, shell: RecordingShell, machine: Machine, project: Project
) -> int:
    return run.main(list(arguments), shell=shell, machine=machine, project=project)


def test_demo_opens_in_the_window(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    assert start(shell=shell, machine=desktop, project=project) == 0
    demo = project.root / "layouts" / "demo.blockmap.yaml"
    assert shell.ran[-1] == (str(project.python), "-P", "-m", "blockmap", str(demo))


def test_a_named_map_opens_in_the_window(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    Path("mine.blockmap.yaml").write_text("blockmap: 1\n", encoding="utf-8")
    assert (
        start("mine.blockmap.yaml", shell=shell, machine=desktop, project=project) == 0
    )
    assert shell.ran[-1][-1] == "mine.blockmap.yaml"


def test_exit_code_of_the_window_is_handed_on(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.fails = lambda command: "blockmap" in command
    assert start(shell=shell, machine=desktop, project=project) == 3


def test_without_display_the_sheets_are_written_here(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    machine = replace(desktop, has_display=False)
    assert start(shell=shell, machine=machine, project=project) == 0
    here = Path.cwd()
    demo = project.root / "layouts" / "demo.blockmap.yaml"
    assert shell.commands("blockmap") == [
        f"{project.python} -P -m blockmap print {sheet} {demo} "
        f"-o {here}/demo-{sheet}.pdf"
        for sheet in ("labels", "card")
    ]
    said = "\n".join(shell.said)
    assert "no display" in said
    assert f"{here}/demo-labels.pdf" in said
    assert f"{here}/demo-card.pdf" in said


def test_without_display_a_sheet_that_failed_is_not_claimed(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    Path("demo-card.pdf").write_bytes(b"%PDF- of an earlier day")
    shell.fails = lambda command: "card" in command
    machine = replace(desktop, has_display=False)
    assert start(shell=shell, machine=machine, project=project) == 3
    assert "card: not written" in shell.said[-1]
    assert "labels.pdf" in shell.said[-2]


def test_missing_libraries_stop_the_window_but_not_the_sheets(
    shell: RecordingShell,
    project: Project,
    desktop: Machine,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shell.missing_for_window = {"libxcb-icccm.so.4": "libxcb-icccm4"}
    assert start(shell=shell, machine=desktop, project=project) == 2
    assert "sudo apt install libxcb-icccm4" in capsys.readouterr().err
    assert shell.commands("blockmap") == []
    machine = replace(desktop, has_display=False)
    assert start(shell=shell, machine=machine, project=project) == 0
    assert len(shell.commands("print")) == 2
    assert "sudo apt install libxcb-icccm4" in "\n".join(shell.said)


def test_a_file_that_is_not_there_is_said_before_anything_is_installed(
    shell: RecordingShell,
    project: Project,
    desktop: Machine,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert start("gone.yaml", shell=shell, machine=desktop, project=project) == 2
    assert capsys.readouterr().err == "There is no file gone.yaml.\n"
    assert shell.ran == []


@pytest.mark.parametrize(
    ("arguments", "code"), [(["--help"], 0), (["a", "b"], 2), (["--fast"], 2)]
)
def test_what_cannot_be_understood_shows_how_to_start_it(
    arguments: list[str],
    code: int,
    shell: RecordingShell,
    project: Project,
    desktop: Machine,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert start(*arguments, shell=shell, machine=desktop, project=project) == code
    output = capsys.readouterr()
    assert "packaging/run.py [FILE]" in (output.out if code == 0 else output.err)
    assert shell.ran == []
