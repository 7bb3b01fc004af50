"""Properties of a cavity that lie deeper than a column, each read and written as text.

A path is a column's key, or one of these: contact/load/wires, condition/load/state,
condition/load wire/note, condition/@fuse/note, evidence/rating_a/how. Plain functions
of cavities and maps. A condition is written through the edit that tells the log.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from blockmap.model.columns import column
from blockmap.model.document import (
    Cavity,
    Condition,
    Contact,
    Evidence,
    LogEntry,
    Map,
)
from blockmap.model.edits.behind import set_condition
from blockmap.model.edits.tagging import written
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import CavityId
from blockmap.model.places import condition_at
from blockmap.model.schema import Property, property_named, read_value, value_text
from blockmap.model.written import put_contact, read_wires, wires_text

__all__ = [
    "ConditionVisit",
    "is_raw",
    "part_read",
    "read_path",
    "row_of_path",
    "set_path",
    "write_path",
]

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


def part_read(path: str) -> Callable[[Cavity], object]:
    """Return what gives the record that `read_path` reads from a cavity.

    Where that is the same, so is the text.
    """
    kind, _, rest = path.partition("/")
    where = rest.rpartition("/")[0]
    if kind == "contact" and rest:
        return lambda cavity: cavity.contact(where)
    if kind == "condition" and rest:
        part = _PARTS.get(where, where)
        return lambda cavity: condition_at(cavity, part)
    if kind == "evidence" and rest:
        return lambda cavity: cavity.evidence.get(where)
    return lambda cavity: cavity


def _text_of(record: Condition | Evidence | None, name: str) -> str:
    if record is None:
        return ""
    return value_text(property_named(type(record), name), getattr(record, name))


def _condition(cavity: Cavity, where: str) -> Condition | None:
    return condition_at(cavity, _PARTS.get(where, where))


def write_path(cavity: Cavity, path: str, text: str, code: str) -> Cavity:
    """Return the cavity with a text written into one property. Raises BadValue.

    Conditions are left to `set_path`, which tells the log.
    """
    kind, _, rest = path.partition("/")
    if not rest:
        return written(cavity, column(path), text, code)
    if read_path(cavity, path, code) == text:
        return cavity
    where, _, name = rest.rpartition("/")
    if kind == "contact":
        return _write_contact(cavity, where, name, text, code)
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


def _condition_with(
    old: Condition | None, name: str, text: str, date: str, *, begun: bool
) -> Condition | None:
    """Return a condition with one part written; without a state there is none.

    A state that is judged anew is dated, unless the visit has begun already.
    Raises BadValue.
    """
    value = read_value(property_named(Condition, name), text, typed=True)
    if name == "state" and not text.strip():
        return None
    new = dataclasses.replace(old or Condition(), **{name: value})
    if name == "state" and date and not (begun and new.date):
        new = dataclasses.replace(new, date=date)
    return new


@dataclass(frozen=True, slots=True)
class _Begun:
    """How a part stood when it was first touched in a visit, and how it stands now."""

    log: tuple[LogEntry, ...]
    condition: Condition | None
    log_now: tuple[LogEntry, ...]
    condition_now: Condition | None


class ConditionVisit:
    """One look at a place: what is typed in several fields makes one line of its log.

    The line follows the fields until another edit touches the place, the selection
    goes elsewhere, or a field is undone; from then on it stays as it is.
    """

    def __init__(self, date: str = "") -> None:
        self.date = date
        self._begun: dict[tuple[CavityId, str], _Begun] = {}

    def begun(self, cavity: Cavity, where: str) -> _Begun | None:
        """Return how the part stood before the visit, while that still holds."""
        known = self._begun.get((cavity.id, where))
        if known is None or known.log_now != cavity.log:
            return None
        return known if known.condition_now == condition_at(cavity, where) else None

    def note(self, before: Map, after: Map, ids: Iterable[CavityId], path: str) -> None:
        """Remember an edit of this visit that was made."""
        where = path.partition("/")[2].rpartition("/")[0]
        where = _PARTS.get(where, where)
        for id_ in ids:
            old, new = before.cavities[id_], after.cavities[id_]
            known = self.begun(old, where)
            self._begun[(id_, where)] = _Begun(
                known.log if known else old.log,
                known.condition if known else condition_at(old, where),
                new.log,
                condition_at(new, where),
            )


def _set_condition(
    document: Map,
    id_: CavityId,
    path: str,
    text: str,
    visit: ConditionVisit | None,
) -> Map:
    where, _, name = path.partition("/")[2].rpartition("/")
    where = _PARTS.get(where, where)
    cavity = document.cavities[id_]
    begun = visit.begun(cavity, where) if visit else None
    date = visit.date if visit else ""
    old = condition_at(cavity, where)
    new = _condition_with(old, name, text, date, begun=begun is not None)
    if new == old:
        return document
    if begun is not None:
        document = set_condition(document, id_, where, begun.condition)
        bare = dataclasses.replace(document.cavities[id_], log=begun.log)
        document = dataclasses.replace(
            document, cavities={**document.cavities, id_: bare}
        )
    return set_condition(document, id_, where, new)


def _write_evidence(cavity: Cavity, fact: str, name: str, text: str) -> Cavity:
    """Write one part of how a fact is known; without a word nothing is said of it."""
    value = read_value(property_named(Evidence, name), text, typed=True)
    known = {key: one for key, one in cavity.evidence.items() if key != fact}
    if name != "how" or text.strip():
        old = cavity.evidence.get(fact) or Evidence()
        known[fact] = dataclasses.replace(old, **{name: value})
    return dataclasses.replace(cavity, evidence=known)


def set_path(
    document: Map,
    ids: Iterable[CavityId],
    path: str,
    text: str,
    visit: ConditionVisit | None = None,
) -> Map:
    """Write one text into one property of several cavities.

    What is said of a condition is told in the log of its cavity; of one visit there
    is one line. Raises EditRefused with the sentence of the property.
    """
    if path.startswith("condition/"):
        try:
            for id_ in ids:
                document = _set_condition(document, id_, path, text, visit)
        except BadValue as problem:
            raise EditRefused(str(problem)) from None
        return document
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
