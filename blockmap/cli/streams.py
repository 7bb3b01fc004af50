"""Reads and writes what a command is given, files or the standard streams.

A reader that goes away early is no fault; a full disk is, and is said.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TextIO

from blockmap.files.shown import shown_name
from blockmap.model.errors import DocumentRefused, StoreFailed

__all__ = [
    "OUTPUT_HELP",
    "STANDARD",
    "put_bytes",
    "put_text",
    "read_input",
    "say",
    "say_refused",
    "write_output",
]

STANDARD = "-"
"""The name that means standard input or output, by GNU habit."""
OUTPUT_HELP = "file to write; - is standard output"


def put_text(text: str) -> None:
    """Write text to standard output in the encoding of the terminal."""
    _put(text.encode(_encoding(sys.stdout), "backslashreplace"))


def put_bytes(data: bytes) -> None:
    """Write bytes to standard output as they are."""
    _put(data)


def _put(data: bytes) -> None:
    stream = sys.stdout
    if stream is None:
        return
    try:
        stream.flush()
        rest = memoryview(data)
        while rest:  # without a buffer (PYTHONUNBUFFERED) a write can be short
            rest = rest[stream.buffer.write(rest) :]
        stream.buffer.flush()
    except BrokenPipeError:
        _silence(stream)
    except OSError as error:
        _silence(stream)
        raise StoreFailed(
            f"standard output: {error.strerror}; make room or write elsewhere"
        ) from error


def _encoding(stream: TextIO | None) -> str:
    return getattr(stream, "encoding", None) or "utf-8"


def _silence(stream: TextIO) -> None:
    """Join a broken stream to nowhere, so that Python's own flush at exit is quiet."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def say(text: str) -> None:
    """Write one line to standard error; nothing that goes wrong there matters."""
    stream = sys.stderr
    if stream is None:
        return
    try:
        encoding = _encoding(stream)
        stream.write(text.encode(encoding, "backslashreplace").decode(encoding) + "\n")
        stream.flush()
    except OSError:
        _silence(stream)


def say_refused(refused: DocumentRefused) -> None:
    """Write every problem of a file as 'file:line:column: error: what; what to do'."""
    for problem in refused.problems:
        head, _, tail = problem.sentence().removeprefix(problem.file).partition(": ")
        say(f"{problem.file}{head}: error: {tail}")


def read_input(path: str, limit: int) -> tuple[bytes, str]:
    """Return the content of a file, or of standard input for '-', and its name.

    Raises StoreFailed.
    """
    if path != STANDARD:
        from blockmap.files.store import read_bytes_safely

        return read_bytes_safely(path, limit), path
    if sys.stdin is None:
        raise StoreFailed("standard input: it is closed; name a file")
    data = sys.stdin.buffer.read(limit + 1)
    if len(data) > limit:
        raise StoreFailed(f"standard input: more than {limit:,} bytes")
    return data, "standard input"


def write_output(path: str, data: bytes, *, never: tuple[str, ...] = ()) -> None:
    """Put bytes into a file, or on standard output for '-'.

    never names files that are read and must not be replaced. Raises StoreFailed.
    """
    if path == STANDARD:
        put_bytes(data)
        return
    for source in never:
        with suppress(OSError, ValueError):
            if Path(path).samefile(source):
                raise StoreFailed(
                    f"{shown_name(path)}: this is the file that is read; choose "
                    "another for -o"
                )
    from blockmap.files.store import write_bytes

    for note in write_bytes(path, data):
        say(f"{note}")
