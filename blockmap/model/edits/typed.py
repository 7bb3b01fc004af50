"""Reads what a person typed into a record, and records as files will hold them."""

from __future__ import annotations

import dataclasses
from typing import Any, TypeVar

from blockmap.model.document import Condition, Repair, TerminalFamily
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.schema import (
    SCALARS,
    properties,
    property_named,
    read_value,
    value_text,
)

__all__ = ["as_files_hold", "read_typed"]

_Record = TypeVar("_Record", Condition, Repair, TerminalFamily)


def read_typed(record: type, key: str, text: str) -> Any:
    """Return the value of a property that a text says. Raises EditRefused."""
    try:
        return read_value(property_named(record, key), text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None


def as_files_hold(record: _Record) -> _Record:
    """Return a record with its values as a file would give them back."""
    values: dict[str, Any] = {}
    kind: type = type(record)
    for row in properties(kind):
        if row.shape in SCALARS:
            held = value_text(row, getattr(record, row.key))
            values[row.key] = read_typed(kind, row.key, held)
    return dataclasses.replace(record, **values)
