"""Tells what a lamp shows in the place of a fuse, and what that means.

The lamp limits the current: a branch that touches ground lights it fully, loads
that work light it dimly, and nothing is left on when it stays dark. A filament lamp
can harm electronic circuits; airbag circuits are never tried this way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import OPEN, SHORT
from blockmap.analysis.isolation.faults import NOTHING, Fault
from blockmap.analysis.isolation.network import GROUND, Network, State

__all__ = [
    "BRIGHT",
    "DARK",
    "DIM",
    "Branch",
    "Hunt",
    "Shown",
    "Step",
    "branches",
    "ends_at_load",
    "hunt",
    "lamp_share",
]

_BRIGHT_SHARE, _DIM_SHARE = 0.85, 0.2
"""From these shares of the supply's volts on a lamp is called bright, dim."""
_MOST_NAMED = 4

BRIGHT = "full bright: a branch that is still connected touches ground"
DIM = "dim: loads draw through the lamp, nothing touches ground there"
DARK = "dark: nothing is connected, or the way to it is open"


@dataclass(frozen=True, slots=True)
class Branch:
    """One branch below a fuse that can be unplugged: its name and what goes with it."""

    name: str
    element: int
    loads: tuple[str, ...]


def ends_at_load(network: Network, index: int) -> bool:
    """Tell whether a wire ends at one load: its plug there is the load's own."""
    element = network.elements[index]
    return element.kind == "wire" and element.b in network.load_nodes


def branches(network: Network, fuse: int) -> tuple[Branch, ...]:
    """Return what can be unplugged below a fuse, the largest branches first.

    A load and the wire that ends at it have one plug: it parts the load.
    """
    found = []
    for index in sorted(network.below(fuse)):
        element = network.elements[index]
        if element.kind in ("connector", "load") or (
            element.kind == "wire"
            and " to " in element.name
            and element.contact
            and not ends_at_load(network, index)
        ):
            loads = tuple(at.name for at in network.loads_below(index))
            found.append(Branch(element.name, index, loads))
    return tuple(sorted(found, key=lambda branch: -len(branch.loads)))


def lamp_share(
    network: Network, fuse: int, state: State, fault: Fault = NOTHING
) -> float:
    """Return the share of the supply's volts that a lamp in the fuse's place takes.

    About 1 is bright, 0.2 to 0.8 dim, less is dark: which loads light it depends on
    its watts, `Assumptions.lamp_w`. Drops of sound parts are left
    out: beside the lamp they are small.
    """
    lamp_ohm = network.volts * network.volts / network.assumed.lamp_w
    opened = {fault.element} if fault.kind == OPEN else set()
    if fault.kind == SHORT:
        opened = {network.protector(fault.element)} - {fuse}
    if not _fed(network, fuse, state, opened):
        return 0.0
    siemens = 0.0
    waiting = [network.elements[fuse].b]
    seen = {network.elements[fuse].a, GROUND}
    while waiting:
        node = waiting.pop()
        if node in seen:
            continue
        seen.add(node)
        for index in network.starting.get(node, ()):
            element = network.elements[index]
            if index == fuse:
                continue
            if fault.kind == SHORT and index == fault.element:
                if element.kind == "load" and not network.conducts(index, state):
                    continue
                return 0.98
            if index in opened or not network.conducts(index, state):
                continue
            if element.kind == "load":
                siemens += 1.0 / element.ohms
            elif element.kind != "ground":
                waiting.append(element.b)
    return lamp_ohm * siemens / (1.0 + lamp_ohm * siemens)


def _fed(network: Network, fuse: int, state: State, opened: set[int]) -> bool:
    return all(
        index not in opened and network.conducts(index, state)
        for index in network.way_up(network.elements[fuse].a)
    )


@dataclass(frozen=True, slots=True)
class Shown:
    """What the lamp showed: the state, bright, dim or dead, and the reading's key."""

    state: State
    seen: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the search: what to do, and what bright, dim and dark mean.

    ``sound`` is what the lamp shows when nothing touches ground. ``state`` is how the
    car stands then.
    """

    do: str
    bright: str
    dim: str
    dark: str
    sound: str
    state: State


@dataclass(frozen=True, slots=True)
class Hunt:
    """How far the search below one fuse has come.

    ``done`` are the answers with what was done for each, ``to_come`` the steps that
    are left, the next one first: empty at the end. ``left`` are the parts in which
    the touch of ground may be, ``verdict`` says so in words.
    """

    done: tuple[tuple[str, Shown], ...]
    to_come: tuple[Step, ...]
    left: tuple[int, ...]
    verdict: str


def hunt(network: Network, fuse: int, shown: Sequence[Shown]) -> Hunt:
    """Return how far the search for a touch of ground below a fuse has come.

    First everything off, then each load on its own, then the branches are unplugged,
    the largest first; what cannot part what is left is left out. A branch that did
    not end the light stays unplugged.
    """
    search = _Search(network, fuse)
    left = search.everywhere()
    base = search.all_on
    done = []
    before = search.plain
    for each in shown:
        done.append((search.do(each.state, before), each))
        bright = each.seen == "bright"
        left = [k for k in left if search.bright(k, each.state) == bright]
        if bright:
            base = each.state
        before = each.state
    steps = []
    for state in search.tests(base):
        parted = {search.bright(k, state) for k in left}
        if len(parted) == 2:
            steps.append(search.step(state, before, left))
    verdict = "" if steps else search.verdict(left, bool(shown))
    found = tuple(k for k in left if k >= 0)
    return Hunt(tuple(done), tuple(steps), found, verdict)


class _Search:
    """What the lamp shows in the place of one fuse, for each place of the touch."""

    def __init__(self, network: Network, fuse: int) -> None:
        self.network, self.fuse = network, fuse
        self.below = network.loads_below(fuse)
        words = network.states_of(network.elements[fuse].a)
        for at in self.below:
            words = words | network.states_of(at.plus) if at.with_feed else words
        running = frozenset(at.name for at in network.loads.values() if at.with_feed)
        self.plain = State(words, running)
        self.all_on = State(words, running | {at.name for at in self.below})

    def everywhere(self) -> list[int]:
        """Return the parts that may touch ground, and -1: none does now."""
        shorts = self.network.assumed.odds
        return [
            -1,
            *(
                index
                for index in sorted(self.network.below(self.fuse))
                if self.network.protector(index) == self.fuse
                and shorts[self.network.elements[index].kind][2] > 0
            ),
        ]

    def bright(self, index: int, state: State) -> bool:
        """Tell whether the lamp is bright when this part touches ground."""
        fault = Fault(index, SHORT) if index >= 0 else NOTHING
        return lamp_share(self.network, self.fuse, state, fault) >= _BRIGHT_SHARE

    def tests(self, base: State) -> Iterator[State]:
        """Yield the states to try, in order; branches go out beside those out."""
        yield self.plain
        for at in self.below:
            if not at.with_feed:
                yield self.plain._replace(on=self.plain.on | {at.name})
        for branch in branches(self.network, self.fuse):
            if branch.element not in base.out:
                yield base._replace(out=base.out | {branch.element})

    def step(self, state: State, before: State, left: Sequence[int]) -> Step:
        """Return a step in words, with what each answer would leave."""
        lit = [k for k in left if self.bright(k, state)]
        rest = [k for k in left if k not in lit]
        sound = lamp_share(self.network, self.fuse, state)
        word = "dim" if sound >= _DIM_SHARE else "dark"
        if sound >= _BRIGHT_SHARE:
            word = "bright"
        elsewhere = f"it is not there; left is {self.named(rest)}"
        return Step(
            do=self.do(state, before),
            bright=f"the touch is in {self.named(lit)}",
            dim=f"loads draw through the lamp; {elsewhere}",
            dark=f"nothing draws; {elsewhere}",
            sound=word,
            state=state,
        )

    def do(self, state: State, before: State) -> str:
        """Return what to do, after the step before, to come to a state."""
        names = self.network.elements
        parts = []
        on = sorted(state.on - self.plain.on)
        if state.on != before.on or state == self.plain:
            every = len(on) > 1 and state.on == self.all_on.on
            parts.append(
                "everything on"
                if every
                else f"only {' and '.join(on)} on"
                if on
                else "everything off"
            )
        again = sorted(names[k].words for k in before.out - state.out)
        if again:
            parts.append(f"join {' and '.join(again)} again")
        out = sorted(names[k].words for k in state.out - before.out)
        if out:
            parts.append(f"unplug {' and '.join(out)}")
        if not parts:
            parts.append("as before")
        said = ", ".join(parts)
        return said[:1].upper() + said[1:]

    def named(self, left: Sequence[int]) -> str:
        """Return parts by name, a few of them."""
        names = [self.network.elements[k].words for k in left if k >= 0]
        if not names:
            return "nowhere: it touches no more"
        if len(names) > _MOST_NAMED:
            more = len(names) - _MOST_NAMED + 1
            return f"{', '.join(names[: _MOST_NAMED - 1])} or {more} more"
        return " or ".join(names)

    def verdict(self, left: Sequence[int], begun: bool) -> str:
        """Return where the touch of ground is, once nothing parts what is left."""
        if not begun:
            return "The map names nothing below this fuse that could be parted."
        if not left:
            return (
                "No single touch of ground fits these answers: it comes and goes, or "
                "there are two. Take the last answer back, or begin again."
            )
        if all(k < 0 for k in left):
            return (
                "Nothing touches ground now. Leave the lamp in and move the loom: it "
                "lights when the touch comes back."
            )
        return f"The touch of ground is in {self.named(left)}."
