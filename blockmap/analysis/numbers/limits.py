"""The limits that a user may change for one map, with where each default comes from.

A changed limit is carried into the note of every figure that rests on it. Nothing
here judges anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from blockmap.analysis.numbers.figure import (
    SET_BY_YOU,
    Figure,
    exact,
    from_reference,
    shown,
)
from blockmap.model.document import Map
from blockmap.model.judgements import OwnLimits
from blockmap.reference.limit_rows import LIMIT_ROWS, LimitRow

__all__ = ["DEFAULT_LIMITS", "LIMIT_ROWS", "LimitRow", "Limits", "limits_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits of one map; None keeps the default of `LIMIT_ROWS`.

    Raises ValueError, whose text says what may be written, for a limit out of range.
    """

    continuous_share: float | None = None
    insulation_c: float | None = None
    bundled: float | None = None
    engine_space: float | None = None
    fuse_over_wire: float | None = None
    wire_c: float | None = None
    drop_advice: float | None = None
    drop_fault: float | None = None
    charging_share: float | None = None
    meter_step_mv: float | None = None
    key_off_ma: float | None = None
    link_steps: float | None = None

    def __post_init__(self) -> None:
        for key, row in LIMIT_ROWS.items():
            value = getattr(self, key)
            if value is not None and not row.low <= value <= row.high:
                raise ValueError(
                    f"{row.label} must be from {shown(row.low)} to {shown(row.high)}, "
                    f"not {shown(value)}"
                )
            if value is not None and row.steps and value not in row.steps:
                steps = ", ".join(shown(each) for each in row.steps)
                raise ValueError(
                    f"{row.label} is one of {steps} {row.default.unit}".rstrip()
                )
            if value is not None and row.whole and value != int(value):
                raise ValueError(f"{row.label} is a whole number")

    def value(self, key: str) -> float:
        """Return a limit as a bare number. Raises KeyError for an unknown key."""
        own: float | None = getattr(self, key) if key in LIMIT_ROWS else None
        return LIMIT_ROWS[key].default.value if own is None else own

    def figure(self, key: str) -> Figure:
        """Return a limit as a figure whose note says who set it, or its default's.

        Raises KeyError for an unknown key.
        """
        return _figure(key, getattr(self, key, None))

    @property
    def set_by_you(self) -> tuple[str, ...]:
        """The keys of the limits that were changed."""
        return tuple(key for key in LIMIT_ROWS if getattr(self, key) is not None)


@lru_cache(maxsize=1024)
def _figure(key: str, own: float | None) -> Figure:
    row = LIMIT_ROWS[key]
    default = from_reference(row.label, row.default)
    if own is None:
        return default
    note = f"{SET_BY_YOU}; the default is {default.text}"
    return exact(row.label, own, row.default.unit, note)


DEFAULT_LIMITS: Final = Limits()
"""The limits of a map that has none of its own."""


def limits_of(document: Map) -> Limits:
    """Return the limits that hold for a map: its own, else the defaults."""
    return _limits(document.limits)


@lru_cache(maxsize=64)
def _limits(own: OwnLimits) -> Limits:
    return Limits(**{key: getattr(own, key) for key in LIMIT_ROWS})
