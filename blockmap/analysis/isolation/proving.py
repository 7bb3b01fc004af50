"""Names the reading that proves a repair, once one suspect is left.

It is the drop across the part in the state in which its fault was found, with what a
sound part shows: taken again after the repair, it and the one before make a pair. A
touch of ground is proved gone by the lamp in the place of the fuse.
"""

from __future__ import annotations

from blockmap.analysis.isolation.assumptions import SHORT
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.network import GROUND, LoadPlace, Point, State
from blockmap.analysis.isolation.next_reading import Choice
from blockmap.analysis.isolation.short_finding import lamp_share
from blockmap.analysis.isolation.trial import Trial, load_state

__all__ = ["proof"]


def proof(belief: Belief) -> Choice | None:
    """Return the reading that proves the repair of the likeliest suspect.

    None when no load passes it, or no two points enclose it.
    """
    fault = belief.faults[0]
    if fault.element < 0:
        return None
    found = _load_through(belief, fault.element)
    if found is None:
        return None
    place, state = found
    if fault.kind == SHORT:
        lamp = _lamp(belief, fault.element)
        if lamp is not None:
            return lamp
    ends = _enclosing(belief, place, {fault.element, fault.second} - {-1})
    work = belief.network.assumed.work
    if ends is None:
        trial = Trial(
            kind="load", state=state, minutes=work.operate_min, load=place.name
        )
        solved = belief.circuits.at(state)
        sound = solved.reading(place.plus, place.minus)
        return Choice(trial, 0.0, sound, 0.1)
    upper, lower = ends
    minutes = max(work.minutes(upper.access), work.minutes(lower.access))
    trial = Trial(
        kind="drop",
        state=state,
        minutes=minutes + work.operate_min,
        point=upper,
        against=lower,
    )
    sound = belief.circuits.at(state).reading(upper.node, lower.node)
    return Choice(trial, 0.0, sound, 0.01)


def _lamp(belief: Belief, element: int) -> Choice | None:
    """Return the lamp in the place of the fuse that a touch of ground has blown.

    It is that in the state in which it was bright, else with all loads on. None where
    no lamp goes in the place of what has opened.
    """
    network = belief.network
    fuse = network.protector(element)
    if network.elements[fuse].kind not in ("fuse", "breaker"):
        return None
    words = network.states_of(network.elements[fuse].a)
    state = State(words, frozenset(at.name for at in network.loads_below(fuse)))
    for each in belief.observed:
        if (each.kind, each.element, each.seen) == ("in place", fuse, "bright"):
            state = each.state
    minutes = network.assumed.work.lamp_min
    trial = Trial(kind="in place", state=state, minutes=minutes, element=fuse)
    return Choice(trial, 0.0, lamp_share(network, fuse, state), 0.1)


def _load_through(belief: Belief, element: int) -> tuple[LoadPlace, State] | None:
    """Return the load complained of, or any other, whose current passes the part."""
    network = belief.network
    through = {place.name: place for place in network.loads_below(element)}
    for each in belief.observed:
        for name in sorted(each.state.on):
            if name in through and not each.state.out:
                return through[name], each.state
    for place in through.values():
        return place, load_state(belief, place)
    return None


def _enclosing(
    belief: Belief, place: LoadPlace, elements: set[int]
) -> tuple[Point, Point] | None:
    """Return the points next above and below the parts, on the way to a load."""
    network = belief.network
    way = [*network.way_up(place.plus)][::-1]
    grounds = [
        index
        for index, element in enumerate(network.elements)
        if element.a == place.minus and element.b == GROUND
    ]
    way += [place.element, *grounds]
    at = [k for k, index in enumerate(way) if index in elements]
    if not at:
        return None
    above = [_point(belief, network.elements[k].a) for k in way[: at[0] + 1]]
    below = [_point(belief, network.elements[k].b) for k in way[at[-1] :]]
    upper = next((point for point in reversed(above) if point is not None), None)
    lower = next((point for point in below if point is not None), None)
    if upper is None:
        return None
    if lower is None:
        lower = Point("ground", GROUND, upper.access)
    return upper, lower


def _point(belief: Belief, node: int) -> Point | None:
    points = belief.network.points_at.get(node, ())
    work = belief.network.assumed.work
    usable = [point for point in points if not point.off_limits]
    return min(usable, key=lambda p: work.minutes(p.access), default=None)
