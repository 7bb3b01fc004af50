"""Runs the real program in a process of its own, to be killed or told to end.

The child starts as the program starts, makes edits that count themselves in the legend
of F1, and says on standard output what it has done.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["Child", "driven", "recovery_of"]

_BEGINNING = """
import os, sys, time
from pathlib import Path
from PySide6.QtCore import QTimer
from blockmap.files.recovery import kept_maps
from blockmap.model.edits import set_texts
from blockmap.window import application, dialogs
from blockmap.window.main_window import MainWindow

app = application.prepare()

def window():
    return next(w for w in app.topLevelWidgets() if isinstance(w, MainWindow))

def say(*words):
    os.write(1, (" ".join(map(str, words)) + "\\n").encode())

def edit(step):
    legend = f"STEP {step}"
    window().session.edit("Set legend", set_texts, ["panel/F1"], "legend", legend)

def kept():
    folder = window().settings.state_folder / "recovery"
    return kept_maps(folder)[0][0]

def begin():
"""

_ENDING = """
def begin_once_open():
    if window().map_file.busy:
        QTimer.singleShot(5, begin_once_open)
    else:
        begin()

QTimer.singleShot(20, begin_once_open)
sys.exit(application.run(sys.argv[1:]))
"""


_REMARK = "This plugin does not support propagateSizeHints"


class Child:
    """The running program."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.said: list[str] = []

    def wait_for(self, words: str) -> None:
        """Read what it says until it says this."""
        for line in self.lines():
            if line == words:
                return
        raise AssertionError(f"never said {words!r}, only {self.said}")

    def end(self) -> tuple[int, list[str], str]:
        """Wait until it ends; return its code, what else it said, and what went wrong.

        Left out of the latter is what the screen of the tests always remarks.
        """
        out, errors = self.process.communicate(timeout=30)
        wrong = [line for line in errors.decode().splitlines() if _REMARK not in line]
        return self.process.returncode, out.decode().splitlines(), "\n".join(wrong)

    def lines(self) -> Iterator[str]:
        """Yield what it says, until it ends."""
        assert self.process.stdout is not None
        for raw in self.process.stdout:
            self.said.append(raw.decode().strip())
            yield self.said[-1]


def recovery_of(home: Path) -> Path:
    """Return the folder of recovery files of a user with this home folder."""
    return home / "state" / "blockmap" / "recovery"


@contextmanager
def driven(body: str, home: Path, *paths: Path) -> Iterator[Child]:
    """Run the program with a body for its function begin; killed at the end."""
    code = _BEGINNING + "".join(f"    {line}\n" for line in body.splitlines()) + _ENDING
    surroundings = os.environ | {
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(home),
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_CACHE_HOME": str(home / "cache"),
    }
    process = subprocess.Popen(
        [sys.executable, "-c", code, *map(str, paths)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=surroundings,
    )
    try:
        yield Child(process)
    finally:
        process.kill()
        process.communicate()
