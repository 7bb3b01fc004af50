"""Holds how much of its rating a fuse carries all the time, and how warmth lowers it.

Several rules circulate; each stands with its document. The tables of allowed current
already hold a maker's margin: the share for long use is not taken off them again.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "ALLOWED_BY_AMBIENT",
    "BLADE_AMBIENT_SLOPE",
    "CONTINUOUS_SHARE",
    "OTHER_SHARES",
    "allowed_at",
]

CONTINUOUS_SHARE: Final = Sourced(
    0.75,
    "",
    Status.VERIFIED,
    (doc.SHARE_GUIDE,),
    "share of its rating a fuse carries all the time at 25 °C",
)
OTHER_SHARES: Final = (
    Sourced(
        0.8,
        "",
        Status.COMMON_PRACTICE,
        (doc.SELECTION_GUIDE,),
        "trade sizing: a fuse of at least 125 % of the load",
    ),
    Sourced(
        0.65,
        "",
        Status.VERIFIED,
        (doc.SPACE_DERATING,),
        "space practice for ceramic-metal fuses; a severe case, not for cars",
    ),
)
BLADE_AMBIENT_SLOPE: Final = Sourced(
    -0.00153,
    "1/°C",
    Status.DERIVED,
    (doc.AMBIENT_CURVE,),
    "from 92.4 % at 76.25 °C and 91.0 % at 85.41 °C of a mini blade; other classes "
    "of fuse fall by 0.2 % to 0.5 % per °C",
)

_N, _F = (doc.MINI_TIMES,), (doc.MINI_TIMES_15,)
_M, _X = (doc.MEDIUM_TIMES_OLDER,), (doc.MAXI_DATASHEET,)
_Points = tuple[tuple[float, float], ...]

ALLOWED_BY_AMBIENT: Mapping[tuple[str, float], tuple[_Points, tuple[Source, ...]]] = (
    MappingProxyType(
        {
            ("mini blade", 5): (((40, 4.0),), _N),
            ("mini blade", 7.5): (((40, 6.0), (60, 5.5), (80, 5.1)), _N),
            ("mini blade", 15): (((20, 13), (100, 9)), _F),
            ("medium blade", 5): (((65, 4),), _M),
            ("medium blade", 7.5): (((65, 6),), _M),
            ("medium blade", 10): (((65, 8),), _M),
            ("maxi blade", 40): (
                ((20, 40), (65, 34), (85, 30), (110, 25), (125, 22)),
                _X,
            ),
        }
    )
)
"""Amps allowed by ambient °C, by body and rating. Source: maker datasheets."""


def allowed_at(form: str, rating_a: float, ambient_c: float) -> Sourced | None:
    """Return the amps a datasheet allows at an ambient in °C; None when it says none.

    Between two published temperatures the line between them is taken (DERIVED);
    outside them nothing is given. Source: `ALLOWED_BY_AMBIENT`.
    """
    row = ALLOWED_BY_AMBIENT.get((form, rating_a))
    if row is None:
        return None
    points, sources = row
    for at_c, amps_a in points:
        if at_c == ambient_c:
            return Sourced(amps_a, "A", Status.VERIFIED, sources)
    for (low_c, low_a), (high_c, high_a) in pairwise(points):
        if low_c < ambient_c < high_c:
            amps_a = low_a + (high_a - low_a) * (ambient_c - low_c) / (high_c - low_c)
            note = f"on the line between {low_c:g} °C and {high_c:g} °C"
            return Sourced(amps_a, "A", Status.DERIVED, sources, note)
    return None
