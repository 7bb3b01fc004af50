"""Work on the car: readings taken, and repairs from finding to proof."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blockmap.model.schema import Shape, prop
from blockmap.reference.trade_words import REPAIR_STAGES

__all__ = ["Reading", "Repair"]


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
    aside: bool = prop(
        "Set aside",
        Shape.FLAG,
        "yes when it was taken before a repair: kept, no longer weighed",
    )


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
        "Price",
        Shape.NUMBER,
        "price of one piece, with its currency if it is not the map's own",
        low=0,
        high=1e6,
    )
    currency: str = prop(
        "Currency", Shape.TEXT, "the money the price is in; empty for the map's own"
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
