"""Holds the rule for fusible links: how much thinner than the wire they guard.

No document was read for it: the rule is common practice. A link is made of wire whose
insulation does not burn; plain wire of the same gauge is no link.
"""

from __future__ import annotations

from typing import Final

from blockmap.reference.sources import COMMON_PRACTICE_NOTE, Sourced, Status

__all__ = ["AREA_RATIO", "GAUGE_STEPS"]

GAUGE_STEPS: Final = Sourced(
    4.0,
    "gauge numbers",
    Status.COMMON_PRACTICE,
    (),
    f"a link is four gauge numbers thinner than its wire, {COMMON_PRACTICE_NOTE}",
)
AREA_RATIO: Final = Sourced(
    92 ** (2 * 4 / 39),
    "",
    Status.COMMON_PRACTICE,
    (),
    "four steps of the gauge formula as a ratio of areas, 92^(8/39), "
    f"{COMMON_PRACTICE_NOTE}",
)
