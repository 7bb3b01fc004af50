"""Turns what a meter shows into amps, milliohms and watts, with the meter's step.

Millivolts across a fuse mean nothing without its body and rating; a contact's drop
means nothing without the current through it.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.numbers.figure import (
    Comparison,
    Figure,
    from_reference,
    notes_joined,
    shown,
    weakest,
)
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.reference.fuse_resistance import (
    COLD_SHARE,
    HOT_OVER_COLD,
    cold_resistance,
)
from blockmap.reference.sources import Status

__all__ = ["ContactLoss", "contact_loss", "current_through_fuse", "key_off_verdict"]


def current_through_fuse(
    form: str,
    rating_a: float,
    millivolts: float,
    limits: Limits = DEFAULT_LIMITS,
) -> Figure | None:
    """Return the milliamps through a fuse from the millivolts across it.

    I = U / R with the cold resistance of the body and rating; the band is one step of
    the meter either way. Above a tenth of the rating the fuse is warm and passes less
    than computed: the band then reaches down. The sign is that of the reading. None
    when no resistance is known; rows from memory are marked.
    """
    cold = cold_resistance(form, rating_a)
    if cold is None:
        return None
    step = limits.figure("meter_step_mv")
    value = 1000 * millivolts / cold.value
    spread = 1000 * step.value / cold.value
    low, high = value - spread, value + spread
    warm = ""
    if abs(value) > COLD_SHARE.value * rating_a * 1000:
        warm = "the fuse is warm at this current: its resistance is above the cold one"
        if value > 0:
            low = value / HOT_OVER_COLD.value - spread
        else:
            high = value / HOT_OVER_COLD.value + spread
    resistance = from_reference(f"Cold {form} of {shown(rating_a)} A", cold)
    return Figure(
        f"Current through the {shown(rating_a)} A fuse",
        value,
        "mA",
        low,
        high,
        "I = U / R = {} mV / {:4} mΩ = {} mA",
        (millivolts, cold.value, value),
        weakest((Status.DERIVED, cold.status)),
        cold.sources,
        notes_joined(
            cold.note,
            f"one step of {shown(step.value)} mV is {shown(spread)} mA",
            step.note if limits.meter_step_mv is not None else "",
            warm,
        ),
        (resistance, step),
    )


def key_off_verdict(current: Figure, limits: Limits = DEFAULT_LIMITS) -> Comparison:
    """Return a current of the whole car in mA beside the most it may draw key off.

    Raises ValueError when the current is not in mA.
    """
    if current.unit != "mA":
        raise ValueError("the key-off current is in mA")
    return Comparison("Key-off current", current, limits.figure("key_off_ma"))


@dataclass(frozen=True, slots=True)
class ContactLoss:
    """What a contact resists and how much heat it makes."""

    resistance: Figure
    heat: Figure


def contact_loss(drop_v: float, amps_a: float, step_v: float = 0.0) -> ContactLoss:
    """Return milliohms and watts of a contact from its drop and the current.

    R = U / I and P = U × I; step_v is the step of the meter in volts. Signs are left
    off, so that readings of a car with positive ground serve as they are. Raises
    ValueError for a current of nothing, which proves nothing.
    """
    drop_v, amps_a = abs(drop_v), abs(amps_a)
    if amps_a == 0:
        raise ValueError("without current a contact shows no drop: load the circuit")
    least_v, most_v = max(0.0, drop_v - step_v), drop_v + step_v
    mohm, watts = 1000 * drop_v / amps_a, drop_v * amps_a
    note = f"step of the meter {shown(1000 * step_v)} mV" if step_v else ""
    return ContactLoss(
        Figure(
            "Resistance of the contact",
            mohm,
            "mΩ",
            1000 * least_v / amps_a,
            1000 * most_v / amps_a,
            "R = U / I = {} V / {} A = {} mΩ",
            (drop_v, amps_a, mohm),
            note=note,
        ),
        Figure(
            "Heat in the contact",
            watts,
            "W",
            least_v * amps_a,
            most_v * amps_a,
            "P = U × I = {} V × {} A = {} W",
            (drop_v, amps_a, watts),
            note=note,
        ),
    )
