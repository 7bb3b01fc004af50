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
from blockmap.analysis.checking import Checked, Rules, run
from blockmap.analysis.condition_rules import (
    interim_measure,
    place_not_to_use,
    untended_damage,
)
from blockmap.analysis.fact_rules import (
    double_designations,
    equal_wire_colours,
    unknown_feed_ends,
    untagged_places,
)
from blockmap.analysis.finding import CavityRule, Finding, Level, Rule
from blockmap.analysis.fuse_rules import fitted_form, fitted_rating, unusual_rating
from blockmap.analysis.number_rules import (
    NumberRule,
    contact_load,
    fuse_and_loads,
    fuse_and_wire,
    missing_rating,
    wire_drops,
)
from blockmap.analysis.place_rules import overlapping_places, places_off_outline
from blockmap.analysis.strip_rules import (
    feeds_from_nowhere,
    shared_contacts,
    strip_contacts,
)
from blockmap.analysis.supply_rules import link_and_wire
from blockmap.model.document import Map

__all__ = [
    "CAVITY_RULES",
    "NUMBER_RULES",
    "RULES",
    "Checked",
    "Finding",
    "Level",
    "check",
    "checked",
    "counting",
]

RULES: tuple[Rule, ...] = (
    overlapping_places,
    places_off_outline,
    double_designations,
    strip_contacts,
    shared_contacts,
    feeds_from_nowhere,
    untended_damage,
    untagged_places,
    unknown_feed_ends,
    equal_wire_colours,
    lost_ends,
    differing_ends,
    open_ends,
    alike_at_connectors,
)
"""The rules of the whole map. One that is added here is run and told with the others;
`reads` beside a rule says after which edits it must run again."""

CAVITY_RULES: tuple[CavityRule, ...] = (
    fitted_rating,
    fitted_form,
    unusual_rating,
    place_not_to_use,
    interim_measure,
)
"""The rules that see one cavity; they run again for a cavity that was edited."""

NUMBER_RULES: tuple[NumberRule, ...] = (
    missing_rating,
    fuse_and_wire,
    fuse_and_loads,
    wire_drops,
    contact_load,
    link_and_wire,
)
"""The rules of one cavity's figures; they run again when a figure is another."""

_RULES = Rules(RULES, CAVITY_RULES, NUMBER_RULES)


def check(document: Map) -> tuple[Finding, ...]:
    """Return everything the rules find in a map.

    Errors come first, then advice, then information; within a level by block, then
    by the place in the map, then by rule; what the map accepts comes last.
    """
    return run(document, _RULES).findings


def checked(document: Map, before: Checked | None = None) -> Checked:
    """Return the figures and the findings of a map.

    before is the result for an earlier state of the same map: what rests on the very
    same records is taken from it, and only the rest is computed.
    """
    return run(document, _RULES, before)


def counting(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings that the map does not accept."""
    return tuple(finding for finding in findings if finding.accepted is None)
