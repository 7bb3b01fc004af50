"""Holds what copper conductors resist: constants, standard sizes and strandings.

The sizes of the standards are greatest values at 20 °C; a good wire has less. Rows
from memory are kept apart and are used only when asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from blockmap.reference import number_documents as doc
from blockmap.reference.sources import MEMORY_NOTE, Sourced, Status

__all__ = [
    "COPPER_OHM_MM2_PER_M",
    "FLEXIBLE_MOHM_PER_M",
    "PURITY_BEST",
    "PURITY_LEAST",
    "SAE_STRANDINGS",
    "SOLID_MOHM_PER_M",
    "STRANDING_MOST",
    "TEMPERATURE_COEFFICIENT",
    "Stranding",
    "car_wire_mohm_per_m",
]

COPPER_OHM_MM2_PER_M: Final = Sourced(
    1 / 58,
    "Ω mm²/m",
    Status.VERIFIED,
    (doc.IEC_60028, doc.IACS_HISTORY),
    "resistivity of annealed copper at 20 °C",
)
TEMPERATURE_COEFFICIENT: Final = Sourced(
    0.00393,
    "1/°C",
    Status.VERIFIED,
    (doc.TEMPERATURE_HANDBOOK,),
    "R(T) = R20 × (1 + 0.00393 × (T − 20))",
)
PURITY_LEAST: Final = Sourced(
    0.97, "", Status.VERIFIED, (doc.IEC_60028,), "least conductivity of trade copper"
)
PURITY_BEST: Final = Sourced(
    1.01, "", Status.VERIFIED, (doc.IEC_60028,), "best conductivity of trade copper"
)
STRANDING_MOST: Final = Sourced(
    1.08,
    "",
    Status.VERIFIED,
    (doc.STRANDING_SUMMARY,),
    "twisted strands are longer than the wire: 1.02 to 1.04 for coarse strands, 1.05 "
    "to 1.08 for fine ones",
)

_IEC = (doc.IEC_60228_MAKER, doc.IEC_60228_PAGE, doc.VDE_0295_SHEET)

SOLID_MOHM_PER_M: Mapping[float, float] = MappingProxyType(
    {
        0.5: 36.0,
        0.75: 24.5,
        1: 18.1,
        1.5: 12.1,
        2.5: 7.41,
        4: 4.61,
        6: 3.08,
        10: 1.83,
        16: 1.15,
        25: 0.727,
        35: 0.524,
        50: 0.387,
    }
)
"""Greatest mΩ/m at 20 °C by mm², classes 1 and 2. Source: IEC 60228 on two pages."""

FLEXIBLE_MOHM_PER_M: Mapping[float, Sourced] = MappingProxyType(
    {
        size_mm2: Sourced(mohm, "mΩ/m", Status.VERIFIED, sources)
        for sources, rows in (
            (
                (doc.VDE_0295_SHEET,),
                ((0.08, 243.0), (0.14, 138.0), (0.25, 79.0), (0.34, 57.0)),
            ),
            (
                _IEC,
                (
                    (0.5, 39.0),
                    (0.75, 26.0),
                    (1.0, 19.5),
                    (1.5, 13.3),
                    (2.5, 7.98),
                    (4.0, 4.95),
                    (6.0, 3.3),
                    (10.0, 1.91),
                    (16.0, 1.21),
                    (25.0, 0.78),
                    (35.0, 0.554),
                    (50.0, 0.386),
                ),
            ),
        )
        for size_mm2, mohm in rows
    }
)
"""Greatest mΩ/m at 20 °C by mm², flexible wire (classes 5 and 6), plain copper."""

_CAR_WIRE: Mapping[float, float] = MappingProxyType(
    {
        0.22: 84.8,
        0.35: 54.4,
        0.5: 37.1,
        0.75: 24.7,
        1: 18.5,
        1.25: 14.9,
        1.5: 12.7,
        2: 9.42,
        2.5: 7.6,
        3: 6.15,
        4: 4.71,
        5: 3.94,
        6: 3.14,
        8: 2.38,
        10: 1.82,
        16: 1.16,
        25: 0.743,
        35: 0.527,
        50: 0.368,
    }
)


@dataclass(frozen=True, slots=True)
class Stranding:
    """How primary wire of one gauge is made: so many strands of an AWG number."""

    gauge: str
    strands: int
    strand_awg: str


SAE_STRANDINGS: Mapping[str, Stranding] = MappingProxyType(
    {
        gauge: Stranding(gauge, strands, strand_awg)
        for gauge, strands, strand_awg in (
            ("20", 7, "28"),
            ("18", 16, "30"),
            ("16", 19, "29"),
            ("14", 19, "27"),
            ("12", 19, "25"),
            ("10", 19, "23"),
            ("8", 19, "21"),
            ("6", 37, "21"),
        )
    }
)
"""Primary wire by gauge. Source: `number_documents.SAE_STRANDINGS`, VERIFIED."""


def car_wire_mohm_per_m(size_mm2: float) -> Sourced | None:
    """Return the greatest mΩ/m of ISO 6722-1 car wire at 20 °C; None for other sizes.

    Only 1.0 mm² was read; the other rows are MEMORY and never serve as a proof.
    """
    mohm = _CAR_WIRE.get(size_mm2)
    if mohm is None:
        return None
    if size_mm2 == 1:
        return Sourced(mohm, "mΩ/m", Status.VERIFIED, (doc.ISO_6722_NOTE,))
    return Sourced(mohm, "mΩ/m", Status.MEMORY, (), MEMORY_NOTE)
