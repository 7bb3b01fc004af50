"""What a property is: one row that reading, writing, tables, inspector and help share.

The rows stand in document.py, one beside each field. This module says what a row can
hold and turns text into values and back. It knows no file format and no window.
"""

from __future__ import annotations

import base64
import dataclasses
import datetime
import difflib
import re
import unicodedata
from enum import StrEnum
from functools import cache
from typing import Any

from blockmap.model.errors import BadValue
from blockmap.model.units import number_text, read_length_mm, read_number
from blockmap.reference.forms import closest_forms, form_named
from blockmap.reference.gauges import GaugeNotUnderstood, read_gauge
from blockmap.reference.wire_colours import (
    ColourNotUnderstood,
    WireColour,
    read_colour,
    show_colour,
)

__all__ = [
    "Property",
    "Shape",
    "close_match",
    "prop",
    "properties",
    "property_named",
    "read_value",
    "value_text",
]

TEXT_LIMIT = 10_000
"""Longest text a property takes, in characters; longer ones are refused."""

WORD_LIMIT = 500
"""Longest text of a colour, gauge, form or choice: looking it up takes time."""

PICTURE_LIMIT = 12 * 1024 * 1024
"""Longest text of one picture, in characters; all of a map have a lower limit."""

FILE_CODE = "words"
"""Wire colours stand in files as full English words, whatever code the map shows."""


class Shape(StrEnum):
    """The shapes a property's value can have."""

    TEXT = "text"
    LONG_TEXT = "text of several lines"
    NUMBER = "number"
    LENGTH = "length"
    INTEGER = "whole number"
    CHOICE = "choice"
    FLAG = "yes or no"
    DATE = "date"
    COLOUR = "wire colour"
    GAUGE = "wire gauge"
    FORM = "form"
    PICTURE = "picture as base64 text"
    TEXTS = "list of texts"
    POINTS = "list of points"
    RECORD = "record"
    RECORDS = "list of records"
    RECORD_MAP = "records by key"


SCALARS = frozenset(
    {
        Shape.TEXT,
        Shape.LONG_TEXT,
        Shape.NUMBER,
        Shape.LENGTH,
        Shape.INTEGER,
        Shape.CHOICE,
        Shape.FLAG,
        Shape.DATE,
        Shape.COLOUR,
        Shape.GAUGE,
        Shape.FORM,
        Shape.PICTURE,
    }
)


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """One row of the schema.

    default None means "not known"; low and high are included in the range; allowed
    lists the only values of a choice or number, or the suggestions for a text. record
    is the class of nested values. A fact is something that evidence can stand for.
    """

    key: str = ""
    label: str
    shape: Shape
    help: str
    unit: str = ""
    default: Any = None
    allowed: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    required: bool = False
    fact: bool = False
    record: type | None = None
    also_called: tuple[str, ...] = ()


_DEFAULTS: dict[Shape, Any] = {
    Shape.TEXT: "",
    Shape.LONG_TEXT: "",
    Shape.FLAG: False,
    Shape.FORM: "",
    Shape.GAUGE: "",
    Shape.PICTURE: "",
    Shape.TEXTS: (),
    Shape.POINTS: (),
    Shape.RECORDS: (),
}


def prop(label: str, shape: Shape, help: str, **more: Any) -> Any:  # noqa: A002
    """Return a dataclass field that is also a row of the schema."""
    row = Property(label=label, shape=shape, help=help, **more)
    if "default" not in more:
        row = dataclasses.replace(row, default=_DEFAULTS.get(shape))
    metadata = {"property": row}
    if row.required:
        return dataclasses.field(metadata=metadata)
    if shape is Shape.RECORD_MAP:
        return dataclasses.field(default_factory=dict, metadata=metadata)
    return dataclasses.field(default=row.default, metadata=metadata)


@cache
def properties(record: type) -> tuple[Property, ...]:
    """Return the rows of a record class, in the order files are written."""
    return tuple(
        dataclasses.replace(field.metadata["property"], key=field.name)
        for field in dataclasses.fields(record)
        if "property" in field.metadata
    )


@cache
def _by_key(record: type) -> dict[str, Property]:
    return {row.key: row for row in properties(record)}


def property_named(record: type, key: str) -> Property:
    """Return the row with this key. Raises KeyError."""
    return _by_key(record)[key]


def close_match(word: str, known: tuple[str, ...]) -> str:
    """Return ', meant: x' when word is nearly one of the known, else ''."""
    near = difflib.get_close_matches(word.lower(), known, n=1, cutoff=0.6)
    return f"; nearest is “{near[0]}”" if near else ""


def read_value(
    row: Property, text: str, *, typed: bool = False, code: str = FILE_CODE
) -> Any:
    """Return the value of a one-line property that text says.

    typed takes what a person types (decimal comma, inches, wire colours in the map's
    code); without it only what files hold. An empty text is the default.
    Raises BadValue with a sentence that names what can be written.
    """
    worded = row.shape in (Shape.COLOUR, Shape.GAUGE, Shape.FORM, Shape.CHOICE)
    limit = WORD_LIMIT if worded else TEXT_LIMIT
    if row.shape is Shape.PICTURE:
        limit = PICTURE_LIMIT
    if len(text) > limit:
        raise BadValue(f"{row.label} is longer than {limit} characters; shorten it")
    if not text.strip():
        if row.required:
            raise BadValue(f"{row.label} is missing; {row.help}")
        return row.default
    return _READERS[row.shape](row, text, typed, code)


def value_text(row: Property, value: Any, *, code: str = FILE_CODE) -> str:
    """Return a one-line property's value as text; '' when not known."""
    if value is None or value == "":
        return ""
    if row.shape in (Shape.NUMBER, Shape.LENGTH, Shape.INTEGER):
        return number_text(value)
    if row.shape is Shape.FLAG:
        return "yes" if value else "no"
    if row.shape is Shape.COLOUR:
        return show_colour(value, code)
    return str(value)


def _read_text(row: Property, text: str, typed: bool, code: str) -> str:
    del typed, code
    bad = next((c for c in text if _is_control(c)), None)
    if bad is not None:
        raise BadValue(
            f"{row.label} holds the control character U+{ord(bad):04X}; remove it"
        )
    if row.shape is Shape.TEXT:
        return " ".join(text.split())
    return text.replace("\r\n", "\n").strip("\n")


def _is_control(char: str) -> bool:
    return unicodedata.category(char) in ("Cc", "Cs") and char not in "\n\t\r"


def _read_number(row: Property, text: str, typed: bool, code: str) -> float:
    del code
    text = " ".join(text.split())  # many spaces would take seconds to look through
    if row.shape is Shape.LENGTH and typed:
        value = read_length_mm(text)
    else:
        if typed and row.unit:
            unit = "(?:a|amps?)" if row.unit == "A" else re.escape(row.unit)
            text = re.sub(rf"\s*{unit}$", "", text.strip(), flags=re.I)
        value = read_number(text, typed=typed)
    if row.shape is Shape.INTEGER:
        if value != int(value):
            raise BadValue(f"{row.label} is a whole number, not {text.strip()}")
        value = int(value)
    unit = f" {row.unit}" if row.unit else ""
    if row.allowed and number_text(value) not in row.allowed:
        raise BadValue(
            f"{row.label} is one of {', '.join(row.allowed)}{unit}, not {text.strip()}"
        )
    low, high = row.low, row.high
    if (low is not None and value < low) or (high is not None and value > high):
        span = (
            f"from {number_text(low or 0)} to {number_text(high)}"
            if high is not None
            else f"at least {number_text(low or 0)}"
        )
        raise BadValue(f"{row.label} must be {span}{unit}, not {text.strip()}")
    return value + 0.0 if row.shape is not Shape.INTEGER else value


def _read_choice(row: Property, text: str, typed: bool, code: str) -> str:
    del code
    word = " ".join(text.split())
    if word in row.allowed:
        return word
    lowered = {choice.lower(): choice for choice in row.allowed}
    if typed:
        if word.lower() in lowered:
            return lowered[word.lower()]
        starts = [c for c in row.allowed if c.lower().startswith(word.lower())]
        if len(starts) == 1:
            return starts[0]
    near = close_match(word, tuple(lowered))
    raise BadValue(
        f"{row.label} cannot be “{word[:40]}”; write one of "
        f"{', '.join(row.allowed)}{near}"
    )


def _read_flag(row: Property, text: str, typed: bool, code: str) -> bool:
    del typed, code
    word = text.strip().lower()
    if word in ("yes", "true"):
        return True
    if word in ("no", "false"):
        return False
    raise BadValue(f"{row.label} is yes or no, not “{text.strip()[:40]}”")


def _read_date(row: Property, text: str, typed: bool, code: str) -> str:
    del typed, code
    word = text.strip()
    try:
        if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", word):
            raise ValueError(word)
        datetime.date.fromisoformat(word)
    except ValueError:
        raise BadValue(
            f"{row.label} is a date written year-month-day such as 2024-05-31, not "
            f"“{word[:40]}”"
        ) from None
    return word


def _read_colour(row: Property, text: str, typed: bool, code: str) -> WireColour:
    del row
    try:
        return read_colour(text, code if typed else FILE_CODE)
    except ColourNotUnderstood as problem:
        raise BadValue(str(problem)) from None


def _read_gauge(row: Property, text: str, typed: bool, code: str) -> str:
    del row, typed, code
    try:
        return read_gauge(text).written
    except GaugeNotUnderstood as problem:
        raise BadValue(str(problem)) from None


def _read_form(row: Property, text: str, typed: bool, code: str) -> str:
    del typed, code
    form = form_named(text)
    if form is None:
        near = closest_forms(text)
        hint = f"; nearest are {', '.join(near)}" if near else ""
        raise BadValue(f"{row.label} “{text.strip()[:40]}” is not known{hint}")
    return form.name


def _read_picture(row: Property, text: str, typed: bool, code: str) -> str:
    del typed, code
    word = "".join(text.split())
    try:
        base64.b64decode(word, validate=True)
    except ValueError:  # binascii.Error is one
        raise BadValue(
            f"{row.label} is no base64 text; add the picture again in the program"
        ) from None
    return word


_READERS = {
    Shape.TEXT: _read_text,
    Shape.LONG_TEXT: _read_text,
    Shape.NUMBER: _read_number,
    Shape.LENGTH: _read_number,
    Shape.INTEGER: _read_number,
    Shape.CHOICE: _read_choice,
    Shape.FLAG: _read_flag,
    Shape.DATE: _read_date,
    Shape.COLOUR: _read_colour,
    Shape.GAUGE: _read_gauge,
    Shape.FORM: _read_form,
    Shape.PICTURE: _read_picture,
}
