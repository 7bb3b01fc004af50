"""Holds how long fuses take to open at a given overload, as published bands.

The gap between the fastest and the slowest time is wide on purpose: no single time is
given. Between two published points nothing is interpolated here. Bodies without a
published table have none; a table of one body is no proof for another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Status

__all__ = ["HOLDS_S", "OPENING_POINTS", "OpeningPoint", "opening_points"]

HOLDS_S: Final = 360_000.0
"""100 h in seconds, which the datasheets mean by 'must not open'."""


@dataclass(frozen=True, slots=True)
class OpeningPoint:
    """One published point of a family of fuses.

    ``percent`` of the rating; ``least_s`` and ``most_s`` are the fastest and slowest
    time to open in seconds, None where the document gives none. The point holds for
    ratings from ``from_a`` to ``to_a`` in amps.
    """

    from_a: float
    to_a: float
    percent: float
    least_s: float | None
    most_s: float | None
    status: Status
    sources: tuple[Source, ...]
    note: str = ""


def _point(
    amps: tuple[float, float],
    percent: float,
    least_s: float | None,
    most_s: float | None,
    *sources: Source,
) -> OpeningPoint:
    status = Status.VERIFIED if sources else Status.MEMORY
    note = "" if sources else MEMORY_NOTE
    return OpeningPoint(*amps, percent, least_s, most_s, status, sources, note)


_M, _N, _O = doc.MEDIUM_TIMES, doc.MEDIUM_TIMES_OLDER, doc.MEDIUM_TIMES_EXCERPT
_A, _B, _C = doc.MINI_TIMES_15, doc.MINI_TIMES_3, doc.MINI_TIMES_EXCERPT
_D, _X, _U = doc.MINI_TIMES, doc.MAXI_DATASHEET, doc.UL_248_14
_G, _T = doc.GLASS_25_DATASHEET, doc.GLASS_DELAY_DATASHEET
_ALL = (0.0, 60.0)
_HOURS = 3600.0

OPENING_POINTS: Mapping[str, tuple[OpeningPoint, ...]] = MappingProxyType(
    {
        "medium blade": (
            _point((35, 40), 100, HOLDS_S, None, _M),
            _point((1, 2), 135, 0.35, 600, _N),
            _point((3, 40), 135, 0.75, 600, _M, _N),
            _point((3, 40), 160, 0.25, 50, _O),
            _point((1, 2), 200, 0.1, 5, _N),
            _point((3, 40), 200, 0.15, 5, _M, _N, _O),
            _point((35, 40), 350, 0.08, 0.5, _M),
            _point((35, 40), 600, None, 0.15, _M),
        ),
        "mini blade": (
            _point((2, 30), 110, HOLDS_S, None, _C),
            _point((2, 30), 135, 0.75, 600, _B, _C),
            _point((2, 30), 160, 0.25, 50),
            _point((2, 30), 200, 0.15, 5, _D, _A, _B, _C),
            _point((2, 30), 350, 0.08, 0.5, _A, _B, _C),
            _point((2, 30), 600, 0.03, 0.1, _D, _A, _B, _C),
        ),
        "maxi blade": (
            _point((20, 80), 100, HOLDS_S, None, _X),
            _point((20, 80), 135, 60, 1800, _X),
            _point((20, 80), 200, 2, 50, _X),
            _point((20, 80), 350, 0.2, 7, _X),
            _point((20, 80), 600, 0.04, 1, _X),
        ),
        "glass 6.3 x 32": (
            _point(_ALL, 135, None, _HOURS, _U),
            _point((0, 30), 200, None, 120, _U),
            _point((35, 60), 200, None, 240, _U),
        ),
        "glass 6.3 x 25": (
            _point((0.0625, 30), 110, 4 * _HOURS, None, _G),
            _point((0.0625, 30), 135, None, _HOURS, _G),
            _point((0.0625, 2), 200, None, 5, _G),
            _point((2.5, 30), 200, None, 120, _G),
        ),
        "glass 6.3 x 32, time delay": (
            _point(_ALL, 110, 4 * _HOURS, None, _T),
            _point(_ALL, 135, None, _HOURS, _T),
            _point(_ALL, 200, None, 120, _T),
        ),
    }
)
"""Published points by body, in the order of the overload."""


@lru_cache(maxsize=512)
def opening_points(
    form: str, rating_a: float, *, with_memory: bool = False
) -> tuple[OpeningPoint, ...]:
    """Return the points that hold for a body and a rating in amps, by overload.

    Empty when no table was read for the body or the rating. Points from memory are
    left out unless asked for.
    """
    return tuple(
        point
        for point in OPENING_POINTS.get(form, ())
        if point.from_a <= rating_a <= point.to_a
        and (with_memory or point.status is not Status.MEMORY)
    )
