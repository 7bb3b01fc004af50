"""Finds the files that ship with the program, in a checkout and in a wheel alike.

It only finds; it never writes and never looks outside the program's own folders.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

__all__ = ["asset", "layout", "layout_files"]

_PACKAGE = Path(__file__).resolve().parent


@cache
def _root() -> Path:
    packed = _PACKAGE / "_data"
    return packed if packed.is_dir() else _PACKAGE.parent


def _existing(path: Path) -> Path:
    if not path.exists():
        raise FileNotFoundError(
            f"{path.name} is missing from this installation of blockmap; "
            "install it again"
        )
    return path


def asset(name: str) -> Path:
    """Return the path of a file under assets/, given with forward slashes.

    Raises FileNotFoundError when the installation lacks it.
    """
    return _existing(_root() / "assets" / name)


def layout(name: str) -> Path:
    """Return the path of a shipped map by its file name without ending.

    Raises FileNotFoundError when there is none of that name.
    """
    return _existing(_root() / "layouts" / f"{name}.blockmap.yaml")


def layout_files() -> tuple[Path, ...]:
    """Return every shipped map, sorted by file name."""
    return tuple(sorted((_root() / "layouts").glob("*.blockmap.yaml")))
