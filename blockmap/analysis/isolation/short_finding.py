"""Tells what a lamp shows in the place of a fuse, and what that means.

The lamp limits the current: a branch that touches ground lights it fully, loads
that work light it dimly, and nothing is left on when it stays dark. A filament lamp
can harm electronic circuits; airbag circuits are never tried this way.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.analysis.isolation.assumptions import OPEN, SHORT
from blockmap.analysis.isolation.faults import NOTHING, Fault
from blockmap.analysis.isolation.network import GROUND, Network, State

__all__ = [
    "BRIGHT",
    "DARK",
    "DIM",
    "LAMP_W",
    "Branch",
    "Step",
    "branches",
    "lamp_share",
    "steps",
]

LAMP_W = 55.0
"""Watts of the lamp, as a headlamp bulb. Common practice, no source."""

BRIGHT = "full bright: a branch that is still connected touches ground"
DIM = "dim: loads draw through the lamp, nothing touches ground there"
DARK = "dark: nothing is connected, or the way to it is open"


@dataclass(frozen=True, slots=True)
class Branch:
    """One branch below a fuse that can be unplugged: its name and what goes with it."""

    name: str
    element: int
    loads: tuple[str, ...]


def branches(network: Network, fuse: int) -> tuple[Branch, ...]:
    """Return what can be unplugged below a fuse, the largest branches first."""
    found = []
    for index in sorted(network.below(fuse)):
        element = network.elements[index]
        if element.kind in ("connector", "load") or (
            element.kind == "wire" and " to " in element.name and element.contact
        ):
            loads = tuple(at.name for at in network.loads_below(index))
            found.append(Branch(element.name, index, loads))
    return tuple(sorted(found, key=lambda branch: -len(branch.loads)))


def lamp_share(
    network: Network, fuse: int, state: State, fault: Fault = NOTHING
) -> float:
    """Return the share of the supply's volts that a lamp in the fuse's place takes.

    About 1 is bright, 0.15 to 0.8 dim, less is dark. Drops of sound parts are left
    out: beside the lamp they are small.
    """
    lamp_ohm = network.volts * network.volts / LAMP_W
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
class Step:
    """One step of the search: what to do, and what bright, dim and dark mean."""

    do: str
    bright: str
    dim: str
    dark: str


def steps(network: Network, fuse: int) -> tuple[Step, ...]:
    """Return the search for a touch of ground below a fuse, branch by branch.

    The largest branch comes first: it parts the rest best.
    """
    name = network.elements[fuse].name
    found = [
        Step(
            f"Pull {name}, put a {LAMP_W:g} W lamp in its place, everything off",
            "the wire from the fuse to the first switch touches ground",
            "something draws all the time",
            "nothing touches ground before the switches",
        ),
        Step(
            "Switch the loads on one at a time, and move the loom",
            "the branch just switched on touches ground",
            "that load works through the lamp: its branch is sound",
            "that branch is open, or its load draws little",
        ),
    ]
    for branch in branches(network, fuse):
        loads = ", ".join(branch.loads) or "no load"
        found.append(
            Step(
                f"Unplug {branch.name} ({loads})",
                "the touch is in what is still plugged in",
                f"the touch was in {branch.name}",
                f"the touch was in {branch.name}, and nothing else draws",
            )
        )
    return tuple(found)
