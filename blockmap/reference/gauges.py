"""Reads a wire's gauge as it is written and gives its area only where it follows.

A gauge is kept as written and never turned into another system: published tables
give different equivalents, and SAE wire is thinner than AWG wire of the same number.
A bare number stays a number, because it does not say which system it belongs to.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

__all__ = [
    "SAE_LEAST_CMIL",
    "Gauge",
    "GaugeNotUnderstood",
    "awg_area_mm2",
    "awg_diameter_mm",
    "read_gauge",
]

_MM2_OF_CMIL = math.pi / 4 * 0.0254**2

# Least conductor area of SAE wire in circular mils. Source: marine cable catalogue
# of 2023 and a marine supplier's page, which agree.
SAE_LEAST_CMIL: Mapping[str, int] = {
    "18": 1537,
    "16": 2336,
    "14": 3702,
    "12": 5833,
    "10": 9343,
    "8": 14810,
    "6": 24538,
    "4": 37360,
    "2": 62450,
    "1": 77790,
    "1/0": 98980,
    "2/0": 125100,
    "3/0": 158600,
    "4/0": 205500,
}


@dataclass(frozen=True, slots=True)
class Gauge:
    """A wire's gauge.

    ``system`` is 'AWG', 'SAE', 'mm2', 'strands' or 'number'. ``size_mm2`` is the
    conductor's area, for SAE the least area of the table; None where none follows.
    ``awg`` is the plain gauge number ('16', '2/0') of AWG, SAE and bare numbers,
    empty otherwise.
    """

    written: str
    system: str
    size_mm2: float | None
    awg: str


class GaugeNotUnderstood(ValueError):
    """Text that is no wire gauge; ``meant`` holds what it may have stood for."""

    def __init__(self, text: str, meant: tuple[str, ...], say: str) -> None:
        super().__init__(say)
        self.text = text
        self.meant = meant


_NUMBER = r"(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_GAUGE = r"(?:[1-4]/0|0{1,4}|\d{1,2})"
# Kept as text: re compiles and keeps each on first use, not at every start.
_BARE = rf"(?:no\.?\s*|#\s*)?({_GAUGE})\s*(?:ga\.?|gauge)?"
_NAMED = rf"(?:({_GAUGE})\s*(AWG|SAE)|(AWG|SAE)\s*({_GAUGE}))(?:\s*ga(?:uge)?)?"
_AREA = rf"({_NUMBER})\s*(?:mm\s*(?:2|²|\^2)|sq\.?\s*mm|square mm|qmm)"
_STRANDS = r"(\d+)\s*(?:/|x|×)\s*((?:\d+)?[.,]\d+)\s*(?:mm)?"
_WHOLE_STRANDS = r"(\d+)\s*(?:/|x|×)\s*([1-9]\d?)"
_LENGTH = rf"({_NUMBER})\s*mm"
_DECIMAL = r"(?:\d+[.,]\d+|[.,]\d+)"

_FINEST_AWG, _THICKEST_AWG = 40, -3
_LEAST_MM2, _MOST_MM2 = 0.03, 400.0


def _step(gauge: str) -> int:
    """Return the n of the gauge formula: 16 for '16', 0 for '1/0', -3 for '4/0'."""
    if gauge.endswith("/0"):
        return 1 - int(gauge[0])
    if set(gauge) == {"0"}:
        return 1 - len(gauge)
    return int(gauge)


def _plain(gauge: str) -> str:
    step = _step(gauge)
    return str(step) if step > 0 else f"{1 - step}/0"


def awg_diameter_mm(gauge: str) -> float:
    """Return the diameter of solid wire of an American gauge, '16' or '2/0', in mm.

    Source: the formula of ASTM B258 as given on a reference page,
    d = 0.127 mm x 92^((36 - n) / 39), with n = 0, -1, -2, -3 for 1/0 to 4/0.
    """
    return float(0.127 * 92 ** ((36 - _step(gauge)) / 39))


def awg_area_mm2(gauge: str) -> float:
    """Return the area of solid wire of an American gauge in mm²."""
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


def _match(pattern: str, text: str) -> re.Match[str] | None:
    return re.fullmatch(pattern, text, re.IGNORECASE | re.ASCII)


def _value(text: str) -> float:
    return float(text.replace(",", "."))


def _refuse(text: str, why: str, *meant: str) -> GaugeNotUnderstood:
    write = " or ".join(f'"{each}"' for each in meant)
    what = f'"{text}"' if text else "The gauge"
    return GaugeNotUnderstood(text, meant, f"{what} {why}. Write {write}.")


def _checked_gauge(text: str, gauge: str) -> str:
    if not _THICKEST_AWG <= _step(gauge) <= _FINEST_AWG:
        raise _refuse(
            text, "is no wire gauge: gauges run from 4/0 to 40", "16 AWG", "1.5 mm2"
        )
    return _plain(gauge)


def _checked_area(text: str, area_mm2: float) -> float:
    if not _LEAST_MM2 <= area_mm2 <= _MOST_MM2:
        raise _refuse(
            text,
            f"comes to {area_mm2:.3g} mm², which is no wire of a vehicle",
            "1.5 mm2",
            "14/0.30",
        )
    return area_mm2


def _named(text: str, found: re.Match[str]) -> Gauge:
    gauge = _checked_gauge(text, found[1] or found[4])
    system = (found[2] or found[3]).upper()
    if system == "AWG":
        return Gauge(text, "AWG", awg_area_mm2(gauge), gauge)
    cmil = SAE_LEAST_CMIL.get(gauge)
    return Gauge(text, "SAE", None if cmil is None else cmil * _MM2_OF_CMIL, gauge)


def _explained(text: str) -> GaugeNotUnderstood:
    """Return the refusal that fits what the text looks like."""
    if not text:
        return _refuse(text, "is empty", "16 AWG", "1.5 mm2", "14/0.30")
    if found := _match(_LENGTH, text):
        size = found[1].replace(",", ".")
        return _refuse(
            text,
            "may be an area or the diameter over the insulation; give the area, or "
            "the strands and the diameter of one",
            f"{size} mm2",
            "14/0.30",
        )
    if _match(_DECIMAL, text):
        return _refuse(text, "has no unit", f"{text} mm2")
    if found := _match(_WHOLE_STRANDS, text):
        return _refuse(
            text,
            f"gives strands of {found[2]}, which may be hundredths of a millimetre or "
            "a gauge number",
            f"{found[1]}/{int(found[2]) / 100:.2f}",
            f"{found[1]}/{awg_diameter_mm(found[2]):.2f}",
        )
    return _refuse(text, "is no wire gauge", "16 AWG", "16", "1.5 mm2", "14/0.30")


def read_gauge(text: str) -> Gauge:
    """Return the gauge that a text gives, kept as written without outer spaces.

    Understands '16 AWG', '16 SAE', a bare gauge number '16' or '2/0', an area
    '1.5 mm2' (decimal comma allowed) and strands by diameter '14/0.30'.

    Raises GaugeNotUnderstood, whose text says what to write instead.
    """
    text = text.strip()
    if found := _match(_NAMED, text):
        return _named(text, found)
    if found := _match(_BARE, text):
        return Gauge(text, "number", None, _checked_gauge(text, found[1]))
    if found := _match(_AREA, text):
        return Gauge(text, "mm2", _checked_area(text, _value(found[1])), "")
    if found := _match(_STRANDS, text):
        area_mm2 = int(found[1]) * math.pi / 4 * _value(found[2]) ** 2
        return Gauge(text, "strands", _checked_area(text, area_mm2), "")
    raise _explained(text)
