"""Random maps for property tests: everything the schema allows, and little sense.

Records are built from the rows of the schema, so a new property is tested at once.
"""

from __future__ import annotations

import base64
import datetime
from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from blockmap.model.assumed import ODDS_KEYS
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
from blockmap.model.evidence import FACT_KEYS
from blockmap.model.geometry import Point
from blockmap.model.ids import KEY_PATTERN, cavity_id
from blockmap.model.schema import Property, Shape, properties
from blockmap.reference.forms import FORMS
from blockmap.reference.wire_colours import RGB, WireColour

__all__ = ["TRAPS", "keys", "maps", "records", "texts"]

_MISREAD = (
    "on off yes no NO Y ~ null 1:30 010 00123 0x1F 1e3 2024-05-31 = .nan .inf - -- ... "
    "--- true False # ! & * @ ` ' \" : :: ? | > % {} [] <<"
)

TRAPS = (
    *_MISREAD.split(" "),
    "a: b",
    "a #b",
    "- a",
    "C:\\temp",
    "ends\\",
    "é ⏚ Ω",
    "🔌",
    "\u202eabc",
    "x\u200by",
    "\ufeffx",
    "=1+1",
    "'=1",
)
"""Texts that YAML, a spreadsheet or a terminal would read as something else."""

_LETTERS = st.characters(
    codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff"
)


def texts(max_size: int = 12) -> st.SearchStrategy[str]:
    """One line of text as the model keeps it: single spaces, none at the ends."""
    free = st.text(_LETTERS, max_size=max_size)
    return st.one_of(st.sampled_from(TRAPS), free).map(lambda t: " ".join(t.split()))


def _long_texts() -> st.SearchStrategy[str]:
    lines = st.lists(texts(), max_size=3).map("\n".join)
    return lines.map(lambda text: text.strip("\n") if text.strip() else "")


def keys() -> st.SearchStrategy[str]:
    """Keys of blocks, cavities, strips, contacts, readings and repairs."""
    usual = st.sampled_from(["F1", "F2", "30", "87a", "no", "on", "1e3", "~", "é", "-"])
    odd = st.text(_LETTERS, min_size=1, max_size=6)
    fits = KEY_PATTERN.fullmatch
    return st.one_of(usual, odd.filter(lambda key: bool(fits(key))))


def _numbers(row: Property) -> st.SearchStrategy[float]:
    if row.allowed:
        return st.sampled_from(row.allowed).map(float)
    low = -2000.0 if row.low is None else row.low
    high = 2000.0 if row.high is None else row.high
    any_ = st.floats(low, high).map(lambda number: number + 0.0)
    if int(low) + 1 > int(high):
        return any_
    return st.one_of(any_, st.integers(int(low) + 1, int(high)).map(float))


def _integers(row: Property) -> st.SearchStrategy[int]:
    return st.integers(int(row.low or 0), int(row.high or 100))


def _colours() -> st.SearchStrategy[WireColour]:
    names = st.sampled_from(sorted(RGB))
    stripes = st.lists(names, max_size=2).map(tuple)
    return st.builds(WireColour, base=names, stripes=stripes)


_SCALARS: dict[Shape, Callable[[Property], st.SearchStrategy[Any]]] = {
    Shape.TEXT: lambda row: texts(),
    Shape.LONG_TEXT: lambda row: _long_texts(),
    Shape.NUMBER: _numbers,
    Shape.LENGTH: _numbers,
    Shape.INTEGER: _integers,
    Shape.CHOICE: lambda row: st.sampled_from(row.allowed),
    Shape.FLAG: lambda row: st.booleans(),
    Shape.DATE: lambda row: st.dates(datetime.date(1950, 1, 1)).map(
        datetime.date.isoformat
    ),
    Shape.COLOUR: lambda row: _colours(),
    Shape.GAUGE: lambda row: st.sampled_from(["16 AWG", "1.5 mm2", "14/0.30"]),
    Shape.FORM: lambda row: st.sampled_from(sorted(FORMS)),
    Shape.PICTURE: lambda row: st.binary(max_size=12).map(
        lambda data: base64.b64encode(data).decode("ascii")
    ),
    Shape.TEXTS: lambda row: st.lists(texts(), max_size=3).map(tuple),
}


def _values(row: Property, key: str) -> st.SearchStrategy[Any]:
    if row.shape is Shape.RECORD:
        return records(row.record)
    if row.shape is Shape.RECORDS:
        return st.lists(records(row.record), max_size=2).map(tuple)
    if row.shape is Shape.RECORD_MAP:
        names = st.sampled_from(FACT_KEYS) if key == "evidence" else keys()
        return st.dictionaries(names, records(row.record), max_size=2)
    if row.shape is Shape.POINTS:
        return st.just(()) if key != "outline" else _outlines()
    values = _SCALARS[row.shape](row)
    if row.required and row.shape is Shape.TEXT:
        return values.filter(bool)
    return values


def _outlines() -> st.SearchStrategy[tuple[Point, ...]]:
    """Rectangles with a corner cut off: simple by their making."""

    def cut(width: float, height: float) -> tuple[Point, ...]:
        return (
            Point(0.0, 0.0),
            Point(width, 0.0),
            Point(width, height / 2),
            Point(width / 2, height),
            Point(0.0, height),
        )

    sides = st.integers(5, 500).map(lambda side: side / 2)
    return st.builds(cut, sides, sides)


def records(kind: Any, **given: Any) -> st.SearchStrategy[Any]:
    """Records of a class of the schema, each property often left out."""
    rows = properties(kind)
    needed = {row.key: _values(row, row.key) for row in rows if row.required}
    chosen = {row.key: _values(row, row.key) for row in rows if not row.required}
    chosen = {key: value for key, value in chosen.items() if key not in given}
    return st.fixed_dictionaries(needed, optional=chosen).map(
        lambda values: kind(**given, **values)
    )


@st.composite
def maps(draw: st.DrawFn, most: int = 3) -> Map:
    """Draw a map with up to so many blocks, cavities and strips of each."""
    blocks: dict[str, Block] = {}
    cavities: dict[str, Cavity] = {}
    strips: dict[str, Strip] = {}
    some_keys = st.lists(keys(), max_size=most, unique=True)
    for name in draw(some_keys):
        blocks[name] = draw(records(Block, id=name))
        for key in draw(some_keys):
            identity = cavity_id(name, key)
            cavities[identity] = draw(records(Cavity, id=identity, block=name))
        for key in draw(some_keys):
            identity = cavity_id(name, key)
            strips[identity] = draw(
                records(
                    Strip,
                    id=identity,
                    block=name,
                    members=draw(_members(cavities)),
                    jumpers=(),
                )
            )
    return Map(
        car=draw(records(Car)),
        blocks=blocks,
        cavities=cavities,
        strips=strips,
        readings=draw(st.dictionaries(keys(), records(Reading), max_size=most)),
        repairs=draw(st.dictionaries(keys(), records(Repair), max_size=most)),
        families=draw(st.dictionaries(keys(), records(TerminalFamily), max_size=most)),
        limits=draw(records(OwnLimits)),
        work=draw(records(OwnWork)),
        odds=draw(
            st.dictionaries(st.sampled_from(sorted(ODDS_KEYS)), records(OwnOdds))
        ),
        accepted=draw(st.dictionaries(keys(), records(Acceptance), max_size=most)),
    )


def _members(cavities: dict[str, Cavity]) -> st.SearchStrategy[tuple[str, ...]]:
    if not cavities:
        return st.just(())
    contacts = st.builds(
        lambda cavity, contact: f"{cavity}.{contact}",
        st.sampled_from(sorted(cavities)),
        st.sampled_from(["feed", "load", "30"]),
    )
    return st.lists(contacts, max_size=3).map(tuple)
