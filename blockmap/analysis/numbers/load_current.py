"""Computes what loads draw: one load, and all loads of one cavity.

A load without watts or amps has no figure and is named as unknown; it is never taken
as nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.numbers.figure import Figure, exact, notes_joined, sum_of
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.model.document import Cavity, Load
from blockmap.reference.lamps import Lamp

__all__ = [
    "LoadSum",
    "current_of",
    "current_of_lamp",
    "is_rush",
    "is_short",
    "load_sum",
    "own_sum",
]


_OHM = "I = P / U = {:4} W / {:4} V = {} A"


def is_rush(load: Load) -> bool:
    """Tell whether a load is a rush at switching on."""
    return load.duty == "in-rush"


def is_short(load: Load) -> bool:
    """Tell whether a load draws for short times only; an unknown duty is not short."""
    return load.duty in ("intermittent", "in-rush")


def current_of(
    load: Load, volts: float, limits: Limits = DEFAULT_LIMITS
) -> Figure | None:
    """Return the current of a load in amps; None when neither amps nor watts are known.

    Amps entered stand as they are. Watts at noted volts give I = P / U. Watts alone
    are taken at the system's volts; their band runs from a load that keeps its power
    at charging voltage to one that draws in proportion to it.
    """
    if load.amps_a is not None:
        return exact(load.name, load.amps_a, "A")
    if load.watts_w is None:
        return None
    at_volts = load.at_volts or volts
    amps_a = load.watts_w / at_volts
    pattern, numbers = _OHM, (load.watts_w, at_volts, amps_a)
    if load.at_volts:
        return Figure(load.name, amps_a, "A", amps_a, amps_a, pattern, numbers)
    share = limits.figure("charging_share")
    note = notes_joined(
        "the voltage of the watts is not noted: the system's is taken, the band "
        "reaches to the charging voltage",
        share.note if limits.charging_share is not None else "",
    )
    return Figure(
        load.name,
        amps_a,
        "A",
        amps_a / share.value,
        amps_a * share.value,
        pattern,
        numbers,
        share.status,
        share.sources,
        note,
    )


def current_of_lamp(lamp: Lamp, count: int = 1) -> Figure:
    """Return the current of so many equal filaments at their test voltage, in amps.

    Source: the row of the lamp. Raises ValueError for a negative count.
    """
    if count < 0:
        raise ValueError(f"{count} is no count of lamps")
    amps_a = count * lamp.amps_a
    spread = amps_a * lamp.tolerance
    return Figure(
        f"{count} × {lamp.title}" if count != 1 else lamp.title,
        amps_a,
        "A",
        amps_a - spread,
        amps_a + spread,
        "{} × {} A at {} V",
        (count, lamp.amps_a, lamp.test_v),
        lamp.status,
        lamp.sources,
        lamp.note,
    )


@dataclass(frozen=True, slots=True)
class LoadSum:
    """What the loads of one place draw together, in amps.

    ``continuous`` counts loads for long use and of unknown duty, ``running`` also the
    intermittent ones, ``worst`` every load at once with its rush. ``unknown`` names
    the loads without a current: with any of them the sums are lower bounds.
    """

    continuous: Figure
    running: Figure
    worst: Figure
    unknown: tuple[str, ...] = ()

    @property
    def complete(self) -> bool:
        """True when every load has a current."""
        return not self.unknown


def own_sum(
    cavity: Cavity, volts: float, limits: Limits = DEFAULT_LIMITS
) -> LoadSum | None:
    """Return the sums of the loads noted on a cavity itself; None when it has none."""
    if not cavity.loads:
        return None
    long: list[Figure] = []
    running: list[Figure] = []
    all_at_once: list[Figure] = []
    unknown: list[str] = []
    for load in cavity.loads:
        figure = current_of(load, volts, limits)
        if figure is None:
            unknown.append(load.name)
            continue
        all_at_once.append(figure)
        if not is_rush(load):
            running.append(figure)
        if not is_short(load):
            long.append(figure)
    return load_sum(long, running, all_at_once, tuple(unknown))


def load_sum(
    long: list[Figure],
    running: list[Figure],
    all_at_once: list[Figure],
    unknown: tuple[str, ...],
) -> LoadSum:
    """Return the three sums of figures in amps, alike ones computed once."""
    note = ""
    if unknown:
        note = f"no current is known of {', '.join(unknown)}"

    def summed(name: str, figures: list[Figure]) -> Figure:
        known = sum_of(name, figures, "A", note)
        return known.at_least() if unknown else known

    worst = summed("Worst load", all_at_once)
    run = (
        worst.named("Running load")
        if len(running) == len(all_at_once)
        else summed("Running load", running)
    )
    continuous = (
        run.named("Continuous load")
        if len(long) == len(running)
        else summed("Continuous load", long)
    )
    return LoadSum(continuous, run, worst, unknown)
