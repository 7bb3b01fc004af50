"""Gives the band of time in which a fuse opens at an overload.

Between two published points the band is bounded by them, not drawn through them: a
larger current never opens later. Where no document gives a bound the band is open.
"""

from __future__ import annotations

import math

from blockmap.analysis.numbers.figure import Figure, notes_joined, shown, weakest
from blockmap.reference.fuse_curves import opening_points
from blockmap.reference.sources import Status

__all__ = ["opening_time", "seconds_text"]


def opening_time(
    form: str, rating_a: float, amps_a: float, *, with_memory: bool = False
) -> Figure | None:
    """Return the band of seconds to open at a current in amps.

    The value is the slow end, within which the fuse opens; infinite when no document
    says that it opens at all. None when no table was read for the body and rating.
    Points from memory count only when asked for. Raises ValueError for a current or
    rating that is not above zero.
    """
    if not (amps_a > 0 and rating_a > 0):
        raise ValueError("rating and current are above zero")
    points = opening_points(form, rating_a, with_memory=with_memory)
    if not points:
        return None
    percent = 100 * amps_a / rating_a
    # Decimal dust must not move a current off a published point.
    at_or_above = [p for p in points if p.percent >= percent * (1 - 1e-9)]
    at_or_below = [p for p in points if p.percent <= percent * (1 + 1e-9)]
    fast = next((p for p in at_or_above if p.least_s is not None), None)
    slow = next((p for p in at_or_below[::-1] if p.most_s is not None), None)
    low = fast.least_s if fast and fast.least_s is not None else 0.0
    high = slow.most_s if slow and slow.most_s is not None else math.inf
    used = [point for point in (fast, slow) if point is not None]
    said = [f"{shown(amps_a)} A / {shown(rating_a)} A = {shown(percent)} %"]
    if fast is not None:
        said.append(f"not before {seconds_text(low)} (at {shown(fast.percent)} %)")
    if slow is not None:
        said.append(f"within {seconds_text(high)} (at {shown(slow.percent)} %)")
    return Figure(
        f"Opening time of a {form} of {shown(rating_a)} A",
        high,
        "s",
        min(low, high),
        high,
        "; ".join(said),
        (),
        weakest((Status.DERIVED, *(point.status for point in used))),
        tuple(dict.fromkeys(source for point in used for source in point.sources)),
        notes_joined(
            *(point.note for point in used),
            "" if slow is not None else "no document says that it opens at this load",
        ),
    )


def seconds_text(seconds: float) -> str:
    """Return a time for reading: '0.15 s', '2 min', '100 h', 'no limit'."""
    if math.isinf(seconds):
        return "no limit"
    if seconds >= 7200:
        return f"{shown(seconds / 3600)} h"
    if seconds >= 120:
        return f"{shown(seconds / 60)} min"
    return f"{shown(seconds)} s"
