"""Computes the figures of one cavity: loads, rating, wires, drop and contacts.

Pure: the same records and limits give the same figures. What hangs on a cavity and
which wires it guards are handed in, for they need the whole map.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from blockmap.analysis.numbers.feed_load import CavityLoads, entry_node
from blockmap.analysis.numbers.figure import Comparison, Figure, notes_joined
from blockmap.analysis.numbers.fuse_choice import (
    FittedCheck,
    Suggestion,
    fitted_against_specified,
    fuse_against_loads,
    fuse_against_wire,
    suggested_rating,
    terminal_against_load,
)
from blockmap.analysis.numbers.fusible_link import LinkCheck, link_against_wire
from blockmap.analysis.numbers.limits import DEFAULT_LIMITS, Limits
from blockmap.analysis.numbers.load_current import LoadSum, current_of, own_sum
from blockmap.analysis.numbers.voltage_drop import (
    drop_along,
    drop_of_fuse,
    drop_verdicts,
    left_at_load,
    wire_resistance,
)
from blockmap.analysis.numbers.wires import wire_amps
from blockmap.model.document import Car, Cavity, Wire
from blockmap.model.ids import CavityId

__all__ = [
    "CavityFigures",
    "DropFigures",
    "WireFigures",
    "cavity_figures",
    "cavity_loads",
    "guarded_wire",
]

_OPENS = ("fuse", "breaker")


@dataclass(frozen=True, slots=True)
class WireFigures:
    """One guarded wire: where it is, its gauge as written, and the most it bears."""

    at: str
    gauge: str
    most: Figure | None


@dataclass(frozen=True, slots=True)
class DropFigures:
    """What is lost along one wire and what is left at its load."""

    gauge: str
    resistance: Figure
    drop: Figure
    fuse_drop: Figure | None
    left: Figure
    advice: Comparison
    fault: Comparison


@dataclass(frozen=True, slots=True)
class CavityFigures:
    """Every figure of one cavity; what does not follow from the map is None or empty.

    ``own`` sums the loads noted on the cavity, ``loads`` also those behind it.
    ``rating_and_load`` and the like are comparisons of a figure with its limit; those
    with ``fitted`` in their name are for the fuse that is in it now.
    """

    cavity: CavityId
    currents: tuple[Figure | None, ...]
    own: LoadSum | None
    loads: LoadSum | None
    guarded: tuple[WireFigures, ...] = ()
    suggestion: Suggestion | None = None
    rating_and_load: Comparison | None = None
    share_and_load: Comparison | None = None
    fitted_and_load: Comparison | None = None
    rating_and_wire: Comparison | None = None
    fitted_and_wire: Comparison | None = None
    fitted: FittedCheck | None = None
    contact: Comparison | None = None
    drops: tuple[DropFigures, ...] = ()
    link: LinkCheck | None = None


def cavity_loads(
    cavity: Cavity, volts: float, limits: Limits = DEFAULT_LIMITS
) -> CavityLoads:
    """Return the current of each load of a cavity and their own sums."""
    entry = entry_node(cavity)
    if not cavity.loads:
        return CavityLoads(cavity, None, (), entry)
    currents = tuple(current_of(load, volts, limits) for load in cavity.loads)
    return CavityLoads(cavity, own_sum(cavity, volts, limits), currents, entry)


def guarded_wire(
    at: str, gauge: str, insulation: str, limits: Limits = DEFAULT_LIMITS
) -> WireFigures:
    """Return a wire with the most amps it bears."""
    return WireFigures(at, gauge, wire_amps(gauge, insulation, limits))


def cavity_figures(
    cavity: Cavity,
    noted: CavityLoads,
    loads: LoadSum | None,
    guarded: Sequence[WireFigures],
    car: Car,
    limits: Limits = DEFAULT_LIMITS,
    capacity: Figure | None = None,
) -> CavityFigures:
    """Return the figures of a cavity.

    noted are its own loads, loads everything that hangs on it, guarded the wires up
    to the next fuse, capacity what its main contact bears if the map says so itself.
    """
    amps = [wire.most for wire in guarded if wire.most is not None]
    rating, share, fitted_load = None, None, None
    rating_wire, fitted_wire, fitted, suggestion = None, None, None, None
    if cavity.kind in _OPENS:
        fitted = fitted_against_specified(cavity)
        if cavity.rating_a is not None:
            rating_wire = fuse_against_wire(cavity.rating_a, amps, limits)
            if loads is not None:
                rating, share = fuse_against_loads(cavity.rating_a, loads, limits)
        if cavity.fitted_a is not None:
            fitted_wire = fuse_against_wire(cavity.fitted_a, amps, limits)
            if loads is not None:
                fitted_load = fuse_against_loads(cavity.fitted_a, loads, limits)[0]
        if loads is not None:
            thinnest = min(amps, key=lambda wire: wire.value, default=None)
            suggestion = suggested_rating(cavity.form, loads, thinnest, limits)
    contact = None
    if loads is not None:
        terminal = cavity.contact(cavity.main_contact).terminal
        if capacity is not None:
            contact = Comparison("Load and contact", loads.running, capacity)
        else:
            contact = terminal_against_load(terminal, cavity.form, loads.running)
    return CavityFigures(
        cavity.id,
        noted.currents,
        noted.own,
        loads,
        tuple(guarded),
        suggestion,
        rating,
        share,
        fitted_load,
        rating_wire,
        fitted_wire,
        fitted,
        contact,
        _drops(cavity, loads, car, limits),
        _link(cavity, limits),
    )


def _drops(
    cavity: Cavity, loads: LoadSum | None, car: Car, limits: Limits
) -> tuple[DropFigures, ...]:
    if loads is None:
        return ()
    wires = [
        wire
        for wire in cavity.contact(cavity.main_contact).wires
        if wire.gauge and wire.length_m is not None
    ]
    if not wires:
        return ()
    by_wire = any(load.ground for load in cavity.loads)
    several = len(cavity.contact(cavity.main_contact).wires) > 1
    found = (
        _drop(cavity, wire, loads, by_wire, several, car, limits) for wire in wires
    )
    return tuple(each for each in found if each is not None)


def _drop(
    cavity: Cavity,
    wire: Wire,
    loads: LoadSum,
    by_wire: bool,
    several: bool,
    car: Car,
    limits: Limits,
) -> DropFigures | None:
    length_m = wire.length_m or 0.0
    back_m = length_m if by_wire else 0.0
    resistance = wire_resistance(wire.gauge, length_m, back_m, limits)
    if resistance is None:
        return None
    if by_wire:
        resistance = _perhaps_by_body(resistance)
    current = loads.running
    if several:
        current = current.noting("at most: several wires share the current")
    drop = drop_along(resistance, current)
    fuse_drop = None
    rating_a = cavity.fitted_a or cavity.rating_a
    if cavity.kind in _OPENS and rating_a is not None:
        form = cavity.fitted_form or cavity.form
        fuse_drop = drop_of_fuse(form, rating_a, current)
        # A row from memory is offered beside the sum but not put into it.
        counted = fuse_drop is not None and not fuse_drop.uses_memory
    else:
        counted = False
    drops = [drop, fuse_drop] if counted and fuse_drop is not None else [drop]
    left = left_at_load(car.volts, drops, car.polarity)
    advice, fault = drop_verdicts(drop, car.volts, limits)
    return DropFigures(wire.gauge, resistance, drop, fuse_drop, left, advice, fault)


def _perhaps_by_body(both_ways: Figure) -> Figure:
    """Return a resistance out and back whose low end counts the way out alone."""
    return replace(
        both_ways,
        low=both_ways.low / 2,
        note=notes_joined(
            both_ways.note,
            "the return is taken as long and as thick as the way out; the low end "
            "counts no wire back",
        ),
    )


def _link(cavity: Cavity, limits: Limits) -> LinkCheck | None:
    """Return how a link suits its wire; the wire at its feed is the link itself."""
    if cavity.kind != "link":
        return None
    link = [wire.gauge for wire in cavity.contact("feed").wires if wire.gauge]
    wire = [wire.gauge for wire in cavity.contact("load").wires if wire.gauge]
    return link_against_wire(link[0], wire[0], limits) if link and wire else None
