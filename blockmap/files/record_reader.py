"""Reads one record of the schema from the composed tree of a file.

Everything it knows of a record comes from `properties()`. It notes each problem with
its place and goes on, so that one wrong value hides no other.
"""

from __future__ import annotations

import dataclasses
import unicodedata
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any, TypeVar

from blockmap.files.composer import (
    Broken,
    Entry,
    Mapping,
    Node,
    ProblemList,
    Scalar,
    Sequence,
)
from blockmap.files.shown import shown_text
from blockmap.model.document import MM_LIMIT
from blockmap.model.errors import BadValue
from blockmap.model.geometry import Point
from blockmap.model.ids import KEY_PATTERN
from blockmap.model.schema import (
    Property,
    Shape,
    close_match,
    properties,
    read_value,
)
from blockmap.model.units import number_text, read_number

__all__ = ["RecordReader", "contact_nodes", "refuse_key"]

Record = TypeVar("Record")

_FREE = (Shape.TEXT, Shape.LONG_TEXT, Shape.PICTURE)


class _Refused(Exception):
    """Ends the reading of one value."""


@cache
def _rows(kind: type) -> dict[str, Property]:
    return {row.key: row for row in properties(kind)}


@cache
def _required(kind: type) -> tuple[Property, ...]:
    return tuple(row for row in properties(kind) if row.required)


class RecordReader:
    """Turns groups of a file into records, collecting problems.

    refused holds the paths of the records that could not be made.
    """

    def __init__(self, problems: ProblemList) -> None:
        self.problems = problems
        self.refused: set[str] = set()
        self._seen: dict[int, dict[str, Any]] = {}

    def record(
        self,
        kind: type[Record],
        node: Node,
        path: str,
        given: dict[str, Any] | None = None,
        *,
        apart: tuple[str, ...] = (),
    ) -> Record | None:
        """Return the record that a group says, or None with its problems noted.

        given are fields that the file does not hold; apart are keys of the group that
        are read elsewhere.
        """
        group = self.group(node, path, "properties")
        if group is None:
            self.refused.add(path)
            return None
        plain: type = kind
        rows = _rows(plain)
        values: dict[str, Any] = dict(given or {})
        for key, entry in group.entries.items():
            row = rows.get(key)
            if row is not None:
                try:
                    values[key] = self._value(row, entry.value, path)
                except _Refused:
                    if row.required:
                        values[key] = None
                        self.refused.add(path)
            elif key not in apart:
                known = (*rows, *apart)
                refuse_key(self.problems, entry, key, known, path)
        for row in _required(plain):
            if row.key not in values:
                self._missing(row, group, path)
        return None if path in self.refused else kind(**values)

    def group(self, node: Node, path: str, of: str) -> Mapping | None:
        """Return a node that is a group of keys; an empty one for nothing at all."""
        if isinstance(node, Mapping):
            return node
        if isinstance(node, Scalar) and node.plain and not node.text:
            return Mapping({}, node.mark)
        if not isinstance(node, Broken):
            found = "a list" if isinstance(node, Sequence) else _shown(node)
            self.problems.add(
                node.mark,
                f"{shown_text(path, 100)}: a group of {of} belongs here, not {found}",
                "write key: value lines, indented by two spaces",
            )
        return None

    def key_fits(self, key: str, entry: Entry, path: str) -> bool:
        """Tell whether a key can name a part, and note the problem if not."""
        if KEY_PATTERN.fullmatch(key) and not _has_control(key):
            return True
        self.problems.add(
            entry.mark,
            f"{shown_text(path, 100)}: “{shown_text(key)}” cannot be a key",
            "use 1 to 40 letters and digits, without spaces, dots, slashes or quotes",
        )
        return False

    def _missing(self, row: Property, group: Mapping, path: str) -> None:
        self.refused.add(path)
        self.problems.add(
            group.mark,
            f"{shown_text(path, 100)}: {row.key} is missing: {row.help}",
            f"add the line {row.key}: with its value",
        )

    def _value(self, row: Property, node: Node, path: str) -> Any:
        if isinstance(node, Broken):
            raise _Refused
        nested = _NESTED.get(row.shape)
        if nested is not None:
            return nested(self, row, node, path)
        if not isinstance(node, Scalar):
            found = "a list" if isinstance(node, Sequence) else "a group of keys"
            self._refuse(node, path, row, f"one value belongs here, not {found}")
        return self._scalar(row, node, path)

    def _scalar(self, row: Property, node: Node, path: str) -> Any:
        assert isinstance(node, Scalar)
        text = node.text
        seen = None
        if row.shape not in _FREE:  # the rows live as long as the program
            seen = self._seen.setdefault(id(row), {})
            if text in seen:
                return seen[text]
        try:
            value = read_value(row, text)
        except BadValue as problem:
            self._refuse(node, path, row, str(problem))
        if seen is not None:
            seen[text] = value
        return value

    def _refuse(
        self, node: Node, path: str, row: Property, what: str, todo: str = ""
    ) -> None:
        self.problems.add(
            node.mark,
            f"{shown_text(path, 100)}: {row.key}: {shown_text(what, 1000)}",
            todo,
        )
        raise _Refused

    def _texts(self, row: Property, node: Node, path: str) -> tuple[str, ...]:
        found: list[str] = []
        one = dataclasses.replace(row, shape=Shape.TEXT, default="")
        for item in self._items(row, node, path):
            if isinstance(item, Scalar):
                found.append(self._scalar(one, item, path))
            elif not isinstance(item, Broken):
                self._refuse(item, path, row, "each part of this list is one text")
        return tuple(found)

    def _points(self, row: Property, node: Node, path: str) -> tuple[Point, ...]:
        return tuple(
            self._point(row, item, path) for item in self._items(row, node, path)
        )

    def _point(self, row: Property, node: Node, path: str) -> Point:
        low = -MM_LIMIT if row.low is None else row.low
        high = MM_LIMIT if row.high is None else row.high
        parts = node.items if isinstance(node, Sequence) else []
        if len(parts) != 2 or not all(isinstance(part, Scalar) for part in parts):
            unit = "millimetres" if row.unit == "mm" else row.unit
            self._refuse(node, path, row, f"a point is written [x, y] in {unit}")
        place: list[float] = []
        for part in parts:
            assert isinstance(part, Scalar)
            try:
                value = read_number(part.text)
            except BadValue as problem:
                self._refuse(part, path, row, str(problem))
            if not low <= value <= high:
                self._refuse(
                    part,
                    path,
                    row,
                    f"a point lies from {number_text(low)} to {number_text(high)} "
                    f"{row.unit}, not at {shown_text(part.text)}",
                )
            place.append(value + 0.0)
        return Point(*place)

    def _items(self, row: Property, node: Node, path: str) -> list[Node]:
        if isinstance(node, Sequence):
            return node.items
        if isinstance(node, Scalar) and node.plain and not node.text:
            return []
        self._refuse(
            node, path, row, f"a list belongs here, not {_shown(node)}", _LIST_TODO
        )
        return []

    def _record(self, row: Property, node: Node, path: str) -> Any:
        if isinstance(node, Scalar) and node.plain and not node.text:
            return row.default
        assert row.record is not None
        return self._made(row.record, node, f"{path}: {row.key}")

    def _records(self, row: Property, node: Node, path: str) -> tuple[Any, ...]:
        assert row.record is not None
        return tuple(
            self._made(row.record, item, f"{path}: {row.key} {number}")
            for number, item in enumerate(self._items(row, node, path), start=1)
        )

    def _record_map(self, row: Property, node: Node, path: str) -> dict[str, Any]:
        assert row.record is not None
        inner = f"{path}: {row.key}"
        group = self.group(node, inner, "named parts")
        if group is None:
            raise _Refused
        return {
            key: self._made(row.record, entry.value, f"{inner} {key}")
            for key, entry in group.entries.items()
            if self.key_fits(key, entry, inner)
        }

    def _made(self, kind: type[Any], node: Node, path: str) -> Any:
        made = self.record(kind, node, path)
        if made is None:
            raise _Refused
        return made


_LIST_TODO = "write it in square brackets with commas, or one part a line after a dash"

_NESTED: dict[Shape, Callable[[RecordReader, Property, Node, str], Any]] = {
    Shape.TEXTS: RecordReader._texts,
    Shape.POINTS: RecordReader._points,
    Shape.RECORD: RecordReader._record,
    Shape.RECORDS: RecordReader._records,
    Shape.RECORD_MAP: RecordReader._record_map,
}


def _has_control(text: str) -> bool:
    return not text.isprintable() and any(
        unicodedata.category(char) in ("Cc", "Cs") for char in text
    )


def _shown(node: Node) -> str:
    if isinstance(node, Mapping):
        return "a group of keys"
    return f"“{shown_text(node.text)}”" if isinstance(node, Scalar) else "this"


def refuse_key(
    problems: ProblemList,
    entry: Entry,
    key: str,
    known: tuple[str, ...],
    whose: str,
    as_a: str = "a key",
) -> None:
    """Note that a key is not one of the known, with the nearest of them."""
    near = close_match(key, known)
    problems.add(
        entry.mark,
        f"{shown_text(whose, 100)}: “{shown_text(key)}” is not {as_a} that can stand "
        f"here{near}",
        "" if near else f"known are {', '.join(known)}",
    )


def contact_nodes(strip: Mapping) -> Iterator[Scalar]:
    """Yield the texts of a strip's group that must name contacts."""
    members = strip.entries.get("members")
    if members and isinstance(members.value, Sequence):
        yield from (i for i in members.value.items if isinstance(i, Scalar))
    jumpers = strip.entries.get("jumpers")
    if jumpers and isinstance(jumpers.value, Sequence):
        for jumper in jumpers.value.items:
            to = jumper.entries.get("to") if isinstance(jumper, Mapping) else None
            if to and isinstance(to.value, Scalar):
                yield to.value
