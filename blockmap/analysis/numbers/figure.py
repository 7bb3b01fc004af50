"""A computed number that can answer where it comes from.

A figure carries its band, its formula with the numbers put in, the documents behind
it, and the figures it was made of. It never hides that a number from memory or a
limit set by the user went into it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from blockmap.reference.sources import Source, Sourced, Status

__all__ = [
    "AS_ENTERED",
    "SET_BY_YOU",
    "Comparison",
    "Figure",
    "exact",
    "from_reference",
    "notes_joined",
    "shown",
    "sum_of",
    "weakest",
]

AS_ENTERED = "as entered"
SET_BY_YOU = "limit set by you"
"""Stands in the note of every figure that rests on a limit the user has changed."""

_RANK = {
    Status.VERIFIED: 0,
    Status.DERIVED: 1,
    Status.COMMON_PRACTICE: 2,
    Status.MEMORY: 3,
}


def shown(number: float, digits: int = 3) -> str:
    """Return a number for reading, rounded to so many digits, without exponent.

    At least the whole part is kept: 1234.5 becomes '1234' at three digits.
    """
    if math.isnan(number):
        return "not a number"
    if math.isinf(number):
        return "∞" if number > 0 else "−∞"
    if number == 0:
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def weakest(statuses: Iterable[Status]) -> Status:
    """Return the status that a result of several numbers has: the least certain one."""
    return max(statuses, key=_RANK.__getitem__, default=Status.DERIVED)


def notes_joined(*notes: str) -> str:
    """Return notes parted by semicolons, each once, empty ones left out."""
    return "; ".join(dict.fromkeys(note for note in notes if note))


class _Shown:
    """Lets a pattern say how many digits a number has: '{}' is 3, '{:4}' is 4."""

    __slots__ = ("number",)

    def __init__(self, number: float | str) -> None:
        self.number = number

    def __format__(self, digits: str) -> str:
        if isinstance(self.number, str):
            return self.number
        return shown(self.number, int(digits or 3))


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with its unit, band, formula and origin.

    ``low`` and ``high`` bound the value and may be infinite where no document gives a
    bound. ``pattern`` is the formula with places for ``numbers``, which are put in
    only when ``formula`` is read: thousands of figures are made and few are looked
    at. ``status`` is that of the least certain number in it; a figure of map data and
    physics alone is DERIVED. ``inputs`` are the figures it was computed from.

    Raises ValueError when the value lies outside its band or is not a number.
    """

    name: str
    value: float
    unit: str
    low: float
    high: float
    pattern: str
    numbers: tuple[float | str, ...] = ()
    status: Status = Status.DERIVED
    sources: tuple[Source, ...] = ()
    note: str = ""
    inputs: tuple[Figure, ...] = ()

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(
                f"{self.name}: {self.value} {self.unit} lies outside its band from "
                f"{self.low} to {self.high}"
            )

    @property
    def formula(self) -> str:
        """The formula with the numbers put in, such as 'I = P / U = 55 W / 12 V'."""
        if not self.numbers:
            return self.pattern
        return self.pattern.format(*map(_Shown, self.numbers))

    @property
    def uses_memory(self) -> bool:
        """True when a number from memory went into it, however far back."""
        return any(figure.status is Status.MEMORY for figure in self.trail())

    @property
    def set_by_you(self) -> bool:
        """True when a limit changed by the user went into it, however far back."""
        return any(SET_BY_YOU in figure.note for figure in self.trail())

    @property
    def is_band(self) -> bool:
        """True when the low end and the high end differ."""
        return self.low != self.high

    @property
    def is_least(self) -> bool:
        """True when it may be any amount more: something in it is not known."""
        return math.isinf(self.high) and not math.isinf(self.value)

    @property
    def text(self) -> str:
        """The value with its unit, such as '4.58 A'."""
        return f"{shown(self.value)} {self.unit}".rstrip()

    @property
    def band_text(self) -> str:
        """The band with its unit, such as '4.2 to 5.1 A'; the value when exact.

        A lower bound is '4.2 A or more', and nothing known at all is 'not known'.
        """
        if not self.is_band:
            return self.text
        if self.is_least:
            bound = f"{shown(self.low)} {self.unit}".rstrip()
            return f"{bound} or more" if self.low else "not known"
        return f"{shown(self.low)} to {shown(self.high)} {self.unit}".rstrip()

    def trail(self) -> Iterator[Figure]:
        """Yield the figure and everything it was computed from, nearest first."""
        waiting = [self]
        while waiting:
            figure = waiting.pop(0)
            yield figure
            waiting.extend(figure.inputs)

    def all_sources(self) -> tuple[Source, ...]:
        """Return every document behind it and its inputs, each once."""
        found = (source for figure in self.trail() for source in figure.sources)
        return tuple(dict.fromkeys(found))

    def at_least(self) -> Figure:
        """Return the same figure as a lower bound."""
        return self._copy(self.name, self.note, math.inf)

    def noting(self, note: str) -> Figure:
        """Return the same figure with one more note."""
        return self._copy(self.name, notes_joined(self.note, note))

    def named(self, name: str) -> Figure:
        """Return the same figure under another name."""
        return self._copy(name, self.note)

    def _copy(self, name: str, note: str, high: float | None = None) -> Figure:
        # Three times as fast as dataclasses.replace, and made a thousand times.
        return Figure(
            name,
            self.value,
            self.unit,
            self.low,
            self.high if high is None else high,
            self.pattern,
            self.numbers,
            self.status,
            self.sources,
            note,
            self.inputs,
        )


@dataclass(frozen=True, slots=True)
class Comparison:
    """A figure beside the limit it should not pass."""

    name: str
    figure: Figure
    limit: Figure

    @property
    def holds(self) -> bool:
        """True when the figure does not pass the limit; decimal dust is forgiven."""
        return self.figure.value <= self.limit.value * (1 + 1e-9)

    @property
    def holds_so_far(self) -> bool:
        """True when what is known does not pass the limit, but not all is known."""
        return self.holds and self.figure.is_least

    @property
    def surely_broken(self) -> bool:
        """True when even the low end of the figure passes the high end of the limit."""
        return self.figure.low > self.limit.high * (1 + 1e-9)

    @property
    def share(self) -> float:
        """The figure as a share of the limit; infinite above a limit of nothing."""
        if self.limit.value:
            return self.figure.value / self.limit.value
        return 0.0 if self.figure.value == 0 else math.inf

    @property
    def words(self) -> str:
        """The comparison in words, such as '21.5 A of 25 A, 86 %'."""
        share = f", {self.share:.0%}" if math.isfinite(self.share) else ""
        return f"{self.figure.text} of {self.limit.text}{share.replace('%', ' %')}"


def exact(name: str, value: float, unit: str, note: str = AS_ENTERED) -> Figure:
    """Return a figure for a number of the map, which has no band and no document."""
    pattern = f"{{:4}} {unit}" if unit else "{:4}"
    return Figure(name, value, unit, value, value, pattern, (value,), note=note)


def from_reference(name: str, number: Sourced) -> Figure:
    """Return a figure for a number of the reference tables."""
    return Figure(
        name,
        number.value,
        number.unit,
        number.value,
        number.value,
        f"{{:4}} {number.unit}" if number.unit else "{:4}",
        (number.value,),
        number.status,
        number.sources,
        number.note,
    )


def sum_of(name: str, figures: Sequence[Figure], unit: str, note: str = "") -> Figure:
    """Return the sum of figures of one unit with the sum of their bands.

    The formula lists the summands. No figures sum to nothing. Raises ValueError when
    a figure has another unit.
    """
    value = low = high = 0.0
    status = Status.DERIVED
    for figure in figures:
        if figure.unit != unit:
            raise ValueError(f"{figure.name} is in {figure.unit}, not in {unit}")
        value += figure.value
        low += figure.low
        high += figure.high
        if _RANK[figure.status] > _RANK[status]:
            status = figure.status
    pattern = " + ".join(["{}"] * len(figures)) or "0"
    # Adding in another order than the bands may leave the value a hair outside.
    low, high = min(low, value), max(high, value)
    inputs = tuple(figures)
    if not inputs:
        note = note or "nothing to add up"
    numbers = tuple(figure.value for figure in inputs)
    pattern = f"{pattern} {unit}"
    return Figure(
        name, value, unit, low, high, pattern, numbers, status, (), note, inputs
    )
