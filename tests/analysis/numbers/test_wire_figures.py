"""Resistance, drop and amps of wires against tables, examples and a units library."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.analysis.numbers.figure import exact
from blockmap.analysis.numbers.limits import Limits
from blockmap.analysis.numbers.voltage_drop import (
    drop_along,
    drop_of_fuse,
    drop_verdicts,
    left_at_load,
    wire_resistance,
)
from blockmap.analysis.numbers.wires import resistance_per_m, wire_amps
from blockmap.reference.conductors import AWG_AMPS, INSULATION_CLASSES_C
from blockmap.reference.sources import Status

Rows = Callable[[str, str], list[list[Any]]]
_UNITS: Any = pint.UnitRegistry()
_GAUGES = [*AWG_AMPS, "20", "22", "24"]
_AREAS = st.floats(0.08, 120)
_METRES = st.floats(0, 30)


def _per_m(gauge: str, **limits: float) -> float:
    figure = resistance_per_m(gauge, Limits(**limits))
    assert figure is not None, gauge
    return figure.value


def _drop(gauge: str, out_m: float, amps: float, back_m: float = 0.0) -> float:
    resistance = wire_resistance(gauge, out_m, back_m)
    assert resistance is not None
    return drop_along(resistance, exact("load", amps, "A")).value


def test_awg_resistance_is_the_derived_table(published: Rows) -> None:
    # Source: derived from the AWG formula (ASTM B258) and IEC 60028 copper.
    for awg, _, mohm in published("wire_tables", "awg"):
        figure = resistance_per_m(f"{awg} AWG")
        assert figure is not None
        assert figure.value == pytest.approx(mohm, rel=5e-5, abs=6e-4)
        assert figure.status is Status.DERIVED
        assert figure.sources


def test_metric_resistance_is_the_maximum_of_the_standard(published: Rows) -> None:
    # Source: IEC 60228, classes 5 and 6; VDE 0295 for the thin sizes.
    rows = [(mm2, mohm) for mm2, _, mohm in published("wire_tables", "iec_60228")]
    for mm2, mohm in [*rows, *published("wire_tables", "vde_0295")]:
        figure = resistance_per_m(f"{mm2} mm2")
        assert figure is not None
        assert (figure.value, figure.high) == (mohm, mohm)
        assert figure.low < mohm


def test_worked_example_of_the_standard() -> None:
    # Source: summary of IEC 60228: 2.5 mm² with a factor of 1.03 is 7.10 Ω/km.
    figure = resistance_per_m("2.5 mm2")
    assert figure is not None
    assert figure.low <= 7.10 <= figure.high


def test_sae_wire_resists_more_than_awg_of_the_same_number() -> None:
    # Source: derived from the marine cable catalogue: 6 % (18) to 12 % (8) more.
    assert _per_m("18 SAE") / _per_m("18 AWG") == pytest.approx(1.06, abs=0.01)
    assert _per_m("8 SAE") / _per_m("8 AWG") == pytest.approx(1.12, abs=0.01)


def test_a_bare_number_holds_both_systems_in_its_band() -> None:
    bare = resistance_per_m("16")
    awg, sae = resistance_per_m("16 AWG"), resistance_per_m("16 SAE")
    assert bare is not None
    assert awg is not None
    assert sae is not None
    assert bare.low <= awg.low
    assert bare.high >= sae.high
    assert "AWG or SAE" in bare.note


def test_strands_agree_with_a_units_library() -> None:
    # Oracle: pint; resistivity of IEC 60028 copper, 1/58 Ω mm²/m.
    area = 14 * 3.141592653589793 / 4 * (0.30 * _UNITS.mm) ** 2
    ohms = (1 / 58 * _UNITS("ohm * mm**2 / m")) * (1 * _UNITS.m) / area
    assert _per_m("14/0.30") == pytest.approx(ohms.to("milliohm").magnitude)


def test_feet_inches_and_circular_mils_agree_with_a_units_library() -> None:
    # Oracle: pint knows the circular mil and the foot on its own.
    area = (4107 * _UNITS.circular_mil).to("mm**2").magnitude  # 14 AWG, derived row
    assert 1000 / 58 / area == pytest.approx(_per_m("14 AWG"), rel=1e-3)
    length_m = (21 * _UNITS.foot).to("m").magnitude
    assert _drop("16 AWG", length_m, 10) == pytest.approx(0.843, abs=6e-4)


def test_published_example_of_a_drop(published: Rows) -> None:
    # Source: marine catalogue: 10 A, 11 ft out and 10 ft back, 10 % of 12 V allowed:
    # 16 AWG is the answer (0.843 V, 7.0 %), 18 AWG fails (1.341 V, 11.2 %).
    out_m, back_m = 11 * 0.3048, 10 * 0.3048
    limits = Limits(drop_fault=0.10)
    for gauge, volts, fits in (("16 AWG", 0.843, True), ("18 AWG", 1.341, False)):
        resistance = wire_resistance(gauge, out_m, back_m)
        assert resistance is not None
        drop = drop_along(resistance, exact("load", 10, "A"))
        assert drop.value == pytest.approx(volts, abs=6e-4)
        _, fault = drop_verdicts(drop, 12, limits)
        assert fault.holds is fits
        assert fault.limit.set_by_you


def test_the_published_table_by_length_never_loses_a_tenth(published: Rows) -> None:
    # Source: wire tables, gauge by current and length in feet at 12 V, one way.
    for amps, *gauges in published("wire_tables", "by_length"):
        for feet, gauge in zip((3, 5, 7, 10, 15, 20, 25), gauges, strict=True):
            assert _drop(f"{gauge} AWG", feet * 0.3048, amps) < 0.1 * 12


def test_warm_copper_resists_more() -> None:
    # Source: power engineering handbook: 0.393 % per °C from 20 °C.
    warm = resistance_per_m("16 AWG", Limits(wire_c=80))
    assert warm is not None
    assert warm.value == pytest.approx(_per_m("16 AWG") * 1.2358)
    assert warm.set_by_you
    assert "0.00393" in warm.formula


@given(_AREAS, _AREAS)
def test_a_thinner_metric_wire_never_resists_less(one: float, other: float) -> None:
    thin, thick = sorted((one, other))
    assert _per_m(f"{thin:.5f} mm2") >= _per_m(f"{thick:.5f} mm2") * (1 - 1e-9)


@given(st.sampled_from(_GAUGES), st.sampled_from(_GAUGES), _METRES, st.floats(0, 200))
def test_a_thinner_gauge_never_drops_less(
    one: str, other: str, metres: float, amps: float
) -> None:
    areas = {gauge: _per_m(f"{gauge} AWG") for gauge in (one, other)}
    thin, thick = sorted((one, other), key=areas.__getitem__, reverse=True)
    assert _drop(f"{thin} AWG", metres, amps) >= _drop(f"{thick} AWG", metres, amps)


@given(st.sampled_from(_GAUGES), _METRES, _METRES, st.floats(0, 200))
def test_a_longer_wire_never_drops_less(
    gauge: str, one: float, other: float, amps: float
) -> None:
    short, long = sorted((one, other))
    assert _drop(f"{gauge} AWG", long, amps) >= _drop(f"{gauge} AWG", short, amps)
    both = _drop(f"{gauge} AWG", short, amps, back_m=short)
    assert both == pytest.approx(2 * _drop(f"{gauge} AWG", short, amps))


@given(st.sampled_from(_GAUGES), _METRES, st.floats(0, 100), st.floats(0, 10))
def test_a_drop_is_in_proportion_to_the_current(
    gauge: str, metres: float, amps: float, factor: float
) -> None:
    once = _drop(f"{gauge} AWG", metres, amps)
    more = _drop(f"{gauge} AWG", metres, amps * factor)
    assert more == pytest.approx(once * factor)


@given(st.lists(st.floats(0, 5), max_size=4), st.sampled_from([6.0, 12.0, 24.0]))
def test_what_is_left_is_the_supply_less_the_drops(
    volts: list[float], supply: float
) -> None:
    left = left_at_load(supply, [exact("drop", each, "V") for each in volts])
    assert left.value == pytest.approx(max(0, supply - sum(volts)))
    assert 0 <= left.low <= left.value <= left.high


@given(st.sampled_from(["18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "2/0"]))
def test_sae_wire_never_drops_less_than_awg(gauge: str) -> None:
    assert _drop(f"{gauge} SAE", 3, 10) > _drop(f"{gauge} AWG", 3, 10)


def test_positive_ground_is_said() -> None:
    left = left_at_load(6, [exact("drop", 0.5, "V")], "positive ground")
    assert "minus" in left.note
    with pytest.raises(ValueError, match="in V"):
        left_at_load(6, [exact("x", 1, "A")])


def test_drop_of_a_fuse_at_its_rating_is_the_published_one() -> None:
    # Source: maker datasheet: mini blade of 10 A, 108 mV at 10 A.
    drop = drop_of_fuse("mini blade", 10, exact("load", 10, "A"))
    assert drop is not None
    assert drop.value == pytest.approx(0.108)
    assert not drop.uses_memory
    remembered = drop_of_fuse("medium blade", 15, exact("load", 10, "A"))
    assert remembered is not None
    assert remembered.uses_memory
    assert drop_of_fuse("ceramic 6 x 25", 8, exact("load", 4, "A")) is None


def test_amps_of_wires_are_the_boat_table(published: Rows) -> None:
    # Source: 33 CFR 183.425, table 5.
    for awg, *amps in published("conductors", "allowable_amps"):
        for class_c, most_a in zip(INSULATION_CLASSES_C, amps, strict=True):
            figure = wire_amps(f"{awg} AWG", f"{class_c} °C")
            assert figure is not None
            assert figure.value == most_a


def test_wire_without_a_noted_insulation_reaches_down_to_the_lowest_class() -> None:
    # Source: 33 CFR 183.425, table 5: 16 AWG 15 A at 60 °C, 25 A at 105 °C.
    figure = wire_amps("16 AWG")
    assert figure is not None
    assert (figure.low, figure.value) == (15, 25)
    assert "insulation not noted" in figure.note


def test_bundle_and_engine_space_lower_the_amps(published: Rows) -> None:
    # Source: UL 1426 table: 18 AWG 20 A alone, 14, 12 and 10 A in bundles; marine
    # supplier: × 0.85 in engine spaces, 20 A become 17 A.
    for bundled, amps in ((3, 14), (5, 12), (10, 10)):
        figure = wire_amps("18 AWG", "105 °C", Limits(bundled=bundled))
        assert figure is not None
        assert figure.value == pytest.approx(amps)
        assert "caution" in figure.note
        assert figure.set_by_you
    hot = wire_amps("18 AWG", "105 °C", Limits(engine_space=1))
    assert hot is not None
    assert hot.value == pytest.approx(17)
    remembered = wire_amps("18 AWG", "80 °C", Limits(engine_space=1))
    assert remembered is not None
    assert remembered.uses_memory


@given(_AREAS, _AREAS, st.sampled_from(INSULATION_CLASSES_C))
def test_a_thinner_wire_never_bears_more(
    one: float, other: float, class_c: int
) -> None:
    thin, thick = sorted((one, other))
    less = wire_amps(f"{thin:.5f} mm2", f"{class_c} °C")
    more = wire_amps(f"{thick:.5f} mm2", f"{class_c} °C")
    assert less is not None
    assert more is not None
    assert less.value <= more.value * (1 + 1e-9)


@given(st.sampled_from(_GAUGES))
def test_better_insulation_never_bears_less(gauge: str) -> None:
    figures = [wire_amps(f"{gauge} AWG", f"{c} °C") for c in INSULATION_CLASSES_C]
    amps = [figure.value for figure in figures if figure]
    assert len(amps) == len(INSULATION_CLASSES_C)
    assert amps == sorted(amps)


@pytest.mark.parametrize("gauge", ["", "banana", "4 mm", "24 SAE"])
def test_a_gauge_whose_area_does_not_follow_has_no_figure(gauge: str) -> None:
    assert resistance_per_m(gauge) is None
    assert wire_amps(gauge) is None
    assert wire_resistance(gauge, 1) is None


def test_a_negative_length_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        wire_resistance("16 AWG", -1)
