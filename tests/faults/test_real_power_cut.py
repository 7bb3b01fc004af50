"""A few power cuts of a real disk; python -m tests.faults.power_cuts does more."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.faults.cut_disk import can_mount
from tests.faults.power_cuts import WAYS, cuts

pytestmark = pytest.mark.skipif(
    not can_mount(), reason="only root may mount; the forgetful disk stands for it"
)


@pytest.mark.parametrize("way", WAYS)
def test_what_was_said_to_be_saved_is_there_after_a_cut(
    tmp_path: Path, way: str
) -> None:
    seed = random.randrange(1 << 32)
    assert cuts(tmp_path, way, 3, seed) == [], f"seed {seed}"


def test_the_disk_loses_what_a_program_does_not_flush(tmp_path: Path) -> None:
    assert cuts(tmp_path, "names before contents", 6, 1, flushed=False) != []
