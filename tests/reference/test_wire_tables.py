"""Wire tables hold the published rows and keep rows from memory apart."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from blockmap.reference.conductors import (
    AWG_AMPS,
    INSULATION_CLASSES_C,
    allowable_amps_a,
)
from blockmap.reference.gauges import awg_area_mm2
from blockmap.reference.insulation import (
    bundle_factor,
    engine_space_factor,
    insulation_class,
)
from blockmap.reference.sources import Status
from blockmap.reference.terminal_capacity import AMPS_BY_WIDTH, terminal_capacity
from blockmap.reference.wire_amps import (
    AREA_AMPS_50C,
    AREA_AMPS_CLUB,
    CHASSIS_AMPS,
    listed_fuse,
)
from blockmap.reference.wire_resistance import (
    COPPER_OHM_MM2_PER_M,
    FLEXIBLE_MOHM_PER_M,
    SAE_STRANDINGS,
    SOLID_MOHM_PER_M,
    car_wire_mohm_per_m,
)
from blockmap.reference.wire_sizes import METRIC_NAMES, names_of_area, trade_size_area

Rows = Callable[[str, str], list[list[Any]]]


def test_the_boat_table_is_whole(published: Rows) -> None:
    # Source: 33 CFR 183.425, table 5.
    rows = published("conductors", "allowable_amps")
    assert {awg: list(amps) for awg, amps in AWG_AMPS.items()} == {
        row[0]: row[1:] for row in rows
    }
    for awg, *amps in rows:
        found = [allowable_amps_a(awg, each) for each in INSULATION_CLASSES_C]
        assert found == amps


def test_metric_resistances_are_the_published_maxima(published: Rows) -> None:
    # Source: IEC 60228 on a cable maker's and an engineering page; VDE 0295.
    rows = published("wire_tables", "iec_60228")
    assert {mm2: solid for mm2, solid, _ in rows} == dict(SOLID_MOHM_PER_M)
    flexible = {mm2: mohm for mm2, _, mohm in rows}
    flexible.update(map(tuple, published("wire_tables", "vde_0295")))
    assert {mm2: row.value for mm2, row in FLEXIBLE_MOHM_PER_M.items()} == flexible
    sizes = list(FLEXIBLE_MOHM_PER_M)
    assert sizes == sorted(sizes)
    for mm2, row in FLEXIBLE_MOHM_PER_M.items():
        # No copper wire resists less than pure copper of its area.
        assert row.value > 1000 * COPPER_OHM_MM2_PER_M.value / mm2


def test_only_one_row_of_car_wire_was_read() -> None:
    read = car_wire_mohm_per_m(1)
    assert read is not None
    # Source: engineering note on thin-wall car wire of 1.0 mm², 18.5 mΩ/m.
    assert (read.value, read.status) == (18.5, Status.VERIFIED)
    other = car_wire_mohm_per_m(1.5)
    assert other is not None
    assert other.status is Status.MEMORY
    assert car_wire_mohm_per_m(7) is None


def test_strandings_give_the_derived_areas(published: Rows) -> None:
    # Source: wire primer, strands of primary wire; areas derived from it.
    rows = published("wire_tables", "strandings")
    assert list(SAE_STRANDINGS) == [row[0] for row in rows]
    for gauge, strands, strand_awg, area in rows:
        made = SAE_STRANDINGS[gauge]
        assert (made.strands, made.strand_awg) == (strands, str(strand_awg))
        found = made.strands * awg_area_mm2(made.strand_awg)
        assert found == pytest.approx(area, abs=6e-4)


def test_bundles_lower_the_amps(published: Rows) -> None:
    # Source: table of boat cable by UL 1426; factors derived from it.
    examples = {
        "up to 2": (1, 2),
        "3": (3,),
        "4-6": (4, 6),
        "7-24": (7, 24),
        "25+": (25, 99),
    }
    for conductors, factor in published("wire_tables", "bundles"):
        for count in examples[conductors]:
            assert bundle_factor(count).value == factor
    with pytest.raises(ValueError, match="at least one"):
        bundle_factor(0)


def test_only_the_engine_space_factor_of_105_degrees_was_read() -> None:
    # Source: marine supplier's page: 105 °C insulation × 0.85.
    assert engine_space_factor(105).value == 0.85
    assert engine_space_factor(105).status is Status.VERIFIED
    assert engine_space_factor(80).status is Status.MEMORY
    factors = [engine_space_factor(each).value for each in INSULATION_CLASSES_C]
    assert factors == sorted(factors)


@pytest.mark.parametrize(
    ("text", "class_c"),
    [
        ("105 °C", 105),
        ("90C", 90),
        ("85 deg C", 80),
        ("PVC", 80),
        ("GPT", 80),
        ("gxl", 125),
        ("150 °C silicone", 125),
    ],
)
def test_insulation_is_read_from_what_people_write(text: str, class_c: int) -> None:
    found = insulation_class(text)
    assert found is not None
    assert found.value == class_c


@pytest.mark.parametrize("text", ["", "cloth", "40 °C", "red"])
def test_unknown_insulation_is_not_guessed(text: str) -> None:
    assert insulation_class(text) is None


def test_lists_of_amps_and_fuses(published: Rows) -> None:
    # Source: fuse seller's list, club pages, a handbook list that circulates.
    for wire, fuse_a in published("wire_tables", "largest_fuse"):
        size, _, unit = wire.partition(" ")
        found = (
            listed_fuse(size) if unit == "AWG" else listed_fuse(size_mm2=float(size))
        )
        assert found is not None
        assert found.value == fuse_a
    area = published("wire_tables", "area_amps")
    assert {row[0]: row[1] for row in area if row[1]} == dict(AREA_AMPS_50C)
    assert {row[0]: row[2] for row in area if row[2]} == dict(AREA_AMPS_CLUB)
    chassis = {row[0]: row[1] for row in published("wire_tables", "chassis")}
    assert chassis == dict(CHASSIS_AMPS)
    assert listed_fuse("20") is None


def test_names_in_other_systems(published: Rows) -> None:
    # Source: German service manual of 1998; wire tables; Australian page.
    rows = published("wire_tables", "metric_names")
    assert [[system, mm2, awg] for system, mm2, awg, _ in METRIC_NAMES] == rows
    names = {awg for _, awg, _ in names_of_area(1.0)}
    assert names == {"16"}
    for trade_mm, area in published("wire_tables", "trade_mm"):
        found = trade_size_area(trade_mm)
        assert found is not None
        assert found.value == area
        assert area < trade_mm


def test_contact_capacities_are_called_common_practice() -> None:
    for terminal, form, amps in (
        ("6.3 mm tab", "", 30),
        ("1/4 in female", "", 30),
        ("", "tab 4.8", 20),
        ("sealed 2.8", "medium blade", 15),
        ("", "mini blade", 30),
        ("", "maxi blade", 60),
    ):
        found = terminal_capacity(terminal, form)
        assert found is not None, (terminal, form)
        assert found.value == amps
        assert found.status is Status.COMMON_PRACTICE
    assert terminal_capacity("round pin", "glass 6.3 x 32") is None
    widths = sorted(AMPS_BY_WIDTH)
    amps_a = [AMPS_BY_WIDTH[width] for width in widths]
    assert amps_a == sorted(amps_a)
