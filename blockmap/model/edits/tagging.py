"""Edits that say what a cavity is: properties, table cells, pasted rows, evidence."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from blockmap.model.columns import Column, column
from blockmap.model.document import Cavity, Evidence, Map
from blockmap.model.edits.behind import told_conditions
from blockmap.model.errors import BadValue, EditRefused
from blockmap.model.ids import CavityId
from blockmap.model.schema import property_named

__all__ = [
    "CellEdit",
    "paste_rows",
    "set_cells",
    "set_evidence",
    "set_property",
    "set_texts",
]


class CellEdit(NamedTuple):
    """One cell of the legend table and what is to stand in it."""

    cavity: CavityId
    column: str
    text: str


def set_property(document: Map, ids: Iterable[CavityId], key: str, value: Any) -> Map:
    """Give a property of several cavities one value, already in its own type.

    The log is refused: `add_log` is the only way into it.
    """
    property_named(Cavity, key)
    if key == "log":
        raise EditRefused("The log is only added to; what stands in it stays")
    return _with_cavities(
        document,
        (dataclasses.replace(document.cavities[i], **{key: value}) for i in ids),
    )


def set_texts(document: Map, ids: Iterable[CavityId], key: str, text: str) -> Map:
    """Write one text into one column of several cavities.

    Raises EditRefused when the column cannot take it.
    """
    return set_cells(document, [CellEdit(id_, key, text) for id_ in ids])


def set_cells(document: Map, cells: Iterable[CellEdit]) -> Map:
    """Write many cells in one step; a refusal names the first cell that fails.

    A condition that changes is told in the log of its cavity.
    """
    fresh: dict[CavityId, Cavity] = {}
    code = document.car.colour_code
    for id_, key, text in cells:
        cavity = fresh.get(id_) or document.cavities[id_]
        try:
            fresh[id_] = written(cavity, column(key), text, code)
        except BadValue as problem:
            raise EditRefused(f"{cavity.designation}: {problem}") from None
    told = (told_conditions(document.cavities[i], c) for i, c in fresh.items())
    return _with_cavities(document, told)


def written(cavity: Cavity, into: Column, text: str, code: str) -> Cavity:
    """Return the cavity with a text written into a column.

    Raises BadValue when the column cannot take the text or cannot be written.
    """
    if into.write is None:
        raise BadValue(f"{into.label} follows from elsewhere and cannot be typed")
    if into.read(cavity, code) == text:
        return cavity
    return into.write(cavity, text, code)


def paste_rows(
    document: Map,
    targets: Sequence[CavityId],
    columns: Sequence[str | None],
    rows: Sequence[Sequence[str]],
) -> Map:
    """Write rows of texts over the target cavities, in order; None skips a column.

    Fewer targets than rows refuse the paste, so that nothing is lost unseen.
    """
    if len(rows) > len(targets):
        raise EditRefused(
            f"{len(rows)} rows do not fit on the {len(targets)} cavities from here "
            "on; add cavities or copy fewer rows"
        )
    cells = [
        CellEdit(id_, key, text)
        for id_, row in zip(targets, rows, strict=False)
        for key, text in zip(columns, row, strict=False)
        if key is not None
    ]
    return set_cells(document, cells)


def set_evidence(
    document: Map, ids: Iterable[CavityId], key: str, evidence: Evidence | None
) -> Map:
    """Say how one fact of several cavities is known; None forgets it."""
    changed = []
    for id_ in ids:
        cavity = document.cavities[id_]
        known: Mapping[str, Evidence] = {
            k: v for k, v in cavity.evidence.items() if k != key
        }
        if evidence is not None:
            known = {**known, key: evidence}
        changed.append(dataclasses.replace(cavity, evidence=known))
    return _with_cavities(document, changed)


def _with_cavities(document: Map, cavities: Iterable[Cavity]) -> Map:
    fresh = {c.id: c for c in cavities if c != document.cavities[c.id]}
    if not fresh:
        return document
    return dataclasses.replace(document, cavities={**document.cavities, **fresh})
