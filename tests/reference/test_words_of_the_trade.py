"""Circuits are suggested, cautions are complete, and the package stays light."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import blockmap.reference
from blockmap.reference.cautions import CAUTIONS, SHORT_CAUTION, caution_named
from blockmap.reference.circuits import CIRCUITS, suggest_circuits
from blockmap.reference.sources import Status


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        # Common practice, no source: the words people use for these circuits.
        ("clock", "Clock"),
        ("stop-haz", "Stop lamps and hazard flashers"),
        ("feul pmp", "Fuel pump"),
        ("indic", "Turn signals"),
        ("rear wip", "Rear wiper and washer"),
        ("demister", "Rear screen heater"),
    ],
)
def test_the_meant_circuit_is_suggested_first(typed: str, meant: str) -> None:
    assert suggest_circuits(typed)[0].long == meant


def test_suggestions_are_few_and_never_from_nothing() -> None:
    assert suggest_circuits("") == ()
    assert suggest_circuits("  ") == ()
    assert suggest_circuits("zzqx") == ()
    assert len(suggest_circuits("s")) == 8


def test_legend_texts_get_shorter() -> None:
    for circuit in CIRCUITS:
        assert len(circuit.long) >= len(circuit.medium) >= len(circuit.short) > 1
        assert len(circuit.medium) <= 10, circuit.medium
        assert len(circuit.short) <= 6, circuit.short
    names = [circuit.long for circuit in CIRCUITS]
    assert len(names) == len(set(names)) >= 70


def test_every_danger_has_its_caution() -> None:
    # The dangers are those of the trade's safety rules for this work.
    said = " ".join(caution.text for caution in CAUTIONS)
    for words in (
        "ground cable first",
        "Remove the fuses before moving",
        "Never fit a larger",
        "foil",
        "airbag",
        "pretensioner",
        "High-voltage",
        "test lamp can harm electronic",
        "fuse near the supply",
        "bad contact",
        "service manual, local rules and licensed practice decide",
    ):
        assert words in said
    for caution in CAUTIONS:
        assert caution_named(caution.name) is caution
        verified = caution.status is Status.VERIFIED
        assert caution.sources if verified else caution.sources or caution.note
    assert len(SHORT_CAUTION) < 120


def test_the_package_needs_the_standard_library_alone() -> None:
    modules = sorted(
        path.stem
        for path in Path(blockmap.reference.__file__).parent.glob("*.py")
        if path.stem != "__init__"
    )
    lines = "; ".join(f"import blockmap.reference.{name}" for name in modules)
    ask = (
        f"import sys; before = set(sys.modules); {lines}; "
        "loaded = {m.split('.')[0] for m in set(sys.modules) - before}; "
        "print(sorted(loaded - sys.stdlib_module_names - {'blockmap'}))"
    )
    run = subprocess.run(
        [sys.executable, "-c", ask], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"
