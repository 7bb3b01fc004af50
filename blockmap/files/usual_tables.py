"""How people lay out tables of fuses, where that is not one column a property.

A wire often stands in two columns, colour and gauge; the places often stand under
"Fuse", which elsewhere heads the amps. It joins and renames, it reads no value.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

__all__ = ["heads_gauges", "settled"]

_GAUGES = {
    "gauge": "",
    "wire gauge": "",
    "wire size": "",
    "size": "",
    "cross-section": "",
    "cross section": "",
    "awg": " AWG",
    "gauge (awg)": " AWG",
    "mm2": " mm2",
    "mm²": " mm2",
}
"""Headings over gauges, with the unit that a bare number under them has."""


def heads_gauges(heading: str) -> bool:
    """Tell whether a heading names the gauges of wires."""
    return heading.casefold() in _GAUGES


def settled(
    headings: Sequence[str],
    keys: Sequence[str | None],
    rows: Sequence[tuple[str, ...]],
) -> tuple[list[str | None], list[tuple[str, ...]], list[str]]:
    """Return keys, rows and headings with what stands in an unusual column settled.

    A column of gauges beside one of wire colours goes into it and is left without a
    heading; without colours it stays unknown, because a gauge alone would wipe out the
    colours that the map knows.
    """
    keys, rows, headings = list(keys), list(rows), list(headings)
    _name_places(headings, keys, rows)
    gauge = next((n for n, word in enumerate(headings) if heads_gauges(word)), None)
    if gauge is not None and keys[gauge] is None and "wires" in keys:
        unit = _GAUGES[headings[gauge].casefold()]
        colour = keys.index("wires")
        rows = [_joined(row, colour, gauge, unit) for row in rows]
        headings[gauge] = ""
    return keys, rows, headings


def _name_places(
    headings: Sequence[str],
    keys: list[str | None],
    rows: Sequence[tuple[str, ...]],
) -> None:
    """Take a column "Fuse" for the places when it cannot be the amps."""
    at = next((n for n, w in enumerate(headings) if w.casefold() == "fuse"), None)
    if at is None or "designation" in keys:
        return
    cells = [row[at] for row in rows if at < len(row) and row[at]]
    if keys.count("rating_a") > 1 or not all(map(_starts_with_digit, cells)):
        keys[at] = "designation"


def _starts_with_digit(cell: str) -> bool:
    return cell[:1].isdecimal()


def _joined(
    row: tuple[str, ...], colour: int, gauge: int, unit: str
) -> tuple[str, ...]:
    """Return a row with each gauge behind its colour; one gauge serves them all."""
    if max(colour, gauge) >= len(row):
        return row
    colours = [part.strip() for part in row[colour].split(";")]
    gauges = [_with_unit(part.strip(), unit) for part in row[gauge].split(";")]
    if len(gauges) == 1:
        gauges *= len(colours)
    pairs = zip_longest(colours, gauges, fillvalue="")
    wires = "; ".join(" ".join(part for part in pair if part) for pair in pairs)
    return (*row[:colour], wires, *row[colour + 1 :])


def _with_unit(gauge: str, unit: str) -> str:
    bare = gauge.replace(".", "").replace(",", "").isdecimal()
    return gauge + unit if bare else gauge
