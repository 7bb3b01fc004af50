"""What the owner of a map decides of its numbers: limits of its own, what is accepted.

The rows of the limits follow `LIMIT_ROWS`; here is only where a map keeps its own. An
acceptance stands for exactly what a check said when it was accepted: it decides
nothing about a finding that says something else by now.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blockmap.model.schema import Shape, prop
from blockmap.model.units import number_text
from blockmap.reference.limit_rows import LIMIT_ROWS

__all__ = ["Acceptance", "OwnLimits", "said_in_short"]

_SAID_LIMIT = 2000


def said_in_short(what: str) -> str:
    """Return a finding's sentence as an acceptance keeps it: one line, not endless."""
    return " ".join(what.split())[:_SAID_LIMIT].rstrip()


def _limit(key: str) -> Any:
    row = LIMIT_ROWS[key]
    return prop(
        row.label,
        Shape.INTEGER if row.whole else Shape.NUMBER,
        row.help,
        unit=row.default.unit,
        low=row.low,
        high=row.high,
        allowed=tuple(number_text(step) for step in row.steps),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLimits:
    """The limits set for this map; None keeps the default of `LIMIT_ROWS`."""

    continuous_share: float | None = _limit("continuous_share")
    insulation_c: float | None = _limit("insulation_c")
    bundled: float | None = _limit("bundled")
    engine_space: float | None = _limit("engine_space")
    fuse_over_wire: float | None = _limit("fuse_over_wire")
    wire_c: float | None = _limit("wire_c")
    drop_advice: float | None = _limit("drop_advice")
    drop_fault: float | None = _limit("drop_fault")
    charging_share: float | None = _limit("charging_share")
    meter_step_mv: float | None = _limit("meter_step_mv")
    key_off_ma: float | None = _limit("key_off_ma")
    link_steps: float | None = _limit("link_steps")


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """A finding that the owner accepts, with the reason."""

    finding: str = prop("Finding", Shape.TEXT, "the code of the finding", required=True)
    at: tuple[str, ...] = prop(
        "At", Shape.TEXTS, "the cavities, strips or blocks it concerns, by their keys"
    )
    said: str = prop(
        "Said",
        Shape.TEXT,
        "what it said when it was accepted; the acceptance ends when it says "
        "something else",
    )
    reason: str = prop("Reason", Shape.TEXT, "why it is accepted", required=True)
    date: str | None = prop("Date", Shape.DATE, "when it was accepted")
