"""Everything the program refuses, as one tree of exceptions.

Each class composes its own sentence: where, what, and what to do. Nothing here
catches or shows errors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = [
    "BadValue",
    "BlockmapError",
    "DocumentRefused",
    "EditRefused",
    "Problem",
    "StoreFailed",
]


class BlockmapError(Exception):
    """Any refusal of the program that a user can read and act on."""


class BadValue(BlockmapError):
    """A text that a property cannot take; the sentence says what it can take."""


class EditRefused(BlockmapError):
    """An edit that would leave the map wrong; the map stays as it was."""


class StoreFailed(BlockmapError):
    """A file that could not be read or written; the old file is whole."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in a file.

    line and column count from 1; 0 means the problem has no place of its own.
    """

    file: str
    line: int
    column: int
    what: str
    todo: str = ""

    def sentence(self) -> str:
        """Return 'file:line:column: what; what to do' in one line."""
        place = self.file
        if self.line:
            place += f":{self.line}:{self.column}"
        tail = f"; {self.todo}" if self.todo else ""
        return f"{place}: {self.what}{tail}"


class DocumentRefused(BlockmapError):
    """A file that is not a usable map, with every problem found in it."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(p.sentence() for p in self.problems))
