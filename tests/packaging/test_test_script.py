"""The test script runs every check, whatever fails, and the tests last."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
import test
from setup_environment import Machine, Project

if TYPE_CHECKING:
    from tests.packaging.conftest import RecordingShell


def check(
    *arguments: str, shell: RecordingShell, machine: Machine, project: Project
) -> int:
    return test.main(list(arguments), shell=shell, machine=machine, project=project)


def ran_checks(shell: RecordingShell, project: Project) -> list[str]:
    """Return what ran after the installation, without the environment's paths."""
    installed = [i for i, command in enumerate(shell.ran) if "pip" in command]
    commands = shell.ran[installed[-1] + 1 :]
    prefix = f"{project.python.parent}/"
    return [
        " ".join(command).replace(prefix, "").replace("python -m ", "")
        for command in commands
    ]


def test_all_checks_run_in_order_with_the_tests_last(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    assert check("-k", "one", shell=shell, machine=desktop, project=project) == 0
    assert ran_checks(shell, project) == [
        "ruff check",
        "ruff format --check",
        "mypy",
        "lint-imports",
        "pytest -k one",
    ]
    assert shell.said[-1] == "== pytest"  # so that pytest's own last line is the last
    assert shell.environments[-1]["QT_QPA_PLATFORM"]
    assert shell.folders[-5:] == [project.root] * 5


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("check", "ruff check"),
        ("format", "ruff format"),
        ("mypy", "mypy"),
        ("lint-imports", "lint-imports"),
        ("pytest", "pytest"),
    ],
)
def test_each_failure_is_reported_and_stops_nothing(
    shell: RecordingShell, project: Project, desktop: Machine, word: str, name: str
) -> None:
    shell.fails = lambda command: any(part.endswith(word) for part in command[:4])
    if word == "check":
        shell.fails = lambda command: command[-2:] == ("ruff", "check")
    assert check(shell=shell, machine=desktop, project=project) == 1
    assert len(ran_checks(shell, project)) == 5
    assert shell.said[-1] == f"Failed: {name}"


def test_several_failures_are_all_named(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.fails = lambda command: "mypy" in command or "ruff" in command
    assert check(shell=shell, machine=desktop, project=project) == 1
    assert shell.said[-1] == "Failed: ruff check, ruff format, mypy"
    assert "Failed before the tests: ruff check, ruff format, mypy" in shell.said


def test_tests_run_without_what_only_a_window_needs(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.missing_for_window = {"libxcb-icccm.so.4": "libxcb-icccm4"}
    assert check(shell=shell, machine=desktop, project=project) == 0
    assert "sudo apt install libxcb-icccm4" in "\n".join(shell.said)


def test_tests_do_not_start_without_what_drawing_needs(
    shell: RecordingShell,
    project: Project,
    desktop: Machine,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shell.missing_for_window = {"libGL.so.1": "libgl1", "libxcb.so.1": "libxcb1"}
    shell.missing_offscreen = {"libGL.so.1": "libgl1"}
    assert check(shell=shell, machine=desktop, project=project) == 2
    assert "sudo apt install libgl1 libxcb1" in capsys.readouterr().err
    assert shell.commands("pytest") == []


def test_fresh_machine_as_root_gets_all_it_lacks(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.missing_for_window = {"libGL.so.1": "libgl1"}
    machine = replace(desktop, become_root=(), has_venv=False)
    assert check(shell=shell, machine=machine, project=project) == 0
    assert [command[-1] for command in shell.ran if "apt-get" in command] == [
        "python3-venv",
        "libgl1",
    ]


def test_the_simulator_of_the_tests_is_installed_where_that_may_be(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    bare = replace(desktop, become_root=(), has_simulator=False)
    assert check(shell=shell, machine=bare, project=project) == 0
    installed = [command[-1] for command in shell.ran if "apt-get" in command]
    assert installed == ["ngspice"]


def test_without_the_simulator_its_tests_are_said_to_be_skipped(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    plain = replace(desktop, has_apt=False, has_simulator=False)
    assert check(shell=shell, machine=plain, project=project) == 0
    assert any("ngspice" in line and "skipped" in line for line in shell.said)
