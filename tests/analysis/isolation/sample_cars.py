"""Cars for the tests of isolation: shipped ones, bared of what gives a fault away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from blockmap.files.map_reader import read_map
from blockmap.model.document import (
    Block,
    Car,
    Cavity,
    Contact,
    Evidence,
    Load,
    Map,
    Reading,
    Strip,
    Wire,
)
from blockmap.resources import layout

__all__ = ["bare", "ladder_map", "shipped", "with_readings"]


@cache
def shipped(stem: str) -> Map:
    """Return a shipped map."""
    path = layout(stem)
    return read_map(path.read_bytes(), path.name).document


def bare(document: Map) -> Map:
    """Return a map without recorded conditions and readings: nothing is known yet."""
    cavities = {}
    for identity, cavity in document.cavities.items():
        contacts = {
            name: replace(
                contact,
                condition=None,
                wires=tuple(replace(wire, condition=None) for wire in contact.wires),
            )
            for name, contact in cavity.contacts.items()
        }
        cavities[identity] = replace(cavity, contacts=contacts, fuse=None, housing=None)
    return replace(document, cavities=cavities, readings={})


def with_readings(document: Map, readings: Sequence[Reading]) -> Map:
    """Return the map with these readings and no other."""
    return replace(document, readings={f"r{n}": r for n, r in enumerate(readings, 1)})


def from_book(cavity: Cavity, *facts: str) -> Cavity:
    """Return the cavity with facts known from the book only."""
    evidence = dict(cavity.evidence)
    evidence.update({fact: Evidence(how="book") for fact in facts})
    return replace(cavity, evidence=evidence)


def ladder_map(polarity: str = "negative ground") -> Map:
    """Return a block of two fuses on one strip, each with one load of 6 A at 12 V."""
    strip = Strip(
        id="p/S",
        block="p",
        name="S",
        members=("F1.feed", "F2.feed"),
        lands_at="F1.feed",
        supply_gauge="4 mm2",
        live=("RUN",),
    )

    def fuse(number: int) -> Cavity:
        return Cavity(
            id=f"p/F{number}",
            block="p",
            kind="fuse",
            own=f"F{number}",
            x_mm=20.0 * number,
            y_mm=20,
            width_mm=19,
            height_mm=5,
            form="medium blade",
            rating_a=10.0,
            loads=(Load(name=f"lamp {number}", amps_a=6.0),),
            contacts={
                "load": Contact(wires=(Wire(gauge="1.5 mm2", length_m=2.0),)),
            },
        )

    cavities = {cavity.id: cavity for cavity in (fuse(1), fuse(2))}
    block = Block(id="p", name="Ladder", width_mm=80, height_mm=40)
    return Map(
        car=Car(name="Ladder", polarity=polarity),
        blocks={"p": block},
        cavities=cavities,
        strips={strip.id: strip},
    )
