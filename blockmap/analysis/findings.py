"""Checks a map: runs every rule and tells what they found in one fixed order.

The same map gives the same findings in the same order. Nothing here changes a map,
and no finding is proof that a circuit is safe: it says what the map itself implies.
"""

from __future__ import annotations

from blockmap.analysis.behind.wire_rules import (
    alike_at_connectors,
    differing_ends,
    lost_ends,
    open_ends,
)
from blockmap.analysis.condition_rules import (
    interim_measures,
    places_not_to_use,
    untended_damage,
)
from blockmap.analysis.fact_rules import (
    double_designations,
    equal_wire_colours,
    unknown_feed_ends,
    untagged_places,
)
from blockmap.analysis.finding import Finding, Level, Rule
from blockmap.analysis.fuse_rules import (
    fitted_forms,
    fitted_ratings,
    fuses_and_wires,
    load_sums,
    missing_ratings,
    unusual_ratings,
)
from blockmap.analysis.place_rules import overlapping_places, places_off_outline
from blockmap.analysis.strip_rules import (
    feeds_from_nowhere,
    shared_contacts,
    strip_contacts,
)
from blockmap.model.document import Map

__all__ = ["RULES", "Finding", "Level", "check"]

RULES: tuple[Rule, ...] = (
    overlapping_places,
    places_off_outline,
    double_designations,
    fitted_ratings,
    fitted_forms,
    missing_ratings,
    unusual_ratings,
    fuses_and_wires,
    load_sums,
    strip_contacts,
    shared_contacts,
    feeds_from_nowhere,
    places_not_to_use,
    untended_damage,
    interim_measures,
    untagged_places,
    unknown_feed_ends,
    equal_wire_colours,
    lost_ends,
    differing_ends,
    open_ends,
    alike_at_connectors,
)
"""Every rule. One that is added here is run, listed and tested with the others."""


def check(document: Map) -> tuple[Finding, ...]:
    """Return everything the rules find in a map.

    Errors come first, then advice, then information; within a level by block, then
    by the place in the map, then by rule.
    """
    found = [finding for rule in RULES for finding in rule(document)]
    levels = {level: rank for rank, level in enumerate(Level)}
    places = _places(document)
    nowhere = len(places)
    return tuple(
        sorted(
            found,
            key=lambda finding: (
                levels[finding.level],
                min((places.get(i, nowhere) for i in finding.objects), default=nowhere),
            ),
        )
    )


def _places(document: Map) -> dict[str, int]:
    """Number blocks, each with its cavities and strips, in the order of the map."""
    parts: dict[str, list[str]] = {block: [block] for block in document.blocks}
    for cavity in document.cavities.values():
        parts.setdefault(cavity.block, []).append(cavity.id)
    for strip in document.strips.values():
        parts.setdefault(strip.block, []).append(strip.id)
    order: dict[str, int] = {}
    for ids in parts.values():
        for identity in ids:
            order.setdefault(identity, len(order))
    return order
