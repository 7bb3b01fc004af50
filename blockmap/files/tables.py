"""Tables of cavities: one row a cavity, one column a property.

Writes CSV, recognises the headings of pasted and stored tables, and fills a map from
one by designation. It decides nothing about values; the columns do.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from blockmap.files.composer import MOST_PROBLEMS
from blockmap.files.delimited import Line, decoded, joined, split
from blockmap.files.shown import shown_name, shown_text
from blockmap.files.usual_tables import heads_gauges, settled
from blockmap.model.columns import COLUMNS, Column, column, column_for_heading
from blockmap.model.document import Cavity, Map
from blockmap.model.edits.tagging import written
from blockmap.model.errors import BadValue, DocumentRefused, Problem
from blockmap.model.ids import CavityId
from blockmap.model.schema import close_match

__all__ = [
    "USUAL_ORDER",
    "TableText",
    "csv_text",
    "decoded",
    "fill_from_table",
    "table_rows",
]

USUAL_ORDER = ("designation", "rating_a", "circuit", "legend", "wires", "loads")
"""What the columns of a table without headings mean: the order of a manual's page."""

_FIRST = ("form", "kind", "turn_deg")
"""Written before the rest: contacts, sizes and the feed side follow from them."""


@dataclass(frozen=True, slots=True)
class TableText:
    """A table split into cells.

    columns holds a column key for each cell of a row, None where it is not known.
    headings are the words of the first row, empty when it was none; lines are the
    lines of the rows in the text.
    """

    columns: tuple[str | None, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    headings: tuple[str, ...] = ()


def csv_text(
    document: Map, *, columns: Sequence[str] | None = None, delimiter: str = ","
) -> str:
    """Return one row a cavity under a row of column keys; every column by default."""
    chosen = COLUMNS if columns is None else tuple(column(key) for key in columns)
    code = document.car.colour_code

    def rows() -> Iterator[list[str]]:
        yield [one.key for one in chosen]
        for cavity in document.cavities.values():
            yield [one.read(cavity, code) for one in chosen]

    return joined(rows(), delimiter)


def table_rows(
    text: str, *, name: str = "table", delimiter: str | None = None
) -> TableText:
    """Return the cells of delimited text, with its headings recognised.

    Without headings the columns are those of USUAL_ORDER. delimiter None counts the
    usual ones. Raises DocumentRefused when a quote is not closed.
    """
    lines = split(text, name, delimiter)
    width = max((len(line.cells) for line in lines), default=0)
    if lines and _are_headings(lines[0].cells, len(lines)):
        headings = lines[0].cells
        keys = [_key_of(word) for word in headings]
        lines = lines[1:]
    else:
        headings = ()
        keys = list(USUAL_ORDER[:width])
    keys += [None] * (width - len(keys))
    keys, rows, words = settled(headings, keys, [line.cells for line in lines])
    return TableText(
        columns=tuple(keys),
        rows=tuple(rows),
        lines=tuple(line.number for line in lines),
        headings=tuple(words),
    )


def _key_of(word: str) -> str | None:
    found = column_for_heading(word)
    return found.key if found else None


def _are_headings(cells: Sequence[str], rows: int) -> bool:
    """Tell whether a first row names columns: half of its cells do, none is a number.

    A single row is one only when it names two columns, because a pasted cell may hold
    a word such as 'fuse'.
    """
    named = [cell for cell in cells if cell]
    known = sum(_key_of(c) is not None or heads_gauges(c) for c in named)
    if any(cell[0].isdigit() for cell in named):
        return False
    return known * 2 >= len(named) and known >= (1 if rows > 1 else 2)


def fill_from_table(
    document: Map, text: str, name: str = "table"
) -> tuple[Map, tuple[str, ...]]:
    """Return the map with the properties that a table gives, and notes for the user.

    A row is for the cavity with its designation, in the block it names if it names
    one. An empty cell leaves what the map says; so does a column that the map does
    not know, which a note names. Raises DocumentRefused with every problem.
    """
    table = table_rows(text, name=name)
    return _Filling(document, table, shown_name(name)).run()


class _Filling:
    """One table on its way into a map."""

    def __init__(self, document: Map, table: TableText, name: str) -> None:
        self.map = document
        self.table = table
        self.name = name
        self.problems: list[Problem] = []
        self.notes: list[str] = []
        self.line_of: dict[CavityId, int] = {}
        self.by_name: dict[str, list[Cavity]] = {}
        for cavity in document.cavities.values():
            for word in {d.casefold() for d in cavity.designations}:
                self.by_name.setdefault(word, []).append(cavity)

    def run(self) -> tuple[Map, tuple[str, ...]]:
        table = self.table
        self._check_columns()
        if self.problems:
            raise DocumentRefused(self.problems)
        fresh: dict[CavityId, Cavity] = {}
        for line, cells in zip(table.lines, table.rows, strict=True):
            cavity = self._cavity(Line(line, cells))
            if cavity is not None:
                fresh[cavity.id] = self._filled(cavity, Line(line, cells))
            if len(self.problems) >= MOST_PROBLEMS:
                self._refuse(
                    line,
                    1,
                    f"reading stopped here after {MOST_PROBLEMS} problems",
                    "mend the first ones and try again",
                )
                break
        if self.problems:
            raise DocumentRefused(self.problems)
        changed = {k: c for k, c in fresh.items() if c != self.map.cavities[k]}
        self.notes.append(
            f"{self.name}: rows read: {len(table.rows)}, cavities changed: "
            f"{len(changed)}"
        )
        if not changed:
            return self.map, tuple(self.notes)
        cavities = {**self.map.cavities, **changed}
        return dataclasses.replace(self.map, cavities=cavities), tuple(self.notes)

    def _refuse(self, line: int, place: int, what: str, todo: str = "") -> None:
        self.problems.append(Problem(self.name, line, place, what, todo))

    def _check_columns(self) -> None:
        table = self.table
        if not table.rows:
            self._refuse(0, 0, "the table has no rows", "give one row a cavity")
            return
        if "designation" not in table.columns:
            self._refuse(
                1,
                1,
                "no column gives the designation of the cavities",
                "head one column “designation”",
            )
        known = [key for key in table.columns if key]
        for key in dict.fromkeys(known):
            if known.count(key) > 1:
                words = [
                    word
                    for word, its in zip(table.headings, table.columns, strict=False)
                    if its == key
                ]
                self._refuse(
                    1,
                    1,
                    f"the columns {' and '.join(f'“{w}”' for w in words)} both mean "
                    f"{column(key).label.lower()}",
                    "keep one of them",
                )
        for word, its in zip(table.headings, table.columns, strict=False):
            if its is None and word:
                near = close_match(word, tuple(one.key for one in COLUMNS))
                self.notes.append(
                    f"{self.name}:1: the column “{shown_text(word)}” is not known and "
                    f"was left out{near}"
                )
        if not table.headings:
            used = ", ".join(key for key in table.columns if key)
            self.notes.append(
                f"{self.name}:1: no headings, so the columns were taken as {used}"
            )

    def _cavity(self, line: Line) -> Cavity | None:
        """Return the one cavity that a row is for, or note why there is none."""
        place = self.table.columns.index("designation")
        word = line.cells[place] if place < len(line.cells) else ""
        if not word:
            self._refuse(
                line.number,
                place + 1,
                "this row has no designation",
                "name the cavity it is for, or remove the row",
            )
            return None
        found = self._named(line, word, place)
        if found is None:
            return None
        if found.id in self.line_of:
            self._refuse(
                line.number,
                place + 1,
                f"“{shown_text(word)}” has a row already, on line "
                f"{self.line_of[found.id]}",
                "keep one row a cavity",
            )
            return None
        self.line_of[found.id] = line.number
        return found

    def _nearest_name(self, word: str) -> str:
        """Return '; nearest is' and a designation as it is written, else ''."""
        near = get_close_matches(word.casefold(), self.by_name, n=1)
        if not near:
            return ""
        names = [n for c in self.by_name[near[0]] for n in c.designations]
        written = next((n for n in names if n.casefold() == near[0]), near[0])
        return f"; nearest is “{shown_text(written)}”"

    def _named(self, line: Line, word: str, place: int) -> Cavity | None:
        found = self.by_name.get(word.casefold(), [])
        exact = [cavity for cavity in found if cavity.designation == word]
        block = self._cell(line, "block")
        where = ""
        if block:
            found = [cavity for cavity in found if self._is_block(cavity, block)]
            exact = [cavity for cavity in exact if self._is_block(cavity, block)]
            where = f" in the block “{shown_text(block)}”"
        if len(found) == 1 or len(exact) == 1:
            return exact[0] if len(exact) == 1 else found[0]
        if not found:
            near = self._nearest_name(word)
            self._refuse(
                line.number,
                place + 1,
                f"no cavity is called “{shown_text(word)}”{where}{near}",
                "mend the designation, add the cavity to the map, or remove the row",
            )
        else:
            ids = ", ".join(cavity.id for cavity in found[:5])
            self._refuse(
                line.number,
                place + 1,
                f"“{shown_text(word)}” is the name of {len(found)} cavities: {ids}",
                "add a column “block” with the key of the block",
            )
        return None

    def _is_block(self, cavity: Cavity, word: str) -> bool:
        names = (cavity.block, self.map.blocks[cavity.block].name)
        return word.casefold() in (name.casefold() for name in names)

    def _cell(self, line: Line, key: str) -> str:
        if key not in self.table.columns:
            return ""
        place = self.table.columns.index(key)
        return line.cells[place] if place < len(line.cells) else ""

    def _filled(self, cavity: Cavity, line: Line) -> Cavity:
        code = self.map.car.colour_code
        headed = len(self.table.headings)
        if headed and any(line.cells[headed:]):
            self._refuse(
                line.number,
                headed + 1,
                "this row has more cells than there are headings",
                "quote cells that hold the delimiter, or add a heading",
            )
        for place, into in self._in_order():
            text = line.cells[place] if place < len(line.cells) else ""
            if not text:
                continue
            try:
                cavity = written(cavity, into, text, code)
            except BadValue as problem:
                whose = shown_text(cavity.designation)
                what = shown_text(str(problem), 500)
                self._refuse(line.number, place + 1, f"{whose}: {what}")
        return cavity

    def _in_order(self) -> list[tuple[int, Column]]:
        """Return the columns to write and their places, first those others need."""
        wanted = [
            (place, column(key))
            for place, key in enumerate(self.table.columns)
            if key not in (None, "designation", "block")
        ]
        return sorted(
            (pair for pair in wanted if pair[1].write is not None),
            key=lambda pair: (
                _FIRST.index(pair[1].key) if pair[1].key in _FIRST else len(_FIRST)
            ),
        )
