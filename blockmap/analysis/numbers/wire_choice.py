"""Finds the thinnest usual wire that bears a load and does not lose too much.

Arithmetic only: the amps are an upper bound for a single wire, and what a loom or an
engine space allows is less. The manual's gauge comes first.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.numbers.figure import Comparison, Figure, exact, weakest
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.voltage_drop import (
    drop_along,
    drop_verdicts,
    wire_resistance,
)
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.reference.conductors import AWG_AMPS
from blockmap.reference.sources import Status
from blockmap.reference.wire_resistance import FLEXIBLE_MOHM_PER_M

__all__ = ["USUAL_GAUGES", "WireChoice", "wire_for"]

USUAL_GAUGES = {
    "AWG": tuple(f"{size} AWG" for size in AWG_AMPS),
    "mm2": tuple(f"{size:g} mm2" for size in FLEXIBLE_MOHM_PER_M),
}
"""Gauges from thin to thick: those of the table of amps, and those of IEC 60228."""


@dataclass(frozen=True, slots=True)
class WireChoice:
    """A gauge with the reasons for it; the gauge is empty when none is thick enough.

    ``drop`` is None without a length.
    """

    gauge: str
    bears: Comparison
    drop: Comparison | None


def wire_for(
    amps_a: float,
    length_out_m: float,
    length_back_m: float,
    supply_v: float,
    system: str = "AWG",
    limits: Limits = DEFAULT_LIMITS,
) -> WireChoice:
    """Return the thinnest gauge for a continuous load of so many amps.

    It bears the fuse that the load wants, which is the load over the share for long
    use, and loses no more than is advised over the lengths out and back in metres.
    Raises ValueError for a load, a supply or a system that is none, or no length.
    """
    if not (amps_a > 0 and supply_v > 0) or length_out_m < 0 or length_back_m < 0:
        raise ValueError("amps and volts are above zero, and no length is negative")
    if system not in USUAL_GAUGES:
        raise ValueError(f"gauges are in {' or '.join(USUAL_GAUGES)}")
    wanted = _wanted(amps_a, limits)
    choice: WireChoice | None = None
    for gauge in USUAL_GAUGES[system]:
        choice = _tried(gauge, wanted, length_out_m, length_back_m, supply_v, limits)
        if choice.bears.holds and (choice.drop is None or choice.drop.holds):
            return choice
    assert choice is not None
    return WireChoice("", choice.bears, choice.drop)


def _wanted(amps_a: float, limits: Limits) -> Figure:
    share, load = limits.figure("continuous_share"), exact("Load", amps_a, "A")
    value = amps_a / share.value
    return Figure(
        "Rating the load wants",
        value,
        "A",
        value,
        value,
        "{} A / {} = {} A",
        (amps_a, share.value, value),
        weakest((Status.DERIVED, share.status)),
        share.sources,
        share.note,
        (load, share),
    )


def _tried(
    gauge: str,
    wanted: Figure,
    length_out_m: float,
    length_back_m: float,
    supply_v: float,
    limits: Limits,
) -> WireChoice:
    amps = wire_amps(gauge, "", limits)
    resistance = wire_resistance(gauge, length_out_m, length_back_m, limits)
    assert amps is not None
    assert resistance is not None
    bears = Comparison("Fuse and wire", wanted, amps)
    if length_out_m + length_back_m == 0:
        return WireChoice(gauge, bears, None)
    drop = drop_along(resistance, wanted.inputs[0])
    return WireChoice(gauge, bears, drop_verdicts(drop, supply_v, limits)[0])
