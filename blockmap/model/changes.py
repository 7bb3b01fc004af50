"""The difference of two maps, computed, never declared.

Parts are compared by identity: an edit keeps every object it does not touch, so the
difference costs one pass over the ids.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from blockmap.model.document import Map
from blockmap.model.ids import BlockId, CavityId, StripId

__all__ = ["Change", "PartChange", "changes_between"]


@dataclass(frozen=True, slots=True)
class PartChange:
    """What happened to one mapping of the map."""

    added: frozenset[str] = frozenset()
    removed: frozenset[str] = frozenset()
    altered: frozenset[str] = frozenset()
    reordered: bool = False

    def __bool__(self) -> bool:
        return bool(self.added or self.removed or self.altered or self.reordered)

    @property
    def touched(self) -> frozenset[str]:
        """Every id that is new, gone or different."""
        return self.added | self.removed | self.altered


_NONE = PartChange()


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What views must read anew after a document was installed."""

    car: bool = False
    blocks: PartChange = field(default=_NONE)
    cavities: PartChange = field(default=_NONE)
    strips: PartChange = field(default=_NONE)
    readings: PartChange = field(default=_NONE)
    repairs: PartChange = field(default=_NONE)
    families: PartChange = field(default=_NONE)
    limits: bool = False
    work: bool = False
    odds: PartChange = field(default=_NONE)
    accepted: PartChange = field(default=_NONE)

    def __bool__(self) -> bool:
        parts = (self.blocks, self.cavities, self.strips)
        records = (self.readings, self.repairs, self.families, self.accepted)
        plain = self.car or self.limits or self.work
        return plain or any((*parts, *records, self.odds))


def changes_between(before: Map, after: Map) -> Change:
    """Return what differs, so that before plus the change shows after."""
    return Change(
        car=before.car is not after.car and before.car != after.car,
        blocks=_parts(before.blocks, after.blocks),
        cavities=_parts(before.cavities, after.cavities),
        strips=_parts(before.strips, after.strips),
        readings=_parts(before.readings, after.readings),
        repairs=_parts(before.repairs, after.repairs),
        families=_parts(before.families, after.families),
        limits=before.limits != after.limits,
        work=before.work != after.work,
        odds=_parts(before.odds, after.odds),
        accepted=_parts(before.accepted, after.accepted),
    )


def _parts(
    before: Mapping[BlockId | CavityId | StripId, object],
    after: Mapping[BlockId | CavityId | StripId, object],
) -> PartChange:
    if before is after:
        return _NONE
    added = frozenset(key for key in after if key not in before)
    removed = frozenset(key for key in before if key not in after)
    altered = frozenset(
        key
        for key, part in after.items()
        if key in before and before[key] is not part and before[key] != part
    )
    kept_before = [key for key in before if key not in removed]
    kept_after = [key for key in after if key not in added]
    reordered = kept_before != kept_after or (
        bool(added) and list(after)[: len(kept_after)] != kept_after
    )
    return PartChange(added, removed, altered, reordered)
