"""The environment is made once, and what a person must do is said exactly."""

from __future__ import annotations

import ast
import os
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import require_python
import setup_environment
from setup_environment import (
    Machine,
    Project,
    SetupError,
    Terminal,
    install_libraries,
    prepare,
)

if TYPE_CHECKING:
    from tests.packaging.conftest import RecordingShell

_SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"


def test_venv_missing_names_the_one_command(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    with pytest.raises(SetupError, match=r"venv.*\n  sudo apt install python3\S*-venv"):
        prepare(shell, replace(desktop, has_venv=False), project, editable=False)
    assert shell.ran == []


def test_venv_missing_elsewhere_names_no_debian_package(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    machine = replace(desktop, has_venv=False, has_apt=False)
    with pytest.raises(SetupError, match="ensurepip") as caught:
        prepare(shell, machine, project, editable=False)
    assert "apt" not in str(caught.value)


@pytest.mark.parametrize("become_root", [(), ("sudo", "-n")])
def test_venv_missing_is_installed_where_no_password_is_asked(
    shell: RecordingShell,
    project: Project,
    desktop: Machine,
    become_root: tuple[str, ...],
) -> None:
    machine = replace(desktop, has_venv=False, become_root=become_root)
    prepare(shell, machine, project, editable=False)
    first = shell.ran[0]
    assert first[: len(become_root)] == become_root
    assert "apt-get" in first
    assert first[-1].endswith("-venv")
    assert len(shell.commands("pip")) == 1


def test_second_start_installs_nothing(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    prepare(shell, desktop, project, editable=False)
    assert shell.commands("pip") == [
        f"{project.python} -m pip --disable-pip-version-check install {project.root}"
    ]
    shell.ran.clear()
    prepare(shell, desktop, project, editable=False)
    assert shell.ran == []


@pytest.mark.parametrize(
    "changed",
    [
        "pyproject.toml",
        "blockmap/__init__.py",
        "blockmap/new.py",
        "assets/font.ttf",
        "layouts/demo.blockmap.yaml",
    ],
)
def test_changed_sources_are_installed_again(
    shell: RecordingShell, project: Project, desktop: Machine, changed: str
) -> None:
    prepare(shell, desktop, project, editable=False)
    (project.root / changed).write_text("changed", encoding="utf-8")
    prepare(shell, desktop, project, editable=False)
    assert len(shell.commands("pip")) == 2
    assert len(shell.commands("venv")) == 1


def test_compiled_files_do_not_count_as_changes(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    prepare(shell, desktop, project, editable=False)
    cache = project.root / "blockmap" / "__pycache__"
    cache.mkdir()
    (cache / "__init__.cpython-311.pyc").write_bytes(b"\0")
    assert project.is_installed(editable=False)


def test_environment_of_the_tests_follows_the_sources_by_itself(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    prepare(shell, desktop, project, editable=True)
    assert shell.commands("pip")[0].endswith(f"--editable {project.root}[test]")
    (project.root / "blockmap/__init__.py").write_text("changed", encoding="utf-8")
    assert project.is_installed(editable=True)
    assert project.is_installed(editable=False)
    (project.root / "pyproject.toml").write_text("changed", encoding="utf-8")
    assert not project.is_installed(editable=True)
    assert not project.is_installed(editable=False)


def test_environment_for_running_lacks_the_tools_of_the_tests(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    prepare(shell, desktop, project, editable=False)
    assert not project.is_installed(editable=True)


def test_failed_installation_is_tried_again(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.fails = lambda command: "pip" in command
    with pytest.raises(SetupError, match="network"):
        prepare(shell, desktop, project, editable=False)
    shell.fails = lambda _: False
    prepare(shell, desktop, project, editable=False)
    assert len(shell.commands("pip")) == 2


def test_failed_installation_is_not_forgotten_when_the_change_is_taken_back(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    prepare(shell, desktop, project, editable=False)
    settings = project.root / "pyproject.toml"
    before = settings.read_text(encoding="utf-8")
    settings.write_text("changed", encoding="utf-8")
    shell.fails = lambda command: "pip" in command
    with pytest.raises(SetupError):
        prepare(shell, desktop, project, editable=False)
    settings.write_text(before, encoding="utf-8")
    assert not project.is_installed(editable=False)


def test_missing_libraries_without_the_right_to_install(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.missing_for_window = {
        "libxcb-keysyms.so.1": "libxcb-keysyms1",
        "libxcb-icccm.so.4": "libxcb-icccm4",
    }
    problem = install_libraries(shell, desktop, project, display=True)
    assert problem is not None
    assert "libxcb-icccm.so.4, libxcb-keysyms.so.1" in problem
    assert problem.endswith("\n  sudo apt install libxcb-icccm4 libxcb-keysyms1")
    assert shell.ran == []


def test_missing_libraries_are_installed_as_root(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.missing_for_window = {"libGL.so.1": "libgl1"}
    root = replace(desktop, become_root=())
    assert install_libraries(shell, root, project, display=True) is None
    assert len(shell.commands("apt-get")) == 1
    assert shell.ran[0][-1] == "libgl1"


def test_list_of_packages_is_fetched_only_when_needed(
    shell: RecordingShell, project: Project, desktop: Machine
) -> None:
    shell.missing_for_window = {"libGL.so.1": "libgl1"}
    tries = iter([True])  # the first try fails, as with no list of packages
    shell.fails = lambda command: "install" in command and next(tries, False)
    root = replace(desktop, become_root=())
    assert install_libraries(shell, root, project, display=True) is None
    verbs = [command[3] for command in shell.ran]
    assert verbs == ["install", "update", "install"]


@pytest.mark.parametrize("has_apt", [True, False])
def test_library_of_unknown_package_points_to_doctor(
    shell: RecordingShell, project: Project, desktop: Machine, has_apt: bool
) -> None:
    package = "" if has_apt else "libgl1"
    shell.missing_for_window = {"libstrange.so.9": package}
    machine = replace(desktop, become_root=(), has_apt=has_apt)
    problem = install_libraries(shell, machine, project, display=True)
    assert problem is not None
    assert problem.endswith("blockmap doctor")
    assert shell.ran == []


def test_question_about_libraries_is_one_that_blockmap_answers() -> None:
    question = setup_environment._ASK_MISSING.format(display=True)
    code, answer = Terminal().ask(sys.executable, "-P", "-c", question)
    assert code == 0
    assert all(".so" in line for line in answer.splitlines())


_PATIENT_CHILD = """
import os, signal, sys, time
def save(*_):
    time.sleep(0.5)
    os.write(1, b"saved\\n")  # print may just be at work where the signal comes
    sys.exit(0)
signal.signal(signal.SIGINT, save)
os.write(1, b"ready\\n")
time.sleep(60)
"""
_PARENT = """
import signal, sys
from setup_environment import Terminal
# As under a terminal: what runs in the background of a shell ignores the signal.
signal.signal(signal.SIGINT, signal.default_int_handler)
try:
    Terminal().run(sys.executable, "-c", sys.argv[1])
except KeyboardInterrupt:
    print("interrupted", flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signals for groups")
def test_interrupted_program_may_save_before_it_ends() -> None:
    parent = subprocess.Popen(
        [sys.executable, "-c", _PARENT, _PATIENT_CHILD],
        cwd=_SCRIPTS,
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert parent.stdout is not None
    assert parent.stdout.readline() == "ready\n"
    os.killpg(parent.pid, signal.SIGINT)  # what Ctrl+C in a terminal does
    output, _ = parent.communicate(timeout=30)
    assert output.splitlines() == ["saved", "interrupted"]


def test_program_that_a_signal_ended_has_the_exit_code_of_a_shell() -> None:
    # 128 + signal number: POSIX asks for more than 128, shells use this sum.
    code = Terminal().run(sys.executable, "-c", "import os; os.abort()")
    assert code == 128 + signal.SIGABRT


def test_program_that_is_not_there_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert Terminal().run("no-such-program-anywhere") == 127
    assert "no-such-program-anywhere" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("environ", "platform", "expected"),
    [
        ({}, "linux", False),
        ({"DISPLAY": ""}, "linux", False),
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({"QT_QPA_PLATFORM": "offscreen"}, "linux", True),
        ({"QT_QPA_PLATFORM": "xcb"}, "linux", False),
        ({}, "darwin", True),
    ],
)
def test_display_is_recognised(
    environ: dict[str, str], platform: str, expected: bool
) -> None:
    assert setup_environment._has_display(environ, platform) is expected


@pytest.mark.parametrize(
    ("os_release", "expected"),
    [
        ("ID=debian\n", True),
        ('ID=linuxmint\nID_LIKE="ubuntu debian"\n', True),
        ("ID=fedora\nPRETTY_NAME=not-debian\n", False),
    ],
)
def test_debian_and_its_descendants_are_recognised(
    tmp_path: Path, os_release: str, expected: bool
) -> None:
    path = tmp_path / "os-release"
    path.write_text(os_release, encoding="utf-8")
    assert setup_environment._descends_from_debian(path) is expected


@pytest.mark.parametrize("script", ["run.py", "test.py", "require_python.py"])
def test_scripts_reach_the_version_check_on_an_older_python(script: str) -> None:
    text = (_SCRIPTS / script).read_text(encoding="utf-8")
    tree = ast.parse(text, feature_version=(3, 6))
    if script == "require_python.py":
        assert not any(isinstance(node, ast.JoinedStr) for node in ast.walk(tree))
        return
    statements = [ast.unparse(node) for node in tree.body[1:4]]
    assert statements == [
        "import sys",
        "from require_python import require_python",
        "require_python()",
    ]


def test_too_old_python_is_named_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(SystemExit) as caught:
        require_python.require_python()
    assert caught.value.code == 2
    message = capsys.readouterr().err
    assert message.startswith("blockmap needs Python 3.11 or newer; this is Python 3.9")
    assert message.count("\n") == 1
