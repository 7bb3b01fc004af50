"""One cavity: what it takes, where it is, what is said of it, what follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockmap.model.geometry import (
    MM_LIMIT,
    Box,
    Point,
    Size,
    bounds_of,
    corners,
    end_points,
    side_word,
)
from blockmap.model.ids import BlockId, CavityId, key_of
from blockmap.model.schema import Shape, prop
from blockmap.model.state import Condition, Evidence, InterimMeasure, LogEntry
from blockmap.model.wiring import Contact, Load
from blockmap.reference.forms import KINDS, form_named

__all__ = ["Cavity"]


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
