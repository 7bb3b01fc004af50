"""The car a map belongs to, and how its prints are to look."""

from __future__ import annotations

from dataclasses import dataclass

from blockmap.model.schema import Shape, prop
from blockmap.reference.wire_colours import CODES

__all__ = ["Car"]


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
    currency: str = prop(
        "Currency", Shape.TEXT, "the money of prices that name no other, such as EUR"
    )
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
