"""Lets the tests import the start scripts, and gives them a checkout of their own."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

_SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"

sys.path.insert(0, str(_SCRIPTS))
import run  # noqa: E402, F401 - imported here so that the path is needed only here
import setup_environment  # noqa: E402
import test  # noqa: E402, F401

sys.path.remove(str(_SCRIPTS))


class RecordingShell:
    """Runs nothing: keeps what would have run and answers as a machine would."""

    def __init__(self, project: setup_environment.Project) -> None:
        self.project = project
        self.said: list[str] = []
        self.ran: list[tuple[str, ...]] = []
        self.folders: list[Path | None] = []
        self.environments: list[Mapping[str, str]] = []
        self.missing_for_window: dict[str, str] = {}
        self.missing_offscreen: dict[str, str] = {}
        self.fails: Callable[[tuple[str, ...]], bool] = lambda _: False

    def say(self, line: str) -> None:
        self.said.append(line)

    def run(
        self,
        *command: str,
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> int:
        self.ran.append(command)
        self.folders.append(cwd)
        self.environments.append(env or {})
        if self.fails(command):
            return 3
        if "venv" in command:
            self.project.python.parent.mkdir(parents=True, exist_ok=True)
            self.project.python.touch()
        if "apt-get" in command and "install" in command:
            for missing in (self.missing_for_window, self.missing_offscreen):
                for soname in [s for s, p in missing.items() if p in command]:
                    del missing[soname]
        if "-o" in command:
            Path(command[-1]).write_bytes(b"%PDF-")
        return 0

    def ask(self, *command: str) -> tuple[int, str]:
        question = command[-1]
        if "missing_libraries" not in question:
            return 0, ""
        window = "display=True" in question
        found = self.missing_for_window if window else self.missing_offscreen
        return 0, "".join(f"{soname} {package}\n" for soname, package in found.items())

    def commands(self, word: str) -> list[str]:
        """Return the recorded commands that have `word`, each as one text."""
        return [" ".join(command) for command in self.ran if word in command]


@pytest.fixture
def project(tmp_path: Path) -> setup_environment.Project:
    root = tmp_path / "checkout"
    for name, text in {
        "pyproject.toml": "[project]\n",
        "blockmap/__init__.py": "",
        "layouts/demo.blockmap.yaml": "blockmap: 1\n",
        "assets/font.ttf": "font",
    }.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return setup_environment.Project(root)


@pytest.fixture
def shell(project: setup_environment.Project) -> RecordingShell:
    return RecordingShell(project)


@pytest.fixture
def desktop() -> setup_environment.Machine:
    """A Debian desktop: a user without the right to install, all else there."""
    return setup_environment.Machine(
        has_apt=True, become_root=None, has_venv=True, has_display=True
    )
