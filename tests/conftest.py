"""What every test stands on: no screen, no user's settings, no stray failures."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The same examples at each run, so that a red run is red again. New ones are looked
# for with HYPOTHESIS_PROFILE=explore; what it finds becomes an @example of its test.
settings.register_profile("steady", derandomize=True)
settings.register_profile("explore", derandomize=False, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

gc.disable()
FULL_EVERY = 40


@pytest.fixture(autouse=True)
def garbage_between_tests() -> Iterator[None]:
    """Search for garbage between tests and in their thread only.

    Python would search in any thread, and end a window of an earlier test in that of
    a worker; and what the program leaves out as old would pile up over all tests.
    """
    yield
    gc.disable()
    gc.unfreeze()
    _ended.append(None)
    gc.collect(2 if len(_ended) % FULL_EVERY == 0 else 1)


_ended: list[None] = []
