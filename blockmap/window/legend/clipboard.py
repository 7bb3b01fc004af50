"""Cells on the clipboard: our own form, an HTML table, tab-separated text.

What others put there is checked like a file: its size is capped before it is read,
and nothing in it is trusted to be a table. Nothing here edits the map.
"""

from __future__ import annotations

import csv
import html
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from PySide6.QtCore import QCoreApplication, QMimeData

from blockmap.files.delimited import joined
from blockmap.files.tables import table_rows
from blockmap.model.columns import COLUMNS, column_for_heading
from blockmap.model.errors import DocumentRefused
from blockmap.window.legend.html_cells import html_rows

__all__ = ["Cells", "NothingToPaste", "mime_of", "read_mime"]

OWN_FORMAT = "application/x-blockmap-cells+json"
BYTE_LIMIT = 4_000_000
"""Most bytes that are read from the clipboard: some 20,000 rows."""
ROW_LIMIT = 5_000
COLUMN_LIMIT = 200
_KEYS = frozenset(c.key for c in COLUMNS)


class NothingToPaste(Exception):
    """The clipboard holds no cells that can be read; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Cells:
    """Rows of texts; columns holds their keys when the source named them.

    A key of None stands for a column that is not known; columns is empty when the
    source had no headings. named tells that headings were typed by somebody, so that
    rows may be sought by their place; left_out are those that name no column.
    """

    rows: tuple[tuple[str, ...], ...]
    columns: tuple[str | None, ...] = ()
    named: bool = False
    left_out: tuple[str, ...] = ()

    @property
    def width(self) -> int:
        """The number of columns."""
        return max((len(row) for row in self.rows), default=0)


def mime_of(
    keys: Sequence[str], rows: list[list[str]], headings: Sequence[str] = ()
) -> QMimeData:
    """Return cells as our own form, an HTML table and tab-separated text.

    headings, when given, stand above the rows and make them whole rows by place.
    """
    mime = QMimeData()
    out = io.StringIO()
    lines = [list(headings), *rows] if headings else rows
    csv.writer(out, dialect="excel-tab", lineterminator="\n").writerows(lines)
    text = out.getvalue().removesuffix("\n")
    mime.setText(text)
    mime.setData("text/tab-separated-values", text.encode())
    mime.setHtml(_html(lines))
    own = {"columns": list(keys), "rows": rows, "named": bool(headings)}
    mime.setData(OWN_FORMAT, json.dumps(own, ensure_ascii=False).encode())
    return mime


def _html(rows: list[list[str]]) -> str:
    lines = (
        "<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>"
        for row in rows
    )
    return '<meta charset="utf-8"><table>' + "".join(lines) + "</table>"


def read_mime(mime: QMimeData | None) -> Cells:
    """Return the cells of the clipboard. Raises NothingToPaste.

    Qt gives None for a clipboard that nothing was ever put on.
    """
    if mime is None:
        mime = QMimeData()
    if mime.hasFormat(OWN_FORMAT):
        own = _read_own(_bytes(mime, OWN_FORMAT))
        if own is not None:
            return own
    if mime.hasFormat("text/html") and not mime.hasFormat("text/tab-separated-values"):
        small = mime.data("text/html").size() <= BYTE_LIMIT
        if small or not mime.hasText():
            rows = _read_html(_bytes(mime, "text/html"))
            if rows:
                return _checked(rows)
    if mime.hasText():
        _bytes(mime, "text/plain")
        return _checked(_read_text(mime.text()))
    raise NothingToPaste(
        _tr("The clipboard holds no text to paste; copy cells or text first")
    )


def _bytes(mime: QMimeData, kind: str) -> bytes:
    data = mime.data(kind)
    if data.size() > BYTE_LIMIT:
        raise NothingToPaste(
            _tr("The clipboard holds more than %1 MB; copy fewer rows").replace(
                "%1", str(BYTE_LIMIT // 1_000_000)
            )
        )
    return bytes(data.data())


def _read_own(data: bytes) -> Cells | None:
    try:
        found = json.loads(data)
        keys, rows = found["columns"], found["rows"]
        named = found.get("named") is True
        good = (
            all(isinstance(k, str) and k in _KEYS for k in keys)
            and 0 < len(rows) <= ROW_LIMIT
            and all(isinstance(c, str) for row in rows for c in row)
            and all(len(row) == len(keys) for row in rows)
        )
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None
    if not good:
        return None
    return Cells(tuple(tuple(row) for row in rows), tuple(keys), named)


def _read_text(text: str) -> list[list[str]]:
    text = text.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
    if not text.strip():
        return []
    try:
        rows = csv.reader(io.StringIO(text), dialect="excel-tab", strict=False)
        return list(islice(rows, ROW_LIMIT + 1))
    except csv.Error as problem:
        raise NothingToPaste(
            _tr("The copied text is no table: %1").replace("%1", str(problem))
        ) from None


def _read_html(data: bytes) -> list[list[str]]:
    for code in ("utf-8", "utf-16"):
        try:
            page = data.decode(code)
        except UnicodeDecodeError:
            continue
        return html_rows(page, ROW_LIMIT, COLUMN_LIMIT)
    return []


def _checked(rows: list[list[str]]) -> Cells:
    rows = [row or [""] for row in rows]
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    if not rows:
        raise NothingToPaste(_tr("The clipboard holds no cells to paste"))
    if len(rows) > ROW_LIMIT or max(len(row) for row in rows) > COLUMN_LIMIT:
        raise NothingToPaste(
            _tr("The clipboard holds more than %1 rows or %2 columns; copy fewer")
            .replace("%1", str(ROW_LIMIT))
            .replace("%2", str(COLUMN_LIMIT))
        )
    wide = max(len(row) for row in rows)
    filled = [tuple(c.strip() for c in row) + ("",) * (wide - len(row)) for row in rows]
    try:
        return _with_headings(filled) or Cells(tuple(filled))
    except DocumentRefused as refused:
        raise NothingToPaste(
            _tr("The copied cells cannot be used: %1").replace("%1", str(refused))
        ) from None


def _with_headings(rows: list[tuple[str, ...]]) -> Cells | None:
    """Return the rows under the columns their first row names, None when it does not.

    A heading that is alone must be the very label or key, because a pasted column of
    circuits may begin with a word such as 'fuse'.
    """
    table = table_rows(joined(rows, "\t"), delimiter="\t")
    words = [word for word in table.headings if word]
    if not words or not table.rows:
        return None
    if len(words) == 1:
        found = column_for_heading(words[0])
        if found is None or words[0].casefold() not in (
            found.key,
            found.label.casefold(),
        ):
            return None
    keys = table.columns
    first = (k if k and keys.index(k) == n else None for n, k in enumerate(keys))
    unknown = (w for w, k in zip(table.headings, keys, strict=False) if w and not k)
    return Cells(table.rows, tuple(first), named=True, left_out=tuple(unknown))


def _tr(text: str) -> str:
    return QCoreApplication.translate("clipboard", text)
