"""Turns the bytes of a map file into text, or says which bytes cannot be read."""

from __future__ import annotations

import re
from dataclasses import dataclass

from blockmap.files.composer import ProblemList

__all__ = ["BYTES_LIMIT", "text_of"]

BYTES_LIMIT = 16 * 1024 * 1024
"""Largest map file in bytes: 20,000 cavities with everything said stay below."""

_UNREADABLE = re.compile(
    "[^\x09\x0a\x0d\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
)


@dataclass(frozen=True, slots=True)
class _At:
    """A place as YAML marks count it, from 0."""

    line: int
    column: int


def text_of(data: bytes, problems: ProblemList) -> str | None:
    """Return the text of a file; None after saying why it holds none."""
    if len(data) > BYTES_LIMIT:
        problems.add(
            None,
            f"the file is larger than {BYTES_LIMIT // 1024**2} MB",
            "a map is smaller: this may be another kind of file",
        )
        return None
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        problems.add(None, "the file is UTF-16 text", "save it as UTF-8 and try again")
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n")
        column = len(before.rpartition(b"\n")[2].decode("utf-8", "replace"))
        problems.add(
            _At(line, column),
            f"the byte 0x{data[error.start]:02x} is not UTF-8 text",
            "save the file as UTF-8 and try again",
        )
        return None
    if not text.strip():
        problems.add(None, "the file is empty", "open another, or draw a new map")
        return None
    bad = False
    for match in _UNREADABLE.finditer(text):  # ends at the hundredth problem
        bad = True
        line = text.count("\n", 0, match.start())
        column = match.start() - (text.rfind("\n", 0, match.start()) + 1)
        problems.add(
            _At(line, column),
            f"the control character U+{ord(match[0]):04X} stands here",
            "remove it",
        )
    return None if bad else text
