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

_USUAL_PACE = gc.get_threshold()


@pytest.fixture(autouse=True)
def ordinary_garbage() -> Iterator[None]:
    """Let Python search for garbage as it always does, whatever a window has set.

    The program pauses the search and leaves out what is old; a thousand windows of
    tests would pile up.
    """
    yield
    gc.enable()
    gc.unfreeze()
    gc.set_threshold(*_USUAL_PACE)
