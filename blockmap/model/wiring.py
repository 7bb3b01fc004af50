"""Metal and wire: wires, contacts, loads, and the strips that contacts share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

from blockmap.model.ids import BlockId, ContactRef, StripId, read_contact
from blockmap.model.schema import Shape, prop
from blockmap.model.state import Condition
from blockmap.reference.wire_colours import WireColour

__all__ = ["LANDS_HIDDEN", "Contact", "Jumper", "Landing", "Load", "Strip", "Wire"]

LANDS_END: Final = "end"
LANDS_MIDDLE: Final = "middle"
LANDS_HIDDEN: Final = "hidden at the rear"


class Landing(NamedTuple):
    """Where a supply meets the metal of a strip.

    It is on the member number ``on``; or off the contacts, in the metal before the
    member number ``gap``, where 0 and the number of members are the two ends. With
    ``known`` False that is only the likeliest place.
    """

    on: int | None = None
    gap: int | None = None
    known: bool = True

    def between(self, count: int) -> bool:
        """Tell whether the metal leads two ways from it, to members on either side."""
        return self.gap is not None and 0 < self.gap < count


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One wire at a contact."""

    colour: WireColour | None = prop(
        "Wire colour",
        Shape.COLOUR,
        "base colour and stripes, such as brown/white",
        fact=True,
    )
    gauge: str = prop(
        "Gauge",
        Shape.GAUGE,
        "the size as it is written, such as 16 AWG, 1.5 mm2 or 14/0.30",
        fact=True,
    )
    length_m: float | None = prop(
        "Length", Shape.NUMBER, "length one way", unit="m", low=0, high=100
    )
    insulation: str = prop("Insulation", Shape.TEXT, "kind or temperature class")
    to: str = prop(
        "Other end", Shape.TEXT, "where it goes: a contact such as C1.3, or words"
    )
    condition: Condition | None = prop(
        "Condition", Shape.RECORD, "state of the wire", record=Condition
    )
    note: str = prop("Note", Shape.TEXT, "anything else about the wire")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One metal contact of a cavity."""

    wires: tuple[Wire, ...] = prop(
        "Wires", Shape.RECORDS, "the wires behind this contact", record=Wire, fact=True
    )
    live: tuple[str, ...] = prop(
        "Live in",
        Shape.TEXTS,
        "key and switch states in which this contact has voltage, or always",
    )
    fed_from: str = prop(
        "Fed from",
        Shape.TEXT,
        "the contact that feeds this one by wire, such as F7.load",
    )
    terminal: str = prop("Terminal", Shape.TEXT, "the terminal family, in words")
    condition: Condition | None = prop(
        "Condition", Shape.RECORD, "state of the contact", record=Condition
    )
    note: str = prop("Note", Shape.TEXT, "anything else about the contact")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One consumer on a circuit."""

    name: str = prop(
        "Load", Shape.TEXT, "what it is, such as stop lamps", required=True
    )
    amps_a: float | None = prop(
        "Current", Shape.NUMBER, "current drawn", unit="A", low=0, high=1000
    )
    watts_w: float | None = prop(
        "Power", Shape.NUMBER, "power drawn", unit="W", low=0, high=20000
    )
    at_volts: float | None = prop(
        "At", Shape.NUMBER, "voltage at which the power holds", unit="V", low=1, high=60
    )
    duty: str | None = prop(
        "Duty",
        Shape.CHOICE,
        "how it draws: all the time, for short times, or a rush at switching on",
        allowed=("continuous", "intermittent", "in-rush"),
    )
    ground: str = prop("Ground", Shape.TEXT, "where it is grounded")
    note: str = prop("Note", Shape.TEXT, "anything else about the load")


@dataclass(frozen=True, slots=True, kw_only=True)
class Jumper:
    """A wire that carries a strip's supply on to one more contact."""

    to: str = prop("To", Shape.TEXT, "the contact, such as F13.feed", required=True)
    colour: WireColour | None = prop(
        "Wire colour", Shape.COLOUR, "colour of the jumper"
    )
    gauge: str = prop("Gauge", Shape.GAUGE, "size of the jumper as it is written")


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One piece of metal shared by contacts of several cavities, with its jumpers."""

    id: StripId
    block: BlockId
    name: str = prop("Name", Shape.TEXT, "what the strip is called")
    members: tuple[str, ...] = prop(
        "Members", Shape.TEXTS, "the contacts on the metal, such as F1.feed"
    )
    jumpers: tuple[Jumper, ...] = prop(
        "Jumpers", Shape.RECORDS, "contacts joined by a wire", record=Jumper
    )
    lands_at: str = prop(
        "Supply lands at",
        Shape.TEXT,
        "the contact where the supply arrives, or the one nearest to it",
    )
    lands: str | None = prop(
        "Supply lands",
        Shape.CHOICE,
        "where on the metal the supply arrives when that is not on a contact itself",
        allowed=(LANDS_END, LANDS_MIDDLE, LANDS_HIDDEN),
    )
    supply_colour: WireColour | None = prop(
        "Supply wire", Shape.COLOUR, "colour of the supply wire"
    )
    supply_gauge: str = prop("Supply gauge", Shape.GAUGE, "size of the supply wire")
    fed_from: str = prop(
        "Fed from", Shape.TEXT, "where the supply wire comes from, in words"
    )
    made: str | None = prop(
        "Made as",
        Shape.CHOICE,
        "how the strip is made",
        allowed=("one stamping", "riveted", "solid bar that unbolts", "wire splice"),
    )
    live: tuple[str, ...] = prop(
        "Live in", Shape.TEXTS, "key and switch states in which it has voltage"
    )
    note: str = prop("Note", Shape.TEXT, "anything else about the strip")

    def landing(self, at: int | None, count: int) -> Landing | None:
        """Return where the supply lands among so many members in their order.

        at is the place of ``lands_at`` among them, if it is one. None means that
        nobody has said it.
        """
        if not count or (self.lands is None and at is None):
            return None
        if self.lands is None or (self.lands == LANDS_HIDDEN and at is not None):
            return Landing(on=at)
        if self.lands == LANDS_END:
            first = at is None or 2 * at < count
            return Landing(gap=0 if first else count, known=at is not None)
        if at is None:
            return Landing(gap=count // 2, known=self.lands == LANDS_MIDDLE)
        return Landing(gap=at + 1 if 2 * at + 1 < count else at)

    def contact_refs(self) -> tuple[ContactRef, ...]:
        """Return the contacts on the metal, then those reached by jumper."""
        named = (*self.members, *(jumper.to for jumper in self.jumpers))
        refs = (read_contact(text, self.block) for text in named)
        return tuple(ref for ref in refs if ref)
