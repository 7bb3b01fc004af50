"""What wires may carry, against the published table."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from blockmap.reference.conductors import (
    AWG_AMPS,
    INSULATION_CLASSES_C,
    allowable_amps_a,
)

_TABLE = Path(__file__).parents[1] / "data" / "standards" / "conductors.yaml"


def test_every_figure_is_that_of_the_published_table() -> None:
    # Source: 33 CFR 183.425 Table 5.
    rows = yaml.safe_load(_TABLE.read_text(encoding="utf-8"))["allowable_amps"]["rows"]
    assert {row[0] for row in rows} == set(AWG_AMPS)
    for gauge, *amps in rows:
        for insulation_c, published_a in zip(INSULATION_CLASSES_C, amps, strict=True):
            assert allowable_amps_a(gauge, insulation_c) == published_a, gauge


def test_a_gauge_the_table_lacks_has_no_figure() -> None:
    assert allowable_amps_a("20") is None


def test_an_insulation_class_the_table_lacks_is_refused() -> None:
    with pytest.raises(ValueError, match="not in"):
        allowable_amps_a("16", 70)


@pytest.mark.parametrize("insulation_c", INSULATION_CLASSES_C)
def test_a_thicker_wire_never_bears_less(insulation_c: int) -> None:
    amps = [allowable_amps_a(gauge, insulation_c) or 0 for gauge in AWG_AMPS]
    assert amps == sorted(amps)
