"""Edits of what is behind the panel: damage, repairs, and the log."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

from blockmap.model.document import (
    Cavity,
    Condition,
    LogEntry,
    Map,
    Repair,
)
from blockmap.model.edits.typed import as_files_hold, read_typed
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import CavityId, free_key
from blockmap.model.places import condition_at, find_place, wire_place
from blockmap.model.schema import TEXT_LIMIT
from blockmap.model.units import number_text, read_price
from blockmap.model.written import condition_text, put_contact

__all__ = [
    "add_log",
    "add_repair",
    "advance_repair",
    "parts_of",
    "remove_repair",
    "set_condition",
    "set_conditions",
    "set_repair_text",
    "told_conditions",
    "with_condition",
]


def add_log(document: Map, cavity: CavityId, text: str, date: str | None = None) -> Map:
    """Add a line to a cavity's log, below all that is there. Raises EditRefused."""
    entry = LogEntry(
        date=read_typed(LogEntry, "date", date or ""),
        text=read_typed(LogEntry, "text", text),
    )
    old = document.cavities[cavity]
    return _with(document, dataclasses.replace(old, log=(*old.log, entry)))


def set_condition(
    document: Map, cavity: CavityId, where: str, condition: Condition | None
) -> Map:
    """Say in which state a part of a cavity is; None forgets it. The log keeps both.

    where is a contact's name, 'load wire' or 'load wire 2', 'housing' or 'fuse'.
    Raises EditRefused for a part that the cavity has not.
    """
    old = document.cavities[cavity]
    condition = as_files_hold(condition) if condition else None
    before = condition_at(old, where)
    new = with_condition(old, where, condition)
    if condition == before:
        return document
    said = _said(where, before, condition)
    changed = dataclasses.replace(document, cavities=_put(document, new))
    return add_log(changed, cavity, said, condition.date if condition else None)


def set_conditions(
    document: Map,
    ids: Sequence[CavityId],
    where: Sequence[str],
    values: Mapping[str, Any],
) -> Map:
    """Say the same of the same parts of several cavities, each told in its own log.

    values are properties of a condition; what they leave out stays as it is at each
    place. Parts that a cavity has not are passed over. Raises EditRefused when none
    of them has any.
    """
    met = False
    for id_ in ids:
        for part in where:
            old = condition_at(document.cavities[id_], part)
            new = dataclasses.replace(old or Condition(), **values)
            try:
                document = set_condition(document, id_, part, new)
            except EditRefused:
                if part in parts_of(document.cavities[id_]):
                    raise
                continue
            met = True
    if not met:
        raise EditRefused(f"None of these places has a {' or a '.join(where)}"[:200])
    return document


def parts_of(cavity: Cavity) -> tuple[str, ...]:
    """Return what of a cavity can be damaged: contacts, their wires, and the rest."""
    found: list[str] = []
    for name in cavity.contact_names:
        found.append(name)
        for number, _ in enumerate(cavity.contact(name).wires, 1):
            found.append(f"{name} wire" if number == 1 else f"{name} wire {number}")
    return (*found, "fuse", "housing")


def _said(where: str, before: Condition | None, after: Condition | None) -> str:
    """Return the line of the log for a condition that changed."""
    said = f"{where}: {condition_text(after) or 'condition removed'}"
    if before is not None:
        said += f" (before: {condition_text(before)})"
    if after and after.judged:
        said += f", judged by {after.judged.removeprefix('by ')}"
    return said if len(said) <= TEXT_LIMIT else said[: TEXT_LIMIT - 1] + "…"


def told_conditions(before: Cavity, after: Cavity) -> Cavity:
    """Return a cavity with a line in its log for each condition that changed."""
    was, now = _numbered(before), _numbered(after)
    lines = [
        LogEntry(
            date=now[where].date if where in now else None,
            text=_said(where, was.get(where), now.get(where)),
        )
        for where in dict.fromkeys((*was, *now))
        if was.get(where) != now.get(where)
    ]
    return dataclasses.replace(after, log=(*after.log, *lines)) if lines else after


def _numbered(cavity: Cavity) -> dict[str, Condition]:
    """Return the conditions by place; more wires at one contact are numbered."""
    found: dict[str, Condition] = {}
    for where, condition in cavity.conditions:
        number, name = 1, where
        while name in found:
            number += 1
            name = f"{where} {number}"
        found[name] = condition
    return found


def with_condition(cavity: Cavity, where: str, condition: Condition | None) -> Cavity:
    """Return a cavity with another condition of a part; the log is not told.

    Raises EditRefused for a part that the cavity has not.
    """
    if where == "housing":
        return dataclasses.replace(cavity, housing=condition)
    if where == "fuse":
        return dataclasses.replace(cavity, fuse=condition)
    wire = wire_place(where)
    name = wire[0] if wire else where
    known = (*cavity.contact_names, *cavity.contacts)
    if name not in known:
        parts = ", ".join((*dict.fromkeys(known), "housing", "fuse"))
        raise EditRefused(f"{cavity.designation} has no {where[:40]}; it has {parts}")
    contact = cavity.contact(name)
    if wire:
        wires = list(contact.wires)
        if wire[1] >= len(wires):
            raise EditRefused(
                f"No such wire is noted at {cavity.designation}.{name}; enter it first"
            )
        wires[wire[1]] = dataclasses.replace(wires[wire[1]], condition=condition)
        contact = dataclasses.replace(contact, wires=tuple(wires))
    else:
        contact = dataclasses.replace(contact, condition=condition)
    contacts = dict(cavity.contacts)
    put_contact(contacts, name, contact)
    return dataclasses.replace(cavity, contacts=contacts)


def add_repair(document: Map, repair: Repair, key: str = "") -> tuple[Map, str]:
    """Enter a piece of work; return the map and the key it is filed under.

    Raises EditRefused when its place is empty.
    """
    repair = as_files_hold(repair)
    key = free_key(key, document.repairs) if key else _next_key(document)
    dated = _dated(repair, repair.stage, repair.date)
    changed = dataclasses.replace(document, repairs={**document.repairs, key: dated})
    return _told(changed, document, key), key


def _next_key(document: Map) -> str:
    number = 1
    while f"R{number}" in document.repairs:
        number += 1
    return f"R{number}"


def _dated(repair: Repair, stage: str, date: str | None) -> Repair:
    """Return the repair at a stage, the date filed under that stage as well."""
    field = stage.replace(" ", "_")
    dates: dict[str, Any] = {field: date} if date else {}
    return dataclasses.replace(repair, stage=stage, date=date, **dates)


def advance_repair(
    document: Map, key: str, stage: str, date: str | None = None, note: str = ""
) -> Map:
    """Bring a repair to a stage of its life; the damage it is for follows.

    Dates of the stages before stay, and the log of the place gets a line. Raises
    EditRefused for a repair or a stage that is not known.
    """
    old = _repair(document, key)
    stage = read_typed(Repair, "stage", stage)
    date = read_typed(Repair, "date", date or "")
    new = _dated(old, stage, date)
    if note:
        new = dataclasses.replace(new, note=read_typed(Repair, "note", note))
    if new == old:
        return document
    changed = dataclasses.replace(document, repairs={**document.repairs, key: new})
    return _told(changed, document, key)


def _told(document: Map, before: Map, key: str) -> Map:
    """Let damage and log of a repair's place say how far it has come."""
    repair = document.repairs[key]
    place = find_place(document, repair.at)
    if place is None:
        return document
    cavity = document.cavities[place.cavity]
    condition = condition_at(cavity, place.where) if place.where else None
    if condition is not None and condition.stage != repair.stage:
        staged = dataclasses.replace(condition, stage=repair.stage)
        changed = with_condition(cavity, place.where, staged)
        document = dataclasses.replace(document, cavities=_put(document, changed))
    same = before.repairs.get(key)
    if same is not None and (same.stage, same.date) == (repair.stage, repair.date):
        return document
    parts = (f"{key}: {repair.stage}", repair.what, repair.part)
    said = ", ".join(part for part in parts if part)
    where = f"{place.where}: " if place.where else ""
    return add_log(document, place.cavity, where + said, repair.date)


def set_repair_text(document: Map, key: str, field: str, text: str) -> Map:
    """Write a text into a property of a repair, such as price or source.

    A price is written with its currency, if it has one. Raises EditRefused.
    """
    old = _repair(document, key)
    if field == "stage":
        return advance_repair(document, key, text)
    if field == "price":
        return _set_price(document, key, text)
    value = read_typed(Repair, field, text)
    if getattr(old, field) == value:
        return document
    new = dataclasses.replace(old, **{field: value})
    return dataclasses.replace(document, repairs={**document.repairs, key: new})


def _set_price(document: Map, key: str, text: str) -> Map:
    """Write a price with the currency that stands beside it; none clears both."""
    old = _repair(document, key)
    try:
        price, currency = read_price(text) if text.strip() else (None, "")
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    amount = read_typed(Repair, "price", "" if price is None else number_text(price))
    new = dataclasses.replace(
        old, price=amount, currency=read_typed(Repair, "currency", currency)
    )
    if new == old:
        return document
    return dataclasses.replace(document, repairs={**document.repairs, key: new})


def _repair(document: Map, key: str) -> Repair:
    repair = document.repairs.get(key)
    if repair is None:
        raise EditRefused(f"There is no repair “{key[:40]}”")
    return repair


def remove_repair(document: Map, key: str) -> Map:
    """Forget a repair; what the log says of it stays."""
    if key not in document.repairs:
        return document
    left = {k: r for k, r in document.repairs.items() if k != key}
    return dataclasses.replace(document, repairs=left)


def _put(document: Map, cavity: Cavity) -> dict[CavityId, Cavity]:
    return {**document.cavities, cavity.id: cavity}


def _with(document: Map, cavity: Cavity) -> Map:
    return dataclasses.replace(document, cavities=_put(document, cavity))
