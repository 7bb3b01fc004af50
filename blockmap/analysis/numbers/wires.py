"""Computes what a wire resists and how many amps it bears, from its gauge as written.

The amps are an upper bound for a single wire, taken from the law for boats: a wire in
a car may bear less, never more. Gauges whose area does not follow have no figure.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from blockmap.analysis.numbers.figure import (
    SET_BY_YOU,
    Figure,
    notes_joined,
    shown,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.reference import number_documents as doc
from blockmap.reference.conductors import (
    AWG_AMPS,
    BOAT_WIRE_TABLE,
    INSULATION_CLASSES_C,
    allowable_amps_a,
)
from blockmap.reference.gauges import (
    Gauge,
    GaugeNotUnderstood,
    awg_area_mm2,
    read_gauge,
)
from blockmap.reference.insulation import (
    bundle_factor,
    engine_space_factor,
    insulation_class,
)
from blockmap.reference.sources import Source, Status
from blockmap.reference.wire_amps import CHASSIS_AMPS
from blockmap.reference.wire_resistance import (
    COPPER_OHM_MM2_PER_M,
    FLEXIBLE_MOHM_PER_M,
    PURITY_BEST,
    PURITY_LEAST,
    SAE_STRANDINGS,
    STRANDING_MOST,
    TEMPERATURE_COEFFICIENT,
)

__all__ = ["area_mm2", "gauge_of", "resistance_per_m", "wire_amps"]

_COPPER = COPPER_OHM_MM2_PER_M.value * 1000
"""mΩ/m of one mm²."""
_MOST = STRANDING_MOST.value / PURITY_LEAST.value
_LEAST = 1 / PURITY_BEST.value
_COPPER_SOURCES = (*COPPER_OHM_MM2_PER_M.sources, *STRANDING_MOST.sources)
_NUMBER_NOTE = (
    "the number does not say AWG or SAE, whose wire is thinner: the band holds both"
)


@lru_cache(maxsize=2048)
def gauge_of(text: str) -> Gauge | None:
    """Return a gauge as written, None when it is empty or no gauge."""
    try:
        return read_gauge(text) if text else None
    except GaugeNotUnderstood:
        return None


def area_mm2(gauge: Gauge) -> float | None:
    """Return the conductor's area of a gauge in mm²; the thinner one for a bare number.

    SAE gauges that the table of areas lacks take their published stranding.
    """
    if gauge.system in ("SAE", "number"):
        thin = _sae_area_mm2(gauge.awg)
        if thin is not None or gauge.system == "SAE":
            return thin
        return awg_area_mm2(gauge.awg)
    return gauge.size_mm2


def _sae_area_mm2(awg: str) -> float | None:
    found = gauge_of(f"{awg} SAE")
    if found is not None and found.size_mm2 is not None:
        return found.size_mm2
    made = SAE_STRANDINGS.get(awg)
    return None if made is None else made.strands * awg_area_mm2(made.strand_awg)


def resistance_per_m(gauge: str, limits: Limits = DEFAULT_LIMITS) -> Figure | None:
    """Return the resistance of a metre of wire in mΩ/m at the limits' temperature.

    Metric sizes take the greatest value of IEC 60228 for flexible wire; AWG and
    strands the resistance of copper of their area; SAE its least area. The band
    holds the purity of the copper and the twist of the strands. None when no area
    follows from the gauge.
    """
    return _resistance_per_m(gauge, limits.wire_c)


@lru_cache(maxsize=2048)
def _resistance_per_m(text: str, own_c: float | None) -> Figure | None:
    gauge = gauge_of(text)
    area = None if gauge is None else area_mm2(gauge)
    if gauge is None or area is None:
        return None
    cold = _metric(area) if gauge.system == "mm2" else _by_area(gauge, area)
    if own_c is None or own_c == 20:
        return cold
    factor = 1 + TEMPERATURE_COEFFICIENT.value * (own_c - 20)
    return Figure(
        cold.name,
        cold.value * factor,
        cold.unit,
        cold.low * factor,
        cold.high * factor,
        "{} mΩ/m × (1 + 0.00393 × ({} − 20)) = {} mΩ/m",
        (cold.value, own_c, cold.value * factor),
        Status.DERIVED,
        TEMPERATURE_COEFFICIENT.sources,
        f"wire at {shown(own_c)} °C, {SET_BY_YOU}",
        (cold,),
    )


def _by_area(gauge: Gauge, area: float) -> Figure:
    value = _COPPER / area
    thick = awg_area_mm2(gauge.awg) if gauge.system in ("SAE", "number") else area
    sources: tuple[Source, ...] = _COPPER_SOURCES
    if gauge.system != "strands":
        sources = (doc.AWG_FORMULA, *sources)
    if gauge.system in ("SAE", "number"):
        sources = (doc.SAE_CATALOGUE, doc.SAE_PAGE, *sources)
    return Figure(
        f"Resistance of {gauge.written}",
        value,
        "mΩ/m",
        _COPPER / max(thick, area) * _LEAST,
        value * _MOST,
        "R = ρ / A = 17.241 mΩ mm²/m / {:4} mm² = {} mΩ/m",
        (area, value),
        Status.DERIVED,
        sources,
        _NUMBER_NOTE if gauge.system == "number" else "",
    )


def _metric(area: float) -> Figure:
    name, unit = f"Resistance of {shown(area, 4)} mm²", "mΩ/m"
    least = _COPPER / area * _LEAST
    row = FLEXIBLE_MOHM_PER_M.get(area)
    if row is not None:
        value = row.value
        return Figure(
            name,
            value,
            unit,
            least,
            value,
            "{} mΩ/m at most",
            (value,),
            row.status,
            row.sources,
        )
    sizes = list(FLEXIBLE_MOHM_PER_M)
    near = min(sizes, key=lambda size: abs(math.log(size / area)))
    rows = [(near, FLEXIBLE_MOHM_PER_M[near])]
    value = rows[0][1].value * near / area
    for low, high in pairwise(sizes):
        if low < area < high:
            rows = [(low, FLEXIBLE_MOHM_PER_M[low]), (high, FLEXIBLE_MOHM_PER_M[high])]
            value = _between(low, rows[0][1].value, high, rows[1][1].value, area)
    said = " and ".join(
        f"{shown(size)} mm² ({shown(r.value)} mΩ/m)" for size, r in rows
    )
    sources = tuple(dict.fromkeys(source for _, row in rows for source in row.sources))
    return Figure(
        name,
        value,
        unit,
        min(least, value),
        value,
        "from {}: {} mΩ/m",
        (said, value),
        Status.DERIVED,
        sources,
        "no size of the standard; taken from the nearest ones",
    )


def _between(x1: float, y1: float, x2: float, y2: float, x: float) -> float:
    """Return y at x on the power law through two points."""
    power = math.log(y2 / y1) / math.log(x2 / x1)
    return float(y1 * (x / x1) ** power)


@lru_cache(maxsize=4096)
def wire_amps(
    gauge: str, insulation: str = "", limits: Limits = DEFAULT_LIMITS
) -> Figure | None:
    """Return the most amps a wire may bear, an upper bound; None when no area follows.

    insulation is the note on the wire. Without a class in it that of the limits is
    taken and the band reaches down to the lowest class. Bundle and engine space of
    the limits lower the amps. Areas between two gauges lie between their amps;
    wire thinner than 18 AWG follows a list for single wires.
    """
    known = gauge_of(gauge)
    area = None if known is None else area_mm2(known)
    if known is None or area is None:
        return None
    noted = insulation_class(insulation)
    taken = limits.figure("insulation_c")
    class_c = int(noted.value if noted else taken.value)
    amps_a, how, sources = _table_amps(known, area, class_c)
    least_a = amps_a
    if known.system == "number":
        thin = gauge_of(f"{known.awg} SAE")
        if thin is not None:
            least_a, _, _ = _table_amps(thin, area, class_c)
    if noted is None and limits.insulation_c is None:
        least_a = min(least_a, _table_amps(known, area, INSULATION_CLASSES_C[0])[0])
    bundle = bundle_factor(int(limits.value("bundled")))
    hot = engine_space_factor(class_c) if limits.value("engine_space") else None
    factor = bundle.value * (hot.value if hot else 1.0)
    text = f"{how} at {class_c} °C"
    for number, word in ((bundle, "bundle"), (hot, "engine space")):
        if number is not None and number.value != 1:
            text += f" × {shown(number.value)} ({word})"
    factors = [n for n in (bundle, hot) if n is not None and n.value != 1]
    own = any(getattr(limits, key) is not None for key in ("bundled", "engine_space"))
    return Figure(
        f"Amps of {known.written}",
        amps_a * factor,
        "A",
        least_a * factor,
        amps_a * factor,
        "{} = {} A",
        (text, amps_a * factor),
        weakest(
            (
                Status.DERIVED,
                *((noted.status,) if noted else ()),
                *(number.status for number in factors),
            )
        ),
        (*sources, *(source for number in factors for source in number.sources)),
        notes_joined(
            "an upper bound for a single wire, from the law for boats",
            _NUMBER_NOTE if known.system == "number" else "",
            noted.note if noted else "insulation not noted",
            taken.note if noted is None and limits.insulation_c is not None else "",
            SET_BY_YOU if own else "",
            *(number.note for number in factors),
        ),
    )


def _table_amps(
    gauge: Gauge, area: float, class_c: int
) -> tuple[float, str, tuple[Source, ...]]:
    """Return amps, how they were found, and the documents."""
    listed = allowable_amps_a(gauge.awg, class_c) if gauge.system != "SAE" else None
    if listed is not None:
        return float(listed), f"{shown(listed)} A for {gauge.awg} AWG", _TABLE
    if gauge.system == "number":
        area = awg_area_mm2(gauge.awg)
    column = INSULATION_CLASSES_C.index(class_c)
    rows = [(awg_area_mm2(awg), float(amps[column])) for awg, amps in AWG_AMPS.items()]
    thinnest, thickest = rows[0], rows[-1]
    said = f"{shown(area)} mm²"
    if area < thinnest[0]:
        share = _chassis(area) / CHASSIS_AMPS["18"]
        how = f"{shown(thinnest[1])} A for 18 AWG × {shown(share)} for {said}"
        return thinnest[1] * share, how, (*_TABLE, doc.CHASSIS_LIST)
    if area > thickest[0]:
        # No row beyond 4/0: its amps bound nothing above it, so they stay.
        return thickest[1], f"{shown(thickest[1])} A for 4/0 AWG", _TABLE
    for (low, low_a), (high, high_a) in pairwise(rows):
        if low <= area <= high:
            amps_a = _between(low, low_a, high, high_a, area)
            how = (
                f"{said} between {shown(low)} mm² ({shown(low_a)} A) and "
                f"{shown(high)} mm² ({shown(high_a)} A)"
            )
            return amps_a, how, (*_TABLE, doc.AWG_FORMULA)
    raise AssertionError("the rows of the table leave no gap")


_TABLE = (BOAT_WIRE_TABLE,)


def _chassis(area: float) -> float:
    """Return the amps of the list of single wires for an area below 18 AWG."""
    rows = [(awg_area_mm2(awg), amps) for awg, amps in CHASSIS_AMPS.items()]
    rows.sort()
    if area <= rows[0][0]:
        return rows[0][1] * area / rows[0][0]
    for (low, low_a), (high, high_a) in pairwise(rows):
        if low <= area <= high:
            return _between(low, low_a, high, high_a, area)
    return rows[-1][1]
