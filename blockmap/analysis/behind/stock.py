"""Counts the fuses in use by form and rating, and how many spares to carry."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.model.document import Map

__all__ = ["FuseStock", "fuse_stock"]

_ONE_IN = 4
"""One spare for each so many in use, at least one. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FuseStock:
    """One kind of fuse: how many cavities take it, and how many spares to carry."""

    form: str
    rating_a: float
    in_use: int
    spares: int


def fuse_stock(document: Map) -> tuple[FuseStock, ...]:
    """Return each form and rating in use, by form and then by amps."""
    counts: dict[tuple[str, float], int] = {}
    for cavity in document.cavities.values():
        if cavity.kind == "fuse" and cavity.rating_a is not None:
            key = (cavity.form or "form not known", cavity.rating_a)
            counts[key] = counts.get(key, 0) + 1
    return tuple(
        FuseStock(form, rating, number, max(1, -(-number // _ONE_IN)))
        for (form, rating), number in sorted(counts.items())
    )
