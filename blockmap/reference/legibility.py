"""Gives the least height of capitals that can be read from a distance.

The rules come from published guidance and disagree, so the rule is chosen by name.
They assume normal sight, good contrast and fair light; a torch under a dash is worse.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "CARD_DISTANCE_MM",
    "DEFAULT_RULE",
    "LEGIBILITY_RULES",
    "PANEL_DISTANCE_MM",
    "LegibilityRule",
    "cap_height_at_angle_mm",
    "least_cap_height_mm",
]

PANEL_DISTANCE_MM: Final = 700.0
"""From the eye to a panel under the dash: common practice, no source."""
CARD_DISTANCE_MM: Final = 400.0
"""From the eye to a card in the hand: common practice, no source."""


@dataclass(frozen=True, slots=True)
class LegibilityRule:
    """A rule by visual angle or, when ``share_of_distance`` is set, by distance."""

    name: str
    arcmin: float | None
    share_of_distance: float | None
    status: Status
    source: Source
    note: str = ""


_ISO_9241 = Source("Workplace page quoting ISO 9241-3 on the height of characters")
_NUREG_TEXT = Source("NUREG-0700 revision 2, guideline 1.3.1-4, height of text")
_NUREG_LABEL = Source("NUREG-0700 revision 3, guideline 11.4.1.5-1, panel labels")
_AVIATION = Source("Book abstract: aviation rule, 1/200 of the distance")
_FIELD_STUDY = Source(
    "Field study of 1979 on letter size and legibility, Human Factors 21(6) 661-670"
)

_V = Status.VERIFIED
_ALL = (
    LegibilityRule("1/200 of the distance", None, 1 / 200, _V, _AVIATION),
    LegibilityRule("ISO 9241-3 least 16 arcmin", 16, None, _V, _ISO_9241),
    LegibilityRule("ISO 9241-3 preferred 20 arcmin", 20, None, _V, _ISO_9241),
    LegibilityRule("NUREG-0700 text least 16 arcmin", 16, None, _V, _NUREG_TEXT),
    LegibilityRule("NUREG-0700 text preferred 20 arcmin", 20, None, _V, _NUREG_TEXT),
    LegibilityRule(
        "NUREG-0700 labels least 15 arcmin",
        15,
        None,
        _V,
        _NUREG_LABEL,
        "the guideline rounds this to 0.004 of the distance; the angle is used here",
    ),
    LegibilityRule(
        "NUREG-0700 labels preferred 20 arcmin",
        20,
        None,
        _V,
        _NUREG_LABEL,
        "the guideline rounds this to 0.006 of the distance; the angle is used here",
    ),
    LegibilityRule(
        "field study preferred 24 arcmin",
        24,
        None,
        _V,
        _FIELD_STUDY,
        "the size at which nearly everyone could read",
    ),
)

LEGIBILITY_RULES: Mapping[str, LegibilityRule] = MappingProxyType(
    {rule.name: rule for rule in _ALL}
)
"""Every rule by its name, the default first."""

DEFAULT_RULE: Final = "1/200 of the distance"


def cap_height_at_angle_mm(distance_mm: float, arcmin: float) -> float:
    """Return the height that fills a visual angle, h = 2 d tan(angle / 2), in mm.

    Source: trigonometry; NUREG-0700 gives the same to first order as
    6.283 d arcmin / 21600.
    """
    return 2 * distance_mm * math.tan(math.radians(arcmin / 60) / 2)


def least_cap_height_mm(distance_mm: float, rule: str = DEFAULT_RULE) -> Sourced:
    """Return the least height of capitals at a distance by a rule, in mm.

    Raises ValueError for a distance of zero or less and for an unknown rule.
    """
    if not distance_mm > 0 or math.isinf(distance_mm):
        raise ValueError(f"a reading distance of {distance_mm} mm cannot be used")
    if rule not in LEGIBILITY_RULES:
        raise ValueError(
            f'"{rule}" is no legibility rule; choose one of: '
            f"{'; '.join(LEGIBILITY_RULES)}"
        )
    chosen = LEGIBILITY_RULES[rule]
    if chosen.arcmin is not None:
        height_mm = cap_height_at_angle_mm(distance_mm, chosen.arcmin)
    else:
        height_mm = distance_mm * (chosen.share_of_distance or 0)
    return Sourced(height_mm, "mm", Status.DERIVED, (chosen.source,), chosen.note)
