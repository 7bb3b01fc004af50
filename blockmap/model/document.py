"""The map: one car's blocks, cavities, strips, readings and repairs.

Every record is an immutable value. Each field written with prop() is a row of the
schema: its key, shape, unit, range and help stand there and nowhere else. The records
stand in modules by subject (block, cavity, wiring, state, work, car) and are all to be
had from here. Nothing here edits; see the modules of blockmap.model.edits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from blockmap.model.assumed import OwnOdds, OwnWork
from blockmap.model.block import Block
from blockmap.model.car import Car
from blockmap.model.cavity import Cavity
from blockmap.model.geometry import MM_LIMIT, Box
from blockmap.model.ids import BlockId, CavityId, StripId
from blockmap.model.judgements import Acceptance, OwnLimits
from blockmap.model.photos import FacePhoto, Photo
from blockmap.model.state import Condition, Evidence, InterimMeasure, LogEntry
from blockmap.model.terminals import TerminalFamily
from blockmap.model.wiring import Contact, Jumper, Landing, Load, Strip, Wire
from blockmap.model.work import Reading, Repair

__all__ = [
    "MM_LIMIT",
    "Acceptance",
    "Block",
    "Car",
    "Cavity",
    "Condition",
    "Contact",
    "Evidence",
    "FacePhoto",
    "InterimMeasure",
    "Jumper",
    "Landing",
    "Load",
    "LogEntry",
    "Map",
    "OwnLimits",
    "OwnOdds",
    "OwnWork",
    "Photo",
    "Reading",
    "Repair",
    "Strip",
    "TerminalFamily",
    "Wire",
    "empty_map",
]


def _nothing() -> Mapping[str, Any]:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Map:
    """The whole document. Mappings keep the order of the file; treat them as frozen."""

    car: Car = field(default_factory=Car)
    blocks: Mapping[BlockId, Block] = field(default_factory=_nothing)
    cavities: Mapping[CavityId, Cavity] = field(default_factory=_nothing)
    strips: Mapping[StripId, Strip] = field(default_factory=_nothing)
    readings: Mapping[str, Reading] = field(default_factory=_nothing)
    repairs: Mapping[str, Repair] = field(default_factory=_nothing)
    families: Mapping[str, TerminalFamily] = field(default_factory=_nothing)
    limits: OwnLimits = field(default_factory=OwnLimits)
    work: OwnWork = field(default_factory=OwnWork)
    odds: Mapping[str, OwnOdds] = field(default_factory=_nothing)
    accepted: Mapping[str, Acceptance] = field(default_factory=_nothing)

    def cavities_of(self, block: BlockId) -> Iterator[Cavity]:
        """Yield the cavities of one block in the order of the map."""
        return (c for c in self.cavities.values() if c.block == block)

    def strips_of(self, block: BlockId) -> Iterator[Strip]:
        """Yield the strips of one block in the order of the map."""
        return (s for s in self.strips.values() if s.block == block)

    def bounds_of(self, block: BlockId) -> Box:
        """Return the box round a block's outline and every cavity that lies off it."""
        part = self.blocks[block]
        box = Box(0.0, 0.0, part.width_mm, part.height_mm)
        for cavity in self.cavities_of(block):
            box = box.union(cavity.bounds)
        return box


def empty_map() -> Map:
    """Return a map with nothing in it."""
    return Map()
