"""Holds how many volts may be lost where, as service manuals and trade pages say.

The manuals allow ten times what the pages quote from an unnamed SAE document: the
strict figures are advice, those of the manuals mark a fault.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "ALLOWED_DROPS",
    "BOAT_SHARES",
    "DROP_ADVICE",
    "DROP_FAULT",
    "AllowedDrop",
    "allowed_drop",
]


@dataclass(frozen=True, slots=True)
class AllowedDrop:
    """The volts that may be lost at one kind of place; a band when two are given."""

    place: str
    least_v: float
    most_v: float
    status: Status
    sources: tuple[Source, ...]
    note: str = ""


def _drop(
    place: str,
    volts: float | tuple[float, float],
    *sources: Source,
    status: Status = Status.VERIFIED,
    note: str = "",
) -> AllowedDrop:
    least, most = volts if isinstance(volts, tuple) else (volts, volts)
    return AllowedDrop(place, least, most, status, sources, note)


_G, _B = doc.DROPS_MANUAL_1999, doc.DROPS_SELLER
_WEAK = Status.COMMON_PRACTICE

ALLOWED_DROPS: Final = (
    _drop("small wire connection", 0.0, _G),
    _drop("high-current connection", 0.1, _G),
    _drop("high-current cable", 0.2, _G),
    _drop("switch or solenoid contacts", 0.3, _G),
    _drop("whole circuit", 1.0, _G, doc.DROPS_MANUAL_2001, note="a problem above it"),
    _drop("any wire, connection or switch", 0.5, doc.DROPS_MANUAL_1997),
    _drop(
        "whole circuit, both sides",
        0.63,
        doc.DROPS_TESTER,
        note="5 % of 12.6 V, rounded to 0.6 V on the page",
    ),
    _drop("wire of 16 to 20 AWG, 1 to 20 A", (0.01, 0.09), _B),
    _drop("wire of 4 to 14 AWG, 20 to 100 A", (0.1, 0.2), _B),
    _drop("battery and starter cable, above 100 A", 0.2, _B),
    _drop("heavy switch or solenoid, above 100 A", (0.2, 0.3), _B),
    _drop("ground", 0.1, doc.DROPS_WEAK, status=_WEAK),
    _drop("wire or cable", 0.2, doc.DROPS_WEAK, status=_WEAK),
)
"""Allowed volts by place, for 12 V systems."""

DROP_ADVICE: Final = Sourced(
    0.63 / 12.6,
    "",
    Status.VERIFIED,
    (doc.DROPS_TESTER,),
    "share of the supply a whole circuit may lose; other pages say 3 %, 7 % and 10 %",
)
DROP_FAULT: Final = Sourced(
    1.0 / 12.0,
    "",
    Status.DERIVED,
    (doc.DROPS_MANUAL_1999, doc.DROPS_MANUAL_2001),
    "1.0 V in a 12 V circuit is a problem, as two service manuals say; taken as a "
    "share of the system voltage",
)
BOAT_SHARES: Final = (
    Sourced(0.03, "", Status.VERIFIED, (doc.DROPS_BOATS,), "critical circuits"),
    Sourced(0.10, "", Status.VERIFIED, (doc.DROPS_BOATS,), "other circuits"),
)


def allowed_drop(place: str) -> AllowedDrop | None:
    """Return what may be lost at a kind of place, None when it is not listed."""
    return next((drop for drop in ALLOWED_DROPS if drop.place == place), None)
