"""One test that could be made: where it is made, in what state, with what work.

No probe is ever sent to a point that is off limits.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import Access
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.network import GROUND, LoadPlace, Point, State
from blockmap.analysis.isolation.tables import Probe

__all__ = ["Trial", "easiest", "load_state", "reach_min", "usable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One test: ``kind`` is volts, drop, load, looked or in place.

    ``minutes`` is its work. For what is looked at or replaced by a lamp, ``element``
    is the part.
    """

    kind: str
    state: State
    minutes: float
    point: Point | None = None
    against: Point | None = None
    load: str = ""
    element: int = -1
    out: tuple[str, ...] = ()

    def probe(self, belief: Belief) -> Probe | None:
        """Return where the meter goes; None when none is used."""
        if self.kind == "load":
            at = belief.network.loads[self.load]
            return Probe(self.state, at.plus, at.minus)
        if self.point is None:
            return None
        against = self.against.node if self.against else GROUND
        return Probe(self.state, self.point.node, against)


def _words(belief: Belief, place: LoadPlace) -> frozenset[str]:
    """Return the key and switch words in which a load is tried."""
    for each in belief.observed:
        if place.name in each.state.on and each.state.words:
            solved = belief.circuits.at(each.state)
            if abs(solved.reading(place.plus)) > 0.3 * abs(belief.network.volts):
                return each.state.words
    return belief.network.states_of(place.plus)


def load_state(belief: Belief, place: LoadPlace) -> State:
    """Return the state in which a load is tried; lamps run with their switch."""
    lamps = {n for n, at in belief.network.loads.items() if at.with_feed}
    return State(_words(belief, place), frozenset({place.name, *lamps}))


def usable(points: Iterable[Point]) -> list[Point]:
    """Return the points that a probe may touch."""
    return [point for point in points if not point.off_limits]


def reach_min(belief: Belief, *points: Point) -> float:
    """Return the minutes until the meter is at all of the points."""
    work = belief.network.assumed.work
    near = work.access_min[Access.FRONT]
    return work.operate_min + max(
        near if point.node in belief.hanging else work.minutes(point.access)
        for point in points
    )


def easiest(belief: Belief, node: int) -> Point | None:
    """Return the point of a node that is reached soonest; None where none may be."""
    points = usable(belief.network.points_at.get(node, ()))
    work = belief.network.assumed.work
    return min(points, key=lambda p: work.minutes(p.access), default=None)
