"""One line of the parts list; equal lines are merged, prices summed by currency.

Which parts there are follows from the damage; see parts.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from blockmap.model.units import price_text

__all__ = ["SORTS", "Part", "joined", "merged", "price_sums", "sum_words"]

SORTS = ("strip", "block part", "terminal", "wire", "fuse", "other")
"""The order of the list."""

_ONCE = ("strip", "block part")
"""What is bought once, however many places ask for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line of the parts list.

    ``count`` are needed, ``perhaps`` more if a milder cure does not hold. ``places``
    are the contacts they are for, in words, and ``at`` the same as references.
    ``stages`` holds one stage for each place; prices are for one piece. Empty texts
    mean that nothing is noted.
    """

    sort: str
    name: str
    family: str = ""
    gauge: str = ""
    seal: str = ""
    side: str = ""
    count: int = 1
    perhaps: int = 0
    places: tuple[str, ...] = ()
    at: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    ordered: str = ""
    received: str = ""
    price: float | None = None
    currency: str = ""
    source: str = ""
    note: str = ""
    repairs: tuple[str, ...] = ()

    @property
    def stage(self) -> str:
        """The stages in words, such as '2 ordered, 1 found'."""
        counted = {stage: self.stages.count(stage) for stage in self.stages}
        if len(counted) == 1:
            return next(iter(counted))
        return ", ".join(f"{number} {stage}" for stage, number in counted.items())


def _key(part: Part) -> tuple[str, ...]:
    return (part.sort, part.name, part.family, part.gauge, part.seal, part.side)


def merged(parts: Iterable[Part]) -> list[Part]:
    """Return the lines with equal ones made one, in their order.

    Equal parts at two prices stay two lines, so that each sum is right.
    """
    found: dict[tuple[str, ...], list[Part]] = {}
    for part in parts:
        lines = found.setdefault(_key(part), [])
        at = next((n for n, line in enumerate(lines) if _one_price(line, part)), None)
        if at is None:
            lines.append(part)
        else:
            lines[at] = _both(lines[at], part)
    return [line for lines in found.values() for line in lines]


def _one_price(one: Part, other: Part) -> bool:
    prices = {(p.price, p.currency) for p in (one, other) if p.price is not None}
    return len(prices) < 2 or one.sort in _ONCE


def _both(old: Part, new: Part) -> Part:
    once = old.sort in _ONCE
    places = tuple(dict.fromkeys((*old.places, *new.places)))
    priced = old if old.price is not None else new
    same_place = once or (old.sort == "fuse" and places == old.places)
    return replace(
        old,
        count=max(old.count, new.count) if same_place else old.count + new.count,
        perhaps=0 if same_place else old.perhaps + new.perhaps,
        places=places,
        at=tuple(dict.fromkeys((*old.at, *new.at))),
        why=tuple(dict.fromkeys((*old.why, *new.why))),
        stages=old.stages if same_place else (*old.stages, *new.stages),
        ordered=joined(old.ordered, new.ordered),
        received=joined(old.received, new.received),
        price=priced.price,
        currency=priced.currency,
        source=joined(old.source, new.source),
        note=joined(old.note, new.note),
        repairs=tuple(dict.fromkeys((*old.repairs, *new.repairs))),
    )


def joined(one: str, other: str) -> str:
    """Return two texts as one; equal or empty ones are not repeated."""
    return "; ".join(dict.fromkeys(text for text in (one, other) if text))


def price_sums(parts: Iterable[Part]) -> tuple[tuple[float, str], ...]:
    """Return the sum of the prices in each currency; '' stands for none named.

    A line that is only perhaps needed counts as one piece.
    """
    sums: dict[str, tuple[float, str]] = {}
    for part in parts:
        if part.price is not None:
            key = part.currency.casefold()
            so_far, shown = sums.get(key, (0.0, part.currency))
            sums[key] = (so_far + part.price * max(part.count, 1), shown)
    return tuple(sums.values())


def sum_words(parts: Iterable[Part]) -> str:
    """Return the sums in words, '6.00 EUR + 4.00 without currency'; '' for none."""
    sums = price_sums(parts)
    bare = "without currency" if len(sums) > 1 else ""
    said = (price_text(amount, currency or bare) for amount, currency in sums)
    return " + ".join(said)
