"""Compares a fusible link with the wire it guards.

The rule, four gauge numbers thinner, is common practice without a source. Which link
to fit is for the service manual: a wire of the right gauge is no link.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from blockmap.analysis.numbers.figure import Figure
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.wires import area_mm2, gauge_of
from blockmap.reference.gauges import Gauge

__all__ = ["LinkCheck", "link_against_wire"]

_STEP = 92 ** (2 / 39)
"""Ratio of areas of two neighbouring gauge numbers."""


@dataclass(frozen=True, slots=True)
class LinkCheck:
    """How many gauge numbers a link is thinner than its wire, and how many it should.

    ``verdict`` is 'right', 'too thick' (the wire may burn first) or 'too thin' (it may
    melt without a fault).
    """

    steps: Figure
    wanted: Figure
    verdict: str


def link_against_wire(
    link: str, wire: str, limits: Limits = DEFAULT_LIMITS
) -> LinkCheck | None:
    """Return how a link's gauge suits that of the wire it guards, both as written.

    Gauges of one numbered system are counted; others are compared by area, four
    numbers being 2.53 times the area, and half a number is forgiven. None when an
    area does not follow.
    """
    thin, thick = gauge_of(link), gauge_of(wire)
    if thin is None or thick is None:
        return None
    steps = _steps(thin, thick)
    if steps is None:
        return None
    wanted = limits.figure("link_steps")
    apart = steps.value - wanted.value
    verdict = "right" if abs(apart) <= 0.5 else "too thin" if apart > 0 else "too thick"
    return LinkCheck(steps, wanted, verdict)


def _steps(thin: Gauge, thick: Gauge) -> Figure | None:
    name, unit = "Link below wire", "gauge numbers"
    if thin.awg and thick.awg and thin.system == thick.system:
        value = float(_number(thin.awg) - _number(thick.awg))
        numbers = (thin.written, thick.written, value)
        return Figure(name, value, unit, value, value, "{} against {}: {}", numbers)
    areas = area_mm2(thin), area_mm2(thick)
    if areas[0] is None or areas[1] is None:
        return None
    value = math.log(areas[1] / areas[0]) / math.log(_STEP)
    pattern = "ln({} mm² / {} mm²) / ln(92^(2/39)) = {}"
    sizes = (areas[1], areas[0], value)
    note = "compared by area"
    return Figure(name, value, unit, value, value, pattern, sizes, note=note)


def _number(awg: str) -> int:
    return 1 - int(awg[0]) if awg.endswith("/0") else int(awg)
