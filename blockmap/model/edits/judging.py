"""Edits of what the owner decides: limits of this map, and findings accepted."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from blockmap.model.document import Map
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.judgements import Acceptance, OwnLimits, said_in_short
from blockmap.model.schema import property_named, read_value
from blockmap.model.units import number_text, read_number
from blockmap.reference.limit_rows import LIMIT_ROWS

__all__ = ["accept_finding", "limit_text", "set_limit", "withdraw_acceptance"]


def limit_text(key: str, value: float | None) -> str:
    """Return a limit as a person types it: shares in percent; '' for the default."""
    if value is None:
        return ""
    return number_text(round(value * 100, 6) if LIMIT_ROWS[key].share else value)


def set_limit(document: Map, key: str, text: str) -> Map:
    """Set a limit of this map; an empty text goes back to the default.

    Shares are typed in percent. Raises EditRefused with what may be written.
    """
    try:
        value = _limit_value(key, text)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
    if getattr(document.limits, key) == value:
        return document
    limits = dataclasses.replace(document.limits, **{key: value})
    return dataclasses.replace(document, limits=limits)


def _limit_value(key: str, text: str) -> float | None:
    row = LIMIT_ROWS[key]
    if not row.share or not text.strip():
        value: float | None = read_value(
            property_named(OwnLimits, key), text, typed=True
        )
        return value
    percent = read_number(text.strip().removesuffix("%"), typed=True)
    share = round(percent / 100, 8)
    if not row.low <= share <= row.high:
        low, high = number_text(100 * row.low), number_text(100 * row.high)
        raise BadValue(
            f"{row.label} must be from {low} to {high} %, not {text.strip()}"
        )
    return share


def accept_finding(
    document: Map,
    code: str,
    objects: Sequence[str],
    said: str,
    reason: str,
    date: str | None = None,
) -> tuple[Map, str]:
    """Accept a finding for what it says now; return the map and the acceptance's key.

    An acceptance of the same finding, which says something else by now, is replaced.
    Raises EditRefused without a reason.
    """
    if not reason.strip():
        raise EditRefused("Say why it is accepted: in a year nobody remembers")
    made = Acceptance(
        finding=_read("finding", code),
        at=tuple(_read("said", each) for each in objects),
        said=_read("said", said_in_short(said)),
        reason=_read("reason", reason),
        date=_read("date", date or ""),
    )
    same = [
        key
        for key, held in document.accepted.items()
        if (held.finding, held.at) == (made.finding, made.at)
    ]
    key = same[0] if same else _next_key(document)
    if document.accepted.get(key) == made:
        return document, key
    accepted = {**document.accepted, key: made}
    return dataclasses.replace(document, accepted=accepted), key


def _next_key(document: Map) -> str:
    number = 1
    while f"A{number}" in document.accepted:
        number += 1
    return f"A{number}"


def withdraw_acceptance(document: Map, key: str) -> Map:
    """Take an acceptance back; the finding counts again."""
    if key not in document.accepted:
        return document
    left = {k: held for k, held in document.accepted.items() if k != key}
    return dataclasses.replace(document, accepted=left)


def _read(key: str, text: str) -> Any:
    try:
        return read_value(property_named(Acceptance, key), text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
