"""Wire gauges keep what was written; an area is given only where it follows."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockmap.reference.gauges import (
    Gauge,
    GaugeNotUnderstood,
    awg_diameter_mm,
    read_gauge,
)

Rows = Callable[[str, str], list[list[Any]]]


def test_awg_areas_and_diameters(published: Rows) -> None:
    # Source: derived table, formula of ASTM B258, four decimals.
    for gauge, diameter_mm, area_mm2 in published("gauges", "awg"):
        read = read_gauge(f"{gauge} AWG")
        assert read.system == "AWG"
        assert read.awg == gauge
        assert read.size_mm2 == pytest.approx(area_mm2, abs=6e-5)
        assert awg_diameter_mm(gauge) == pytest.approx(diameter_mm, abs=6e-5)


def test_sae_wire_has_its_own_smaller_area(published: Rows) -> None:
    # Source: marine cable catalogue 2023 and a marine supplier's table.
    for gauge, _, _, area_mm2 in published("gauges", "sae"):
        sae, awg = read_gauge(f"{gauge} SAE"), read_gauge(f"{gauge} AWG")
        assert sae.size_mm2 == pytest.approx(area_mm2, abs=6e-4)
        assert sae.size_mm2 is not None
        assert awg.size_mm2 is not None
        assert sae.size_mm2 < awg.size_mm2


def test_a_gauge_without_a_published_sae_area_has_none() -> None:
    assert read_gauge("20 SAE").size_mm2 is None


@pytest.mark.parametrize("text", ["16", "2/0", "00", "18 ga", "14 gauge"])
def test_a_bare_number_has_no_area(text: str) -> None:
    read = read_gauge(text)
    assert (read.written, read.system, read.size_mm2) == (text, "number", None)


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [
        ("1.5 mm2", 1.5),
        ("1,5 mm²", 1.5),
        (" 0.75mm2 ", 0.75),
        ("2.5 sq mm", 2.5),
        ("14/0.30", 14 * math.pi * 0.15**2),
        ("14/0,30 mm", 14 * math.pi * 0.15**2),
        ("28 x .30", 28 * math.pi * 0.15**2),
    ],
)
def test_areas_that_follow_from_the_text(text: str, area_mm2: float) -> None:
    read = read_gauge(text)
    assert read.written == text.strip()
    assert read.size_mm2 == pytest.approx(area_mm2)


def test_a_strand_count_agrees_with_the_published_stranding() -> None:
    # Source: wire primer, SAE strandings: 18 gauge is 16 strands of 30 AWG,
    # 0.815 mm² (derived).
    strands = read_gauge(f"16/{awg_diameter_mm('30'):.4f}")
    assert strands.size_mm2 == pytest.approx(0.815, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "write"),
    [
        ("", "16 AWG"),
        ("1.5", "1.5 mm2"),
        ("4 mm", "4 mm2"),
        ("19/27", "19/0.27"),
        ("19/27", "19/0.36"),
        ("99", "16 AWG"),
        ("0 mm2", "1.5 mm2"),
        ("5000/9.9", "14/0.30"),
        ("banana", "1.5 mm2"),
        ("-3", "16"),
        ("5/0", "16 AWG"),
    ],
)
def test_nonsense_is_refused_with_what_to_write(text: str, write: str) -> None:
    with pytest.raises(GaugeNotUnderstood) as caught:
        read_gauge(text)
    assert write in caught.value.meant
    assert f'"{write}"' in str(caught.value)
    assert caught.value.text == text


@given(st.text(alphabet="0123456789/.,x mAWGSEgaq²^#-", max_size=10))
def test_any_text_is_kept_as_written_or_refused(text: str) -> None:
    outcome: Gauge | str
    try:
        outcome = read_gauge(text)
    except GaugeNotUnderstood as refused:
        outcome = str(refused)
    if isinstance(outcome, str):
        assert "Write" in outcome
    else:
        assert outcome.written == text.strip()
        assert read_gauge(outcome.written) == outcome
        assert outcome.size_mm2 is None or 0 < outcome.size_mm2 <= 400
