"""Holds the resistance of cold fuses, for reading milliamps off millivolts.

The figures are typical, not limits, and hold only for currents that leave the fuse
cold. A body without a table read has none. Rows from memory say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Sourced, Status

__all__ = [
    "COLD_SHARE",
    "HOT_OVER_COLD",
    "KEY_OFF_LIMIT_MA",
    "cold_resistance",
    "drop_at_rating",
    "known_ratings",
]

HOT_OVER_COLD: Final = Sourced(
    1.7,
    "",
    Status.DERIVED,
    (doc.MINI_RESISTANCE,),
    "most that resistance at rated current is above cold, from the table of mini "
    "blades; the least is 1.3",
)
COLD_SHARE: Final = Sourced(
    0.1,
    "",
    Status.VERIFIED,
    (doc.GLASS_25_DATASHEET,),
    "cold resistance is measured below 10 % of the rating",
)
KEY_OFF_LIMIT_MA: Final = Sourced(
    50.0,
    "mA",
    Status.VERIFIED,
    (doc.READINGS_JOURNAL,),
    "most a whole car should draw with the key off",
)

_Row = tuple[float, float | None, tuple[Source, ...]]
_N, _E, _M = (doc.MINI_RESISTANCE,), (doc.MEDIUM_RESISTANCE,), ()
_X, _G = (doc.MAXI_DATASHEET,), (doc.GLASS_25_DATASHEET,)

# Rating in amps: cold milliohms, millivolts at the rated current, documents.
_TABLES: Mapping[str, Mapping[float, _Row]] = MappingProxyType(
    {
        "mini blade": {
            2: (55.6, 171, _N),
            3: (33.75, 153, _N),
            4: (23.48, 121, _N),
            5: (17.75, 129, _N),
            7.5: (10.85, 135, (*_N, doc.MINI_TIMES)),
            10: (7.42, 108, _N),
            15: (4.58, 98, (*_N, doc.MINI_TIMES_15, doc.READINGS_JOURNAL)),
            20: (3.21, 96, _N),
            25: (2.36, 86, _N),
            30: (1.85, 87, _N),
        },
        "medium blade": {
            1: (123.0, 176, _E),
            2: (53.5, 141, _E),
            3: (31.1, 137, _M),
            4: (22.8, 136, _E),
            5: (17.85, 128, _M),
            7.5: (10.91, 116, _M),
            10: (7.7, 109, (*_E, doc.MEDIUM_10_READING)),
            15: (4.8, 102, _M),
            25: (2.52, 92, _M),
            30: (1.97, 84, _M),
            35: (1.61, 87, _M),
            40: (1.44, 96, (doc.MEDIUM_TIMES,)),
        },
        "maxi blade": {
            30: (1.9, None, _X),
            35: (1.7, None, _X),
            40: (1.4, 75, _X),
        },
        "glass 6.3 x 25": {
            1: (162.5, None, _G),
            2: (68.25, None, _G),
            2.5: (49.3, None, _G),
            3: (38.25, None, _G),
            4: (27.0, None, _G),
            5: (20.5, None, _G),
            6: (14.75, None, _G),
            7: (12.75, None, _G),
            8: (11.0, None, _G),
            10: (8.67, None, _G),
            15: (5.1, None, _G),
            20: (3.58, None, _G),
            25: (2.75, None, _G),
            30: (2.15, None, _G),
        },
    }
)
_DOUBTED_DROPS = {("mini blade", 4.0), ("mini blade", 7.5)}


def known_ratings(form: str) -> tuple[float, ...]:
    """Return the ratings in amps whose cold resistance is known for a body."""
    return tuple(_TABLES.get(form, ()))


def cold_resistance(form: str, rating_a: float) -> Sourced | None:
    """Return the typical cold resistance in milliohms; None when no row is known.

    The status is MEMORY for rows not read in a document. Source: maker datasheets.
    """
    row = _TABLES.get(form, {}).get(rating_a)
    if row is None:
        return None
    return _sourced(row[0], "mΩ", row[2], "typical, cold")


def drop_at_rating(form: str, rating_a: float) -> Sourced | None:
    """Return the typical drop at the rated current in mV; None when no row is known.

    Source: maker datasheets.
    """
    row = _TABLES.get(form, {}).get(rating_a)
    if row is None or row[1] is None:
        return None
    note = "typical, at the rated current"
    if (form, rating_a) in _DOUBTED_DROPS:
        note += "; it falls off the trend of its table and may be a slip of copying"
    return _sourced(row[1], "mV", row[2], note)


def _sourced(
    value: float, unit: str, sources: tuple[Source, ...], note: str
) -> Sourced:
    if sources:
        return Sourced(value, unit, Status.VERIFIED, sources, note)
    return Sourced(value, unit, Status.MEMORY, (), f"{note}, {MEMORY_NOTE}")
