"""Writes a map as canonical YAML: the same map always gives the same text.

Only what differs from its default is written, in the order of the schema, one value a
line, so that one edit is a small difference. Free text is always quoted, because YAML
would read ON, NO, 012 or 1:30 as something else. It writes no file; see store.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

from blockmap.files.migrations import FORMAT
from blockmap.model.document import (
    Acceptance,
    Block,
    Car,
    Cavity,
    Map,
    OwnLimits,
    OwnOdds,
    OwnWork,
    Reading,
    Repair,
    Strip,
    TerminalFamily,
)
from blockmap.model.ids import key_of
from blockmap.model.schema import Property, Shape, properties, value_text
from blockmap.model.units import number_text

__all__ = ["END_MARK", "map_text", "quoted", "yaml_key"]

END_MARK = "..."
"""YAML's own end-of-document mark: a file cut short lacks it; the reader says so."""

_STEP = "  "
_MUST_ESCAPE = re.compile(
    '["\\\\\x00-\x1f\x7f-\xa0\xad\u200b-\u200f\u2028-\u202f\u2060-\u206f\ufeff'
    "\ufff0-\uffff\ud800-\udfff]"
)
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}
_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*")
_PLAIN_WORDS = re.compile(r"[A-Za-z][A-Za-z0-9_./+-]*( [A-Za-z0-9_./+-]+)*")
_MEANS_ELSE = frozenset(["y", "n", "yes", "no", "on", "off", "true", "false", "null"])
"""Words that YAML 1.1 reads as a truth value or as nothing, in any case."""


def map_text(document: Map) -> str:
    """Return the whole map as YAML text that ends in a line end."""
    lines = [f"blockmap: {FORMAT}"]
    _section(lines, "car", _record_lines(Car, document.car, _STEP))
    _section(lines, "blocks", _block_lines(document))
    _section(lines, "readings", _map_lines(Reading, document.readings, _STEP))
    _section(lines, "repairs", _map_lines(Repair, document.repairs, _STEP))
    _section(lines, "families", _map_lines(TerminalFamily, document.families, _STEP))
    _section(lines, "limits", _record_lines(OwnLimits, document.limits, _STEP))
    _section(lines, "work", _record_lines(OwnWork, document.work, _STEP))
    _section(lines, "odds", _map_lines(OwnOdds, document.odds, _STEP))
    _section(lines, "accepted", _map_lines(Acceptance, document.accepted, _STEP))
    lines += [END_MARK, ""]
    return "\n".join(lines)


def quoted(text: str) -> str:
    """Return a text as a double-quoted YAML scalar on one line."""
    if _MUST_ESCAPE.search(text):
        text = _MUST_ESCAPE.sub(_escape, text)
    return f'"{text}"'


def _escape(match: re.Match[str]) -> str:
    char = match[0]
    code = ord(char)
    return _ESCAPES.get(char) or (f"\\x{code:02x}" if code < 256 else f"\\u{code:04x}")


def yaml_key(key: str) -> str:
    """Return a key, quoted when plain YAML would read it as something else."""
    if _PLAIN_KEY.fullmatch(key) and key.lower() not in _MEANS_ELSE:
        return key
    return quoted(key)


def _plain(text: str) -> str:
    if _PLAIN_WORDS.fullmatch(text) and text.lower() not in _MEANS_ELSE:
        return text
    return quoted(text)


def _section(lines: list[str], key: str, body: Iterator[str]) -> None:
    found = list(body)
    if found:
        lines.append(f"{key}:")
        lines += found


def _block_lines(document: Map) -> Iterator[str]:
    cavities = _by_block(document.cavities)
    strips = _by_block(document.strips)
    inner, deep = _STEP * 2, _STEP * 3
    for key, block in document.blocks.items():
        yield f"{_STEP}{yaml_key(key)}:"
        yield from _record_lines(Block, block, inner)
        for name, record, parts in (
            ("cavities", Cavity, cavities.get(key)),
            ("strips", Strip, strips.get(key)),
        ):
            if parts:
                yield f"{inner}{name}:"
                yield from _map_lines(record, parts, deep)


def _by_block(parts: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for part in parts.values():
        found.setdefault(part.block, {})[key_of(part.id)] = part
    return found


def _map_lines(record: type, parts: Mapping[str, Any], indent: str) -> Iterator[str]:
    for key, part in parts.items():
        body = list(_record_lines(record, part, indent + _STEP))
        if body:
            yield f"{indent}{yaml_key(key)}:"
            yield from body
        else:
            yield f"{indent}{yaml_key(key)}: {{}}"


def _record_lines(record: type, value: Any, indent: str) -> Iterator[str]:
    for key, default, required, nested, write in _plan(record):
        held = getattr(value, key)
        if held == default and not required:
            continue
        if not nested:
            yield f"{indent}{key}: {write(held)}"
        else:
            yield from write(held, indent, key)


Step = tuple[str, Any, bool, bool, Callable[..., Any]]


@cache
def _plan(record: type) -> tuple[Step, ...]:
    """Return, for each property: key, default, required, nested, its writer."""
    return tuple(_step(row) for row in properties(record))


def _step(row: Property) -> Step:
    default = {} if row.shape is Shape.RECORD_MAP else row.default
    nested = _NESTED.get(row.shape)
    if nested:
        kind = row.record or object

        def write(held: Any, indent: str, key: str) -> Iterator[str]:
            return nested(kind, held, indent, key)

        return row.key, default, row.required, True, write
    return row.key, default, row.required, False, _scalar_writer(row)


def _scalar_writer(row: Property) -> Callable[[Any], str]:
    if row.shape in (Shape.NUMBER, Shape.LENGTH, Shape.INTEGER):
        return _number
    if row.shape in (Shape.TEXT, Shape.LONG_TEXT, Shape.GAUGE):
        return quoted
    if row.shape is Shape.PICTURE:  # base64 holds nothing to escape
        return lambda held: f'"{held}"'
    if row.shape in (Shape.FLAG, Shape.DATE):
        return lambda held: value_text(row, held)
    if row.shape is Shape.TEXTS:
        return lambda held: "[" + ", ".join(map(quoted, held)) + "]"
    return lambda held: _plain(value_text(row, held))


def _number(held: float | None) -> str:
    return "" if held is None else number_text(held)


def _write_points(kind: type, held: Any, indent: str, key: str) -> Iterator[str]:
    del kind
    if not held:
        yield f"{indent}{key}: []"
        return
    yield f"{indent}{key}:"
    for x_mm, y_mm in held:
        yield f"{indent}{_STEP}- [{number_text(x_mm)}, {number_text(y_mm)}]"


def _write_record(kind: type, held: Any, indent: str, key: str) -> Iterator[str]:
    body = [] if held is None else list(_record_lines(kind, held, indent + _STEP))
    if body:
        yield f"{indent}{key}:"
        yield from body
    else:
        yield f"{indent}{key}:" if held is None else f"{indent}{key}: {{}}"


def _write_records(kind: type, held: Any, indent: str, key: str) -> Iterator[str]:
    if not held:
        yield f"{indent}{key}: []"
        return
    yield f"{indent}{key}:"
    inner = indent + _STEP * 2
    for one in held:
        body = list(_record_lines(kind, one, inner))
        if not body:
            yield f"{indent}{_STEP}- {{}}"
            continue
        yield f"{indent}{_STEP}- {body[0].removeprefix(inner)}"
        yield from body[1:]


def _write_record_map(kind: type, held: Any, indent: str, key: str) -> Iterator[str]:
    if not held:
        yield f"{indent}{key}: {{}}"
        return
    yield f"{indent}{key}:"
    yield from _map_lines(kind, held, indent + _STEP)


_NESTED: dict[Shape, Callable[[type, Any, str, str], Iterator[str]]] = {
    Shape.POINTS: _write_points,
    Shape.RECORD: _write_record,
    Shape.RECORDS: _write_records,
    Shape.RECORD_MAP: _write_record_map,
}
