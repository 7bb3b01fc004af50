"""Holds what a push-on contact carries, by the width of its blade.

No document was read for these amps: all of them are common practice, said to depend
on the wire and on how tightly the contact grips. They are advice, never a verdict.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from blockmap.reference.sources import COMMON_PRACTICE_NOTE, Sourced, Status

__all__ = ["AMPS_BY_WIDTH", "terminal_capacity"]

AMPS_BY_WIDTH: Mapping[float, float] = MappingProxyType(
    {0.64: 3, 1.5: 10, 2.8: 15, 4.8: 20, 5.2: 30, 6.3: 30, 8.0: 60, 9.5: 60}
)
"""Amps a sound contact carries by blade width in mm. Common practice, no source."""

_BLADES: Mapping[str, float] = MappingProxyType(
    {
        "medium blade": 5.2,
        "mini blade": 2.8,
        "low mini blade": 2.8,
        "maxi blade": 8.0,
        "blade breaker": 5.2,
        "tab 6.3": 6.3,
        "tab 4.8": 4.8,
        "tab 2.8": 2.8,
        "terminal 1.5": 1.5,
        "terminal 2.8": 2.8,
        "terminal 6.3": 6.3,
    }
)
_INCHES: Mapping[str, float] = MappingProxyType(
    {"1/4": 6.3, "3/16": 4.8, "0.110": 2.8, ".110": 2.8, "0.250": 6.3, ".250": 6.3}
)
_WIDTH = re.compile(r"(?<![\d.])(0\.64|1\.5|2\.8|4\.8|5\.2|6\.3|8(?:\.0)?|9\.5)(?!\d)")
_MINI_MOST_A = 30.0


@lru_cache(maxsize=512)
def terminal_capacity(terminal: str, form: str = "") -> Sourced | None:
    """Return the amps of a contact by its terminal in words, else by the body it takes.

    A width is looked for in the words ('6.3 mm tab', '1/4 in'). A mini blade carries
    what its largest fuse is made for. None when no width is known. Common practice,
    no source.
    """
    width_mm = _width(terminal.replace(",", ".")) or _BLADES.get(form)
    if width_mm is None:
        return None
    amps_a = AMPS_BY_WIDTH[width_mm]
    if not _width(terminal) and form in ("mini blade", "low mini blade"):
        amps_a = _MINI_MOST_A
    note = f"blade of {width_mm:g} mm, {COMMON_PRACTICE_NOTE}"
    return Sourced(amps_a, "A", Status.COMMON_PRACTICE, (), note)


def _width(text: str) -> float | None:
    for inches, width_mm in _INCHES.items():
        if inches in text:
            return width_mm
    found = _WIDTH.search(text)
    return float(found[1]) if found else None
