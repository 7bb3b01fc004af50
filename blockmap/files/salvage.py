"""Reads what can be read of a spoilt map, line by line.

Only recovery uses it, where something is better than nothing and the user is told. A
file that somebody opens is read whole or refused.
"""

from __future__ import annotations

import re

from blockmap.files.map_reader import read_map
from blockmap.files.migrations import FORMAT
from blockmap.files.shown import shown_name
from blockmap.model.document import Map
from blockmap.model.errors import DocumentRefused, Problem

__all__ = ["salvaged"]

MOST_PASSES = 200
"""Most readings of one spoilt map; then it is given up."""

_PARTS = re.compile(r"blockmap: [0-9]+|(car|blocks|readings|repairs):|\.\.\.")


def salvaged(data: bytes, name: str) -> tuple[Map, int]:
    """Return the map that the readable lines make, and how many lines were left out.

    Raises DocumentRefused when they make none.
    """
    text = data.decode("utf-8", "replace").replace("\0", "�")
    clean = "".join(c if c in "\n\t" or c.isprintable() else "�" for c in text)
    lines = clean.split("\n")
    left_out = _mend_first_line(lines) + _leave_out_strays(lines)
    for _ in range(MOST_PASSES):
        try:
            document = read_map("\n".join(lines).encode("utf-8"), name).document
            if not document.blocks:
                what = "nothing of this map can be read"
                raise DocumentRefused([Problem(shown_name(name), 0, 0, what)])
            return document, left_out
        except DocumentRefused as refused:
            places = sorted({p.line for p in refused.problems if p.line}, reverse=True)
            if not places or not any(line.strip() for line in lines):
                raise
            before = len(lines)
            for place in places:
                _leave_out(lines, min(place, len(lines)) - 1)
            left_out += before - len(lines)
            last = refused
    raise last


def _mend_first_line(lines: list[str]) -> int:
    """Put the number of the format back where it is spoilt; count the lines lost."""
    if re.fullmatch(r"blockmap: [0-9]+", lines[0]):
        return 0
    if _PARTS.fullmatch(lines[0]):
        lines.insert(0, f"blockmap: {FORMAT}")
        return 0
    lines[0] = f"blockmap: {FORMAT}"
    return 1


def _leave_out_strays(lines: list[str]) -> int:
    """Leave out lines that blockmap never writes so; count them.

    Lines indented by an odd number of spaces, words at the left edge that are no part
    of a map, and quotes that are opened and never closed: YAML would read on and call
    all that follows wrong.
    """
    before = len(lines)
    for place in range(len(lines) - 1, -1, -1):
        line = lines[place]
        if not line.strip():
            continue
        at_edge = _depth(line) == 0 and not _PARTS.fullmatch(line)
        if at_edge or _depth(line) % 2:
            del lines[place]
        elif re.sub(r"\\.", "", line).count('"') % 2:
            _leave_out(lines, place)
    return before - len(lines)


def _leave_out(lines: list[str], place: int) -> None:
    """Remove a line and all that is indented deeper under it."""
    depth = _depth(lines[place])
    end = place + 1
    while end < len(lines) and lines[end].strip() and _depth(lines[end]) > depth:
        end += 1
    del lines[place:end]


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
