"""Makes the environment in which blockmap runs or is tested, once.

It keeps one virtual environment in the checkout's .venv folder and installs again
only when the sources have changed. System packages are installed only on Debian
and its descendants, and only where no password is asked; everywhere else the exact
command is printed. It refuses to touch any Python outside .venv.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

__all__ = [
    "ROOT",
    "Machine",
    "Project",
    "SetupError",
    "Shell",
    "Terminal",
    "install_libraries",
    "prepare",
]

ROOT = Path(__file__).resolve().parent.parent

_SOURCES = ("blockmap", "assets", "layouts")  # what the wheel is made of
_ASK_MISSING = (
    "from blockmap.cli.system_libraries import missing_libraries\n"
    "for library in missing_libraries(display={display}):\n"
    "    print(library.soname, library.debian_package)\n"
)


class SetupError(Exception):
    """What a person must do before this can go on; the message says it all."""


class Shell(Protocol):
    """What the scripts need of a terminal; tests record instead of running."""

    def say(self, line: str) -> None:
        """Print one line."""

    def run(
        self,
        *command: str,
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> int:
        """Run a command that the user sees; return its exit code.

        `env` is added to the present environment.
        """

    def ask(self, *command: str) -> tuple[int, str]:
        """Run a command quietly; return its exit code and standard output."""


class Terminal:
    """Runs the commands for real."""

    def say(self, line: str) -> None:
        """Print one line, before the output of any command that follows."""
        print(line, flush=True)

    def run(
        self,
        *command: str,
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> int:
        """Run a command that the user sees; return its exit code.

        Raises KeyboardInterrupt after Ctrl+C, but only once the command has ended:
        it got the same signal, and may have something to save.
        """
        whole = {**os.environ, **(env or {})}
        interrupts: list[int] = []
        # Noted by a handler: as an exception it may come where Python swallows it.
        before = signal.getsignal(signal.SIGINT)
        if before is not signal.SIG_IGN:
            signal.signal(
                signal.SIGINT, lambda number, frame: interrupts.append(number)
            )
        try:
            code = subprocess.Popen(command, env=whole, cwd=cwd).wait()
        except OSError as error:
            self.say(str(error))
            return 127
        finally:
            signal.signal(signal.SIGINT, before)
        if interrupts:
            raise KeyboardInterrupt
        return code if code >= 0 else 128 - code  # ended by a signal, as shells say

    def ask(self, *command: str) -> tuple[int, str]:
        """Run a command quietly; return its exit code and standard output."""
        try:
            done = subprocess.run(command, check=False, capture_output=True, text=True)
        except OSError:
            return 127, ""
        return done.returncode, done.stdout


SIMULATOR = "ngspice"
"""Name of the circuit simulator, as a program and as a package of Debian."""


@dataclass(frozen=True)
class Machine:
    """What may be done on this machine, and whether Python can make environments.

    `become_root` is what goes before a command that needs the administrator: an
    empty tuple as root, sudo where it asks no password, None when neither is so.
    `has_simulator` tells whether the circuit simulator of the tests is there.
    """

    has_apt: bool
    become_root: tuple[str, ...] | None
    has_venv: bool
    has_display: bool
    has_simulator: bool = True

    @classmethod
    def this(cls, shell: Shell) -> Machine:
        """Look at the machine that this runs on."""
        become_root: tuple[str, ...] | None = None
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            become_root = ()
        elif shutil.which("sudo") and shell.ask("sudo", "-n", "true")[0] == 0:
            become_root = ("sudo", "-n")
        return cls(
            has_apt=_descends_from_debian() and shutil.which("apt-get") is not None,
            become_root=become_root,
            has_venv=_can_make_environments(),
            has_display=_has_display(os.environ, sys.platform),
            has_simulator=shutil.which(SIMULATOR) is not None,
        )


def _descends_from_debian(os_release: Path = Path("/etc/os-release")) -> bool:
    if not os_release.is_file():
        return False
    text = os_release.read_text(encoding="utf-8", errors="replace")
    return re.search(r"(?m)^ID(_LIKE)?=.*\b(debian|ubuntu)\b", text) is not None


def _can_make_environments() -> bool:
    # Asked again after a package was installed, so Python's memory must not answer.
    importlib.invalidate_caches()
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def _has_display(environ: Mapping[str, str], platform: str) -> bool:
    if platform in ("win32", "darwin"):
        return True
    if environ.get("QT_QPA_PLATFORM", "") not in ("", "xcb", "wayland"):
        return True  # somebody asks for a window elsewhere, on purpose
    return bool(environ.get("DISPLAY") or environ.get("WAYLAND_DISPLAY"))


@dataclass(frozen=True)
class Project:
    """A checkout and its environment."""

    root: Path = ROOT

    @property
    def environment(self) -> Path:
        """The folder of the virtual environment."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The interpreter inside the environment."""
        return self.program("python")

    def program(self, name: str) -> Path:
        """Return the path of a program that is installed in the environment."""
        if os.name == "nt":
            return self.environment / "Scripts" / f"{name}.exe"
        return self.environment / "bin" / name

    @property
    def stamp(self) -> Path:
        """The file that says what was installed last, and how."""
        return self.environment / "installed-blockmap.txt"

    def digest(self, *, editable: bool) -> str:
        """Return a fingerprint of all that an installation depends on.

        An editable one reads the sources where they lie, so only the settings and
        the interpreter count.
        """
        found = hashlib.sha256(f"{sys.version} {sys.prefix} {self.root}".encode())
        for path in self._files(editable=editable):
            content = path.read_bytes()
            name = path.relative_to(self.root).as_posix()
            found.update(f"{name} {len(content)}\n".encode())
            found.update(content)
        return found.hexdigest()

    def _files(self, *, editable: bool) -> Iterator[Path]:
        yield self.root / "pyproject.toml"
        for folder in () if editable else _SOURCES:
            for path in sorted((self.root / folder).rglob("*")):
                if path.is_file() and "__pycache__" not in path.parts:
                    yield path

    def stamp_text(self, *, editable: bool) -> str:
        """Return what the stamp says when the installation is up to date."""
        kind = "for tests" if editable else "to run"
        return f"{kind} {self.digest(editable=editable)}\n"

    def is_installed(self, *, editable: bool) -> bool:
        """Tell whether the environment holds these very sources.

        One that was made for the tests reads the sources in place, so it also
        serves to run the program.
        """
        if not (self.stamp.is_file() and self.python.exists()):
            return False
        good = {self.stamp_text(editable=True)}
        if not editable:
            good.add(self.stamp_text(editable=False))
        return self.stamp.read_text(encoding="utf-8") in good


def prepare(
    shell: Shell, machine: Machine, project: Project, *, editable: bool
) -> None:
    """Make the environment and install the project into it, unless that is done.

    `editable` installs the sources in place with all that the tests need.

    Raises SetupError when the user must do something first.
    """
    if project.is_installed(editable=editable):
        return
    _make_environment(shell, machine, project)
    project.stamp.unlink(missing_ok=True)
    what = "blockmap and the tools of its tests" if editable else "blockmap"
    shell.say(f"Installing {what} into {project.environment} ...")
    stamp = project.stamp_text(editable=editable)
    target = ("--editable", f"{project.root}[test]") if editable else (project.root,)
    pip = (str(project.python), "-m", "pip", "--disable-pip-version-check")
    code = shell.run(*pip, "install", *map(str, target))
    if code != 0:
        raise SetupError(
            "The installation failed; pip's message above says why. The first time "
            "it needs the network, to fetch about 150 MB. Start again when the "
            "reason is gone."
        )
    project.stamp.write_text(stamp, encoding="utf-8")


def _make_environment(shell: Shell, machine: Machine, project: Project) -> None:
    python = str(project.python)
    if project.python.exists() and shell.ask(python, "-m", "pip", "--version")[0] == 0:
        return
    if not machine.has_venv:
        _install_venv(shell, machine)
    shell.say(f"Making a Python environment in {project.environment} ...")
    make = (sys.executable, "-m", "venv", "--clear", str(project.environment))
    if shell.run(*make) != 0:
        raise SetupError(f"The environment could not be made: {shlex.join(make)}")


def _install_venv(shell: Shell, machine: Machine) -> None:
    package = _venv_package()
    reason = "Python's venv module is missing, which makes environments."
    if not machine.has_apt:
        raise SetupError(
            f"{reason} Install the package of your system that brings venv and "
            "ensurepip for this Python, then start again."
        )
    if not _apt_install(shell, machine, [package]):
        raise SetupError(
            f"{reason} Run this once, then start again:\n  sudo apt install {package}"
        )


def _venv_package() -> str:
    default = Path("/usr/bin/python3")
    own = Path(sys.executable).resolve()
    if own.parent == default.parent and own != default.resolve():
        return f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    return "python3-venv"


def install_libraries(
    shell: Shell, machine: Machine, project: Project, *, display: bool
) -> str | None:
    """Install the system libraries that Qt lacks here, where that may be done.

    Return None when nothing is missing any more, else the sentences that name what
    is missing and the command that installs it.
    """
    missing = _missing(shell, project, display=display)
    packages = sorted({package for package in missing.values() if package})
    if packages and _apt_install(shell, machine, packages):
        missing = _missing(shell, project, display=display)
        packages = sorted({package for package in missing.values() if package})
    if not missing:
        return None
    sentence = f"Qt lacks these libraries of the system: {', '.join(sorted(missing))}."
    if not machine.has_apt or not packages:
        doctor = shlex.join([str(project.program("blockmap")), "doctor"])
        return f"{sentence} This names the packages that bring them:\n  {doctor}"
    command = f"sudo apt install {' '.join(packages)}"
    return f"{sentence} Run this once:\n  {command}"


def install_simulator(shell: Shell, machine: Machine) -> None:
    """Install the simulator that the tests hold circuits against, where that may be.

    Without it those tests are skipped, and say so.
    """
    if machine.has_simulator or _apt_install(shell, machine, [SIMULATOR]):
        return
    shell.say(f"The tests against {SIMULATOR} are skipped: it is not installed.")


def _missing(shell: Shell, project: Project, *, display: bool) -> dict[str, str]:
    """Return the missing sonames with their Debian package, empty when unknown."""
    question = _ASK_MISSING.format(display=display)
    code, answer = shell.ask(str(project.python), "-P", "-c", question)
    if code != 0:
        raise SetupError(
            f"blockmap in {project.environment} does not answer. Remove that folder "
            "and start again."
        )
    pairs = (line.partition(" ") for line in answer.splitlines())
    return {soname: package for soname, _, package in pairs}


def _apt_install(shell: Shell, machine: Machine, packages: Sequence[str]) -> bool:
    if not machine.has_apt or machine.become_root is None:
        return False
    apt = (*machine.become_root, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get")
    install = (*apt, "install", "-y", "-qq", "--no-install-recommends", *packages)
    shell.say(f"Installing from the system's packages: {' '.join(packages)} ...")
    if shell.run(*install) == 0:
        return True
    # A fresh machine has no list of packages yet, or one that is out of date.
    shell.say("Fetching the list of packages, then trying once more ...")
    return shell.run(*apt, "update", "-qq") == 0 and shell.run(*install) == 0
