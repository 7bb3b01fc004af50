"""The state of things: how a fact is known, damage, patches, and the dated log."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.model.photos import Photo
from blockmap.model.schema import Shape, prop
from blockmap.reference.trade_words import (
    CONDITIONS,
    EVIDENCE_WORDS,
    JUDGED_BY,
    REPAIR_STAGES,
)

__all__ = ["Condition", "Evidence", "InterimMeasure", "LogEntry"]


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
    photos: tuple[Photo, ...] = prop(
        "Photos", Shape.RECORDS, "pictures of the part as it was found", record=Photo
    )


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
