"""Reads the map that a command is given, and says what its reader notes.

It stands apart from streams.py, which the start of the window imports: the reader of
maps is not needed before the first frame.
"""

from __future__ import annotations

from blockmap.cli.streams import read_input, say
from blockmap.files.map_reader import BYTES_LIMIT, ReadMap, read_map

__all__ = ["read_given_map"]


def read_given_map(path: str) -> ReadMap:
    """Return the map of a file, or of standard input for '-'; its notes are said.

    Raises StoreFailed and DocumentRefused.
    """
    read = read_map(*read_input(path, BYTES_LIMIT))
    for note in read.notes:
        say(note)
    return read
