"""The columns of the legend table, of CSV files and of pasted rows: one row each.

A column reads one text from a cavity and, unless it is computed, writes one back.
Simple properties come straight from the schema; the rest are the short forms of
written.py. The order here is the order in files.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import cache
from typing import Any

from blockmap.model.document import Cavity, Contact
from blockmap.model.errors import BadValue
from blockmap.model.geometry import side_word
from blockmap.model.schema import Shape, property_named, read_value, value_text
from blockmap.model.written import (
    condition_text,
    loads_text,
    outgoing_wires_text,
    put_contact,
    read_condition,
    read_loads,
    read_wires,
    wires_text,
    with_outgoing_wires,
)
from blockmap.reference.forms import form_named

__all__ = ["COLUMNS", "Column", "column", "column_for_heading"]

Read = Callable[[Cavity, str], str]
Write = Callable[[Cavity, str, str], Cavity]


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: read(cavity, colour code) and write(cavity, text, colour code).

    write is None for what follows from elsewhere; it raises BadValue. shown tells
    whether the legend table shows the column at first; numeric aligns right.
    """

    key: str
    label: str
    help: str
    read: Read
    write: Write | None
    shown: bool = False
    numeric: bool = False
    unit: str = ""
    headings: tuple[str, ...] = ()


def _plain(key: str, **more: object) -> Column:
    row = property_named(Cavity, key)

    def read(cavity: Cavity, code: str) -> str:
        return value_text(row, getattr(cavity, key), code=code)

    def write(cavity: Cavity, text: str, code: str) -> Cavity:
        value = read_value(row, text, typed=True, code=code)
        if value == getattr(cavity, key):
            return cavity
        changed = dataclasses.replace(cavity, **{key: value})
        return _with_form_size(cavity, changed) if key == "form" else changed

    column = Column(
        key=key,
        label=row.label,
        help=row.help,
        read=read,
        write=write,
        numeric=row.shape in (Shape.NUMBER, Shape.LENGTH, Shape.INTEGER),
        unit=row.unit,
        headings=row.also_called,
    )
    return dataclasses.replace(column, **more)  # type: ignore[arg-type]


def _with_form_size(before: Cavity, after: Cavity) -> Cavity:
    """Give a cavity the size of its new form, unless its size was set by hand."""
    old, new = form_named(before.form), form_named(after.form)
    if new is None:
        return after
    untouched = old is None or before.size == (old.length_mm, old.width_mm)
    kind = new.kind if old is None or before.kind == old.kind else after.kind
    if not untouched:
        return dataclasses.replace(after, kind=kind)
    return dataclasses.replace(
        after, kind=kind, width_mm=new.length_mm, height_mm=new.width_mm
    )


def _write_designation(cavity: Cavity, text: str, code: str) -> Cavity:
    del code
    key = next((k for k in ("own", "moulded", "manual") if getattr(cavity, k)), "own")
    value = read_value(property_named(Cavity, key), text)
    return dataclasses.replace(cavity, **{key: value})


def _write_feed_side(cavity: Cavity, text: str, code: str) -> Cavity:
    del code
    word = text.strip().lower()
    if not word or "unknown".startswith(word):
        return dataclasses.replace(cavity, feed_end="unknown")
    for end, place in zip(("start", "finish"), cavity.ends, strict=True):
        side = side_word(cavity.centre, place)
        if side.startswith(word):
            return dataclasses.replace(cavity, feed_end=end)
    sides = " or ".join(side_word(cavity.centre, place) for place in cavity.ends)
    raise BadValue(
        f"Feed side of {cavity.designation} cannot be “{text.strip()[:20]}”; as it is "
        f"turned, write {sides}, or unknown"
    )


def _contact_column(
    key: str,
    label: str,
    help: str,  # noqa: A002
    name_of: Callable[[Cavity], str],
    read_one: Callable[[Contact, str], str],
    write_one: Callable[[Contact, str, str], Contact],
    **more: object,
) -> Column:
    def read(cavity: Cavity, code: str) -> str:
        return read_one(cavity.contact(name_of(cavity)), code)

    def write(cavity: Cavity, text: str, code: str) -> Cavity:
        contacts = dict(cavity.contacts)
        name = name_of(cavity)
        put_contact(contacts, name, write_one(cavity.contact(name), text, code))
        return dataclasses.replace(cavity, contacts=contacts)

    column = Column(key=key, label=label, help=help, read=read, write=write)
    return dataclasses.replace(column, **more)  # type: ignore[arg-type]


def _feed_name(cavity: Cavity) -> str:
    names = cavity.contact_names
    return next((n for n in ("feed", "30") if n in names), "feed")


def _main_name(cavity: Cavity) -> str:
    return cavity.main_contact


def _condition_column(key: str, label: str, name_of: Callable[[Cavity], str]) -> Column:
    return _contact_column(
        key,
        label,
        "state of the contact and severity, such as spread 2: by a test lead",
        name_of,
        lambda contact, code: condition_text(contact.condition),
        lambda contact, text, code: dataclasses.replace(
            contact, condition=read_condition(text, contact.condition)
        ),
    )


def _part_condition(key: str, label: str) -> Column:
    def read(cavity: Cavity, code: str) -> str:
        del code
        return condition_text(getattr(cavity, key))

    def write(cavity: Cavity, text: str, code: str) -> Cavity:
        del code
        value: Any = read_condition(text, getattr(cavity, key))
        return dataclasses.replace(cavity, **{key: value})

    return Column(
        key=f"{key}_condition",
        label=f"{label} condition",
        help=f"state of the {label.lower()}, such as broken 1: blown",
        read=read,
        write=write,
    )


@cache
def _columns() -> tuple[Column, ...]:
    return (
        Column(
            key="block",
            label="Block",
            help="key of the block the cavity is in",
            read=lambda cavity, code: cavity.block,
            write=None,
        ),
        Column(
            key="designation",
            label="Place",
            help="the name of the cavity that is shown first",
            read=lambda cavity, code: cavity.designation,
            write=_write_designation,
            shown=True,
            headings=(
                *("position", "pos", "no", "nr", "number", "cavity", "#"),
                *("fuse no", "fuse number", "place no"),
            ),
        ),
        _plain("kind"),
        _plain("x_mm"),
        _plain("y_mm"),
        _plain("width_mm"),
        _plain("height_mm"),
        _plain("turn_deg"),
        _plain("form", shown=True),
        _plain("rating_a", shown=True),
        _plain("fitted_a", shown=True),
        _plain("circuit", shown=True),
        _plain("legend", shown=True),
        Column(
            key="wires",
            label="Wires",
            help="colour and gauge of the wires that leave, parted by semicolons",
            read=outgoing_wires_text,
            write=with_outgoing_wires,
            shown=True,
            headings=("wire", "colour", "color", "wire colour", "wire color"),
        ),
        Column(
            key="loads",
            label="Loads",
            help="consumers and their amps or watts, such as horn 5 A; locks 10 A for "
            "short times",
            read=lambda cavity, code: loads_text(cavity.loads),
            write=lambda cavity, text, code: dataclasses.replace(
                cavity, loads=read_loads(text, cavity.loads)
            ),
            shown=True,
            headings=("load", "consumers", "feeds", "what it feeds"),
        ),
        _condition_column("feed_condition", "Feed contact", _feed_name),
        _condition_column("load_condition", "Load contact", _main_name),
        _plain("own"),
        _plain("moulded"),
        _plain("manual"),
        _plain("legend_long"),
        _plain("legend_short"),
        Column(
            key="feed_side",
            label="Feed side",
            help="where the feed contact lies in the front view: left, right, top ...",
            read=lambda cavity, code: cavity.feed_side,
            write=_write_feed_side,
        ),
        _contact_column(
            "feed_wires",
            "Feed wires",
            "colour and gauge of the wires at the feed contact",
            _feed_name,
            lambda contact, code: wires_text(contact.wires, code),
            lambda contact, text, code: dataclasses.replace(
                contact, wires=read_wires(text, code, contact.wires)
            ),
        ),
        _contact_column(
            "fed_from",
            "Fed from",
            "the contact that feeds this cavity by wire, such as F7.load",
            _feed_name,
            lambda contact, code: contact.fed_from,
            lambda contact, text, code: dataclasses.replace(
                contact, fed_from=read_value(property_named(Contact, "fed_from"), text)
            ),
        ),
        _part_condition("fuse", "Fuse"),
        _part_condition("housing", "Housing"),
        _plain("fitted_form"),
        _plain("off_panel"),
        _plain("do_not_use"),
        _plain("notes"),
    )


COLUMNS = _columns()

_BY_KEY = {column.key: column for column in COLUMNS}


def column(key: str) -> Column:
    """Return the column with this key. Raises KeyError."""
    return _BY_KEY[key]


def column_for_heading(heading: str) -> Column | None:
    """Return the column that a table's heading names: key, label or usual word."""
    word = " ".join(heading.replace("_", " ").split()).lower().rstrip(".")
    for unit in (" (a)", " (mm)", " a", " mm", " deg"):
        if word.endswith(unit) and word not in _headings():
            word = word.removesuffix(unit)
    return _headings().get(word)


@cache
def _headings() -> dict[str, Column]:
    words: dict[str, Column] = {}
    for one in COLUMNS:
        for word in (one.key.replace("_", " "), one.label.lower(), *one.headings):
            words.setdefault(word, one)
    for bare in ("rating", "fitted", "x", "y", "turn"):
        match = next(c for c in COLUMNS if c.key.split("_")[0] == bare)
        words.setdefault(bare, match)
    return words
