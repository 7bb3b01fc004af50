"""Rules about where cavities lie: on one another, or off the outline.

In-line holders off the panel are drawn where there is room, so they are left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.finding import Finding, Level, reads
from blockmap.analysis.overlaps import OVERLAP_LIMIT, off_outline, overlapping_pairs
from blockmap.model.document import Cavity, Map

__all__ = ["overlapping_places", "places_off_outline"]


_PLACE = (
    *("x_mm", "y_mm", "width_mm", "height_mm", "turn_deg", "off_panel"),
    *("own", "moulded", "manual"),
)
"""Where a cavity is, and what names it."""


def _on_panel(document: Map) -> dict[str, list[Cavity]]:
    places: dict[str, list[Cavity]] = {block: [] for block in document.blocks}
    for cavity in document.cavities.values():
        if not cavity.off_panel and cavity.block in places:
            places[cavity.block].append(cavity)
    return places


@reads(*_PLACE, parts=("blocks",))
def overlapping_places(document: Map) -> Iterator[Finding]:
    """Find cavities of one block that overlap: two bodies cannot share a place."""
    for block, cavities in _on_panel(document).items():
        found = overlapping_pairs(cavities)
        for one, two in found.pairs:
            names = [document.cavities[i].designation for i in (one, two)]
            yield Finding(
                code="places-overlap",
                level=Level.ERROR,
                objects=(one, two),
                what=f"{names[0]} and {names[1]} overlap",
                why="two bodies cannot take the same place in a block",
                todo="move or resize one of them, or measure the block again",
            )
        if found.more:
            yield Finding(
                code="places-overlap-more",
                level=Level.ERROR,
                objects=(block,),
                what=f"More than {OVERLAP_LIMIT} pairs of places overlap in this "
                f"block; the first {OVERLAP_LIMIT} found are listed",
                why="the list is kept short so that checking stays quick",
                todo="part or delete those listed, then look again",
            )


@reads(*_PLACE, parts=("blocks",))
def places_off_outline(document: Map) -> Iterator[Finding]:
    """Find cavities that reach over the outline of their block or lie outside it."""
    for block, cavities in _on_panel(document).items():
        for off in off_outline(document.blocks[block], cavities):
            name = document.cavities[off.cavity].designation
            how = "lies outside" if off.wholly else "reaches over"
            yield Finding(
                code="place-off-outline",
                level=Level.ADVICE,
                objects=(off.cavity,),
                what=f"{name} {how} the outline of its block",
                why="a place of the block lies on it; an in-line holder may lie away",
                todo="move it, correct the outline, or mark it as off panel",
            )
