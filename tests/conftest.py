"""What every test stands on: no screen, no user's settings, no stray failures."""

from __future__ import annotations

import os

from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The same examples at each run, so that a red run is red again. New ones are looked
# for with HYPOTHESIS_PROFILE=explore; what it finds becomes an @example of its test.
settings.register_profile("steady", derandomize=True)
settings.register_profile("explore", derandomize=False, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
