"""Computes the volts lost along a wire and what is left at the load.

The way back is counted only where it is said to be a wire; through the body of the
car no length of wire comes back. The figures are magnitudes: with positive ground the
meter shows them with a minus.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from blockmap.analysis.numbers.figure import (
    Comparison,
    Figure,
    exact,
    notes_joined,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.wires import resistance_per_m
from blockmap.reference.fuse_resistance import drop_at_rating
from blockmap.reference.sources import Status

__all__ = [
    "drop_across",
    "drop_along",
    "drop_of_fuse",
    "drop_verdicts",
    "left_at_load",
    "wire_resistance",
]


def wire_resistance(
    gauge: str,
    length_out_m: float,
    length_back_m: float = 0.0,
    limits: Limits = DEFAULT_LIMITS,
) -> Figure | None:
    """Return the resistance of a wire in mΩ over its way out and back, in metres.

    None when no area follows from the gauge. Raises ValueError for a negative length.
    """
    if length_out_m < 0 or length_back_m < 0:
        raise ValueError("a wire has no negative length")
    per_m = resistance_per_m(gauge, limits)
    if per_m is None:
        return None
    length_m = length_out_m + length_back_m
    way = "({} + {})" if length_back_m else "{}"
    lengths = (length_out_m, length_back_m) if length_back_m else (length_out_m,)
    value = per_m.value * length_m
    return Figure(
        f"Resistance of the wire {gauge}",
        value,
        "mΩ",
        per_m.low * length_m,
        per_m.high * length_m,
        f"R = {{}} mΩ/m × {way} m = {{}} mΩ",
        (per_m.value, *lengths, value),
        per_m.status,
        per_m.sources,
        per_m.note,
        (per_m,),
    )


def drop_along(resistance: Figure, current: Figure) -> Figure:
    """Return the volts lost along a resistance in mΩ at a current in amps.

    U = R × I. Raises ValueError when the units are others.
    """
    return drop_across("Drop along the wire", resistance, current)


def drop_across(name: str, resistance: Figure, current: Figure) -> Figure:
    """Return the volts lost across a resistance in mΩ at amps, under a name of its own.

    U = R × I. Raises ValueError when the units are others.
    """
    if resistance.unit != "mΩ" or current.unit != "A":
        raise ValueError(f"{name} wants mΩ and A")
    value = resistance.value * current.value / 1000
    return Figure(
        name,
        value,
        "V",
        resistance.low * current.low / 1000,
        resistance.high * current.high / 1000,
        "U = R × I = {} mΩ × {} A = {} V",
        (resistance.value, current.value, value),
        weakest((resistance.status, current.status, Status.DERIVED)),
        (),
        notes_joined(resistance.note, current.note),
        (resistance, current),
    )


def drop_of_fuse(form: str, rating_a: float, current: Figure) -> Figure | None:
    """Return the typical volts lost in a fuse at a current; None when no row is known.

    Taken in proportion to the drop at the rated current: at less current the fuse is
    cooler and loses less, which is the low end.
    """
    at_rating = drop_at_rating(form, rating_a)
    if at_rating is None:
        return None
    share = current.value / rating_a
    value = at_rating.value / 1000 * share
    low = at_rating.value / 1000 * (current.low / rating_a) / 1.7
    return Figure(
        "Drop of the fuse",
        value,
        "V",
        low,
        at_rating.value / 1000 * (current.high / rating_a),
        "U = {} mV × {} A / {} A = {} V",
        (at_rating.value, current.value, rating_a, value),
        weakest((at_rating.status, current.status, Status.DERIVED)),
        at_rating.sources,
        at_rating.note,
        (current,),
    )


def left_at_load(
    supply_v: float, drops: Sequence[Figure], polarity: str = "negative ground"
) -> Figure:
    """Return the volts left at the load after the drops on the way to it and back.

    Never below zero. Raises ValueError when a drop is not in volts.
    """
    if any(drop.unit != "V" for drop in drops):
        raise ValueError("drops are in V")
    supply = exact("Supply", supply_v, "V", "the system's voltage")
    value = supply_v - sum(drop.value for drop in drops)
    low = supply_v - sum(drop.high for drop in drops)
    high = supply_v - sum(drop.low for drop in drops)
    known = not any(drop.is_least for drop in drops)
    note = "the loads would draw less than noted" if known and low < 0 else ""
    if polarity == "positive ground":
        note = notes_joined(note, "with positive ground the meter shows a minus")
    value, low, high = (max(0.0, each) for each in (value, low, high))
    return Figure(
        "Left at the load",
        value,
        "V",
        min(low, value),
        max(high, value),
        "U = {}" + " − {}" * len(drops) + " V = {} V",
        (supply_v, *(drop.value for drop in drops), value),
        weakest((Status.DERIVED, *(drop.status for drop in drops))),
        (),
        note,
        (supply, *drops),
    )


def drop_verdicts(
    drop: Figure, supply_v: float, limits: Limits = DEFAULT_LIMITS
) -> tuple[Comparison, Comparison]:
    """Return the drop beside the limit of advice and beside that of a fault."""
    advice = _share_of_supply("drop_advice", supply_v, limits)
    fault = _share_of_supply("drop_fault", supply_v, limits)
    return Comparison(advice.name, drop, advice), Comparison(fault.name, drop, fault)


@lru_cache(maxsize=256)
def _share_of_supply(key: str, supply_v: float, limits: Limits) -> Figure:
    share = limits.figure(key)
    value = share.value * supply_v
    return Figure(
        share.name,
        value,
        "V",
        value,
        value,
        "{} % of {} V = {} V",
        (100 * share.value, supply_v, value),
        share.status,
        share.sources,
        share.note,
        (share,),
    )
