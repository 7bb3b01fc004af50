"""Computes how fast a flasher blinks from its on and off times.

The rates of the cycles are averaged, as the agency does; averaging the times instead
gives a lower figure and may pass a flasher that fails.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockmap.analysis.numbers.figure import Figure, notes_joined, shown
from blockmap.reference.flash_rates import FLASH_LIMITS, FlashLimit

__all__ = ["FlashVerdict", "flash_rate", "flash_verdicts", "on_share"]

_LEAST_CYCLES = 3


def flash_rate(cycles_ms: Sequence[tuple[float, float]]) -> Figure:
    """Return the flashes per minute of cycles given by on and off time in ms.

    The mean of the rates; the band runs from the slowest cycle to the fastest. Raises
    ValueError without cycles or for a cycle that takes no time.
    """
    if not cycles_ms:
        raise ValueError("at least one cycle is needed")
    if any(on < 0 or off < 0 or not on + off > 0 for on, off in cycles_ms):
        raise ValueError("on and off times are not negative and not both nothing")
    rates = [60_000 / (on + off) for on, off in cycles_ms]
    value = min(max(sum(rates) / len(rates), min(rates)), max(rates))
    few = len(rates) < _LEAST_CYCLES
    listed = ", ".join(shown(rate, 4) for rate in rates)
    return Figure(
        "Flash rate",
        value,
        "/min",
        min(rates),
        max(rates),
        "mean of 60 000 ms / (on + off): {} = {:4} /min",
        (listed, value),
        sources=FLASH_LIMITS[0].sources,
        note=notes_joined(
            "the rates are averaged, not the times",
            f"measured over {len(rates)} of at least {_LEAST_CYCLES} cycles"
            if few
            else "",
        ),
    )


def on_share(cycles_ms: Sequence[tuple[float, float]]) -> Figure:
    """Return the share of the time the lamps are on, in percent.

    Raises ValueError as `flash_rate` does.
    """
    flash_rate(cycles_ms)
    shares = [100 * on / (on + off) for on, off in cycles_ms]
    value = min(max(sum(shares) / len(shares), min(shares)), max(shares))
    listed = ", ".join(shown(share) for share in shares)
    return Figure(
        "Share of time on",
        value,
        "%",
        min(shares),
        max(shares),
        "mean of on / (on + off): {} = {} %",
        (listed, value),
    )


@dataclass(frozen=True, slots=True)
class FlashVerdict:
    """A rate beside one rule: 'within', 'too slow' or 'too fast'."""

    rate: Figure
    limit: FlashLimit
    verdict: str


def flash_verdicts(rate: Figure) -> tuple[FlashVerdict, ...]:
    """Return a rate per minute beside every rule, in the order of the rules."""
    return tuple(
        FlashVerdict(rate, limit, _verdict(rate, limit)) for limit in FLASH_LIMITS
    )


def _verdict(rate: Figure, limit: FlashLimit) -> str:
    if rate.value < limit.least_per_min * (1 - 1e-9):
        return "too slow"
    if rate.value > limit.most_per_min * (1 + 1e-9):
        return "too fast"
    return "within"
