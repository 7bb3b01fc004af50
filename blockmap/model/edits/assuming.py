"""Edits of what the fault search takes for granted: minutes of work, odds of faults."""

from __future__ import annotations

import dataclasses
from typing import Any

from blockmap.model.assumed import ODDS_KEYS, OwnOdds, OwnWork
from blockmap.model.document import Map
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.schema import property_named, read_value

__all__ = ["forget_assumed", "set_odds", "set_work"]


def set_work(document: Map, key: str, text: str) -> Map:
    """Set the minutes of a kind of work, or the lamp's watts; empty is the default.

    Raises EditRefused with what may be written.
    """
    work = dataclasses.replace(document.work, **{key: _read(OwnWork, key, text)})
    return document if work == document.work else _with(document, work=work)


def set_odds(document: Map, key: str, fault: str, text: str) -> Map:
    """Set how often a kind of part fails in one way: open, resistance or short.

    ``key`` is one of ODDS_KEYS. An empty text goes back to the default. Raises
    EditRefused with what may be written.
    """
    if key not in ODDS_KEYS:
        raise EditRefused(f"There is no kind of part “{key[:40]}”")
    before = document.odds.get(key, OwnOdds())
    after = dataclasses.replace(before, **{fault: _read(OwnOdds, fault, text)})
    if after == before:
        return document
    odds = {**document.odds, key: after}
    if after == OwnOdds():
        del odds[key]
    return _with(document, odds=odds)


def forget_assumed(document: Map) -> Map:
    """Go back to the defaults of all work and odds."""
    if not document.odds and document.work == OwnWork():
        return document
    return _with(document, work=OwnWork(), odds={})


def _with(document: Map, **changes: Any) -> Map:
    return dataclasses.replace(document, **changes)


def _read(record: type, key: str, text: str) -> Any:
    try:
        return read_value(property_named(record, key), text, typed=True)
    except BadValue as problem:
        raise EditRefused(str(problem)) from None
