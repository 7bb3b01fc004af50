"""The map: one car's blocks, cavities, strips, readings and repairs.

Every record is an immutable value. Each field written with prop() is a row of the
schema: its key, shape, unit, range and help stand here and nowhere else. Nothing here
edits; see the modules of blockmap.model.edits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from blockmap.model.geometry import (
    Box,
    Point,
    Size,
    bounds_of,
    corners,
    end_points,
    side_word,
)
from blockmap.model.ids import (
    BlockId,
    CavityId,
    ContactRef,
    StripId,
    key_of,
    read_contact,
)
from blockmap.model.judgements import Acceptance, OwnLimits
from blockmap.model.schema import Shape, prop
from blockmap.model.terminals import TerminalFamily
from blockmap.reference.forms import KINDS, form_named
from blockmap.reference.trade_words import (
    CONDITIONS,
    EVIDENCE_WORDS,
    JUDGED_BY,
    REPAIR_STAGES,
)
from blockmap.reference.wire_colours import CODES, WireColour

__all__ = [
    "Acceptance",
    "Block",
    "Car",
    "Cavity",
    "Condition",
    "Contact",
    "Evidence",
    "InterimMeasure",
    "Jumper",
    "Load",
    "LogEntry",
    "Map",
    "OwnLimits",
    "Reading",
    "Repair",
    "Strip",
    "TerminalFamily",
    "Wire",
    "empty_map",
]

MM_LIMIT = 2000.0
"""Largest place or size in millimetres: no block under a dashboard is wider."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """How one fact of a cavity is known."""

    how: str = prop(
        "Known how",
        Shape.CHOICE,
        "how the fact is known: seen on the car, from the book, a guess, or unknown",
        allowed=EVIDENCE_WORDS,
        default="unknown",
    )
    test: str = prop(
        "By which test", Shape.TEXT, "what was done, such as pulled one at a time"
    )
    date: str | None = prop("Date", Shape.DATE, "when it was seen")


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """The state of one contact, wire, housing or fuse."""

    state: str = prop(
        "Condition",
        Shape.CHOICE,
        "what was found",
        allowed=CONDITIONS,
        default="untested",
    )
    severity: int | None = prop(
        "Severity",
        Shape.INTEGER,
        "1 watch, 2 repair soon, 3 do not use as is",
        low=1,
        high=3,
    )
    judged: str = prop(
        "Judged by",
        Shape.TEXT,
        "how it was judged, such as a tug, the grip of a spare blade, or a drop in mV",
        allowed=JUDGED_BY,
    )
    date: str | None = prop("Date", Shape.DATE, "when it was judged")
    stage: str | None = prop(
        "Stage of the repair",
        Shape.CHOICE,
        "how far the repair has come",
        allowed=REPAIR_STAGES,
    )
    note: str = prop("Note", Shape.TEXT, "what else was seen, and what was decided")


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
class InterimMeasure:
    """A patch that must be undone."""

    what: str = prop("Measure", Shape.TEXT, "what was done", required=True)
    where: str = prop("Where", Shape.TEXT, "where it is")
    since: str | None = prop("Since", Shape.DATE, "since when")
    until: str = prop("Until", Shape.TEXT, "until which part comes")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One line of a cavity's log: it is added to, and nothing in it is changed."""

    date: str | None = prop("Date", Shape.DATE, "when it was seen or done")
    text: str = prop(
        "What", Shape.TEXT, "what was seen, done or decided", required=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
    """One place in a block that takes a fuse, relay, tab, terminal and so on.

    x_mm and y_mm are the centre in the front view; width_mm runs through the two
    contacts and height_mm across, both before turning; turn_deg counts clockwise.
    """

    id: CavityId
    block: BlockId
    kind: str = prop(
        "Kind", Shape.CHOICE, "what the cavity takes", allowed=KINDS, default="fuse"
    )
    own: str = prop(
        "Own designation",
        Shape.TEXT,
        "the name given by the owner of the map",
        also_called=("own number", "own name"),
    )
    moulded: str = prop(
        "Moulded designation",
        Shape.TEXT,
        "the name moulded or printed on the block",
        fact=True,
    )
    manual: str = prop(
        "Manual designation", Shape.TEXT, "the name in the manual", fact=True
    )
    x_mm: float = prop(
        "x",
        Shape.LENGTH,
        "centre, from the left edge of the block in the front view",
        unit="mm",
        low=-MM_LIMIT,
        high=MM_LIMIT,
        required=True,
    )
    y_mm: float = prop(
        "y",
        Shape.LENGTH,
        "centre, from the top edge of the block in the front view",
        unit="mm",
        low=-MM_LIMIT,
        high=MM_LIMIT,
        required=True,
    )
    width_mm: float = prop(
        "Length",
        Shape.LENGTH,
        "size along the line through the contacts, before turning",
        unit="mm",
        low=1,
        high=500,
        required=True,
        also_called=("width",),
    )
    height_mm: float = prop(
        "Breadth",
        Shape.LENGTH,
        "size across the line through the contacts, before turning",
        unit="mm",
        low=1,
        high=500,
        required=True,
        also_called=("height",),
    )
    turn_deg: float = prop(
        "Turn",
        Shape.NUMBER,
        "clockwise turn; at 0 the contacts lie left and right, at 90 top and bottom",
        unit="°",
        low=-360,
        high=360,
        default=0.0,
    )
    feed_end: str = prop(
        "Feed end",
        Shape.CHOICE,
        "which end is the supply side: start is left at turn 0 and top at turn 90",
        allowed=("start", "finish", "unknown"),
        default="unknown",
        fact=True,
    )
    form: str = prop(
        "Form",
        Shape.FORM,
        "the body the cavity takes, such as medium blade",
        fact=True,
        also_called=("body", "type", "fuse type"),
    )
    rating_a: float | None = prop(
        "Rating",
        Shape.NUMBER,
        "the amps the cavity is specified for",
        unit="A",
        low=0.05,
        high=500,
        fact=True,
        also_called=("amps", "amp", "a", "specified", "fuse", "current rating"),
    )
    fitted_a: float | None = prop(
        "Fitted",
        Shape.NUMBER,
        "the amps of what is in it now",
        unit="A",
        low=0.05,
        high=500,
        fact=True,
        also_called=("fitted rating", "found"),
    )
    fitted_form: str = prop(
        "Fitted form", Shape.FORM, "the body of what is in it now, if another"
    )
    circuit: str = prop(
        "Circuit",
        Shape.TEXT,
        "the name of what this cavity protects",
        fact=True,
        also_called=("function", "description", "protects"),
    )
    legend_long: str = prop(
        "Long legend", Shape.TEXT, "label text where there is much room"
    )
    legend: str = prop(
        "Legend",
        Shape.TEXT,
        "label text, such as STOP-HAZ",
        fact=True,
        also_called=("label", "text", "name"),
    )
    legend_short: str = prop(
        "Short legend", Shape.TEXT, "label text where there is little room"
    )
    loads: tuple[Load, ...] = prop(
        "Loads", Shape.RECORDS, "the consumers on this cavity", record=Load, fact=True
    )
    contacts: Mapping[str, Contact] = prop(
        "Contacts", Shape.RECORD_MAP, "the metal contacts by name", record=Contact
    )
    housing: Condition | None = prop(
        "Housing", Shape.RECORD, "state of the plastic round it", record=Condition
    )
    fuse: Condition | None = prop(
        "Fuse",
        Shape.RECORD,
        "state of the fuse or part that is in it",
        record=Condition,
    )
    off_panel: bool = prop(
        "Off panel",
        Shape.FLAG,
        "yes for an in-line holder that is away from its block",
    )
    do_not_use: bool = prop(
        "Do not use", Shape.FLAG, "yes when nothing may be fitted here"
    )
    interim: InterimMeasure | None = prop(
        "Interim measure",
        Shape.RECORD,
        "a patch that must be undone",
        record=InterimMeasure,
    )
    evidence: Mapping[str, Evidence] = prop(
        "Evidence",
        Shape.RECORD_MAP,
        "how each fact is known, by the key of the fact",
        record=Evidence,
    )
    notes: str = prop("Notes", Shape.LONG_TEXT, "anything else about the cavity")
    log: tuple[LogEntry, ...] = prop(
        "Log",
        Shape.RECORDS,
        "what was seen and done here over the years; lines are only added",
        record=LogEntry,
    )

    @property
    def designation(self) -> str:
        """The name shown first: own, else moulded, else the manual's, else the key."""
        return self.own or self.moulded or self.manual or key_of(self.id)

    @property
    def designations(self) -> tuple[str, ...]:
        """Every different name of the cavity, the shown one first."""
        named = (self.own, self.moulded, self.manual)
        return tuple(dict.fromkeys(n for n in named if n)) or (self.designation,)

    @property
    def centre(self) -> Point:
        """The middle of the cavity in the front view."""
        return Point(self.x_mm, self.y_mm)

    @property
    def size(self) -> Size:
        """Length and breadth before turning."""
        return Size(self.width_mm, self.height_mm)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners in the front view."""
        return corners(self.centre, self.size, self.turn_deg)

    @property
    def bounds(self) -> Box:
        """The upright box round the turned cavity, in the front view."""
        return bounds_of(self.corners)

    @property
    def ends(self) -> tuple[Point, Point]:
        """The start end and the finish end in the front view."""
        return end_points(self.centre, self.width_mm, self.turn_deg)

    @property
    def feed_side(self) -> str:
        """Where the feed contact lies in the front view: 'left', ... or 'unknown'."""
        if self.feed_end == "unknown":
            return "unknown"
        start, finish = self.ends
        return side_word(self.centre, start if self.feed_end == "start" else finish)

    @property
    def contact_names(self) -> tuple[str, ...]:
        """The contacts this cavity has: those of its form, then any named besides."""
        form = form_named(self.form)
        own = form.contact_names if form else _CONTACTS_BY_KIND.get(self.kind, ())
        return (*own, *(name for name in self.contacts if name not in own))

    def contact(self, name: str) -> Contact:
        """Return the contact of this name, a bare one when nothing is noted of it."""
        return self.contacts.get(name) or _BARE

    @property
    def conditions(self) -> tuple[tuple[str, Condition], ...]:
        """Every noted condition with where it is: contact name, 'housing', 'fuse'.

        The wire behind a contact is named '<contact> wire'.
        """
        found: list[tuple[str, Condition]] = []
        for name, contact in self.contacts.items():
            if contact.condition:
                found.append((name, contact.condition))
            found += [
                (f"{name} wire", wire.condition)
                for wire in contact.wires
                if wire.condition
            ]
        if self.housing:
            found.append(("housing", self.housing))
        if self.fuse:
            found.append(("fuse", self.fuse))
        return tuple(found)

    @property
    def unusable(self) -> bool:
        """True when it must not be used as it is: said so, or by its damage."""
        return self.do_not_use or any(
            condition.severity == 3 and condition.stage not in ("fitted", "proved")
            for _, condition in self.conditions
        )

    @property
    def main_contact(self) -> str:
        """The contact whose wires go out to the loads: load, 87, or the only one."""
        names = self.contact_names
        for name in ("load", "87", "L"):
            if name in names:
                return name
        return names[-1] if names else "load"


_BARE = Contact()
_CONTACTS_BY_KIND: dict[str, tuple[str, ...]] = {
    "fuse": ("feed", "load"),
    "breaker": ("feed", "load"),
    "link": ("feed", "load"),
    "flasher": ("feed", "load"),
    "tab": ("pin",),
    "stud": ("pin",),
    "terminal": ("pin",),
}


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
        "Supply lands at", Shape.TEXT, "the contact where the supply arrives"
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

    def contact_refs(self) -> tuple[ContactRef, ...]:
        """Return the contacts on the metal, then those reached by jumper."""
        named = (*self.members, *(jumper.to for jumper in self.jumpers))
        refs = (read_contact(text, self.block) for text in named)
        return tuple(ref for ref in refs if ref)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One physical part: a fuse panel, a power box, in-line holders, a connector."""

    id: BlockId
    name: str = prop("Name", Shape.TEXT, "what the block is called")
    kind: str = prop(
        "Kind",
        Shape.CHOICE,
        "what sort of part it is",
        allowed=("fuse panel", "power box", "in-line holders", "connector"),
        default="fuse panel",
    )
    width_mm: float = prop(
        "Width",
        Shape.LENGTH,
        "from the left edge to the right, front view",
        unit="mm",
        low=5,
        high=MM_LIMIT,
        required=True,
    )
    height_mm: float = prop(
        "Height",
        Shape.LENGTH,
        "from the top edge to the bottom, front view",
        unit="mm",
        low=5,
        high=MM_LIMIT,
        required=True,
    )
    outline: tuple[Point, ...] = prop(
        "Outline",
        Shape.POINTS,
        "corners in order when the block is not a plain rectangle, front view",
        unit="mm",
    )
    face: str | None = prop(
        "Front view shows",
        Shape.CHOICE,
        "for a connector: which side the front view is",
        allowed=("mating face", "wire side"),
    )
    half: str | None = prop(
        "Half", Shape.CHOICE, "for a connector: which half", allowed=("pins", "sockets")
    )
    mount: str = prop("Mounting", Shape.LONG_TEXT, "how it is held and comes down")
    numbering: str = prop("Numbering", Shape.TEXT, "how the places are counted")
    counting: str | None = prop(
        "Counting",
        Shape.CHOICE,
        "direction of the counting arrow",
        allowed=(
            "left to right",
            "right to left",
            "top to bottom",
            "bottom to top",
        ),
    )
    release: str = prop(
        "Terminal release", Shape.LONG_TEXT, "how single terminals come out"
    )
    terminal: str = prop(
        "Terminal family",
        Shape.TEXT,
        "the family of its single terminals, where a contact names no other",
    )
    mate: str = prop(
        "Plugs into",
        Shape.TEXT,
        "for a connector: the key of the block that is its other half",
    )
    notes: str = prop("Notes", Shape.LONG_TEXT, "anything else about the block")

    @property
    def size(self) -> Size:
        """Width and height of the block."""
        return Size(self.width_mm, self.height_mm)

    @property
    def outline_points(self) -> tuple[Point, ...]:
        """The corners of the outline: those given, else of the plain rectangle."""
        return self.outline or (
            Point(0.0, 0.0),
            Point(self.width_mm, 0.0),
            Point(self.width_mm, self.height_mm),
            Point(0.0, self.height_mm),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Car:
    """The car the map belongs to, and how its prints are to look."""

    name: str = prop("Car", Shape.TEXT, "what the car is called")
    year: str = prop("Year", Shape.TEXT, "model year or years")
    volts: float = prop(
        "System voltage",
        Shape.NUMBER,
        "6, 12 or 24",
        unit="V",
        low=1,
        high=60,
        default=12.0,
    )
    polarity: str = prop(
        "Polarity",
        Shape.CHOICE,
        "which battery post is grounded",
        allowed=("negative ground", "positive ground"),
        default="negative ground",
    )
    colour_code: str = prop(
        "Wire colour code",
        Shape.CHOICE,
        "the code wire colours are typed and shown in",
        allowed=CODES,
        default="words",
    )
    states: tuple[str, ...] = prop(
        "Own states", Shape.TEXTS, "key and switch states besides the usual ones"
    )
    date: str | None = prop("Date", Shape.DATE, "when the map was last checked")
    label_distance_mm: float = prop(
        "Labels read from",
        Shape.LENGTH,
        "distance from which the labels are read",
        unit="mm",
        low=100,
        high=3000,
        default=400.0,
    )
    card_distance_mm: float = prop(
        "Card read from",
        Shape.LENGTH,
        "distance from which the card is read",
        unit="mm",
        low=100,
        high=3000,
        default=400.0,
    )
    label_height_mm: float | None = prop(
        "Least letter height",
        Shape.NUMBER,
        "least height of capitals on labels, in place of the published rule",
        unit="mm",
        low=0.8,
        high=20,
    )
    notes: str = prop("Notes", Shape.LONG_TEXT, "anything else about the car")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One measurement."""

    point: str = prop(
        "Point", Shape.TEXT, "where the probe was, such as F11.load", required=True
    )
    against: str = prop("Against", Shape.TEXT, "the other point; empty means ground")
    states: tuple[str, ...] = prop("States", Shape.TEXTS, "key and switch states")
    load: str = prop("Load", Shape.TEXT, "what was switched on")
    out: tuple[str, ...] = prop(
        "Out", Shape.TEXTS, "what was pulled or unplugged at the time, such as F5"
    )
    value: float | None = prop(
        "Value", Shape.NUMBER, "what the meter showed", low=-1e6, high=1e6
    )
    unit: str = prop(
        "Unit",
        Shape.CHOICE,
        "unit of the value",
        allowed=("V", "mV", "A", "mA", "ohm"),
        default="V",
    )
    seen: str = prop("Seen", Shape.TEXT, "what was seen where no meter was used")
    amps_a: float | None = prop(
        "Current", Shape.NUMBER, "current at the time", unit="A", low=-1000, high=1000
    )
    meter: str = prop("Meter", Shape.TEXT, "meter or test lamp")
    date: str | None = prop("Date", Shape.DATE, "when it was read")
    note: str = prop("Note", Shape.TEXT, "anything else about the reading")


def _stage_date(stage: str) -> Any:
    return prop(
        f"{stage[:1].upper()}{stage[1:]} on",
        Shape.DATE,
        f"when the repair came to the stage “{stage}”",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """One piece of work from finding to proof."""

    at: str = prop(
        "At", Shape.TEXT, "the place, such as F11.feed or F11", required=True
    )
    stage: str = prop(
        "Stage",
        Shape.CHOICE,
        "how far it has come",
        allowed=REPAIR_STAGES,
        default="found",
    )
    what: str = prop("What", Shape.TEXT, "what is to be done or was done")
    part: str = prop("Part", Shape.TEXT, "the part needed, in words")
    price: float | None = prop(
        "Price", Shape.NUMBER, "price of the part, in your own money", low=0, high=1e6
    )
    source: str = prop("Source", Shape.TEXT, "where the part comes from")
    date: str | None = prop("Date", Shape.DATE, "date of this stage")
    found: str | None = _stage_date("found")
    watch: str | None = _stage_date("watch")
    interim: str | None = _stage_date("interim")
    part_wanted: str | None = _stage_date("part wanted")
    ordered: str | None = _stage_date("ordered")
    received: str | None = _stage_date("received")
    fitted: str | None = _stage_date("fitted")
    proved: str | None = _stage_date("proved")
    retired: str | None = _stage_date("retired")
    note: str = prop("Note", Shape.TEXT, "anything else about the repair")

    @property
    def reached(self) -> tuple[tuple[str, str | None], ...]:
        """The stages it has been through, in order, each with its date if known.

        The present stage is always among them.
        """
        found: list[tuple[str, str | None]] = []
        for stage in REPAIR_STAGES:
            date: str | None = getattr(self, stage.replace(" ", "_"))
            if stage == self.stage:
                found.append((stage, date or self.date))
            elif date:
                found.append((stage, date))
        return tuple(found)


def _nothing() -> Mapping[str, Any]:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Map:
    """The whole document. Mappings keep the order of the file; treat them as frozen."""

    car: Car = field(default_factory=Car)
    blocks: Mapping[BlockId, Block] = field(default_factory=_nothing)
    cavities: Mapping[CavityId, Cavity] = field(default_factory=_nothing)
    strips: Mapping[StripId, Strip] = field(default_factory=_nothing)
    readings: Mapping[str, Reading] = field(default_factory=_nothing)
    repairs: Mapping[str, Repair] = field(default_factory=_nothing)
    families: Mapping[str, TerminalFamily] = field(default_factory=_nothing)
    limits: OwnLimits = field(default_factory=OwnLimits)
    accepted: Mapping[str, Acceptance] = field(default_factory=_nothing)

    def cavities_of(self, block: BlockId) -> Iterator[Cavity]:
        """Yield the cavities of one block in the order of the map."""
        return (c for c in self.cavities.values() if c.block == block)

    def strips_of(self, block: BlockId) -> Iterator[Strip]:
        """Yield the strips of one block in the order of the map."""
        return (s for s in self.strips.values() if s.block == block)

    def bounds_of(self, block: BlockId) -> Box:
        """Return the box round a block's outline and every cavity that lies off it."""
        part = self.blocks[block]
        box = Box(0.0, 0.0, part.width_mm, part.height_mm)
        for cavity in self.cavities_of(block):
            box = box.union(cavity.bounds)
        return box


def empty_map() -> Map:
    """Return a map with nothing in it."""
    return Map()
