"""Splits and joins delimited text, as spreadsheets and people write it.

The delimiter is counted, not guessed from letters. Cells that a spreadsheet would run
as a formula get an apostrophe in front, and reading takes it away again. It knows no
map; see tables.py.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from blockmap.files.shown import shown_name
from blockmap.model.errors import DocumentRefused, Problem

__all__ = ["Line", "decoded", "delimiter_of", "is_utf8", "joined", "split"]

DELIMITERS = ("\t", ";", "|", ",")
"""Tried in this order where the counts are equal."""

ROW_LIMIT = 20_000
"""As many rows as a map takes cavities."""
COLUMN_LIMIT = 200
LINE_LIMIT = 1_000_000
"""Lines, those that hold nothing too."""
_LOOKED_AT = 20
_FORMULA = re.compile(r"'*[=+\-@\t\r]")
_GUARDED = re.compile(r"'+[=+\-@\t\r]")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")


class Line(NamedTuple):
    """The cells of one row, and the line of the file it starts on."""

    number: int
    cells: tuple[str, ...]


def decoded(data: bytes) -> str:
    """Return the text of a table's file.

    A byte order mark decides; without one UTF-8 is tried, then Windows' western set.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", "replace")
    return data.decode("utf-8-sig" if is_utf8(data) else "cp1252", "replace")


def is_utf8(data: bytes) -> bool:
    """Tell whether bytes are UTF-8 text, with or without a mark."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def delimiter_of(text: str) -> str:
    """Return the delimiter of a table: the one that parts its first lines most evenly.

    What stands between double quotes is not counted. A text without any is one
    column, and ',' is returned.
    """
    counts = _counts(text)
    best, best_score = ",", (0, 0, 0)
    for delimiter in DELIMITERS:
        per_line = [line.get(delimiter, 0) for line in counts]
        if not per_line or not per_line[0]:
            continue
        even = sum(count == per_line[0] for count in per_line)
        spaced = text.count(delimiter + " ") * 2 > text.count(delimiter)
        score = (even, per_line[0], 0 if spaced else 1)
        if score > best_score:
            best, best_score = delimiter, score
    return best


def _counts(text: str) -> list[dict[str, int]]:
    """Count each delimiter outside quotes, for each of the first lines with text."""
    lines: list[dict[str, int]] = []
    now: dict[str, int] = {}
    within, empty = False, True
    for char in text:
        if char == '"':
            within = not within
        elif within:
            pass
        elif char == "\n":
            if not empty:
                lines.append(now)
                if len(lines) == _LOOKED_AT:
                    return lines
            now, empty = {}, True
            continue
        elif char in DELIMITERS:
            now[char] = now.get(char, 0) + 1
        empty = empty and char.isspace()
    if not empty:
        lines.append(now)
    return lines


def split(text: str, name: str, delimiter: str | None = None) -> tuple[Line, ...]:
    """Return the rows of a table that hold anything, cells stripped and unguarded.

    Raises DocumentRefused when a quote is not closed.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "")
    text = text.removeprefix("\ufeff")
    reader = csv.reader(
        io.StringIO(text, newline=""),
        delimiter=delimiter or delimiter_of(text),
        strict=True,
        skipinitialspace=True,
    )
    rows: list[Line] = []
    start = 1
    try:
        for cells in reader:
            long = len(rows) > ROW_LIMIT or start > LINE_LIMIT
            if long or len(cells) > COLUMN_LIMIT:
                raise _too_much(name, start)
            clean = tuple(_unguarded(cell.strip()) for cell in cells)
            if any(clean):
                rows.append(Line(start, clean))
            start = reader.line_num + 1
    except csv.Error as error:
        what = {"unexpected end of data": "a double quote is opened and never closed"}
        raise DocumentRefused(
            [
                Problem(
                    shown_name(name),
                    start,
                    1,
                    what.get(str(error), f"this row cannot be read: {error}"),
                    "double every quote inside a quoted cell and close the cell",
                )
            ]
        ) from None
    return tuple(rows)


def _too_much(name: str, line: int) -> DocumentRefused:
    what = f"the table has more than {ROW_LIMIT:,} rows or {COLUMN_LIMIT} columns"
    todo = "part it, or choose another; this may be no table"
    return DocumentRefused([Problem(shown_name(name), line, 1, what, todo)])


def _unguarded(cell: str) -> str:
    return cell[1:] if _GUARDED.match(cell) else cell


def joined(rows: Iterable[Sequence[str]], delimiter: str = ",") -> str:
    """Return rows as delimited text with the line ends of RFC 4180."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_guarded(cell) for cell in row])
    return out.getvalue()


def _guarded(cell: str) -> str:
    if _FORMULA.match(cell) and not _NUMBER.fullmatch(cell):
        return "'" + cell
    return cell
