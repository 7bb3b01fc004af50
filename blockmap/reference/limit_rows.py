"""Holds the limits that a user may set for one map, each with its default's source.

It judges nothing: what a limit is used for stands in its help.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from blockmap.reference.conductors import BOAT_WIRE_TABLE, INSULATION_CLASSES_C
from blockmap.reference.drops import DROP_ADVICE, DROP_FAULT
from blockmap.reference.fuse_load_rules import CONTINUOUS_SHARE
from blockmap.reference.fuse_resistance import KEY_OFF_LIMIT_MA
from blockmap.reference.fusible_links import GAUGE_STEPS
from blockmap.reference.number_documents import CHARGING_B, IEC_60028, READINGS_JOURNAL
from blockmap.reference.sources import Sourced, Status

__all__ = ["LIMIT_ROWS", "LimitRow"]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """What one limit is: its label, the range it may be set in, and its default.

    ``whole`` limits are whole numbers, ``steps`` the only values one may have, and a
    ``share`` is shown and typed in percent.
    """

    label: str
    help: str
    low: float
    high: float
    default: Sourced
    share: bool = False
    whole: bool = False
    steps: tuple[float, ...] = ()


LIMIT_ROWS: Mapping[str, LimitRow] = MappingProxyType(
    {
        "continuous_share": LimitRow(
            "Share for long use",
            "share of its rating a fuse may carry all the time",
            0.3,
            1.0,
            CONTINUOUS_SHARE,
            share=True,
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
            steps=INSULATION_CLASSES_C,
        ),
        "bundled": LimitRow(
            "Wires in the bundle",
            "current-carrying wires that lie together",
            1,
            200,
            Sourced(1, "", Status.COMMON_PRACTICE, (), "a single wire in free air"),
            whole=True,
        ),
        "engine_space": LimitRow(
            "Engine space",
            "1 for wires in an engine space (50 °C), 0 for others (30 °C)",
            0,
            1,
            Sourced(0, "", Status.VERIFIED, (BOAT_WIRE_TABLE,), "at 30 °C"),
            whole=True,
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
            share=True,
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
            share=True,
        ),
        "drop_fault": LimitRow(
            "Drop, fault",
            "share of the system voltage whose loss is a fault",
            0.005,
            0.5,
            DROP_FAULT,
            share=True,
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
            share=True,
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
