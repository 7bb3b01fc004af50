"""Edits of the readings notebook: one reading a row, typed text by text.

A text is held against the shape of its property, states against those the map knows.
Whether the map has the point that was probed is not judged here.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable
from typing import Any

from blockmap.model.document import Map, Reading
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.schema import (
    SCALARS,
    close_match,
    properties,
    property_named,
    read_value,
    value_text,
)
from blockmap.reference.trade_words import KEY_STATES, SWITCH_STATES

__all__ = [
    "add_reading",
    "note_again",
    "reading_text",
    "remove_reading",
    "same_test",
    "set_aside",
    "set_reading_text",
    "states_named",
    "weigh_again",
]

_WITH_UNIT = re.compile(r"(?P<value>.*\d)\s*(?P<unit>mV|V|mA|A|ohm|Ω)", re.IGNORECASE)
_SEVERAL = ("states", "out")


def add_reading(document: Map, reading: Reading, key: str = "") -> tuple[Map, str]:
    """Note a reading below the others; return the map and the key it is filed under.

    Raises EditRefused when its point is empty or a value cannot be held by a file.
    """
    values: dict[str, Any] = {}
    for row in properties(Reading):
        held = getattr(reading, row.key)
        if row.shape in SCALARS:
            values[row.key] = _read(row.key, value_text(row, held))
        else:
            values[row.key] = _words(row.key, held)
    if not key or key in document.readings:
        number = len(document.readings) + 1
        while f"M{number}" in document.readings:
            number += 1
        key = f"M{number}"
    noted = {**document.readings, key: Reading(**values)}
    return dataclasses.replace(document, readings=noted), key


def same_test(reading: Reading) -> tuple[object, ...]:
    """Return what two readings have in common when they are of one test."""
    meter = {"mV": "V", "mA": "A"}.get(reading.unit, reading.unit)
    return (
        " ".join(reading.point.casefold().split()),
        " ".join(reading.against.casefold().split()),
        frozenset(state.upper() for state in reading.states),
        frozenset(part.strip().casefold() for part in reading.load.split(";")),
        frozenset(each.casefold() for each in reading.out),
        meter if reading.value is not None else "",
        "in place" in reading.meter.casefold(),
    )


def note_again(document: Map, *readings: Reading) -> Map:
    """Note readings, each in place of the same test of the same day.

    One of another day, or one that is set aside, stays; the new one is noted below.
    Raises EditRefused when a reading cannot be held by a file.
    """
    for reading in readings:
        test = same_test(reading)
        same = [
            key
            for key, held in document.readings.items()
            if held.date == reading.date and not held.aside and same_test(held) == test
        ]
        if not same:
            document, _ = add_reading(document, reading)
            continue
        held = document.readings[same[-1]]
        new = dataclasses.replace(
            held, value=reading.value, unit=reading.unit, seen=reading.seen
        )
        if new != held:
            noted = {**document.readings, same[-1]: new}
            document = dataclasses.replace(document, readings=noted)
    return document


def set_reading_text(document: Map, key: str, field: str, text: str) -> Map:
    """Write a typed text into a property of a reading.

    Several states, or several things that were out, are parted by commas. A value may
    carry its unit, such as 450 mV. Raises EditRefused.
    """
    old = document.readings.get(key)
    if old is None:
        raise EditRefused(f"There is no reading “{key[:40]}”")
    values: dict[str, Any] = {field: None}
    if field == "states":
        values[field] = states_named(document, text)
    elif field == "out":
        values[field] = _words(field, re.split(r"[,;]", text))
    elif field == "value" and (match := _WITH_UNIT.fullmatch(text.strip())):
        values[field] = _read(field, match["value"])
        unit = match["unit"]
        values["unit"] = _read("unit", "ohm" if unit == "Ω" else _unit(unit))
    else:
        values[field] = _read(field, text)
    new = dataclasses.replace(old, **values)
    if new == old:
        return document
    return dataclasses.replace(document, readings={**document.readings, key: new})


def remove_reading(document: Map, *keys: str) -> Map:
    """Forget readings."""
    if not any(key in document.readings for key in keys):
        return document
    left = {k: r for k, r in document.readings.items() if k not in keys}
    return dataclasses.replace(document, readings=left)


def set_aside(document: Map, *keys: str) -> Map:
    """Keep readings as taken before a repair: they are no longer weighed."""
    return _with_aside(document, keys, aside=True)


def weigh_again(document: Map, *keys: str) -> Map:
    """Weigh readings again that were set aside."""
    return _with_aside(document, keys, aside=False)


def _with_aside(document: Map, keys: Iterable[str], *, aside: bool) -> Map:
    changed = {
        key: dataclasses.replace(held, aside=aside)
        for key in keys
        if (held := document.readings.get(key)) is not None and held.aside != aside
    }
    if not changed:
        return document
    return dataclasses.replace(document, readings={**document.readings, **changed})


def reading_text(reading: Reading, field: str) -> str:
    """Return what a property of a reading says, as a person types it."""
    held = getattr(reading, field)
    if field in _SEVERAL:
        return ", ".join(held)
    return value_text(property_named(Reading, field), held)


def _unit(word: str) -> str:
    return {"v": "V", "mv": "mV", "a": "A", "ma": "mA", "ohm": "ohm"}[word.lower()]


def _read(key: str, text: str) -> Any:
    try:
        return read_value(property_named(Reading, key), text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None


def _words(key: str, texts: Any) -> tuple[str, ...]:
    """Return texts as a file would give them back, without empty ones."""
    row = property_named(Reading, "note")
    found = []
    for text in texts:
        try:
            found.append(str(read_value(row, text)))
        except BadValue as problem:
            raise EditRefused(str(problem).replace(row.label, key, 1)) from None
    return tuple(dict.fromkeys(text for text in found if text))


def states_named(document: Map, text: str) -> tuple[str, ...]:
    """Return the states that a text names, as the map writes them.

    Raises EditRefused with the words that may be written.
    """
    own = {state.casefold(): state for state in document.car.states}
    known = {state.casefold(): state for state in (*KEY_STATES, *SWITCH_STATES)} | own
    found: dict[str, None] = {}
    for word in _words("states", re.split(r"[,;+]", text)):
        state = known.get(word.casefold())
        if state is None:
            near = close_match(word, tuple(known))
            for lowered, proper in known.items():
                near = near.replace(f"“{lowered}”", f"“{proper}”")
            raise EditRefused(
                f"“{word[:40]}” is no key or switch state of this map; write one of "
                f"{', '.join(known.values())}{near}"
            )
        found[state] = None
    return tuple(found)
