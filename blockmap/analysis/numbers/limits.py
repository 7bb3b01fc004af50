"""The limits that a user may change for one map, with where each default comes from.

A changed limit is carried into the note of every figure that rests on it. Nothing
here judges anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from blockmap.analysis.numbers.figure import (
    SET_BY_YOU,
    Figure,
    exact,
    from_reference,
    shown,
)
from blockmap.reference.conductors import BOAT_WIRE_TABLE, INSULATION_CLASSES_C
from blockmap.reference.drops import DROP_ADVICE, DROP_FAULT
from blockmap.reference.fuse_load_rules import CONTINUOUS_SHARE
from blockmap.reference.fuse_resistance import KEY_OFF_LIMIT_MA
from blockmap.reference.fusible_links import GAUGE_STEPS
from blockmap.reference.number_documents import CHARGING_B, IEC_60028, READINGS_JOURNAL
from blockmap.reference.sources import Sourced, Status

__all__ = ["DEFAULT_LIMITS", "LIMIT_ROWS", "LimitRow", "Limits"]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """What one limit is: its label, the range it may be set in, and its default."""

    label: str
    help: str
    low: float
    high: float
    default: Sourced


LIMIT_ROWS: Mapping[str, LimitRow] = MappingProxyType(
    {
        "continuous_share": LimitRow(
            "Share for long use",
            "share of its rating a fuse may carry all the time",
            0.3,
            1.0,
            CONTINUOUS_SHARE,
        ),
        "insulation_c": LimitRow(
            "Insulation",
            "temperature class of wire whose insulation is not noted",
            60,
            200,
            Sourced(
                105,
                "°C",
                Status.COMMON_PRACTICE,
                (BOAT_WIRE_TABLE,),
                "taken so that only what no usual wire bears is called wrong; old "
                "PVC is a wire of 80 °C",
            ),
        ),
        "bundled": LimitRow(
            "Wires in the bundle",
            "current-carrying wires that lie together",
            1,
            200,
            Sourced(1, "", Status.COMMON_PRACTICE, (), "a single wire in free air"),
        ),
        "engine_space": LimitRow(
            "Engine space",
            "1 for wires in an engine space (50 °C), 0 for others (30 °C)",
            0,
            1,
            Sourced(0, "", Status.VERIFIED, (BOAT_WIRE_TABLE,), "at 30 °C"),
        ),
        "fuse_over_wire": LimitRow(
            "Fuse above wire",
            "most a fuse's rating may be, as a share of the amps of the wire",
            0.5,
            1.5,
            Sourced(
                1.0,
                "",
                Status.COMMON_PRACTICE,
                (),
                "a fuse protects the wire; boats allow 150 %",
            ),
        ),
        "wire_c": LimitRow(
            "Wire temperature",
            "temperature of the conductor for which its resistance is taken",
            -40,
            150,
            Sourced(20, "°C", Status.VERIFIED, (IEC_60028,), "as in the tables"),
        ),
        "drop_advice": LimitRow(
            "Drop, advice",
            "share of the system voltage a circuit may lose before it is advised",
            0.005,
            0.5,
            DROP_ADVICE,
        ),
        "drop_fault": LimitRow(
            "Drop, fault",
            "share of the system voltage whose loss is a fault",
            0.005,
            0.5,
            DROP_FAULT,
        ),
        "charging_share": LimitRow(
            "Charging voltage",
            "volts with the engine running as a share of the system voltage",
            1.0,
            1.4,
            Sourced(
                14.5 / 12,
                "",
                Status.COMMON_PRACTICE,
                (CHARGING_B,),
                "up to 14.5 V in a 12 V car",
            ),
        ),
        "meter_step_mv": LimitRow(
            "Step of the meter",
            "smallest step the meter shows, in millivolts",
            0.0001,
            1000,
            Sourced(
                0.1,
                "mV",
                Status.VERIFIED,
                (READINGS_JOURNAL,),
                "step of the meter used in the journal",
            ),
        ),
        "key_off_ma": LimitRow(
            "Key-off current",
            "most the whole car may draw with the key off, in milliamps",
            1,
            5000,
            KEY_OFF_LIMIT_MA,
        ),
        "link_steps": LimitRow(
            "Fusible link",
            "gauge numbers a link is thinner than the wire it guards",
            1,
            8,
            GAUGE_STEPS,
        ),
    }
)
"""Every limit by its key, in the order in which a list shows them."""


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
        if self.insulation_c not in (None, *INSULATION_CLASSES_C):
            classes = ", ".join(str(each) for each in INSULATION_CLASSES_C)
            raise ValueError(f"Insulation is one of {classes} °C")
        for key in ("bundled", "engine_space"):
            value = getattr(self, key)
            if value is not None and value != int(value):
                raise ValueError(f"{LIMIT_ROWS[key].label} is a whole number")

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
