"""Starts blockmap: a file or nothing opens the window, a command runs without one."""

from __future__ import annotations

import gc
import os
import sys
import threading
from collections.abc import Sequence
from pathlib import Path

from blockmap.cli import COMMANDS

__all__ = ["main", "run"]

UNUSABLE, BROKEN, INTERRUPTED = 2, 3, 130
ANSWER_S = 0.5
"""How long a disk may take to tell whether a file is there, before the window opens."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run blockmap with these arguments and return its exit code.

    0 clean, 1 the check found errors, 2 something given could not be used, 3 a fault
    of the program itself.
    """
    arguments = list(sys.argv[1:] if argv is None else argv)
    try:
        if _is_command(arguments):
            from blockmap.cli.commands import run as run_command

            return run_command(arguments)
        return _open_window(arguments)
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception:
        import traceback

        from blockmap.cli.streams import say

        say(traceback.format_exc().rstrip())
        say("blockmap: error: this is a fault of the program; no file was changed")
        return BROKEN


def _is_command(arguments: Sequence[str]) -> bool:
    if "_BLOCKMAP_COMPLETE" in os.environ:
        return True
    if not arguments:
        return False
    first = arguments[0]
    return first in COMMANDS or (first.startswith("-") and first not in ("-", "--"))


def _open_window(arguments: list[str]) -> int:
    """Open the files in windows, or say in one line why that cannot be."""
    from blockmap.cli.streams import say
    from blockmap.cli.system_libraries import window_problem

    if "--help" in arguments:
        from blockmap.cli.commands import run as run_command

        return run_command(["--help"])
    paths = _paths(arguments)
    problem = _unusable(paths) or window_problem()
    if problem:
        say(f"blockmap: error: {problem}")
        return UNUSABLE
    # Nothing of what is made during a start is garbage; the window collects later.
    gc.disable()
    _import_before_qt(with_map=bool(paths))
    from blockmap.window.application import run as run_window

    return run_window(paths)


def _import_before_qt(with_map: bool = False) -> None:
    """Import what the first frame needs and what knows no Qt first.

    Once Qt is there, its import hook reads the source of every module that comes
    after it.
    """

    if with_map:
        import yaml  # noqa: F401


def _paths(arguments: list[str]) -> list[str]:
    if "--" in arguments:
        place = arguments.index("--")
        return arguments[:place] + arguments[place + 1 :]
    return arguments


def _unusable(paths: list[str]) -> str | None:
    """Return why one of the paths cannot be opened, None when all can be tried.

    A disk that does not answer is left to the window, which shows that and can give up.
    """
    found: list[str | None] = []
    look = threading.Thread(
        target=lambda: found.append(_first_unusable(paths)), daemon=True
    )
    look.start()
    look.join(ANSWER_S)
    return found[0] if found else None


def _first_unusable(paths: list[str]) -> str | None:
    from blockmap.files.shown import shown_name
    from blockmap.model.schema import close_match

    for path in paths:
        name = shown_name(path)
        try:
            if Path(path).is_file():
                continue
            exists = Path(path).exists()
        except (OSError, ValueError):
            return f"{name}: this cannot be the name of a file"
        if exists:
            return f"{name}: this is no ordinary file; choose a map"
        near = close_match(path, COMMANDS) if len(paths) <= 3 else ""
        return f"{name}: there is no such file and no such command{near}"
    return None


def run() -> None:
    """Run blockmap and end the process with its exit code."""
    sys.exit(main())


if __name__ == "__main__":
    run()
