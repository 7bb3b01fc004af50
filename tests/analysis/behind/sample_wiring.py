"""Small maps with connectors, in-line holders and strips, to be followed."""

from __future__ import annotations

from typing import Any

from blockmap.model.document import Block, Cavity, Contact, Load, Map, Strip, Wire
from blockmap.reference.wire_colours import read_colour


def wire(colour: str = "", to: str = "", gauge: str = "16 AWG") -> Wire:
    """Return a wire of a colour in words."""
    shown = read_colour(colour, "words") if colour else None
    return Wire(colour=shown, gauge=gauge, to=to)


def place(block: str, key: str, **more: Any) -> Cavity:
    """Return a fuse, or what is asked for, in a block."""
    fields: dict[str, Any] = {
        "x_mm": 10.0,
        "y_mm": 10.0,
        "width_mm": 19.1,
        "height_mm": 5.1,
        "form": "medium blade",
        "feed_end": "start",
        **more,
    }
    return Cavity(id=f"{block}/{key}", block=block, own=key, **fields)


def pin(block: str, key: str, *wires: Wire, **more: Any) -> Cavity:
    """Return a place of a connector with these wires."""
    contacts = {"pin": Contact(wires=wires)}
    return place(
        block, key, kind="terminal", form="terminal 2.8", contacts=contacts, **more
    )


def block(key: str, **more: Any) -> Block:
    """Return a block of 100 by 50 mm."""
    return Block(id=key, width_mm=100.0, height_mm=50.0, **more)


def through_connectors() -> Map:
    """Return a lamp fed by strip, fuse, two plugged halves and an in-line holder.

    The wire at pin 3 of C2 is noted at its far end only.
    """
    fuse = place(
        "panel",
        "F1",
        rating_a=20.0,
        contacts={"load": Contact(wires=(wire("red", "C1.3"),))},
    )
    spare = place("panel", "F2", loads=(Load(name="radio"),))
    holder = place(
        "away",
        "IL1",
        off_panel=True,
        rating_a=5.0,
        contacts={
            "feed": Contact(wires=(wire("red", "C2/3"),)),
            "load": Contact(wires=(wire("red/white"),)),
        },
        loads=(Load(name="rear lamp"),),
    )
    cavities = (
        fuse,
        spare,
        pin("C1", "3", wire("red")),
        pin("C2", "3", wire("red")),
        holder,
    )
    strip = Strip(
        id="panel/BAT",
        block="panel",
        name="BAT",
        members=("F1.feed", "F2.feed"),
        made="riveted",
        fed_from="battery",
    )
    return Map(
        blocks={
            "panel": block("panel"),
            "C1": block("C1", kind="connector", mate="C2"),
            "C2": block("C2", kind="connector"),
            "away": block("away", kind="in-line holders"),
        },
        cavities={c.id: c for c in cavities},
        strips={strip.id: strip},
    )
