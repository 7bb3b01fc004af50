"""Reads the first table of a page as rows of plain texts.

A page may be made to take long: each sign of it is looked at a fixed number of times,
whatever is left open, and nothing more is read once there are too many rows. It
renders nothing and follows no link.
"""

from __future__ import annotations

import html
import re

__all__ = ["html_rows"]

_OPEN = re.compile(r"<(?=[a-zA-Z/!?])")
_NAME = re.compile(r"/?[a-zA-Z][a-zA-Z0-9]*")
_SPAN = re.compile(r"""colspan\s*=\s*["']?\s*(\d{1,6})""", re.IGNORECASE)
_LOOKED_AT = 500
"""Signs of a tag in which its name and span are sought."""
_DEEPEST = 50
"""Tables within tables."""
_UNSEEN = ("script", "style", "head", "title")


def html_rows(page: str, most_rows: int, most_columns: int) -> list[list[str]]:
    """Return the rows of the first table, a few more than the most when it has more."""
    return _Reader(page, most_rows, most_columns).read()


class _Reader:
    def __init__(self, page: str, most_rows: int, most_columns: int) -> None:
        self.page = page
        self.most_rows, self.most_columns = most_rows, most_columns
        self.rows: list[list[str]] = []
        self.cell: list[str] | None = None
        self.depth, self.span = 0, 1

    def read(self) -> list[list[str]]:
        page, at = self.page, 0
        while not self._too_much():
            opened = _OPEN.search(page, at)
            self._text(page[at : opened.start() if opened else len(page)])
            if opened is None:
                break
            start = opened.start()
            if page.startswith("<!--", start):
                end = page.find("-->", start + 4) + 2
                if end < start:
                    break
            elif name := _NAME.match(page, start + 1):
                end = self._tag_end(start)
                if end < 0:
                    break
                word = name[0].lower()
                if word in _UNSEEN:
                    end = page.find(f"</{word}", end)
                    if end < 0:
                        break
                    end -= 1
                elif self._tag(word, page[start : min(end, start + _LOOKED_AT)]):
                    break
            else:
                end = page.find(">", start)
                if end < 0:
                    break
            at = end + 1
        self._end_cell()
        return self.rows

    def _too_much(self) -> bool:
        # One row more is begun, so that the one before it is whole.
        wide = len(self.rows[-1]) if self.rows else 0
        return len(self.rows) > self.most_rows + 1 or wide > self.most_columns

    def _tag_end(self, start: int) -> int:
        """Return where a tag ends, outside quotes; -1 when nothing ends any more."""
        at = start
        while (end := self.page.find(">", at)) >= 0:
            quote = self.page.find('"', at, end)
            closed = self.page.find('"', quote + 1) if quote >= 0 else -1
            if closed < 0:
                return end
            at = closed + 1
        return -1

    def _tag(self, word: str, tag: str) -> bool:
        """Take in a tag; tell whether the first table ends with it."""
        if word == "table":
            self.depth += 1
            if self.depth > _DEEPEST:
                return True
        elif word == "/table" and self.depth:
            self.depth -= 1
            return not self.depth
        if self.depth != 1:
            return False
        if word in ("tr", "td", "th", "/tr", "/td", "/th"):
            self._end_cell()
        if word == "tr":
            self.rows.append([])
        elif word in ("td", "th") and self.rows:
            wide = _SPAN.search(tag)
            self.span = max(1, int(wide[1])) if wide else 1
            self.cell = []
        elif word == "br":
            self._text("\n")
        return False

    def _text(self, text: str) -> None:
        if self.cell is not None and text:
            self.cell.append(text)

    def _end_cell(self) -> None:
        if self.cell is None:
            return
        whole = html.unescape("".join(self.cell))
        lines = (" ".join(line.split()) for line in whole.split("\n"))
        row = self.rows[-1]
        if len(row) <= self.most_columns:
            row.append("; ".join(line for line in lines if line))
            row += [""] * min(self.span - 1, self.most_columns - len(row) + 1)
        self.cell = None
