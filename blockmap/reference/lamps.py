"""Holds what filament lamps draw, by category or trade number, one row a filament.

The current is that at the voltage the lamp is tested at, not rated watts over 12 V.
Many rows are from memory and say so; they may be offered, never used as proof.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Source, Sourced, Status

__all__ = ["AMPS_TOLERANCE", "LAMPS", "Lamp", "lamp_named", "lamps_matching"]

AMPS_TOLERANCE: Final = Sourced(
    0.1,
    "",
    Status.VERIFIED,
    (doc.LAMP_TOLERANCE, doc.SAE_J573D),
    "design amps of a lamp lie within 10 %",
)


@dataclass(frozen=True, slots=True)
class Lamp:
    """One filament of a lamp.

    ``amps_a`` flow at ``test_v``; ``tolerance`` is the share they may differ by.
    ``rated_w`` is the figure stamped on it, None for lamps known by amps.
    ``filament`` is 'high' or 'low' for lamps with two.
    """

    name: str
    filament: str
    rated_w: float | None
    test_v: float
    amps_a: float
    tolerance: float
    status: Status
    sources: tuple[Source, ...]
    note: str = ""

    @property
    def title(self) -> str:
        """The name with its filament, such as 'P21/5W high'."""
        return f"{self.name} {self.filament}".strip()

    @property
    def watts_w(self) -> float:
        """The watts it takes at its test voltage."""
        return self.amps_a * self.test_v


# Category | filament | rated W | test V | objective W | tolerance. An objective that is
# a greatest value has no tolerance above it: the amps are then the most it draws.
_READ_CATEGORIES = """
P21/5W | high | 21 | 13.5 | 25 | 0.06
P21/5W | low | 5 | 13.5 | 6 | 0.10
PY21/5W | high | 21 | 13.5 | 26.5 | 0
PY21/5W | low | 5 | 13.5 | 6.6 | 0
"""
_REMEMBERED_CATEGORIES = """
P21W | | 21 | 13.5 | 26.5 | 0
PY21W | | 21 | 13.5 | 26.5 | 0
R5W | | 5 | 13.5 | 5.5 | 0
R10W | | 10 | 13.5 | 11 | 0
T4W | | 4 | 13.5 | 4.4 | 0
C5W | | 5 | 13.5 | 5.5 | 0
W3W | | 3 | 13.5 | 3.45 | 0
W5W | | 5 | 13.5 | 5.5 | 0
H1 | | 55 | 13.2 | 68 | 0
H3 | | 55 | 13.2 | 68 | 0
H4 | high | 60 | 13.2 | 75 | 0
H4 | low | 55 | 13.2 | 68 | 0
H7 | | 55 | 13.2 | 58 | 0
"""
# Trade number | filament | design V | amps.
_READ_NUMBERS = """
1157 | low | 14 | 0.59
1157 | high | 12.8 | 2.1
1034 | low | 14 | 0.59
1034 | high | 12.8 | 1.8
2057 | low | 14 | 0.49
2057 | high | 12.8 | 2.1
2357 | low | 14 | 0.59
2357 | high | 12.8 | 2.23
2397 | low | 14 | 0.48
2397 | high | 12.8 | 2.23
194 | | 14 | 0.27
168 | | 14 | 0.35
51 | | 7.5 | 0.22
55 | | 7 | 0.41
"""
_REMEMBERED_NUMBERS = """
1156 | | 12.8 | 2.1
67 | | 13.5 | 0.59
89 | | 13 | 0.58
57 | | 14 | 0.24
53 | | 14.4 | 0.12
90 | | 13 | 0.58
93 | | 12.8 | 1.04
1003 | | 12.8 | 0.94
1073 | | 12.8 | 1.8
1141 | | 12.8 | 1.44
1445 | | 14.4 | 0.135
1816 | | 13 | 0.33
1891 | | 14 | 0.24
1893 | | 14 | 0.33
1895 | | 14 | 0.27
158 | | 14 | 0.24
161 | | 14 | 0.19
211-2 | | 12.8 | 0.97
212-2 | | 13.5 | 0.74
561 | | 12.8 | 0.97
562 | | 13.5 | 0.74
912 | | 12.8 | 1
921 | | 12.8 | 1.4
"""
_NOTES = {
    "194": "design volts derived from 3.78 W and 0.27 A",
    "168": "design volts derived from 4.9 W and 0.35 A",
    "51": "for 6 V cars",
    "55": "for 6 V cars",
}
_SOURCES = {
    "P21/5W": (doc.LAMP_DIRECTIVE, doc.LAMP_COMPARISON),
    "PY21/5W": (doc.LAMP_UNECE,),
    "194": (doc.LAMP_TRADE, doc.LAMP_TRADE_B),
    "168": (doc.LAMP_TRADE, doc.LAMP_TRADE_B),
    "51": (doc.SAE_J573D,),
    "55": (doc.SAE_J573D,),
}
_FEWER_AMPS_TOLERANCE = {"55": 0.07}


def _rows(text: str) -> list[list[str]]:
    lines = text.strip().splitlines()
    return [[part.strip() for part in line.split("|")] for line in lines]


def _category(row: list[str], read: bool) -> Lamp:
    name, filament, rated, test, objective, tolerance = row
    most = "" if float(tolerance) else "the greatest watts allowed"
    return Lamp(
        name,
        filament,
        float(rated),
        float(test),
        float(objective) / float(test),
        float(tolerance),
        Status.VERIFIED if read else Status.MEMORY,
        _SOURCES[name] if read else (),
        "; ".join(part for part in (most, "" if read else MEMORY_NOTE) if part),
    )


def _number(row: list[str], read: bool) -> Lamp:
    name, filament, volts, amps = row
    return Lamp(
        name,
        filament,
        None,
        float(volts),
        float(amps),
        _FEWER_AMPS_TOLERANCE.get(name, AMPS_TOLERANCE.value),
        Status.VERIFIED if read else Status.MEMORY,
        _SOURCES.get(name, (doc.LAMP_COMPARISON,)) if read else (),
        _NOTES.get(name, "") if read else MEMORY_NOTE,
    )


LAMPS: Final = (
    *(_category(row, True) for row in _rows(_READ_CATEGORIES)),
    *(_category(row, False) for row in _rows(_REMEMBERED_CATEGORIES)),
    *(_number(row, True) for row in _rows(_READ_NUMBERS)),
    *(_number(row, False) for row in _rows(_REMEMBERED_NUMBERS)),
)
"""Every filament: UN categories first, then trade numbers; those read come first."""


@cache
def _by_title() -> dict[str, Lamp]:
    return {lamp.title.casefold(): lamp for lamp in LAMPS}


def lamp_named(text: str) -> Lamp | None:
    """Return the filament of this title ('P21/5W high', '194'); None when unknown."""
    return _by_title().get(" ".join(text.casefold().split()))


def lamps_matching(text: str) -> tuple[Lamp, ...]:
    """Return the filaments whose name starts with a text, in the order of `LAMPS`."""
    start = text.strip().casefold()
    return tuple(lamp for lamp in LAMPS if lamp.title.casefold().startswith(start))
