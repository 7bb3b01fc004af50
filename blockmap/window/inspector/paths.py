"""Properties of a cavity that lie deeper than a column, each read and written as text.

A path is a column's key, or one of these: contact/load/wires, condition/load/state,
condition/@fuse/note, evidence/rating_a/how. Plain functions of cavities and maps.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from typing import Any

from blockmap.model.columns import column
from blockmap.model.document import (
    Cavity,
    Condition,
    Contact,
    Evidence,
    Map,
)
from blockmap.model.edits.tagging import written
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import CavityId
from blockmap.model.schema import Property, property_named, read_value, value_text
from blockmap.model.written import put_contact, read_wires, wires_text

__all__ = ["is_raw", "read_path", "row_of_path", "set_path", "write_path"]

_PARTS = {"@fuse": "fuse", "@housing": "housing"}


def is_raw(path: str) -> bool:
    """Tell whether the path is a plain property of the cavity."""
    return "/" not in path and path in Cavity.__dataclass_fields__


def row_of_path(path: str) -> Property:
    """Return the row of the schema behind a path. Raises KeyError."""
    kind, _, rest = path.partition("/")
    name = rest.rpartition("/")[2]
    if kind == "contact":
        return property_named(Contact, name)
    if kind == "condition":
        return property_named(Condition, name)
    if kind == "evidence":
        return property_named(Evidence, name)
    return property_named(Cavity, path)


def read_path(cavity: Cavity, path: str, code: str) -> str:
    """Return the text of one property; wire colours in the given code."""
    kind, _, rest = path.partition("/")
    if not rest:
        return column(path).read(cavity, code)
    where, _, name = rest.rpartition("/")
    if kind == "contact":
        contact = cavity.contact(where)
        if name == "wires":
            return wires_text(contact.wires, code)
        return value_text(property_named(Contact, name), getattr(contact, name))
    if kind == "condition":
        condition = _condition(cavity, where)
        return _text_of(condition, name)
    return _text_of(cavity.evidence.get(where), name)


def _text_of(record: Condition | Evidence | None, name: str) -> str:
    if record is None:
        return ""
    return value_text(property_named(type(record), name), getattr(record, name))


def _condition(cavity: Cavity, where: str) -> Condition | None:
    if where in _PARTS:
        found: Condition | None = getattr(cavity, _PARTS[where])
        return found
    return cavity.contact(where).condition


def write_path(cavity: Cavity, path: str, text: str, code: str) -> Cavity:
    """Return the cavity with a text written into one property. Raises BadValue."""
    kind, _, rest = path.partition("/")
    if not rest:
        return written(cavity, column(path), text, code)
    if read_path(cavity, path, code) == text:
        return cavity
    where, _, name = rest.rpartition("/")
    if kind == "contact":
        return _write_contact(cavity, where, name, text, code)
    if kind == "condition":
        return _write_condition(cavity, where, name, text)
    return _write_evidence(cavity, where, name, text)


def _write_contact(
    cavity: Cavity, where: str, name: str, text: str, code: str
) -> Cavity:
    old = cavity.contact(where)
    value: Any
    if name == "wires":
        value = read_wires(text, code, old.wires)
    else:
        value = read_value(property_named(Contact, name), text, typed=True)
    return _with_contact(cavity, where, dataclasses.replace(old, **{name: value}))


def _with_contact(cavity: Cavity, where: str, contact: Contact) -> Cavity:
    contacts = dict(cavity.contacts)
    put_contact(contacts, where, contact)
    return dataclasses.replace(cavity, contacts=contacts)


def _write_condition(cavity: Cavity, where: str, name: str, text: str) -> Cavity:
    """Write one part of a condition; without a state there is no condition."""
    value = read_value(property_named(Condition, name), text, typed=True)
    old = _condition(cavity, where)
    new = None
    if name != "state" or text.strip():
        new = dataclasses.replace(old or Condition(), **{name: value})
    if where in _PARTS:
        return _with_part(cavity, _PARTS[where], new)
    contact = dataclasses.replace(cavity.contact(where), condition=new)
    return _with_contact(cavity, where, contact)


def _with_part(cavity: Cavity, part: str, new: Condition | None) -> Cavity:
    if part == "fuse":
        return dataclasses.replace(cavity, fuse=new)
    return dataclasses.replace(cavity, housing=new)


def _write_evidence(cavity: Cavity, fact: str, name: str, text: str) -> Cavity:
    """Write one part of how a fact is known; without a word nothing is said of it."""
    value = read_value(property_named(Evidence, name), text, typed=True)
    known = {key: one for key, one in cavity.evidence.items() if key != fact}
    if name != "how" or text.strip():
        old = cavity.evidence.get(fact) or Evidence()
        known[fact] = dataclasses.replace(old, **{name: value})
    return dataclasses.replace(cavity, evidence=known)


def set_path(document: Map, ids: Iterable[CavityId], path: str, text: str) -> Map:
    """Write one text into one property of several cavities.

    Raises EditRefused with the sentence of the property.
    """
    code = document.car.colour_code
    fresh: dict[CavityId, Cavity] = {}
    for id_ in ids:
        cavity = document.cavities[id_]
        try:
            new = write_path(cavity, path, text, code)
        except BadValue as problem:
            raise EditRefused(str(problem)) from None
        if new != cavity:
            fresh[id_] = new
    if not fresh:
        return document
    return dataclasses.replace(document, cavities={**document.cavities, **fresh})
