"""Gives the band of charge of a lead-acid battery from its volts at rest.

For flooded batteries that have rested for hours. Documents spread by a quarter of the
way from full to half, so that a charge is a band. 6 V and 24 V are scaled by the
number of cells.
"""

from __future__ import annotations

from itertools import pairwise

from blockmap.analysis.numbers.figure import Figure, notes_joined, shown
from blockmap.reference.batteries import (
    REST_TABLES,
    REST_TEMPERATURE_C,
    VOLTS_PER_DEGREE,
)
from blockmap.reference.sources import Status

__all__ = ["RESTED", "charge_at_rest"]

RESTED = "holds hours after charging or driving, with nothing switched on"


def charge_at_rest(
    volts: float, system_v: float = 12.0, temperature_c: float = REST_TEMPERATURE_C
) -> Figure:
    """Return the state of charge in percent, as a band over the documents.

    volts may carry a minus, as with positive ground. system_v is 6, 12 or 24. The
    value follows the maker's table, the band the lowest and highest of all. Raises
    ValueError for another system voltage or a temperature outside -40 to 80 °C.
    """
    if system_v not in (6, 12, 24):
        raise ValueError(f"a system has 6, 12 or 24 V, not {shown(system_v)}")
    if not -40 <= temperature_c <= 80:
        raise ValueError(f"{shown(temperature_c)} °C is no temperature of a battery")
    as_twelve = abs(volts) * 12 / system_v
    correction = VOLTS_PER_DEGREE.value * (temperature_c - REST_TEMPERATURE_C)
    at_rest = as_twelve - correction
    percents = [_percent(table.points, at_rest) for table in REST_TABLES]
    value = percents[0]
    said = f"{shown(abs(volts), 4)} V"
    if system_v != 12:
        said += f" × 12 / {shown(system_v)} = {shown(as_twelve, 4)} V"
    if abs(correction) >= 0.0005:
        sign = "−" if correction > 0 else "+"
        said += f" {sign} {shown(abs(correction), 2)} V for {shown(temperature_c)} °C"
    return Figure(
        "State of charge",
        value,
        "%",
        min(percents),
        max(percents),
        "{}: {:2} % in the maker's table",
        (said, value),
        Status.DERIVED,
        tuple(table.source for table in REST_TABLES),
        notes_joined(
            RESTED,
            "" if system_v == 12 else "scaled from 12 V by the number of cells",
            "flooded lead-acid",
        ),
    )


def _percent(points: tuple[tuple[float, float], ...], volts: float) -> float:
    """Return the percent on the lines between falling points.

    Above the first point it is full. A table that ends above empty is continued on
    its last line.
    """
    if volts >= points[0][1]:
        return float(points[0][0])
    lines = list(pairwise(points))
    above = (line for line in lines if volts >= line[1][1])
    (high, high_v), (low, low_v) = next(above, lines[-1])
    return max(0.0, low + (high - low) * (volts - low_v) / (high_v - low_v))
