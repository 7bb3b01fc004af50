"""Lists the tests that could be made next, with the work each one takes.

Points of airbag and pretensioner circuits are never among them, and no probe is ever
sent into a female terminal: contacts are read at the fuse's own test points, at the
metal from behind, or at the load.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockmap.analysis.isolation.assumptions import BACK_FED, SHORT, Access
from blockmap.analysis.isolation.belief import Belief
from blockmap.analysis.isolation.network import GROUND, LoadPlace, Network, State
from blockmap.analysis.isolation.short_finding import branches
from blockmap.analysis.isolation.trial import (
    Trial,
    easiest,
    load_state,
    reach_min,
    usable,
)
from blockmap.reference.trade_words import KEY_STATES

__all__ = ["trials"]

_LOADS_AT_ONCE = 5
_OPERATED = 14
_MOST = 260


def trials(belief: Belief) -> list[Trial]:
    """Return the tests worth thinking of, none of them made already."""
    found: dict[tuple[object, ...], Trial] = {}
    done = {
        (each.kind, each.state, each.point, each.against, each.element)
        for each in belief.observed
    }
    for trial in _every(belief):
        probe = trial.probe(belief)
        kind = "volts" if trial.kind == "drop" else trial.kind
        ends = (probe.point, probe.against) if probe else (GROUND, GROUND)
        key = (kind, trial.state, *ends, trial.element)
        if key not in done and key not in found:
            found[key] = trial
        if len(found) >= _MOST:
            break
    return list(found.values())


def _every(belief: Belief) -> Iterator[Trial]:
    suspects = _suspects(belief)
    chosen = _chosen_loads(belief, suspects)
    yield from _odd_trials(belief)
    yield from _identity_trials(belief)
    yield from _looks(belief, suspects)
    yield from _lamps(belief)
    yield from _operated(belief, suspects, [place for place, _ in chosen])
    for place, state in chosen:
        yield from _along(belief, place, state)
    yield from _idle(belief, suspects, chosen)


def _suspects(belief: Belief, most: float = 0.98) -> list[tuple[int, float]]:
    """Return the elements under suspicion by chance, until most of it is covered."""
    total: dict[int, float] = {}
    for fault, chance in zip(belief.faults, belief.chances, strict=True):
        for index in (fault.element, fault.second):
            if index >= 0:
                total[index] = total.get(index, 0.0) + chance
    ranked = sorted(total.items(), key=lambda each: (-round(each[1], 7), each[0]))
    covered, found = 0.0, []
    for index, chance in ranked:
        found.append((index, chance))
        covered += chance
        if covered > most:
            break
    return found


def _chosen_loads(
    belief: Belief, suspects: list[tuple[int, float]]
) -> list[tuple[LoadPlace, State]]:
    """Return the loads to switch on: those complained of, then those of suspects."""
    network = belief.network
    chosen: dict[str, State] = {}
    for each in belief.observed:
        if each.kind == "load" and each.seen != "live" and each.contacts[0]:
            place = network.loads[each.contacts[0]]
            chosen.setdefault(place.name, each.state._replace(out=frozenset()))
    for each in belief.observed:
        for name in sorted(each.state.on):
            place = network.loads[name]
            through = {index for index, _ in suspects[:12]}
            own = each.kind == "volts" and not place.with_feed
            if own and through & set(network.way_up(place.plus)):
                chosen.setdefault(name, each.state._replace(out=frozenset()))
    for index, _ in suspects:
        if len(chosen) >= _LOADS_AT_ONCE:
            break
        below = network.loads_below(index)
        if below and not any(place.name in chosen for place in below):
            place = below[0]
            chosen[place.name] = load_state(belief, place)
    return [(network.loads[n], s) for n, s in list(chosen.items())[:_LOADS_AT_ONCE]]


def _along(belief: Belief, place: LoadPlace, state: State) -> Iterator[Trial]:
    """Yield volts and drops on the way from the supply to a load that is on."""
    network = belief.network
    nodes = [place.minus, place.plus]
    for index in network.way_up(place.plus):
        nodes.append(network.elements[index].a)
    path = [p for p in (easiest(belief, n) for n in nodes if n != GROUND) if p]
    for point in path:
        yield Trial(
            kind="volts", state=state, minutes=reach_min(belief, point), point=point
        )
    lowest = path[0] if path and path[0].node == place.minus else None
    beyond = path[1:] if lowest else path
    ends = [
        pair for span in (1, 2, 3) for pair in zip(beyond, beyond[span:], strict=False)
    ]
    ends += [(lower, beyond[-1]) for lower in beyond[:-4]]
    if lowest and beyond and beyond[0].node == place.plus:
        ends.append((lowest, beyond[0]))
    for lower, upper in ends:
        minutes = reach_min(belief, lower, upper)
        yield Trial(
            kind="drop", state=state, minutes=minutes, point=upper, against=lower
        )
    yield from _beside(belief, place, state)
    for upper in path:
        for index in network.starting.get(upper.node, ()):
            element = network.elements[index]
            side = easiest(belief, element.b)
            if side and element.kind in ("strip", "jumper", "contact"):
                yield Trial(
                    kind="volts",
                    state=state,
                    minutes=reach_min(belief, side),
                    point=side,
                )


def _beside(belief: Belief, place: LoadPlace, state: State) -> Iterator[Trial]:
    """Yield volts beside each joint on the way that no probe reaches.

    They stand for the joint: at a load that shares it, with both on, else at the next
    point of the branch.
    """
    network = belief.network
    for index in network.way_up(place.plus):
        node = network.elements[index].a
        if node in network.points_at:
            continue
        for side in network.starting.get(node, ()):
            if side == index:
                continue
            both = state
            others = network.loads_below(side)
            point = easiest(belief, others[0].plus if others else _end(network, side))
            if others:
                both = state._replace(on=state.on | {others[0].name})
            if point is not None:
                minutes = reach_min(belief, point) + network.assumed.work.operate_min
                yield Trial(kind="volts", state=both, minutes=minutes, point=point)


def _end(network: Network, index: int) -> int:
    """Return the next node below an element that a probe reaches, or its own end."""
    node = network.elements[index].b
    while node not in network.points_at and network.starting.get(node):
        node = network.elements[network.starting[node][0]].b
    return node


def _looks(belief: Belief, suspects: list[tuple[int, float]]) -> Iterator[Trial]:
    network = belief.network
    work = network.assumed.work
    looked = {index for index, _ in suspects[:30]}
    looked |= {network.protector(index) for index, _ in suspects[:30]}
    for index in sorted(looked):
        element = network.elements[index]
        if element.kind in ("fuse", "link"):
            minutes = work.look_min
        elif element.kind in ("contact", "ground") and not _barred(belief, index):
            minutes = work.minutes(Access.REAR)
        else:
            continue
        yield Trial(kind="looked", state=State(), minutes=minutes, element=index)


def _barred(belief: Belief, index: int) -> bool:
    cavity = belief.network.elements[index].cavity
    return any(
        point.off_limits
        for point in belief.network.points.values()
        if cavity and point.cavity == cavity
    )


def _lamps(belief: Belief) -> Iterator[Trial]:
    """Yield a lamp in the place of a fuse that may be on ground, branch by branch."""
    network = belief.network
    work = network.assumed.work
    chance: dict[int, float] = {}
    for fault, weight in zip(belief.faults, belief.chances, strict=True):
        if fault.kind == SHORT:
            fuse = network.protector(fault.element)
            chance[fuse] = chance.get(fuse, 0.0) + weight
    for fuse, weight in sorted(chance.items(), key=lambda each: -each[1])[:2]:
        is_fuse = network.elements[fuse].kind in ("fuse", "breaker")
        if weight < 0.02 or not is_fuse or _barred(belief, fuse):
            continue
        words = network.states_of(network.elements[fuse].a)
        below = network.loads_below(fuse)
        for at in below[:1]:
            words = words | network.states_of(at.plus) if at.with_feed else words
        plain = State(words, frozenset())
        every = plain._replace(on=frozenset(at.name for at in below))
        cut = branches(network, fuse)
        for state in (plain, every):
            yield Trial(
                kind="in place", state=state, minutes=work.lamp_min, element=fuse
            )
        for at in below:
            yield Trial(
                kind="in place",
                state=plain._replace(on=frozenset({at.name})),
                minutes=work.lamp_min,
                element=fuse,
            )
        for branch in cut[:24]:
            # Loads beside the branch light the lamp too: best without them.
            own = plain._replace(on=frozenset(branch.loads))
            for base in dict.fromkeys((own, every if branch.loads else plain)):
                yield Trial(
                    kind="in place",
                    state=base._replace(out=frozenset({branch.element})),
                    minutes=work.lamp_min + work.unplug_min,
                    element=fuse,
                    out=(branch.name,),
                )


def _operated(
    belief: Belief, suspects: list[tuple[int, float]], chosen: list[LoadPlace]
) -> Iterator[Trial]:
    """Yield the loads that share a suspect: does each of them work?"""
    network = belief.network
    names: dict[str, None] = {place.name: None for place in chosen}
    for index, _ in suspects[:60]:
        for place in network.loads_below(index):
            names.setdefault(place.name, None)
        if len(names) > _OPERATED:
            break
    for name in list(names)[:_OPERATED]:
        place = network.loads[name]
        yield Trial(
            kind="load",
            state=load_state(belief, place),
            minutes=network.assumed.work.operate_min,
            load=name,
        )


def _idle(
    belief: Belief,
    suspects: list[tuple[int, float]],
    chosen: list[tuple[LoadPlace, State]],
) -> Iterator[Trial]:
    """Yield volts at suspects that no chosen load passes, with nothing switched on."""
    network = belief.network
    passed = {index for place, _ in chosen for index in network.way_up(place.plus)}
    for index, _ in suspects[:40]:
        if index in passed:
            continue
        for node in (network.elements[index].b, network.elements[index].a):
            point = easiest(belief, node)
            if point is None or node == GROUND:
                continue
            state = State(network.states_of(node), frozenset())
            yield Trial(
                kind="volts", state=state, minutes=reach_min(belief, point), point=point
            )


def _identity_trials(belief: Belief) -> Iterator[Trial]:
    """Yield what tells one cavity from another: when its test points are live."""
    network = belief.network
    doubted: dict[str, float] = {}
    for fault, chance in zip(belief.faults, belief.chances, strict=True):
        if fault.identity and chance > 1e-4:
            cavity = belief.mix_ups[fault.identity - 1].cavity
            doubted[cavity] = doubted.get(cavity, 0.0) + chance
    for cavity, chance in sorted(doubted.items(), key=lambda each: -each[1])[:3]:
        if chance < 0.02:
            continue
        points = [
            point
            for point in network.points.values()
            if point.cavity == cavity and point.contact in ("b1", "b2")
        ]
        for point in usable(points):
            for word in KEY_STATES[1:4]:
                state = State(frozenset({word}), frozenset())
                minutes = reach_min(belief, point) - 0.3
                yield Trial(kind="volts", state=state, minutes=minutes, point=point)
        fuse = next(
            (
                index
                for index, element in enumerate(network.elements)
                if element.cavity == cavity and element.contact == "fuse"
            ),
            -1,
        )
        names = {
            name
            for name, at in network.loads.items()
            for mix_up in belief.mix_ups
            if mix_up.cavity == cavity and at.cavity in (cavity, *mix_up.moved)
        }
        for name in sorted(names)[:8] if fuse >= 0 else ():
            place = network.loads[name]
            state = load_state(belief, place)._replace(out=frozenset({fuse}))
            yield Trial(
                kind="load",
                state=state,
                minutes=network.assumed.work.pull_min + 0.5,
                load=name,
                out=(network.elements[fuse].name,),
            )


def _odd_trials(belief: Belief) -> Iterator[Trial]:
    """Yield the same reading again with one fuse out, for what feeds current back."""
    network = belief.network
    odd = [
        (fault, chance)
        for fault, chance in zip(belief.faults, belief.chances, strict=True)
        if fault.kind == BACK_FED and chance > 0.005
    ]
    if not odd:
        return
    amiss = [
        each
        for each in belief.observed
        if each.kind in ("volts", "load", "lamp")
        and abs(belief.circuits.at(each.state).reading(each.point, each.against)) < 0.6
    ]
    for each in amiss[:3]:
        point = easiest(belief, each.point)
        fuses = {network.protector(fault.element) for fault, _ in odd[:12]}
        for fuse in sorted(fuses):
            state = each.state._replace(out=frozenset({fuse}))
            out = (network.elements[fuse].name,)
            minutes = network.assumed.work.pull_min + 1.0
            if each.kind == "load":
                yield Trial(
                    kind="load", state=state, minutes=minutes, out=out,
                    load=each.contacts[0],
                )  # fmt: skip
            elif point is not None:
                minutes += reach_min(belief, point)
                yield Trial(
                    kind="volts", state=state, minutes=minutes, point=point, out=out
                )
        if each.kind == "load":
            bus = [
                easiest(belief, network.elements[i].a)
                for i in network.way_up(each.point)
                if network.elements[i].kind in ("contact", "strip")
            ]
            for side in bus:
                if side is not None:
                    yield Trial(
                        kind="volts", state=each.state, point=side,
                        minutes=reach_min(belief, side),
                    )  # fmt: skip
